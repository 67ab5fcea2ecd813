"""Amounts: what was put in the water, feed a day, fish, the water in the tank and its flow."""

from collections.abc import Sequence
from dataclasses import replace

from kb.units import TEASPOON_ML

from .numbers import Figure
from .spoken import NUMBER_WORDS
from .tokens import Found, Text, phrase_at, phrase_table, words
from .vocabulary import FISH, FISH_TRAITS, NOT_FISH

SUBSTANCES = phrase_table(
    {
        "other": "hydrochloric|phosphoric|muriatic|citric|nitric|sulphuric|sulfuric|acetic|hcl|lye|"
        "caustic soda|koh|ph minus|ph plus|vinegar essence|phosphoric acid solution|quicklime|"
        "iron edta|iron dtpa|iron eddha|chelate|fertiliser|fertilizer|bicarbonate|"
        "phosphoric acid|hydrochloric acid|"
        "muriatic acid|citric acid|nitric acid|"
        "sulphuric acid|sulfuric acid|acetic acid|acid|vinegar|white vinegar|lemon juice|ph down|"
        "ph up|lime|garden lime|agricultural lime|dolomite lime|dolomite|calcium carbonate|"
        "potassium hydroxide|potassium carbonate|sodium bicarbonate|sodium carbonate|"
        "baking soda|bicarb|bicarbonate of soda|soda ash|shell grit|oyster shell|crushed coral|"
        "limestone|chalk|salt|sea salt|pool salt|table salt|iron chelate|chelated iron|iron|"
        "epsom salt|epsom salts|magnesium sulphate|magnesium sulfate|seaweed extract|seaweed|"
        "seaweed solution|dechlorinator|sodium thiosulphate|sodium thiosulfate|vitamin c|"
        "ascorbic acid|ammonia|ammonia solution|ammonium chloride|hydrogen peroxide|peroxide|"
        "bleach|formalin|potassium permanganate|copper sulphate|copper sulfate|methylene blue|"
        "molasses|gypsum|urea|potassium sulphate|potassium sulfate|calcium chloride|"
        "potassium nitrate|calcium nitrate|potash|water conditioner|conditioner|magnesium|"
        "calcium|potassium|humic acid|bacteria|starter bacteria|washing soda|caustic potash",
        "hydrated lime": "hydrated lime|slaked lime|calcium hydroxide|builders lime|builder's lime",
        "potassium bicarbonate": "potassium bicarbonate|pot bicarb|potassium bicarb",
    }
)
# Bulk densities: hydrated lime 450 to 500 kg/m3, maker's data sheet to AS 1672 (middle taken);
# potassium bicarbonate 65 lb/ft3, maker's specification.
_POWDER_G_ML = {"hydrated lime": 0.475, "potassium bicarbonate": 1.041}
_LIQUIDS = words(
    "vinegar acid juice solution peroxide formalin bleach hydrochloric phosphoric muriatic nitric "
    "sulphuric sulfuric acetic hcl essence"
)
# US cup of 8 fluid ounces, the gallon of 128 of them (NIST Handbook 44, appendix C).
_CUP_ML = 3785.411784 / 16
_SPOON_ML = {
    "tsp": TEASPOON_ML, "tbsp": 3 * TEASPOON_ML, "cup": _CUP_ML, "fl oz": _CUP_ML / 8,
}  # fmt: skip
_DOSING = words(
    "added add adding adds dosed dosing dose doses put puts putting poured pour use used using "
    "mixed tipped dumped gave treated dropped went squirted sprinkled threw stirred daily"
)
_WATERS = words("sump tank water system pond")
_LATER = words("later morning evening yesterday today week ago weekly day so")
_NOT_DOSED = words(
    "bought buy ordered order cost costs paid price have got need needs how should would could "
    "can is enough bag left contains recommended says want if sack ? do does"
)
_BEFORE_SUBSTANCE = words(
    "of the some a food grade strong diluted pure % percent my our concentrated powdered liquid "
    "fine dry premixed"
)
_FEEDING = words(
    "give gives giving gave get gets consume consumes meals meal pellet feedings fodder feed "
    "feeding feeds fed food eat eats eating pellets ration rations flakes"
)
_NOT_FEED = words("fish tilapia trout each bag bags sack sacks bucket tub carp koi catfish body")
_DAILY = words("day daily days everyday")
_TIMED_WITHIN = 9
_SECONDS = {
    "second": 1.0, "seconds": 1.0, "sec": 1.0, "secs": 1.0, "s": 1.0,
    "minute": 60.0, "minutes": 60.0, "min": 60.0, "mins": 60.0,
}  # fmt: skip
_EVERY_OTHER = tuple(["every", word] for word in ("two", "2", "other", "second"))
_DAYS_A_WEEK = 7.0
_WEEKS = {"week": 7.0, "weeks": 7.0, "month": 30.0, "fortnight": 14.0}
_MEALS = frozenset(("morning", "evening", "noon", "night", "midday", "afternoon", "am", "pm"))
_TIMES = {"once": 1.0, "twice": 2.0, "thrice": 3.0, "two": 2.0, "three": 3.0, "four": 4.0}
_DEATH = words("died dead die dying killed lost losing gasping floating sick jumped missing")
_NOT_ALL = words("more another extra additional other first last")
_CONTAINERS = words(
    "bucket buckets jug bottle bottles bag bags sack pot pots can cans watering media gravel "
    "hydroton clay pump pumps heater freezer jerry jar container water-change change changes"
)
_MOVING = words(
    "changed change added add drained drain removed remove replaced replace poured pour exchange "
    "exchanged topped adding replacing lose loses losing lost top evaporates use used took"
)
_LESSER = words("bed's sump bed beds growbed growbeds filter settler biofilter swirl")
_GROSS = words("tank tanks system pond ibc tote volume total litre gallon")
_AIRY = frozenset(("air", "aerator", "blower", "airpump", "airstone", "airstones", "compressor"))


