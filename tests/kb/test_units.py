"""The table of units against pint, and every way people write a number with its unit."""

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.errors import UnitError
from kb.units import (
    ALKALINITY,
    AREA,
    AREAL_RATE,
    CHANGE_PER_DAY,
    CONCENTRATION,
    DAYS,
    DENSITY,
    ENERGY,
    FLOW,
    FRACTION,
    HEAT_PASSED,
    KINDS,
    LENGTH,
    MASS,
    MASS_PER_DAY,
    OVERFLOW_RATE,
    OXYGEN_USE,
    PER_HOUR,
    PH,
    POWER,
    PRESSURE,
    SALINITY,
    SPECIFIC_SURFACE,
    TEMPERATURE,
    TIME,
    VELOCITY,
    VOLUME,
    VOLUME_PER_DAY,
    decimals,
    figures,
    number_value,
    show,
    split_number,
    spoon_units,
)

REGISTRY = pint.UnitRegistry()

# our unit and base unit as pint knows them; what pint does not know is checked further down
PINT = {
    VOLUME: {
        "L": "liter",
        "mL": "milliliter",
        "m³": "meter**3",
        "gal": "gallon",
        "imperial gal": "imperial_gallon",
        "qt": "quart",
        "ft³": "foot**3",
    },
    FLOW: {
        "L/h": "liter/hour",
        "L/min": "liter/minute",
        "mL/min": "milliliter/minute",
        "L/s": "liter/second",
        "m³/h": "meter**3/hour",
        "gal/h": "gallon/hour",
        "gal/min": "gallon/minute",
        "imperial gal/h": "imperial_gallon/hour",
    },
    VOLUME_PER_DAY: {
        "L/day": "liter/day",
        "gal/day": "gallon/day",
        "imperial gal/day": "imperial_gallon/day",
    },
    LENGTH: {"m": "meter", "mm": "millimeter", "cm": "centimeter", "in": "inch", "ft": "foot"},
    AREA: {"m²": "meter**2", "ft²": "foot**2"},
    MASS: {"g": "gram", "kg": "kilogram", "mg": "milligram", "oz": "ounce", "lb": "pound"},
    MASS_PER_DAY: {
        "g/day": "gram/day",
        "kg/day": "kilogram/day",
        "oz/day": "ounce/day",
        "lb/day": "pound/day",
    },
    CONCENTRATION: {"mg/L": "mg/liter", "µg/L": "microgram/liter", "g/L": "gram/liter"},
    TEMPERATURE: {"°C": "degC", "°F": "degF", "K": "kelvin"},
    TIME: {"min": "minute", "s": "second", "h": "hour", "days": "day"},
    DAYS: {"days": "day", "h": "hour"},
    PRESSURE: {
        "kPa": "kilopascal",
        "hPa": "hectopascal",
        "atm": "atm",
        "mmHg": "mmHg",
        "inHg": "inHg",
    },
    OVERFLOW_RATE: {
        "m/h": "meter/hour",
        "m/day": "meter/day",
        "mm/s": "millimeter/second",
        "gpm/ft²": "gallon/minute/foot**2",
    },
    DENSITY: {"kg/m³": "kilogram/meter**3", "g/mL": "gram/milliliter"},
    FRACTION: {"": "dimensionless", "%": "percent"},
    PER_HOUR: {"1/h": "1/hour"},
    VELOCITY: {"m/s": "meter/second", "ft/s": "foot/second"},
    ENERGY: {"kWh": "kilowatt_hour", "MJ": "megajoule", "BTU": "BTU"},
    POWER: {"W": "watt", "kW": "kilowatt"},
    HEAT_PASSED: {
        "W/m²/K": "watt/meter**2/kelvin",
        "BTU/h/ft²/°F": "BTU/hour/foot**2/delta_degF",
    },
    OXYGEN_USE: {"mg/kg/h": "milligram/kilogram/hour"},
    AREAL_RATE: {"g/m²/day": "gram/meter**2/day", "g/ft²/day": "gram/foot**2/day"},
    SPECIFIC_SURFACE: {"m²/m³": "meter**2/meter**3", "ft²/ft³": "foot**2/foot**3"},
    CHANGE_PER_DAY: {"mg/L per day": "milligram/liter/day"},
}
BY_PINT = [
    pytest.param(kind, symbol, expression, id=f"{kind.name}: {symbol}")
    for kind, units in PINT.items()
    for symbol, expression in units.items()
]
UNKNOWN_TO_PINT = {
    "alkalinity",
    "pH",
    "percent",
    "salinity",
    "number",
    "ratio",
    "feeding rate",
}
ALL_UNITS = [
    pytest.param(kind, unit, id=f"{kind.name}: {unit.symbol}")
    for kind in KINDS.values()
    for unit in kind.units
]


