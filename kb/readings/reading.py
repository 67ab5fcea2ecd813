"""The readings of a text: what it says, in numbers, about the asker's system now."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache

from kb.units import ALKALINITY, CONCENTRATION, FLOW, MASS, TEMPERATURE, VOLUME, Unit, figures

from . import amounts, numbers
from .alone import fish_left, has_decimals, of_them, of_water_unnamed
from .boxes import box_at
from .contexts import NOTHING, Contexts, find_contexts, standing
from .naming import (
    NO_WORDS,
    Names,
    counts_something,
    find_names,
    names_of,
)
from .numbers import Figure
from .several import fish_in_each, several_at
from .spoken import STARTS
from .tokens import Found, Text, cut, find_phrases
from .vocabulary import DISSOLVED, FORMS, IN_MG_L, POSSIBLE
from .zeros import NONE_WORDS, said_to_be_none

NAMES = tuple(POSSIBLE)
_KINDS = {
    "volume": VOLUME, "flow": FLOW, "concentration": CONCENTRATION, "alkalinity": ALKALINITY,
    "temperature": TEMPERATURE, "mass": MASS,
}  # fmt: skip
_FAHRENHEIT_ABOVE = 45.0
_DEGREES_KH_UP_TO = 30.0
_MG_L_FROM = 20.0
_TELL_NUMBERS = STARTS | NO_WORDS | NONE_WORDS | {"not"}
_SIGNIFICANT = 6

Value = float | tuple[float, float]


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading: a number or (low, high) in the unit of its name, and the words it stands in."""

    name: str
    value: Value
    start: int
    end: int
    text: str
    form: str = ""
    substance: str = ""
    unit: str = ""


@dataclass(frozen=True)
class Readings:
    """The readings of one text, one a name, in the order of the text."""

    found: tuple[Reading, ...] = ()
    forms: dict[str, str] = field(default_factory=dict)

    def get(self, name: str) -> Reading | None:
        """The reading of this name, None when the text gives none."""
        return next((reading for reading in self.found if reading.name == name), None)

    def single(self, name: str, worse: str = "high") -> float | None:
        """One number: of a range its worse end, "high" or "low"; None when there is none."""
        reading = self.get(name)
        if reading is None:
            return None
        if isinstance(reading.value, tuple):
            return reading.value[1] if worse == "high" else reading.value[0]
        return reading.value

    def as_json(self) -> dict[str, object]:
        """The readings as plain values: a number, [low, high], or the parts of a dose."""
        order = {name: place for place, name in enumerate(NAMES)}
        ranked = sorted(self.found, key=lambda reading: order[reading.name])
        return {reading.name: _plain(reading) for reading in ranked}


@dataclass(frozen=True, slots=True)
class _Candidate:
    reading: Reading
    standing: int


def read(text: str) -> Readings:
    """What a text says about its own system now; at most its first 20,000 characters are read."""
    parts = cut(text)
    if not _may_hold_numbers(parts):
        return Readings()
    best: dict[str, _Candidate] = {}
    for candidate in _candidates(parts):
        name = candidate.reading.name
        earlier = best.get(name)
        if name == "fish_count" and earlier and _joined(parts, earlier.reading, candidate.reading):
            best[name] = replace(candidate, reading=_sum(parts, earlier.reading, candidate.reading))
            continue
        if name not in best or candidate.standing >= best[name].standing:
            best[name] = candidate
    found = sorted((kept.reading for kept in best.values()), key=lambda reading: reading.start)
    forms = {reading.name.split("_")[0]: reading.form for reading in found if reading.form}
    return Readings(tuple(found), forms)


def _may_hold_numbers(text: Text) -> bool:
    if any(token.kind == "number" for token in text.tokens):
        return True
    return not _TELL_NUMBERS.isdisjoint(text.words)


