"""Written numbers and the units behind them: decimals, thousands, fractions, ranges, boxes."""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from .spoken import NUMBER_WORDS, STARTS, in_words, scaled, with_point
from .tokens import Text, Token, words
from .written_units import unit_after

MOST_FIGURES = 400  # no question has more; keeps a page of digits as quick as a page of prose
FRACTIONS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 0.125}
_DENOMINATORS = frozenset((2, 3, 4, 5, 8, 10))
_THOUSANDS = re.compile(r"[1-9]\d{0,2}(?:[.,]\d{3})+")
_MONEY = frozenset("$£€¥₹#")
_JOINTS = frozenset(("-", "to", "or", "and", "~"))
_DOUBTS = frozenset(("maybe", "perhaps", "possibly"))
_DAY_PARTS = words(
    "night day dawn dusk morning noon midday afternoon evening sunrise sunset am pm midnight "
    "daytime nighttime lunch lunchtime"
)
_DAYTIME = _DAY_PARTS | words("at in by during the early late mid")
_LARGE_KINDS = frozenset(("volume", "flow"))
_SWINGS = words(
    "range ranges ranging ranged varies varying fluctuates fluctuating swings swinging somewhere "
    "anywhere "
    "anything moves changes"
)


@dataclass(frozen=True, slots=True)
class Figure:
    """A number or range with its unit: ``kind`` is empty when no unit stands behind it."""

    low: float
    high: float
    first: int
    last: int
    kind: str = ""
    unit: str = ""
    lead: str = ""  # "between" or "from" when the range was written so

    @property
    def is_range(self) -> bool:
        """Two different ends?"""
        return self.low != self.high


BoxAt = Callable[[Text, int], Figure | None]


def figures(text: Text, box_at: BoxAt) -> tuple[Figure, ...]:
    """The first 400 numbers of the text, left to right, ranges and what ``box_at`` finds as one."""
    found: list[Figure] = []
    index = 0
    while index < len(text.tokens) and len(found) < MOST_FIGURES:
        starts = text.tokens[index].kind == "number" or text.words[index] in STARTS
        figure = (box_at(text, index) or _figure_at(text, index)) if starts else None
        if figure:
            found.append(figure)
            index = figure.last
        index += 1
    return tuple(found)


def _figure_at(text: Text, index: int) -> Figure | None:
    if text.word(index - 1) in _MONEY:
        return _money(text, index)
    alone = single(text, index)
    return _range(text, alone) or alone if alone else None


def _money(text: Text, index: int) -> Figure | None:
    if text.tokens[index].kind != "number":
        return None
    return Figure(0.0, 0.0, index, index, "other")


def single(text: Text, index: int) -> Figure | None:
    """One number with its unit, without looking for a range."""
    token = text.tokens[index]
    if token.kind == "word":
        return _in_words(text, index)
    if token.kind != "number":
        return None
    value, last = with_fraction(text, index)
    if last == index:
        last = _spaced_thousands(text, index)
    written = "".join(text.word(place) for place in range(index, last + 1))
    kind, unit, unit_last = unit_after(text, last)
    if last > index and "/" not in written and written.isdigit():
        value = float(written)
    elif _THOUSANDS.fullmatch(written) and _means_thousands(written, kind, unit):
        value = float(re.sub(r"[.,]", "", written))
    if last == index:
        value, last = with_point(text, *scaled(text, value, last))
        kind, unit, unit_last = (kind, unit, unit_last) if last == index else unit_after(text, last)
    scale, scaled_last = _thousand_sign(text, last)
    if scale:
        kind, unit, unit_last = unit_after(text, scaled_last)
        value *= 1000
    return Figure(value, value, index, unit_last, kind, unit)


def _means_thousands(written: str, kind: str, unit: str) -> bool:
    if "," in written:
        return unit != "kg"
    return kind in _LARGE_KINDS and unit in ("L", "L/h")


def _thousand_sign(text: Text, last: int) -> tuple[bool, int]:
    sign = text.word(last + 1) == "k" and text.tokens[last + 1].start == text.tokens[last].end
    if sign and unit_after(text, last + 1)[0] in _LARGE_KINDS:
        return True, last + 1
    return False, last


def _plain(token: Token) -> float:
    """The number of one token; thousands marks are taken as such only when there are two."""
    word = token.word
    if word in FRACTIONS:
        return FRACTIONS[word]
    if word.count(",") + word.count(".") > 1:
        decimal = "," if word.rindex(",") > word.rfind(".") and "." in word else "."
        word = word.replace("." if decimal == "," else ",", "")
    return float(word.replace(",", ".")[:300])


def with_fraction(text: Text, index: int) -> tuple[float, int]:
    """The value of a number with a fraction behind it or as one, and its last token."""
    token = text.tokens[index]
    value = _plain(token)
    fraction, last = _fraction(text, index)
    if last > index:
        return fraction, last
    following = text.tokens[index + 1] if index + 1 < len(text.tokens) else None
    if following is None or following.kind != "number" or following.start > token.end + 1:
        return value, index
    if following.word in FRACTIONS and token.word.isdigit():
        return value + FRACTIONS[following.word], index + 1
    fraction, last = _fraction(text, index + 1)
    if last > index + 1 and token.word.isdigit():
        return value + fraction, last
    return value, index


