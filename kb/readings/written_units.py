"""The units that stand behind written numbers, in the many ways people write them."""

import re

from .tokens import Text

_LITRE = r"(?:lit(?:re|er)s?|litros?|litri|ltrs?|lt|l)"
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
    ("degrees", "", r"°|deg(?:ree)?s?|grad|graden|grados|gradi|degr[eé]s|stupnů|stopni"),
    ("mass", "g", r"gms?|g|gram(?:me)?s?"),
    ("mass", "kg", r"kgs?|kilos?|kilograms?"),
    ("mass", "mg", r"mg|milligrams?"),
    ("spoon", "fl oz", r"fl\.?\s?oz|fluid\sounces?"),
    ("mass", "oz", r"oz|ounces?"),
    ("mass", "lb", r"lbs?|pounds?"),
    ("length", "m", r"m|met(?:re|er)s?"),
    ("length", "cm", r"cms?|centimet(?:re|er)s?"),
    ("length", "mm", r"mm|millimet(?:re|er)s?"),
    ("length", "ft", r"ft|feet|foot|'"),
    ("length", "in", r"inch(?:es)?|\"|in(?=\s?(?:x|by)\b)"),
    ("spoon", "cup", r"cups?"),
    ("spoon", "tsp", r"(?:level\s)?(?:tsps?|teaspoons?)"),
    ("spoon", "tbsp", r"(?:level\s)?(?:tbsps?|tablespoons?)"),
    ("other", "", r"years?|yrs?|y/?o|months?|weeks?|wks?|days?|hours?|hrs?|[ap]\.m|minutes?|mins?|"
     r"seconds?|secs?|am|pm|dollars?|bucks|euros?|quid|usd|cents|%|percent|per\scent|watts?|w|"
     r"volts?|v|amps?|kw|hz|psi|bar|kpa|mbar|microns?|ntu|[uµμ]s(?:/cm)?|ms/cm|ppt|psu|ec|tds|"
     r"sq\.?\s?(?:ft|feet|m)|square\s(?:feet|met(?:re|er)s?)|m2|ft2|drops?|scoops?|caps?|"
     r"capfuls?|handfuls?|times|x(?=\s)|st|nd|rd|th|mv|days?|heaped|species|types|kinds"),
)  # fmt: skip
_NUMBERED = frozenset(("day", "week", "month", "year"))
_UNIT = re.compile(
    r"(?:[ -]?ish|\+|[ -]odd| or so)?[ -]{0,2}(?:"
    + "|".join(rf"(?P<u{number}>{pattern})" for number, (_, _, pattern) in enumerate(_UNITS))
    + r")(?![a-z0-9])"
)


def unit_after(text: Text, last: int) -> tuple[str, str, int]:
    """Kind and name of the unit behind a token, and the unit's last token."""
    position = text.tokens[last].end
    match = _UNIT.match(text.lower, position)
    if not match or not match.lastgroup:
        return "", "", last
    kind, unit, _ = _UNITS[int(match.lastgroup[1:])]
    after = text.token_at_or_after(last + 1, match.end())
    if text.word(last + 1) in _NUMBERED and after == last + 2 and text.word(after).isdecimal():
        return "", "", last  # "nitrate 0 day 6": the number behind is the day's
    if unit == "°C" and text.word(after) in ("of", "feed"):
        return "other", "", after - 1
    return kind, unit, after - 1