def _candidates(text: Text) -> Iterator[_Candidate]:
    """Every number that may be a reading, with how well it stands for the system now."""
    written = numbers.figures(text, _compound_at)
    names = find_names(text, written)
    zeros = said_to_be_none(text, names)
    written = tuple(sorted((*written, *zeros), key=lambda figure: figure.first))
    contexts = find_contexts(text, names.figure_at)
    forms = find_phrases(text, FORMS)
    imperial = _says_imperial(text)
    skip = -1
    for place, figure in enumerate(written):
        if figure.first <= skip:
            continue
        figure = _out_of(text, written, place)
        if figure is not written[place]:
            yield from _weighed(text, contexts, forms, figure, None, "", imperial)
            continue
        group = _listed_values(text, written, place, names)
        skip = group[-1][0].last
        for member, mention, fallback in group:
            yield from _weighed(text, contexts, forms, member, mention, fallback, imperial)


def _compound_at(text: Text, index: int) -> Figure | None:
    """A tank from its sides, or several tanks, as one volume."""
    return box_at(text, index) or several_at(text, index)


def _out_of(text: Text, written: tuple[Figure, ...], place: int) -> Figure:
    """The figure, with the unit of the one before in "200 litres out of 800"."""
    figure, before = written[place], written[place - 1]
    if not place or figure.kind or before.kind != "volume" or figure.low < before.low:
        return figure
    between = text.words[before.last + 1 : figure.first]
    if between not in (("out", "of"), ("out", "of", "the"), ("of", "the"), ("of",)):
        return figure
    return replace(figure, kind=before.kind, unit=before.unit)


def _joined(text: Text, first: Reading, second: Reading) -> bool:
    """Are these two kinds of fish in one list: "10 koi and 20 goldfish"?"""
    between = text.lower[first.end : second.start].replace(",", " ").strip()
    kinds = {reading.text.split()[-1] for reading in (first, second)}
    return between in ("", "and", "&", "+", "plus") and len(kinds) == 2


def _sum(text: Text, first: Reading, second: Reading) -> Reading:
    value: Value = 0.0
    if isinstance(first.value, float) and isinstance(second.value, float):
        value = first.value + second.value
    words = text.original[first.start : second.end]
    return replace(second, value=value or second.value, start=first.start, text=words)


def _weighed(
    text: Text,
    contexts: Contexts,
    forms: tuple[Found, ...],
    figure: Figure,
    mention: Found | None,
    fallback: str,
    imperial: bool,
) -> Iterator[_Candidate]:
    """The reading a number makes, unless it is impossible or something speaks against it."""
    reading = _reading(text, figure, mention, fallback, imperial)
    if reading is None:
        if not figure.kind and has_decimals(text, figure):
            standing(
                contexts, figure, "ph", mention
            )  # for what follows in a list: "tap 8.4, 12 dKH"
        return
    name, value, substance = reading
    rank = standing(contexts, figure, name, mention)
    if rank == NOTHING or not _possible(name, value):
        return
    start, end = text.tokens[figure.first].start, text.tokens[figure.last].end
    mention = mention or amounts.fish_behind(text, figure)
    if mention and name != "volume_l":
        start = min(start, text.tokens[mention.first].start)
        end = max(end, text.tokens[mention.last].end)
    form = _form(forms, figure, mention) if name in DISSOLVED else ""
    yield _Candidate(
        Reading(name, _rounded(value), start, end, text.original[start:end], form, substance,
                value.unit if name == "dose" else ""),
        rank,
    )  # fmt: skip