@pytest.mark.parametrize(("kind", "symbol", "expression"), BY_PINT)
@pytest.mark.parametrize("value", [0.0, 1.0, 37.5, 1234.5])
def test_our_table_agrees_with_pint(kind, symbol, expression, value):
    base = PINT[kind][kind.base]
    theirs = REGISTRY.Quantity(value, expression).to(base).magnitude

    # a column of mercury is 760 mm an atmosphere here, in pint by the density of mercury
    assert kind.to_base(value, symbol) == pytest.approx(theirs, rel=1e-6, abs=1e-12)


def test_every_unit_is_held_against_pint_or_a_printed_table():
    known = {(kind.name, symbol) for kind, units in PINT.items() for symbol in units}
    ours = {(kind.name, unit.symbol) for kind in KINDS.values() for unit in kind.units}

    assert {name for name, _ in ours - known} == UNKNOWN_TO_PINT
    assert known <= ours


# Hach support table of hardness unit factors: dH 17.9, French 10, English 14.3 mg/L CaCO3 each,
# 50 mg/L a meq/L; HCO3 x 0.820 (atomic weights). science/tables/hardness_units.csv has more.
@pytest.mark.parametrize(
    ("unit", "mg_l", "within"),
    [
        ("dKH", 17.9, 0.06),
        ("°fH", 10, 0.01),
        ("°Clark", 14.3, 0.06),
        ("gr/gal", 17.1, 0.06),
        ("meq/L", 50, 0.06),
        ("mg/L HCO3", 0.820, 0.0005),
    ],
)
def test_degrees_of_hardness_are_those_of_a_printed_table(unit, mg_l, within):
    assert ALKALINITY.to_base(1, unit) == pytest.approx(mg_l, abs=within)


@pytest.mark.parametrize(("kind", "unit"), ALL_UNITS)
@given(value=st.floats(-1e9, 1e9))
def test_there_and_back_again_is_the_same(kind, unit, value):
    there = kind.to_base(value, unit.symbol)

    assert kind.from_base(there, unit.symbol) == pytest.approx(value, rel=1e-9, abs=1e-6)


@pytest.mark.parametrize(("kind", "unit"), ALL_UNITS)
def test_every_way_to_write_a_unit_means_that_unit(kind, unit):
    for name in (unit.symbol, *unit.names):
        for written in (name, name.upper(), f" {name} ", f"{name}."):
            assert kind.unit(written) is unit, written


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.name)
def test_no_two_units_of_a_kind_are_written_alike(kind):
    names = [
        name
        for unit in kind.units
        for name in {name.casefold() for name in (unit.symbol, *unit.names)}
    ]

    assert sorted(names) == sorted(set(names))


@pytest.mark.parametrize(
    ("kind", "written", "base"),
    [
        (VOLUME, "60 gal", 227.12),
        (VOLUME, "60gal", 227.12),
        (VOLUME, "60 US gallons", 227.12),
        (VOLUME, "60 imperial gallons", 272.77),
        (VOLUME, "1 500 L", 1500),
        (VOLUME, "1'500 litres", 1500),
        (VOLUME, "1,500.5 L", 1500.5),
        (VOLUME, "1.500,5 L", 1500.5),
        (VOLUME, "1,000,000 mL", 1000),
        (VOLUME, "1\u202f500 L", 1500),
        (VOLUME, "0,5 m³", 500),
        (VOLUME, "0,125 m^3", 125),
        (VOLUME, ".5 m3", 500),
        (VOLUME, "2e3 L", 2000),
        (VOLUME, "2 ft3", 56.634),
        (FLOW, "1500 L/h", 1500),
        (FLOW, "1500 l/hr", 1500),
        (FLOW, "1500lph", 1500),
        (FLOW, "25 litres per minute", 1500),
        (FLOW, "400 gph", 1514.16),
        (FLOW, "400 gallons per hour", 1514.16),
        (FLOW, "6.6 gpm", 1499.02),
        (FLOW, "1.5 m³/h", 1500),
        (TEMPERATURE, "84F", 28.889),
        (TEMPERATURE, "84 °F", 28.889),
        (TEMPERATURE, "84 deg F", 28.889),
        (TEMPERATURE, "28.9 C", 28.9),
        (TEMPERATURE, "\u22124 °C", -4),
        (TEMPERATURE, "-4 C", -4),
        (TEMPERATURE, "300 K", 26.85),
        (ALKALINITY, "4 dKH", 71.39),
        (ALKALINITY, "4 °dH", 71.39),
        (ALKALINITY, "4 degrees", 71.39),
        (ALKALINITY, "80 ppm", 80),
        (ALKALINITY, "80 mg/L as CaCO3", 80),
        (ALKALINITY, "1.6 meq/L", 80.07),
        (CONCENTRATION, "0.5 ppm", 0.5),
        (CONCENTRATION, "500 ppb", 0.5),
        (CONCENTRATION, "500 µg/L", 0.5),
        (CONCENTRATION, "500 \u03bcg/l", 0.5),
        (CONCENTRATION, "0.5 mg per litre", 0.5),
        (LENGTH, '22"', 0.5588),
        (LENGTH, "6 ft", 1.8288),
        (MASS_PER_DAY, "9.7 oz a day", 274.99),
        (MASS_PER_DAY, "275 g", 275),
        (PH, "7.9", 7.9),
        (PH, "7.9 pH", 7.9),
        (PH, "7,9", 7.9),
        (SALINITY, "3 ppt", 3),
        (PRESSURE, "1013 mbar", 101.3),
        (PRESSURE, "29.92 inHg", 101.32),
    ],
)
def test_people_write_it_like_this(kind, written, base):
    assert kind.parse(written, kind.base) == pytest.approx(base, rel=1e-4)


