"""Heating: energy and power, holding through the walls, and what is missing for it."""

import gsw
import pint
import pytest

from kb.calculators.heat import HEAT
from kb.errors import InputErrors

TANK = {"volume": "1000 L", "temperature": 20, "target": 25}
WALLS = {"target": 26, "surface": "4 m2", "air": 12, "insulation": 3}


def values(**changes):
    report = HEAT.run(TANK | changes)
    return {name: amount.value for name, amount in report.results.items()}


def reading(name, **changes):
    return HEAT.run(TANK | changes).results[name].reading


def doubts(**changes):
    return " ".join(HEAT.run(TANK | changes).doubts)


# 1000 L by 5 C is 5.81 kWh at 4.186 kJ/kg/K; the same from the heat content of water (gsw, TEOS-10)
def test_a_cubic_metre_by_five_degrees_takes_5_8_kilowatt_hours():
    joule_kg = gsw.enthalpy_t_exact(0, 25, 0) - gsw.enthalpy_t_exact(0, 20, 0)
    theirs = gsw.rho_t_exact(0, 22.5, 0) * joule_kg / 3.6e6

    assert values()["energy"] == pytest.approx(5.81389, rel=0.001)
    assert values()["energy"] == pytest.approx(theirs, rel=0.01)


@pytest.mark.parametrize(("hours", "power"), [(24, 242.2), ("48 h", 121.1), ("1 day", 242.2)])
def test_the_power_follows_the_time(hours, power):
    assert values(hours=hours)["power"] == pytest.approx(power, rel=0.001)


# 4 m2, 3 W/m2/K, 26 C against 12 C: 168 W (U A dT)
def test_holding_takes_what_the_walls_pass():
    assert values(**WALLS)["hold_power"] == pytest.approx(168)
    assert "evaporation comes on top" in reading("hold_power", **WALLS)


def test_the_heater_has_to_warm_and_to_hold():
    assert "have a heater of about 459 W or more" in reading("power", **WALLS)


@pytest.mark.parametrize(
    ("left_out", "words"),
    [
        ("surface", "give the surface as well"),
        ("air", "give the air temperature as well"),
        ("insulation", "give the insulation as well"),
    ],
)
def test_what_is_missing_for_holding_is_named(left_out, words):
    given = {name: value for name, value in WALLS.items() if name != left_out}

    assert values(**given)["hold_power"] is None
    assert words in reading("hold_power", **given)


def test_air_warmer_than_the_water_takes_nothing_to_hold():
    assert values(**WALLS | {"air": 30})["hold_power"] == 0
    assert "evaporation still cools it" in reading("hold_power", **WALLS | {"air": 30})


def test_air_below_freezing_is_counted():
    assert values(**WALLS | {"air": -4})["hold_power"] == pytest.approx(4 * 3 * 30)


# 10 L a day at 2450 kJ/kg is 284 W (TEOS-10 has 2453 at 20 C); at 2326 kJ/kg, Rafferty, 269 W
def test_evaporation_is_a_doubt_with_its_size():
    assert gsw.latentheat_evap_t(0, 20) * 10 / 86_400 == pytest.approx(284, abs=1)
    assert "every 10 L a day that evaporates takes about 284 W more (269 W" in doubts()


def test_colder_air_and_better_walls_are_worked_out():
    assert "Air 5 °C colder makes it 228 W" in doubts(**WALLS)
    assert "118 to 218 W" in doubts(**WALLS)
    assert "50 mm of foam all round (about 0.6 W/m²/K, figure from memory) it would be 33.6 W" in (
        doubts(**WALLS)
    )


def test_warming_faster_than_a_degree_an_hour_is_warned_of():
    # about a degree an hour: common practice, no source
    assert "2.5 °C an hour, faster than the degree" in reading("power", hours=2)
    assert "faster" not in reading("power", hours=5)


def test_a_target_below_the_water_is_refused_with_a_way_out():
    with pytest.raises(InputErrors) as error:
        values(target=18)
    (problem,) = error.value.problems

    assert problem.input == "target"
    assert "18 °C is below the 20 °C there now" in problem.message


def test_water_that_is_warm_already_takes_nothing():
    got = values(target=20)

    assert (got["energy"], got["power"]) == (0, 0)
    assert "nothing to warm" in reading("energy", target=20)


def test_a_strong_heater_is_left_to_an_electrician():
    assert "ask an electrician" in doubts(hours=2)
    assert "ask an electrician" not in doubts()


def test_electric_cautions_come_with_every_result():
    assert {"heater-under-water", "mains-and-water", "tingle-in-water"} <= set(
        HEAT.run(TANK).cautions
    )


# pint, an independent library of units
def test_american_units_give_the_same():
    passed = pint.UnitRegistry()("3 W / m^2 / delta_degC").to("Btu / hour / ft^2 / delta_degF")
    american = values(
        volume="264.1720524 gal", temperature="68 F", target="78.8 F", surface="43.05564167 ft2",
        air="53.6 F", insulation=f"{passed.magnitude} BTU/h/ft²/°F",
    )  # fmt: skip

    assert american == pytest.approx(values(**WALLS), rel=1e-6)
