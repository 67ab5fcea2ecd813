"""Kinds of quantity, the units people write them in, and the only conversions.

Inside, a number is a plain float in the base unit of its kind. Outside, it is a number in the
unit that an input declares, or a text with its unit: ``"60 gal"``, ``"4 dKH"``, ``"84F"``.
Gallons are US unless the text says imperial. ppm means mg/L.
"""

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from kb.errors import UnitError

_SPACES = "' \u00a0\u202f"  # between groups of three digits, as some people write thousands
_NUMBER = re.compile(
    rf"[+-]?(?:\d{{1,3}}(?:[{_SPACES}]\d{{3}}(?!\d))+(?:[.,]\d+)?|\d[\d.,]*|[.,]\d+)"
    r"(?:[eE][+-]?\d{1,3}(?!\w))?"
)
_PLAIN = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?")
LONGEST_VALUE = 60
MOST_DECIMALS = 10


@dataclass(frozen=True)
class Unit:
    """One unit: base value = value x factor + offset; ``names`` are the ways people write it."""

    symbol: str
    factor: float
    names: tuple[str, ...] = ()
    offset: float = 0.0


@dataclass(frozen=True)
class Kind:
    """One kind of quantity; the first unit is the base unit."""

    name: str
    units: tuple[Unit, ...]

    @property
    def base(self) -> str:
        """The symbol of the base unit."""
        return self.units[0].symbol

    def unit(self, text: str) -> Unit:
        """The unit a person means by ``text``; raises UnitError when it is none of this kind."""
        key = _unit_key(text)
        for unit in self.units:
            if key in (_unit_key(name) for name in (unit.symbol, *unit.names)):
                return unit
        known = _one_of(unit.symbol or "none at all" for unit in self.units)
        raise UnitError(f"“{text}” is not a unit of {self.name}; use {known}.")

    def to_base(self, value: float, unit: str) -> float:
        """``value`` in ``unit``, as a number in the base unit."""
        found = self.unit(unit)
        return value * found.factor + found.offset

    def from_base(self, value: float, unit: str) -> float:
        """``value`` in the base unit, as a number in ``unit``."""
        found = self.unit(unit)
        return (value - found.offset) / found.factor

    def parse(self, raw: object, unit: str) -> float:
        """A number (in ``unit``) or a text with its own unit, as a number in the base unit."""
        if isinstance(raw, bool):
            raise UnitError(f"“{raw}” is not a number.")
        if isinstance(raw, int | float):
            if not math.isfinite(raw):
                raise UnitError(f"“{raw}” is not a number.")
            return self.to_base(float(raw), unit)
        number, written = split_number(str(raw))
        return self.to_base(number, written or unit)

    def with_units(self, *more: Unit) -> "Kind":
        """The same kind with further units, such as spoons of a powder of known density."""
        return Kind(self.name, (*self.units, *more))


def split_number(text: str) -> tuple[float, str]:
    """The number a text begins with, and the unit written behind it (may be empty)."""
    text = text.strip().replace("\u2212", "-")
    if len(text) > LONGEST_VALUE:
        raise UnitError(f"“{text[:20]}…” is too long for one value.")
    match = _NUMBER.match(text)
    if not match:
        raise UnitError(f"“{text}” is not a number." if text else "Nothing was given.")
    value = number_value(match.group())
    return value, text[match.end() :].strip()


def number_value(text: str) -> float:
    """A written number as a float; refuses one that could be read in two ways, such as 1,500."""
    digits = re.sub(f"[{_SPACES}]", "", text.strip())
    commas, points = digits.count(","), digits.count(".")
    if commas == 1 and points == 0:
        whole, decimals = digits.split(",")
        if len(decimals) == 3 and whole.lstrip("+-") not in ("", "0"):
            raise UnitError(
                f"“{text.strip()}” can be read two ways: "
                f"write {whole}{decimals} or {whole}.{decimals}."
            )
        digits = digits.replace(",", ".")
    elif commas and points:
        thousands = "," if digits.rindex(",") < digits.rindex(".") else "."
        digits = _without_thousands(digits, thousands, text).replace(",", ".")
    elif commas > 1 or points > 1:
        digits = _without_thousands(digits, "," if commas else ".", text)
    if not _PLAIN.fullmatch(digits) or not math.isfinite(float(digits)):
        raise UnitError(f"“{text.strip()}” is not a number.")
    return float(digits)