def dose_of(text: Text, figure: Figure) -> tuple[str, Figure] | None:
    """What was put in and how much, in g or ml; None when it is no dose or cannot be converted."""
    substance = _substance(text, figure)
    if substance is None:
        return None
    words = " ".join(text.word(place) for place in range(substance.first, substance.last + 1))
    amount = _in_g_or_ml(figure, substance.label, words)
    if amount is None or not _was_dosed(text, figure, substance):
        return None
    return words, amount


def is_of_substance(text: Text, figure: Figure) -> bool:
    """Does a number tell an amount of some substance, dosed or not?"""
    return _substance(text, figure) is not None


def feed_a_day(text: Text, figure: Figure) -> Figure | None:
    """The grams of feed a day; None when the mass is no daily feed."""
    after = _window(text, figure.last + 1, figure.last + 10, text.sentence_end[figure.first])
    before = _window(text, max(text.sentence_start[figure.first], figure.first - 12),
                     figure.first - 1, figure.first)  # fmt: skip
    lasting = _days_it_lasts(after)
    if lasting and _FEEDING & {*before, *after}:
        return _scaled(figure, 1 / lasting)
    if after[:2] == ["each", "time"] or (after[:1] == ["each"] and _times_a_day(before) > 1):
        del after[:2]
    if (
        not _FEEDING & {*before, *after}
        or _NOT_FEED & set(_up_to_comma(after[:4]))
        or "bag" in before[-3:]
    ):
        return None
    close = {*before[-5:], *after[:2]}
    if {"month", "monthly", "cubic"} & set(after):
        return None
    if {"week", "weekly"} & {*after[:4], *before[-3:]}:
        return _scaled(figure, 1 / _DAYS_A_WEEK)
    if not (_daily(after, before) or _FEEDING & close):
        return None
    said = {text.word(place) for place in range(figure.first, figure.last + 1)}
    if len(said & _MEALS) > 1:
        whole = figure.low + figure.high
        return replace(figure, low=whole, high=whole)
    if any(after[at : at + 2] in _EVERY_OTHER for at in range(4)):
        return _scaled(figure, 1 / 2)
    times = max(_times_a_day(after), _times_before(before), _times_a_day(before[-6:]))
    return _scaled(figure, times)


def timed_flow(text: Text, figure: Figure) -> Figure | None:
    """The litres an hour of "10 litres in 30 seconds" or "a 20 l bucket fills in 1 minute"."""
    last = min(text.sentence_end[figure.first], figure.last + _TIMED_WITHIN)
    for place in range(figure.last + 2, last):
        seconds = _SECONDS.get(text.word(place + 1), 0.0)
        if not seconds or text.word(place - 1) not in ("in", "takes", "within", "took", "every"):
            continue
        said = text.word(place)
        count = float(said) if said.isdecimal() and len(said) < 5 else NUMBER_WORDS.get(said, 0.0)
        if said in ("a", "one"):
            count = 1.0
        return _scaled(replace(figure, kind="flow"), 3600 / (count * seconds)) if count else None
    return None