def _listed_values(
    text: Text, written: tuple[Figure, ...], place: int, names: Names
) -> list[tuple[Figure, Found | None, str]]:
    """The number with its name; for joined names as many numbers as there are, or one for all."""
    figure = written[place]
    if figure.kind not in ("", "concentration", "degrees"):
        return [(figure, _named_before(text, figure, names), "")]
    if not figure.kind and of_them(text, figure):
        return [(figure, None, "left")]
    if not figure.kind and (counts_something(text, figure) or _is_loose_word(text, figure, names)):
        return [(figure, None, "fish" if amounts.fish_behind(text, figure) else "count")]
    found = names_of(text, figure, names)
    if len(found) > 1:
        run = _run(text, written, place)
        if len(run) >= len(found):
            return [(value, name, "") for value, name in zip(run, found, strict=False)]
        return [(figure, name, "") for name in found]
    if not found and not figure.kind:
        left = fish_left(text, figure)
        return [(figure, None, "left" if left else of_water_unnamed(text, figure, names))]
    return [(figure, found[0] if found else None, "")]


def _named_before(text: Text, figure: Figure, names: Names) -> Found | None:
    mention = names.before[figure.first]
    close = mention is not None and figure.first - mention.last <= 4
    return mention if close and mention and mention.label == "alkalinity_mg_l_caco3" else None


def _is_loose_word(text: Text, figure: Figure, names: Names) -> bool:
    """Is it a number in words that stands for no reading, such as "one of them"?"""
    if text.tokens[figure.first].kind == "number" or figure.low == 0:
        return False
    return amounts.fish_behind(text, figure) is not None or text.word(figure.first) == "one"


def _run(text: Text, written: tuple[Figure, ...], place: int) -> list[Figure]:
    """The numbers joined to this one: "0, 0 and 40"."""
    run = [written[place]]
    for following in written[place + 1 : place + 4]:
        between = {text.word(index) for index in range(run[-1].last + 1, following.first)}
        if not between <= {",", "/", "and", "&"} or following.kind not in ("", "concentration"):
            break
        run.append(following)
    return run


def _reading(
    text: Text, figure: Figure, mention: Found | None, fallback: str, imperial: bool
) -> tuple[str, Figure, str] | None:
    """Name, value in the unit of the name, and substance; None when the number is no reading."""
    if figure.kind in ("other", "length"):
        return None
    if figure.kind == "degrees" and mention and mention.label == "alkalinity_mg_l_caco3":
        return mention.label, _converted(replace(figure, kind="alkalinity", unit="dKH"), False), ""
    if figure.kind == "degrees" and mention and _is_hardness(text, mention):
        return None
    if figure.kind in ("", "degrees"):
        return _bare(text, figure, mention, fallback)
    value = _converted(figure, imperial)
    if figure.kind == "concentration":
        return (mention.label, value, "") if mention and mention.label in IN_MG_L else None
    if figure.kind in ("alkalinity", "temperature"):
        name = "alkalinity_mg_l_caco3" if figure.kind == "alkalinity" else "temperature_c"
        return name, value, ""
    return _amount(text, figure, value)


def _is_hardness(text: Text, mention: Found) -> bool:
    """Is it general hardness, which may be told in degrees and is no reading of ours?"""
    said = text.words[mention.first : mention.last + 1]
    return not mention.label and not {"gh", "dgh", "hardness"}.isdisjoint(said)


def _amount(text: Text, figure: Figure, value: Figure) -> tuple[str, Figure, str] | None:
    """A dose, a feed, a volume or a flow."""
    if figure.kind == "flow":
        return ("flow_l_h", value, "") if amounts.is_water_flow(text, figure) else None
    timed = amounts.timed_flow(text, value) if figure.kind == "volume" else None
    if timed:
        return "flow_l_h", timed, ""
    dose = amounts.dose_of(text, value)
    if dose:
        return "dose", dose[1], dose[0]
    if figure.kind == "spoon" or amounts.is_of_substance(text, figure):
        return None
    if figure.kind == "mass":
        feed = amounts.feed_a_day(text, value)
        return ("feed_g_day", feed, "") if feed else None
    if figure.unit == "mL" or not amounts.is_tank_volume(text, figure):
        return None
    return "volume_l", value, ""


