"""Written numbers and the units behind them: decimals, thousands, fractions, ranges, boxes."""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from .tokens import Text, Token, words

MOST_FIGURES = 400  # no question has more; keeps a page of digits as quick as a page of prose
FRACTIONS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 0.125}
_COUNTED = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen "
    "fifteen sixteen seventeen eighteen nineteen twenty"
)
NUMBER_WORDS = {word: float(value) for value, word in enumerate(_COUNTED.split())} | {
    "thirty": 30.0, "forty": 40.0, "fifty": 50.0, "sixty": 60.0, "seventy": 70.0, "eighty": 80.0,
    "ninety": 90.0, "nil": 0.0, "undetectable": 0.0, "dozen": 12.0, "hundred": 100.0,
    "thousand": 1000.0,
}  # fmt: skip
_SCALES = {"dozen": 12.0, "hundred": 100.0, "thousand": 1000.0}
_DENOMINATORS = frozenset((2, 3, 4, 5, 8, 10))
_THOUSANDS = re.compile(r"[1-9]\d{0,2}(?:[.,]\d{3})+")
_MONEY = frozenset("$£€¥₹#")
_LARGE_KINDS = frozenset(("volume", "flow"))
_SWINGS = words(
    "range ranges ranging ranged varies varying fluctuates fluctuating swings swinging somewhere "
    "anywhere "
    "anything moves changes"
)