def test_a_bare_number_is_in_the_declared_unit():
    assert VOLUME.parse(2, "gal") == VOLUME.parse("2", "gal") == pytest.approx(7.5708, rel=1e-4)


def test_spoons_weigh_by_the_density_of_the_powder():
    # metric teaspoon 5 mL, tablespoon 15 mL; hydrated lime 0.475 g/mL (data sheet to AS 1672)
    lime = MASS.with_units(*spoon_units(0.475))

    assert lime.parse("2 tsp", "g") == pytest.approx(4.75)
    assert lime.parse("1 tablespoon", "g") == pytest.approx(7.125)
    with pytest.raises(UnitError, match="is not a unit of mass"):
        MASS.parse("2 tsp", "g")


@pytest.mark.parametrize(
    "written", ["1,500", "12,345", "-1,500", "1,500 L", "999,999", "\u22121,500"]
)
def test_a_number_that_reads_two_ways_is_refused(written):
    with pytest.raises(UnitError, match="can be read two ways: write"):
        VOLUME.parse(written, "L")


@pytest.mark.parametrize("written", ["10 20 L", "1 2 L", "6'2", "1'5 L", "12 34 567 L"])
def test_two_numbers_are_not_taken_for_one(written):
    with pytest.raises(UnitError):
        VOLUME.parse(written, "L")


def test_a_mark_for_feet_is_not_lost():
    assert LENGTH.parse("6'", "mm") == pytest.approx(1.8288)


@pytest.mark.parametrize(
    "written",
    [
        "",
        " ",
        "L",
        "nan",
        "inf",
        "-inf",
        "1e400",
        "twelve",
        "½",
        "1,23,456",
        "1.2.3",
        "1..2",
        "1.234,567,8",
        "--5",
        "+-5",
        "5" * 61,
        "9" * 400,
        "1 L" + " " * 80 + "L",
    ],
)
def test_what_is_no_number_is_refused(written):
    with pytest.raises(UnitError):
        VOLUME.parse(written, "L")


@pytest.mark.parametrize(
    "raw", [float("nan"), float("inf"), -float("inf"), True, False, None, [], {}]
)
def test_what_is_no_text_and_no_number_is_refused(raw):
    with pytest.raises(UnitError):
        VOLUME.parse(raw, "L")


@pytest.mark.parametrize("written", ["5 kg", "5 L L", "5 per", "5 /", "5 °", "5 5/4", "5 gal/h"])
def test_a_unit_of_another_kind_is_refused_and_the_right_ones_are_named(written):
    with pytest.raises(UnitError, match="is not a unit of volume; use L, mL, m³, gal"):
        VOLUME.parse(written, "L")


@given(text=st.text(max_size=70))
def test_any_text_gives_a_finite_number_or_one_sentence(text):
    try:
        value = FLOW.parse(text, "L/h")
    except UnitError as error:
        sentence = str(error)
    else:
        assert math.isfinite(value)
        return
    assert sentence.endswith(".")
    assert len(sentence) < 250


@given(value=st.floats(-1e12, 1e12, allow_subnormal=False))
def test_a_number_as_python_writes_it_is_read_back(value):
    assert number_value(repr(value)) == value


def test_number_and_unit_come_apart():
    assert split_number(" 1.5e3 L/h ") == (1500.0, "L/h")
    assert split_number("7") == (7.0, "")
    assert split_number("5exo") == (5.0, "exo")


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (0, None, "0"),
        (0.0986, None, "0.0986"),
        (2, None, "2.00"),
        (16, None, "16.0"),
        (1500, None, "1\u202f500"),
        (1234567, 0, "1\u202f234\u202f567"),
        (-4.25, 1, "\u22124.2"),
        (-0.001, 1, "0.0"),
        (7.25, 2, "7.25"),
    ],
)
def test_numbers_are_shown_for_people(value, digits, text):
    assert show(value, digits) == text


@given(value=st.floats(1e-6, 1e9), count=st.integers(1, 6))
def test_rounding_to_figures_moves_a_value_by_less_than_half_a_figure(value, count):
    assert figures(value, count) == pytest.approx(value, rel=0.51 * 10 ** (1 - count))


def test_nothing_rounds_to_nothing():
    assert figures(0) == 0.0


@pytest.mark.parametrize(
    ("value", "count"), [(2, 0), (7.9, 1), (0.25, 2), (1500, 0), (28.888888888, 4)]
)
def test_a_given_number_is_shown_with_the_decimals_it_came_with(value, count):
    assert decimals(value) == count