def _days_it_lasts(after: Sequence[str]) -> float:
    """The 40 of "a 20 kg bag of feed lasts us 40 days"; 0 when nothing is said of that."""
    for at, word in enumerate(after):
        if word in ("last", "lasts", "lasted") and "days" in after[at : at + 4]:
            return _how_many(after[after.index("days", at) - 1])
        if word in ("last", "lasts", "lasted") and _WEEKS.keys() & set(after[at : at + 4]):
            unit = next(at for at, said in enumerate(after) if said in _WEEKS)
            return _how_many(after[unit - 1]) * _WEEKS[after[unit]]
    return 0.0


def _how_many(said: str) -> float:
    """The number of a word such as "40", "ten" or "a"; 0 when it is none."""
    if said in ("a", "one"):
        return 1.0
    return float(said) if said.isdecimal() and len(said) < 4 else NUMBER_WORDS.get(said, 0.0)


def _up_to_comma(said: list[str]) -> list[str]:
    """What stands before a comma and before "each day"."""
    ends = [at for at, word in enumerate(said) if word in (",", "each")]
    kept = said[: ends[0]] if ends else said
    return said if ends and said[ends[0]] == "each" and not _DAILY & set(said[ends[0] :]) else kept


def fish_behind(text: Text, figure: Figure) -> Found | None:
    """The fish a number counts: "25 tilapia", "30 small red fish"; None when it counts no fish."""
    place = figure.last + 1
    if text.word(place) in ("head", "heads") and text.word(place + 1) == "of":
        place += 2
    while text.word(place) in FISH_TRAITS and place < figure.last + 5:
        fish = phrase_at(text, place, FISH)
        if fish:
            break
        place += 1
    found = phrase_at(text, place, FISH)
    if found is None:
        return None
    while (longer := phrase_at(text, found.last + 1, FISH)) is not None:
        found = longer
    ahead = text.word(found.last + 1)
    return None if ahead in NOT_FISH or _only_some(text, figure, found) else found


def is_tank_volume(text: Text, figure: Figure) -> bool:
    """Is it the water of tank or system, not of a lesser vessel, nor water moved or carried?"""
    after = _clause_after(text, figure, 4)
    before = _clause_before(text, figure, 6)
    moved = bool(_MOVING & set(before[-4:])) and not {"for", "to", "in"} & set(before[-2:])
    rate = bool({"per", "each"} & {*after[:1], *before[-1:]})
    if moved or rate or _CONTAINERS & set(after[:3]) or "rain" in after[:2]:
        return False
    if {"change", "changes"} & set(after[:4]) or (after[:1] == ["of"] and not _GROSS & set(after)):
        return after[1:2] == ["water"] and not _MOVING & set(before)
    own = next((word for word in after if word in _LESSER | _GROSS), "")
    ruling = own or next((word for word in reversed(before) if word in _LESSER | _GROSS), "")
    return ruling not in _LESSER


def is_water_flow(text: Text, figure: Figure) -> bool:
    """Is the flow one of water, not of air?"""
    near = {*_clause_before(text, figure, 6), *_clause_after(text, figure, 4)}
    return not near & _AIRY


def _window(text: Text, first: int, last: int, limit: int) -> list[str]:
    return [text.word(place) for place in range(max(first, 0), min(last, limit) + 1)]


def _clause_after(text: Text, figure: Figure, count: int) -> list[str]:
    words: list[str] = []
    for place in range(
        figure.last + 1, min(figure.last + count, text.sentence_end[figure.first]) + 1
    ):
        if text.tokens[place].kind == "mark" or text.word(place) in ("but", "and", "with"):
            break
        words.append(text.word(place))
    return words


def _clause_before(text: Text, figure: Figure, count: int) -> list[str]:
    words: list[str] = []
    start = max(text.sentence_start[figure.first], figure.first - count)
    for place in range(figure.first - 1, start - 1, -1):
        if text.word(place) in (",", "but", "and", ";", "with"):
            break
        words.append(text.word(place))
    return words[::-1]


