"""Every kind of quantity with its units: the only conversions there are."""

from collections.abc import Mapping

from kb.units.quantity import Kind, Unit

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

PER_HOUR = Kind("times an hour", (Unit("1/h", 1.0, ("per hour", "/h")),))
VELOCITY = Kind(
    "speed",
    (
        Unit("m/s", 1.0, ("metres/second", "meters/second")),
        Unit("ft/s", 0.3048, ("fps", "feet/second")),
    ),
)
ENERGY = Kind("energy", (Unit("kWh", 1.0), Unit("MJ", 1 / 3.6), Unit("BTU", 1055.05585262 / 3.6e6)))
POWER = Kind("power", (Unit("W", 1.0, ("watt", "watts")), Unit("kW", 1000.0)))
HEAT_PASSED = Kind(
    "heat passed",
    (
        Unit("W/m²/K", 1.0, ("w/m2/k", "w/m2k", "w/(m2k)", "w/m2 k", "w/m2/c")),
        Unit("BTU/h/ft²/°F", 5.678263, ("btu/h/ft2/f", "btu/hr/ft2/f")),
    ),
)
OXYGEN_USE = Kind("oxygen use", (Unit("mg/kg/h", 1.0, ("mg o2/kg/h", "mg/h/kg", "mg/kg/hour")),))
RATIO = Kind("ratio", (Unit("", 1.0),))
FEEDING_RATE = Kind(
    "feeding rate",
    (
        Unit("%/day", 1.0, ("%/d", "% a day", "percent/day", "% body weight/day")),
        Unit("%", 1.0, ("percent", "pct", "per cent")),
    ),
)
AREAL_RATE = Kind(
    "rate of a surface",
    (
        Unit("g/m²/day", 1.0, ("g/m2/d", "g/m2 day")),
        Unit("g/ft²/day", 1 / 0.09290304, ("g/ft2/d", "g/sq ft/day")),
    ),
)
SPECIFIC_SURFACE = Kind(
    "surface of media",
    (
        Unit("m²/m³", 1.0, ("m2/m3",)),
        Unit("ft²/ft³", 1 / 0.3048, ("ft2/ft3", "sq ft/cu ft")),
    ),
)
CHANGE_PER_DAY = Kind(
    "change of concentration", (Unit("mg/L per day", 1.0, ("mg/l/d", "ppm/day")),)
)

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
    VELOCITY: {"m/s": "ft/s"},
    HEAT_PASSED: {"W/m²/K": "BTU/h/ft²/°F"},
    AREAL_RATE: {"g/m²/day": "g/ft²/day"},
    SPECIFIC_SURFACE: {"m²/m³": "ft²/ft³"},
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
        FRACTION, PER_HOUR, VELOCITY, ENERGY, POWER, HEAT_PASSED, OXYGEN_USE, RATIO, FEEDING_RATE,
        AREAL_RATE, SPECIFIC_SURFACE, CHANGE_PER_DAY,
    )
}  # fmt: skip