_LITRE = r"(?:lit(?:re|er)s?|ltrs?|lt|l)"
_GALLON = r"(?:gallons?|gals?)"
_CUBIC = r"(?:m3|cubic met(?:re|er)s?)"
_IMPERIAL = r"(?:imperial|imp\.?|uk|british)\s"
_US = r"(?:(?:us|u\.s\.|american)\s)?"
_PER = r"\s?(?:/|per\s|an?\s|each\s|every\s)\s?"
_HOUR, _MINUTE = r"(?:hours?|hrs?|h)", r"(?:minutes?|mins?|m)"
_LIST = r"(?!\s?[:=]?\s?\d)"
_UNITS: tuple[tuple[str, str, str], ...] = (
    ("flow", "L/h", rf"{_LITRE}{_PER}{_HOUR}|lph"),
    ("flow", "L/min", rf"{_LITRE}{_PER}{_MINUTE}|lpm"),
    ("flow", "L/s", rf"{_LITRE}{_PER}s(?:ec(?:ond)?)?"),
    ("flow", "m³/h", rf"{_CUBIC}{_PER}{_HOUR}"),
    ("flow", "imperial gal/h", rf"{_IMPERIAL}{_GALLON}{_PER}{_HOUR}"),
    ("flow", "gal/h", rf"{_US}{_GALLON}{_PER}{_HOUR}|gph"),
    ("flow", "gal/min", rf"{_US}{_GALLON}{_PER}{_MINUTE}|gpm"),
    ("other", "", rf"(?:{_LITRE}|{_GALLON}|{_CUBIC}){_PER}(?:days?|d|weeks?)"),
    ("volume", "imperial gal", rf"{_IMPERIAL}{_GALLON}|{_GALLON}\s\(?(?:imperial|imp|uk)"),
    ("volume", "us gal", rf"(?:us|u\.s\.|american)\s{_GALLON}"),
    ("volume", "gal", _GALLON),
    ("volume", "m³", rf"{_CUBIC}|cu\.?\s?m"),
    ("volume", "ft³", r"cu(?:bic)?\.?\s?(?:ft|feet|foot)|ft3"),
    ("volume", "mL", r"ml|mls|millilit(?:re|er)s?|cc"),
    ("volume", "L", _LITRE),
    ("volume", "qt", r"qts?|quarts?"),
    ("concentration", "mg/L", r"ppm|parts\sper\smillion|mgl|"
     r"(?:mg|milligrams?)\s?(?:/|per\s)?\s?(?:lit(?:re|er)|l)"),
    ("concentration", "µg/L", r"ppb|[uµμ]g\s?/\s?l"),
    ("other", "", r"g\s?/\s?l|grams?\sper\slit(?:re|er)"),
    ("alkalinity", "dKH", rf"°?\s?d?kh{_LIST}|°\s?dh|dh|(?:degrees|deg)\s(?:of\s)?d?kh"),
    ("alkalinity", "meq/L", r"meq(?:\s?/\s?l)?"),
    ("temperature", "°C", r"(?:°|deg(?:ree)?s?\.?)?\s?(?:c|celsius|celcius|centigrade)"),
    ("temperature", "°F", r"(?:°|deg(?:ree)?s?\.?)?\s?(?:f|fahrenheit|farenheit)"),
    ("degrees", "", r"°|deg(?:ree)?s?"),
    ("mass", "g", r"gms?|g|gram(?:me)?s?"),
    ("mass", "kg", r"kgs?|kilos?|kilograms?"),
    ("mass", "mg", r"mg|milligrams?"),
    ("other", "", r"fl\.?\s?oz|fluid\sounces?"),
    ("mass", "oz", r"oz|ounces?"),
    ("mass", "lb", r"lbs?|pounds?"),
    ("length", "m", r"m|met(?:re|er)s?"),
    ("length", "cm", r"cms?|centimet(?:re|er)s?"),
    ("length", "mm", r"mm|millimet(?:re|er)s?"),
    ("length", "ft", r"ft|feet|foot|'"),
    ("length", "in", r"inch(?:es)?|\"|in(?=\s?(?:x|by)\b)"),
    ("spoon", "tsp", r"(?:level\s)?(?:tsps?|teaspoons?)"),
    ("spoon", "tbsp", r"(?:level\s)?(?:tbsps?|tablespoons?)"),
    ("other", "", r"years?|yrs?|y/?o|months?|weeks?|wks?|days?|hours?|hrs?|[ap]\.m|minutes?|mins?|"
     r"seconds?|secs?|am|pm|dollars?|bucks|euros?|quid|usd|cents|%|percent|per\scent|watts?|w|"
     r"volts?|v|amps?|kw|hz|psi|bar|kpa|mbar|microns?|ntu|[uµμ]s(?:/cm)?|ms/cm|ppt|psu|ec|tds|"
     r"sq\.?\s?(?:ft|feet|m)|square\s(?:feet|met(?:re|er)s?)|m2|ft2|cups?|drops?|scoops?|caps?|"
     r"capfuls?|handfuls?|times|x(?=\s)|st|nd|rd|th|mv|days?|heaped|species|types|kinds"),
)  # fmt: skip
_UNIT = re.compile(
    r"[ -]{0,2}(?:"
    + "|".join(rf"(?P<u{number}>{pattern})" for number, (_, _, pattern) in enumerate(_UNITS))
    + r")(?![a-z0-9])"
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
        figure = box_at(text, index) or _figure_at(text, index)
        if figure:
            found.append(figure)
            index = figure.last
        index += 1
    return tuple(found)


def _figure_at(text: Text, index: int) -> Figure | None:
    if text.tokens[index].kind == "mark" or text.word(index - 1) in _MONEY:
        return _money(text, index)
    single = _single(text, index)
    return _range(text, single) or single if single else None


def _money(text: Text, index: int) -> Figure | None:
    if text.tokens[index].kind != "number":
        return None
    return Figure(0.0, 0.0, index, index, "other")


def _single(text: Text, index: int) -> Figure | None:
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
    kind, unit, unit_last = _unit_after(text, last)
    if last > index and "/" not in written and written.isdigit():
        value = float(written)
    elif _THOUSANDS.fullmatch(written) and _means_thousands(written, kind, unit):
        value = float(re.sub(r"[.,]", "", written))
    scale, scaled_last = _thousand_sign(text, last)
    if scale:
        kind, unit, unit_last = _unit_after(text, scaled_last)
        value *= 1000
    return Figure(value, value, index, unit_last, kind, unit)


def _means_thousands(written: str, kind: str, unit: str) -> bool:
    if "," in written:
        return unit != "kg"
    return kind in _LARGE_KINDS and unit in ("L", "L/h")


def _thousand_sign(text: Text, last: int) -> tuple[bool, int]:
    sign = text.word(last + 1) == "k" and text.tokens[last + 1].start == text.tokens[last].end
    if sign and _unit_after(text, last + 1)[0] in _LARGE_KINDS:
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
    return index + 1 if _unit_after(text, index + 1)[0] in _LARGE_KINDS else index


def _in_words(text: Text, index: int) -> Figure | None:
    """A number in words, such as "two hundred" or "a dozen", with its unit."""
    value = NUMBER_WORDS.get(text.word(index))
    if value is None:
        return None
    last = index
    while text.word(last + 1) in _SCALES and last < index + 2:
        value *= _SCALES[text.word(last + 1)]
        last += 1
    if value >= 20 and value % 10 == 0 and 0 < NUMBER_WORDS.get(text.word(last + 1), 0) < 10:
        value += NUMBER_WORDS[text.word(last + 1)]
        last += 1
    kind, unit, unit_last = _unit_after(text, last)
    return Figure(value, value, index, unit_last, kind, unit)


def _unit_after(text: Text, last: int) -> tuple[str, str, int]:
    """Kind and name of the unit behind a token, and the unit's last token."""
    position = text.tokens[last].end
    match = _UNIT.match(text.lower, position)
    if not match or not match.lastgroup:
        return "", "", last
    kind, unit, _ = _UNITS[int(match.lastgroup[1:])]
    after = text.token_at_or_after(last + 1, match.end())
    if unit == "°C" and text.word(after) in ("of", "feed"):
        return "other", "", after - 1
    return kind, unit, after - 1


def _range(text: Text, low: Figure) -> Figure | None:
    """Two numbers with "to", "or", a dash or "between .. and" as one figure."""
    joint = text.word(low.last + 1)
    lead = text.word(low.first - 1)
    if joint not in ("-", "to", "or", "and", "~") or (joint == "and") != (lead == "between"):
        return None
    if low.last + 2 >= len(text.tokens) or text.tokens[low.last + 2].kind != "number":
        return None
    high = _single(text, low.last + 2)
    if high is None or not _fit(text, low, high, joint):
        return None
    kind, unit = (high.kind, high.unit) if high.kind else (low.kind, low.unit)
    ends = sorted((low.low, high.low))
    lead = lead if lead in ("between", "from") else ""
    return replace(high, low=ends[0], high=ends[1], first=low.first, kind=kind, unit=unit,
                   lead=lead)  # fmt: skip


def _fit(text: Text, low: Figure, high: Figure, joint: str) -> bool:
    """Can these two be the ends of one range?"""
    if low.kind and high.kind and low.unit != high.unit:
        return False
    if low.kind and not high.kind:
        return joint != "or"
    if joint == "to" and text.word(low.first - 1) == "from":
        return text.word(low.first - 2) in _SWINGS
    spaced = joint == "-" and text.lower[text.tokens[low.last + 1].start - 1] == " "
    if low.low > high.low:
        return joint in ("or", "and", "to") or (joint == "-" and not spaced)
    known = high.kind in ("temperature", "degrees", "concentration", "alkalinity", "")
    return not spaced or bool(low.kind) or not high.kind or (known and high.low < 4 * low.low)