def _substance(text: Text, figure: Figure) -> Found | None:
    place = figure.last + 1
    while text.word(place) in _BEFORE_SUBSTANCE or (
        place < len(text.tokens) and text.tokens[place].kind == "number"
    ):
        if place > figure.last + 6:
            return None
        place += 1
    found = phrase_at(text, place, SUBSTANCES)
    return found or _substance_before(text, figure)


def _substance_before(text: Text, figure: Figure) -> Found | None:
    for place in range(max(text.sentence_start[figure.first], figure.first - 4), figure.first):
        found = phrase_at(text, place, SUBSTANCES)
        if found and found.last < figure.first:
            between = {text.word(index) for index in range(found.last + 1, figure.first)}
            return found if between <= {",", "(", ":", "about", "at", "dose", "-"} else None
    return None


def _was_dosed(text: Text, figure: Figure, substance: Found) -> bool:
    start = max(text.sentence_start[figure.first], figure.first - 12)
    around = {text.word(place) for place in range(start, substance.last + 7)}
    behind = text.words[substance.last + 1 : substance.last + 5]
    if behind[:1] == ("in",) and not _WATERS.isdisjoint(behind):
        return True
    if "into" in around or {"went", "in"} <= around:
        return True
    if not around & _NOT_DOSED and _LATER & around:
        return True
    return bool(around & _DOSING) or {"a", "day"} <= around or {"per", "day"} <= around


def _in_g_or_ml(figure: Figure, label: str, words: str) -> Figure | None:
    if figure.kind == "spoon":
        millilitres = _SPOON_ML[figure.unit]
        if label in _POWDER_G_ML:
            return _scaled(replace(figure, unit="g"), millilitres * _POWDER_G_ML[label])
        liquid = words.split()[-1] in _LIQUIDS and "citric" not in words
        return _scaled(replace(figure, unit="ml"), millilitres) if liquid else None
    if figure.kind == "mass":
        return replace(figure, unit="g")
    return _scaled(replace(figure, unit="ml"), 1000.0) if figure.kind == "volume" else None


def _scaled(figure: Figure, factor: float) -> Figure:
    return replace(figure, low=figure.low * factor, high=figure.high * factor)


def _daily(after: Sequence[str], before: Sequence[str]) -> bool:
    if after[:2] == ["/", "d"] or _times_a_day(before) > 1:
        return True
    return bool(_DAILY & {*after[:6], *before[-4:]})


def _times_a_day(after: Sequence[str]) -> float:
    if len(_MEALS & set(after[:5])) > 1 and after[:1] != ["in"]:
        return 2.0
    if after[:1] in (["x"], ["×"]) and after[1:2] and after[1] in ("2", "3", "4", "5", "6"):
        return float(after[1])
    for place, word in enumerate(after[:8]):
        if word in ("once", "twice", "thrice") and _DAILY & set(after[place:]):
            return _TIMES[word]
        if (
            word in ("times", "x", "feedings", "meals", "feeds")
            and place
            and _DAILY & set(after[place:])
        ):
            said = after[place - 1]
            return float(said) if said in ("1", "2", "3", "4", "5", "6") else _TIMES.get(said, 1.0)
    return 1.0


def _times_before(before: Sequence[str]) -> float:
    """The 2 of "2 x 25 g"."""
    said = before[-2] if len(before) > 1 and before[-1] in ("x", "×", "times") else ""
    if len(before) > 2 and before[-1] == "of" and before[-2] in ("meals", "feeds", "feedings"):
        said = before[-3]
    return float(said) if said in ("2", "3", "4", "5", "6") else _TIMES.get(said, 1.0)


def _only_some(text: Text, figure: Figure, fish: Found) -> bool:
    """Are these only some of the fish: those that died, those added?"""
    after = set(_clause_after(text, Figure(0, 0, fish.first, fish.last), 4))
    before = set(_clause_before(text, figure, 4))
    between = {text.word(place) for place in range(figure.last + 1, fish.first)}
    if text.word(figure.first - 1) in ("my", "our") and text.word(figure.first - 2) == "of":
        return False  # the whole of "8 of my 20 trout died"
    if (_NOT_ALL & before) or (_NOT_ALL & between) or text.word(figure.first - 1) == "per":
        return True
    return bool(_DEATH & (after | before | between)) and "all" not in before