def show(value: float, digits: int | None = None) -> str:
    """A number for people: ``digits`` decimals (three figures when None), thousands spaced."""
    if digits is None:
        digits = min(max(0, decimals_for(value, 3)), MOST_DECIMALS)
    text = f"{round(value, digits) + 0.0:,.{digits}f}".replace(",", "\u202f")
    return text.replace("-", "\u2212")


def decimals(value: float) -> int:
    """How many decimals it takes to write a number as it was given, six figures at most."""
    return len(f"{figures(value, 6):.10f}".rstrip("0").partition(".")[2])


def figures(value: float, count: int = 3) -> float:
    """``value`` rounded to ``count`` significant figures."""
    return round(value, decimals_for(value, count)) + 0.0


def decimals_for(value: float, count: int) -> int:
    """The decimals that ``count`` significant figures take; negative for whole tens and more."""
    return 0 if value == 0 else count - 1 - math.floor(math.log10(abs(value)))


def _without_thousands(digits: str, mark: str, text: str) -> str:
    parts = digits.split("." if mark == "," else ",")[0].split(mark)
    if len(parts[0].lstrip("+-")) > 3 or any(len(part) != 3 for part in parts[1:]):
        raise UnitError(f"“{text.strip()}” is not a number.")
    return digits.replace(mark, "")


def _unit_key(text: str) -> str:
    text = text.strip().casefold().replace("\u00b5", "u").replace("\u03bc", "u")
    text = (
        text.replace("²", "2").replace("³", "3").replace("°", "").replace("º", "").replace("^", "")
    )
    text = re.sub(r"\s*(?:/|\bper\b|⁄)\s*", "/", text)
    return re.sub(r"\s+", " ", text).strip(" .")


def _one_of(names: Iterable[str]) -> str:
    return ", ".join(names)


US_GALLON_L = 3.785411784  # exact: 231 cubic inches (NIST Handbook 44, appendix C)
IMPERIAL_GALLON_L = 4.54609  # exact (UK Units of Measurement Regulations 1995)
POUND_G = 453.59237  # exact (NIST Handbook 44, appendix C)
GRAIN_PER_GALLON_MG_L = 64.79891 / US_GALLON_L  # exact: one grain is 64.79891 mg
CACO3_MG_PER_MEQ = 50.04345  # molar mass 100.0869 g/mol, two equivalents
DEGREE_DH_MG_L = CACO3_MG_PER_MEQ * 20 / 56.0774  # one degree is 10 mg/L as CaO