def _fraction(text: Text, index: int) -> tuple[float, int]:
    """The value of "1/2" and its last token; the last token is ``index`` when it is none."""
    top, bottom = text.word(index), text.word(index + 2)
    if text.word(index + 1) != "/" or not (top.isdecimal() and bottom.isdecimal()):
        return 0.0, index
    if text.word(index - 1) == "/" or text.word(index + 3) == "/" or len(top + bottom) > 4:
        return 0.0, index
    if int(bottom) in _DENOMINATORS and 0 < int(top) < int(bottom):
        return int(top) / int(bottom), index + 2
    return 0.0, index


def _spaced_thousands(text: Text, index: int) -> int:
    """The last token of "1 000" before litres or an hourly flow; ``index`` when it is none."""
    if index + 1 >= len(text.tokens) or not re.fullmatch(r"[1-9]\d{0,2}", text.word(index)):
        return index
    following = text.tokens[index + 1]
    gap = following.start - text.tokens[index].end
    if gap != 1 or not re.fullmatch(r"\d{3}", following.word) or text.word(index - 1) == "ph":
        return index
    return index + 1 if unit_after(text, index + 1)[0] in _LARGE_KINDS else index


def _in_words(text: Text, index: int) -> Figure | None:
    """A number in words, such as "two hundred" or "a dozen", with its unit."""
    said = in_words(text, index)
    if said is None:
        return None
    value, last = said
    kind, unit, unit_last = unit_after(text, last)
    return Figure(value, value, index, unit_last, kind, unit)


def _range(text: Text, low: Figure) -> Figure | None:
    """Two numbers with "to", "or", "maybe", a dash or "between .. and" as one figure."""
    joint, start = _joint(text, low)
    lead = text.word(low.first - 1)
    if not joint or (joint == "and" and lead != "between"):
        return _over_the_day(text, low)
    if joint != "and" and lead == "between":
        return None
    high = single(text, start) if _may_be_number(text, start) else None
    if high is None or not _fit(text, low, high, joint):
        return _over_the_day(text, low)
    return _joined(text, low, high)


def _joined(text: Text, low: Figure, high: Figure) -> Figure:
    kind, unit = (high.kind, high.unit) if high.kind else (low.kind, low.unit)
    ends = sorted((low.low, high.low))
    lead = text.word(low.first - 1)
    lead = lead if lead in ("between", "from") else ""
    return replace(high, low=ends[0], high=ends[1], first=low.first, kind=kind, unit=unit,
                   lead=lead)  # fmt: skip


def _joint(text: Text, low: Figure) -> tuple[str, int]:
    """What joins a number to the next, "-", "to", "or", "maybe", and where that begins."""
    place = low.last + 1
    word = text.word(place)
    doubt = place + (word in (",", "or", "/"))
    if text.word(doubt) in _DOUBTS:
        return "or", doubt + 1
    return (word, place + 1) if word in _JOINTS else ("", place)


def _may_be_number(text: Text, index: int) -> bool:
    if index >= len(text.tokens):
        return False
    return text.tokens[index].kind == "number" or text.word(index) in NUMBER_WORDS


def _over_the_day(text: Text, low: Figure) -> Figure | None:
    """ "16 at night to 27 by day": two numbers, each with its time, as one range."""
    after = _time_behind(text, low.last + 1)
    if after == low.last + 1 or text.word(after) not in _JOINTS | {","}:
        return None
    start = after + 1 + (text.word(after + 1) in ("and", "up", "down", "to"))
    high = single(text, start) if _may_be_number(text, start) else None
    if high is None or high.kind not in ("", low.kind):
        return None
    behind = _time_behind(text, high.last + 1)
    if behind == high.last + 1 or not low.low < 4 * high.low or not high.low < 4 * low.low:
        return None
    if high.low == low.low and low.kind != "mass":
        return None
    return replace(_joined(text, low, high), last=behind - 1)


def _time_behind(text: Text, index: int) -> int:
    """The place behind a time of day, "at 6 am", "in the morning"; ``index`` when none is there."""
    place = index
    while place < index + 5 and place < len(text.tokens):
        clock = text.tokens[place].kind in ("number", "time") and text.word(place - 1) == "at"
        if text.word(place) not in _DAYTIME and not clock:
            break
        place += 1
    named = {text.word(at) for at in range(index, place)} & _DAY_PARTS
    return place if named else index


def _fit(text: Text, low: Figure, high: Figure, joint: str) -> bool:
    """Can these two be the ends of one range?"""
    if low.kind and high.kind and low.unit != high.unit:
        return False
    if low.kind and not high.kind:
        return joint != "or"
    if joint == "to" and text.word(low.first - 1) == "from":
        return text.word(low.first - 2) in _SWINGS
    spaced = joint == "-" and text.lower[text.tokens[low.last + 1].start - 1] == " "
    if joint == "to" and text.word(low.first - 1) in ("went", "gone"):
        return False
    if low.low > high.low:
        return joint in ("or", "and", "to") or (joint == "-" and not spaced)
    known = high.kind in ("temperature", "degrees", "concentration", "alkalinity", "")
    return not spaced or bool(low.kind) or not high.kind or (known and high.low < 4 * low.low)