def _bare(
    text: Text, figure: Figure, mention: Found | None, fallback: str
) -> tuple[str, Figure, str] | None:
    """A number without unit, or with "degrees" alone."""
    if figure.kind == "degrees":
        return "temperature_c", _celsius(figure), ""
    if fallback in ("ph", "left"):
        return ("fish_count" if fallback == "left" else fallback), figure, ""
    if fallback == "temperature_c":
        return fallback, _celsius(figure), ""
    if amounts.fish_behind(text, figure):
        times = fish_in_each(text, figure)
        return "fish_count", replace(figure, low=figure.low * times, high=figure.high * times), ""
    if fallback or mention is None:
        return None
    if mention.label == "temperature_c":
        return mention.label, _celsius(figure), ""
    if mention.label == "alkalinity_mg_l_caco3":
        return _bare_alkalinity(text, figure, mention)
    if mention.label == "fish_count" and text.word(figure.last + 1) not in (*".,;)", ""):
        return None
    return (mention.label, figure, "") if mention.label else None


def _bare_alkalinity(text: Text, figure: Figure, mention: Found) -> tuple[str, Figure, str] | None:
    """KH up to 30 is in degrees, alkalinity from 20 in mg/L; between the two nobody can say."""
    words = {text.word(place) for place in range(mention.first, mention.last + 1)}
    if words & {"kh", "dkh"} and figure.high <= _DEGREES_KH_UP_TO:
        return mention.label, _converted(replace(figure, kind="alkalinity", unit="dKH"), False), ""
    if figure.low >= _MG_L_FROM or figure.high == 0:
        return mention.label, figure, ""
    return None


def _celsius(figure: Figure) -> Figure:
    """Degrees without a letter: Fahrenheit when they are above 45."""
    unit = "°F" if figure.low > _FAHRENHEIT_ABOVE else "°C"
    return _converted(replace(figure, kind="temperature", unit=unit), False)


def _converted(figure: Figure, imperial: bool) -> Figure:
    """The figure in the base unit of its kind."""
    if figure.kind not in _KINDS:
        return figure
    unit = figure.unit
    if imperial and unit in ("gal", "gal/h"):
        unit = f"imperial {unit}"
    known = _unit(figure.kind, unit)
    low, high = (end * known.factor + known.offset for end in (figure.low, figure.high))
    return replace(figure, low=low, high=high)


@lru_cache(maxsize=64)
def _unit(kind: str, unit: str) -> Unit:
    return _KINDS[kind].unit(unit)


def _says_imperial(text: Text) -> bool:
    """Does the text say anywhere that its gallons are imperial?"""
    words = {token.word for token in text.tokens}
    return "imperial" in words or (bool(words & {"uk", "imp"}) and "us" not in words)


def _possible(name: str, figure: Figure) -> bool:
    low, high = POSSIBLE[name]
    return low <= figure.low <= figure.high <= high


def _rounded(figure: Figure) -> Value:
    low, high = figures(figure.low, _SIGNIFICANT), figures(figure.high, _SIGNIFICANT)
    return low if low == high else (low, high)


def _form(forms: tuple[Found, ...], figure: Figure, mention: Found | None) -> str:
    """NH3, NH4 or N when the text says so beside the number; empty when both or none."""
    first, after = (mention.first, mention.last) if mention else (figure.first, figure.first)
    last = max(figure.last, after)
    ends = range(first - 1, after + 3), range(figure.last, last + 4)
    if any(form.label == "N" and any(form.first in span for span in ends) for form in forms):
        return "N"
    near = {form.label for form in forms if first - 2 <= form.first <= after + 2} - {"N"}
    if mention is None or mention.label != "ammonia_mg_l":
        return ""
    return near.pop() if len(near) == 1 else ""


def _plain(reading: Reading) -> object:
    value: object = list(reading.value) if isinstance(reading.value, tuple) else reading.value
    if reading.name == "dose":
        return {"substance": reading.substance, "amount": value, "unit": reading.unit}
    if reading.name == "fish_count" and isinstance(reading.value, float):
        return int(reading.value)
    return value