VOLUME = Kind(
    "volume",
    (
        Unit("L", 1.0, ("l", "liter", "liters", "litre", "litres", "ltr", "ltrs", "lt")),
        Unit(
            "mL",
            0.001,
            ("milliliter", "milliliters", "millilitre", "millilitres", "cc", "mls"),
        ),
        Unit(
            "m³",
            1000.0,
            ("m3", "cubic metre", "cubic metres", "cubic meter", "cubic meters"),
        ),
        Unit(
            "gal",
            US_GALLON_L,
            (
                "gallon",
                "gallons",
                "gals",
                "us gal",
                "us gallon",
                "us gallons",
                "gal us",
            ),
        ),
        Unit(
            "imperial gal",
            IMPERIAL_GALLON_L,
            (
                "imperial gallon",
                "imperial gallons",
                "imp gal",
                "uk gal",
                "uk gallons",
                "uk gallon",
            ),
        ),
        Unit("qt", US_GALLON_L / 4, ("quart", "quarts")),
        Unit("ft³", 28.316846592, ("ft3", "cubic foot", "cubic feet", "cu ft")),
    ),
)
FLOW = Kind(
    "flow",
    (
        Unit(
            "L/h",
            1.0,
            ("l/hr", "lph", "litres/hour", "liters/hour", "litre/hour", "l/hour"),
        ),
        Unit("L/min", 60.0, ("lpm", "l/m", "litres/minute", "liters/minute", "l/minute")),
        Unit("L/s", 3600.0, ("l/sec", "litres/second", "liters/second")),
        Unit("mL/min", 0.06, ("ml/minute", "cc/min")),
        Unit(
            "m³/h", 1000.0, ("m3/h", "m3/hr", "m3/hour", "cubic metres/hour", "cubic meters/hour")
        ),
        Unit(
            "gal/h",
            US_GALLON_L,
            ("gph", "gal/hr", "gallons/hour", "us gal/h", "gallon/hour"),
        ),
        Unit("gal/min", US_GALLON_L * 60, ("gpm", "us gal/min", "gallons/minute")),
        Unit(
            "imperial gal/h",
            IMPERIAL_GALLON_L,
            ("imp gal/h", "uk gal/h", "imperial gallons/hour"),
        ),
    ),
)
VOLUME_PER_DAY = Kind(
    "volume a day",
    (
        Unit("L/day", 1.0, ("l/d", "litres/day", "liters/day")),
        Unit("gal/day", US_GALLON_L, ("gpd", "gal/d", "gallons/day")),
        Unit(
            "imperial gal/day",
            IMPERIAL_GALLON_L,
            ("imp gal/day", "imperial gallons/day"),
        ),
    ),
)
LENGTH = Kind(
    "length",
    (
        Unit("m", 1.0, ("metre", "metres", "meter", "meters")),
        Unit("mm", 0.001, ("millimetre", "millimetres", "millimeter", "millimeters")),
        Unit("cm", 0.01, ("centimetre", "centimetres", "centimeter", "centimeters")),
        Unit("in", 0.0254, ("inch", "inches", '"', "″")),
        Unit("ft", 0.3048, ("foot", "feet", "'", "′")),
    ),
)
AREA = Kind(
    "area",
    (
        Unit(
            "m²",
            1.0,
            ("m2", "sqm", "sq m", "square metre", "square metres", "square meters"),
        ),
        Unit("ft²", 0.09290304, ("ft2", "sq ft", "sqft", "square foot", "square feet")),
    ),
)
MASS = Kind(
    "mass",
    (
        Unit("g", 1.0, ("gram", "grams", "gramme", "grammes", "gm")),
        Unit("kg", 1000.0, ("kilo", "kilos", "kilogram", "kilograms")),
        Unit("mg", 0.001, ("milligram", "milligrams")),
        Unit("oz", POUND_G / 16, ("ounce", "ounces")),
        Unit("lb", POUND_G, ("lbs", "pound", "pounds")),
    ),
)
MASS_PER_DAY = Kind(
    "mass a day",
    (
        Unit("g/day", 1.0, ("g/d", "grams/day", "g a day", "grams a day", "g")),
        Unit("kg/day", 1000.0, ("kg/d", "kg a day", "kg")),
        Unit("oz/day", POUND_G / 16, ("oz/d", "ounces/day", "oz a day", "oz")),
        Unit(
            "lb/day",
            POUND_G,
            ("lb/d", "lbs/day", "pounds/day", "lb a day", "lb", "lbs"),
        ),
    ),
)
CONCENTRATION = Kind(
    "concentration",
    (
        Unit("mg/L", 1.0, ("ppm", "mg l", "mgl", "g/m3", "mg/litre", "mg/liter")),
        Unit("µg/L", 0.001, ("ug/l", "ppb", "mcg/l")),
        Unit("g/L", 1000.0, ("g/litre", "g/liter")),
    ),
)
ALKALINITY = Kind(
    "alkalinity",
    (
        Unit(
            "mg/L as CaCO₃",
            1.0,
            ("mg/l", "ppm", "mg/l caco3", "mg/l as caco3", "ppm caco3", "ppm as caco3"),
        ),
        Unit(
            "dKH",
            DEGREE_DH_MG_L,
            ("dh", "dgh", "kh", "dkh°", "degrees", "degree", "degrees kh"),
        ),
        Unit("meq/L", CACO3_MG_PER_MEQ, ("meq",)),
        Unit(
            "mg/L HCO₃",
            CACO3_MG_PER_MEQ / 61.0168,
            ("mg/l hco3", "mg/l as hco3", "ppm hco3"),
        ),
        Unit("gr/gal", GRAIN_PER_GALLON_MG_L, ("gpg", "grains", "grains/gallon", "grains/gal")),
        Unit("°fH", 10.0, ("fh", "french degrees")),
        Unit("°Clark", 14.254, ("clark", "english degrees")),
    ),
)
TEMPERATURE = Kind(
    "temperature",
    (
        Unit(
            "°C",
            1.0,
            ("c", "celsius", "degrees c", "degrees celsius", "deg c", "centigrade"),
        ),
        Unit(
            "°F",
            5 / 9,
            ("f", "fahrenheit", "degrees f", "degrees fahrenheit", "deg f"),
            offset=-160 / 9,
        ),
        Unit("K", 1.0, ("kelvin",), offset=-273.15),
    ),
)
TIME = Kind(
    "time",
    (
        Unit("min", 1.0, ("minute", "minutes", "mins")),
        Unit("s", 1 / 60, ("sec", "second", "seconds")),
        Unit("h", 60.0, ("hr", "hrs", "hour", "hours")),
        Unit("days", 1440.0, ("day", "d")),
    ),
)
DAYS = Kind(
    "days",
    (
        Unit("days", 1.0, ("day", "d")),
        Unit("h", 1 / 24, ("hour", "hours", "hrs", "hr")),
    ),
)
PRESSURE = Kind(
    "pressure",
    (
        Unit("kPa", 1.0),
        Unit("hPa", 0.1, ("mbar", "millibar", "mb")),
        Unit("atm", 101.325),
        Unit("mmHg", 101.325 / 760, ("mm hg", "torr")),
        Unit("inHg", 25.4 * 101.325 / 760, ("in hg",)),
    ),
)
OVERFLOW_RATE = Kind(
    "overflow rate",
    (
        Unit("m/h", 1.0, ("m/hr",)),
        Unit("m/day", 1 / 24, ("m/d", "m3/m2/day")),
        Unit("mm/s", 3.6),
        Unit("gpm/ft²", US_GALLON_L * 0.06 / 0.09290304, ("gpm/ft2",)),
    ),
)
DENSITY = Kind(
    "density",
    (Unit("kg/m³", 1.0, ("kg/m3", "g/l")), Unit("g/mL", 1000.0, ("g/cm3", "g/cc"))),
)
PH = Kind("pH", (Unit("pH", 1.0, ("",)),))
PERCENT = Kind("percent", (Unit("%", 1.0, ("percent", "pct", "per cent")),))
SALINITY = Kind("salinity", (Unit("g/kg", 1.0, ("ppt", "‰", "psu", "g/l")),))
COUNT = Kind("number", (Unit("", 1.0),))
FRACTION = Kind("fraction", (Unit("", 1.0), Unit("%", 0.01, ("percent",))))
SPOONS = Kind("spoons", (Unit("level teaspoons", 1.0), Unit("heaped teaspoons", 1.0)))

US_UNITS: Mapping[Kind, Mapping[str, str]] = {
    VOLUME: {"L": "gal"},
    FLOW: {"L/h": "gal/h"},
    VOLUME_PER_DAY: {"L/day": "gal/day"},
    LENGTH: {"m": "ft", "cm": "in", "mm": "in"},
    AREA: {"m²": "ft²"},
    MASS: {"g": "oz", "kg": "lb"},
    MASS_PER_DAY: {"g/day": "oz/day", "kg/day": "lb/day"},
    TEMPERATURE: {"°C": "°F"},
    OVERFLOW_RATE: {"m/h": "gpm/ft²", "m/day": "gpm/ft²"},
}

TEASPOON_ML = 5.0  # metric; the US spoon is 4.93 mL, household spoons run from 3 to 7 mL


def us_unit(kind: Kind, symbol: str) -> str:
    """The US unit that stands for a metric one; the same unit where the US uses it too."""
    return US_UNITS.get(kind, {}).get(symbol, symbol)


def spoon_units(bulk_density_g_ml: float) -> tuple[Unit, ...]:
    """Level spoons of a powder of known bulk density, as units of mass."""
    return (
        Unit(
            "tsp",
            TEASPOON_ML * bulk_density_g_ml,
            ("teaspoon", "teaspoons", "level teaspoons"),
        ),
        Unit("tbsp", 3 * TEASPOON_ML * bulk_density_g_ml, ("tablespoon", "tablespoons")),
    )


KINDS: Mapping[str, Kind] = {
    kind.name: kind
    for kind in (
        VOLUME, FLOW, VOLUME_PER_DAY, LENGTH, AREA, MASS, MASS_PER_DAY, CONCENTRATION, ALKALINITY,
        TEMPERATURE, TIME, DAYS, PRESSURE, OVERFLOW_RATE, DENSITY, PH, PERCENT, SALINITY, COUNT,
        FRACTION,
    )
}  # fmt: skip
