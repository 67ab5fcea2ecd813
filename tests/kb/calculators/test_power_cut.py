"""The power cut: minutes of oxygen, their range, and what that calls for."""

import pytest

from kb.calculators.power_cut import POWER_CUT
from kb.errors import InputErrors

TANK = {"volume": "1000 L", "biomass": "20 kg", "temperature": 24, "oxygen": 7}


def values(**changes):
    report = POWER_CUT.run(TANK | changes)
    return {name: amount.value for name, amount in report.results.items()}


def reading(name, **changes):
    return POWER_CUT.run(TANK | changes).results[name].reading


def doubts(**changes):
    return " ".join(POWER_CUT.run(TANK | changes).doubts)


# 4 mg/L over the critical 3 in 1000 L is 4000 mg; 20 kg at 250 mg/kg/h use it in 48 min: arithmetic
@pytest.mark.parametrize(
    ("changes", "minutes"),
    [
        ({}, 48),
        ({"volume": "2000 L"}, 96),
        ({"biomass": "10 kg"}, 96),
        ({"critical": 5}, 24),
        ({"oxygen": 3}, 0),
        ({"oxygen": 1}, 0),
        ({"temperature": 5}, 48),
    ],
)
def test_the_minutes_follow_from_the_use_that_is_given(changes, minutes):
    assert values(use=250, **changes)["minutes"] == pytest.approx(minutes)


# Nile tilapia: 79.8 mg/kg/h at rest and 240.5 flat out at 18 C, 255.1 at rest at 38 C (Journal of
# Thermal Biology 2022, 105:103206, abstract); twice the rest after a meal (Indian fisheries course)
@pytest.mark.parametrize(("temp_c", "resting"), [(18, 79.8), (38, 255.1)])
def test_the_use_by_temperature_is_that_of_measured_fish(temp_c, resting):
    got = values(temperature=temp_c)

    assert got["use_counted"] == pytest.approx(2 * resting, rel=0.005)
    assert got["minutes"] == pytest.approx(4000 / (2 * resting * 20) * 60, rel=0.005)
    assert got["minutes_high"] == pytest.approx(2 * got["minutes"])
    assert got["minutes_low"] == pytest.approx(got["minutes"] / 1.5)


def test_the_range_holds_fed_catfish():
    # southern catfish at 27.5 C: 207.8 to 378.8 mg/kg/h after meals (Fu and others 2005)
    got = values(temperature=27.5)

    for peak in (207.8, 378.8):
        assert got["minutes_low"] < values(temperature=27.5, use=peak)["minutes"]
        assert values(temperature=27.5, use=peak)["minutes"] < got["minutes_high"]


def test_a_use_that_is_given_has_no_range():
    got = values(use=250)

    assert (got["minutes_low"], got["minutes_high"]) == (None, None)
    assert "the use itself was given" in reading("minutes_low", use=250)


def test_trout_are_counted_at_twice_the_use_and_from_memory():
    assert values(trout_family="yes")["use_counted"] == pytest.approx(2 * values()["use_counted"])
    assert "from memory" in doubts(trout_family="yes")
    assert "from memory" not in doubts()
    assert any("from memory" in step.formula for step in POWER_CUT.run(
        TANK | {"trout_family": "yes"}
    ).steps)  # fmt: skip


@pytest.mark.parametrize(
    ("biomass", "verdict"),
    [(20, "automatic air"), (8, "alarm and battery"), (1, "some hours")],
)
def test_the_verdict_goes_by_the_worst_case(biomass, verdict):
    # sooner than an hour nobody is there; four hours: common practice, no source
    assert values(biomass=biomass)["verdict"] == verdict


@pytest.mark.parametrize("oxygen", [0, 2.9, 3])
def test_water_already_short_of_oxygen_wants_air_now(oxygen):
    assert values(oxygen=oxygen)["verdict"] == "air now"
    assert "need air now" in reading("verdict", oxygen=oxygen)
    assert "have none left" in reading("minutes", oxygen=oxygen)


def test_what_is_left_out_is_said_with_its_direction():
    assert "through the surface is left out, so the time errs short" in doubts()
    assert "filter and muck" in doubts()


# IFAS FA27: distress below 4 mg/L, deaths below 2
def test_other_lines_than_the_critical_one_are_worked_out():
    assert "Down to 4 mg/L, where distress begins, it is 36 minutes" in doubts(use=250)
    assert "down to 2 mg/L, where fish die, 60 minutes" in doubts(use=250)


def test_temperatures_without_measured_fish_are_doubted():
    assert "outside the 18 to 38 °C that were measured" in doubts(temperature=10)
    assert "outside the 18 to 38 °C" not in doubts()


# Benson & Krause: 8.42 mg/L at 24 C
def test_more_oxygen_than_air_gives_is_doubted():
    assert "only 8.4 mg/L" in doubts(oxygen=9)
    assert "only 8.4 mg/L" not in doubts(oxygen=8)


def test_more_fish_than_water_is_refused():
    with pytest.raises(InputErrors) as error:
        values(biomass="600 kg")
    (problem,) = error.value.problems

    assert problem.input == "biomass"
    assert "here 500 kg" in problem.message


def test_days_of_oxygen_are_not_told_to_the_minute():
    assert "more than two days" in reading("minutes", volume="50000 L", biomass="0.5 kg")


def test_a_generator_is_cautioned_first():
    assert POWER_CUT.run(TANK).cautions[0] == "generator-outdoors"


# 1 lb is 453.59237 g, 1 US gallon 3.785411784 L (NIST Handbook 44)
def test_pounds_and_gallons_give_the_same():
    american = values(volume="264.1720524 gal", biomass="44.0924524 lb", temperature="75.2 F")

    metric = values()
    words = {name for name, value in metric.items() if isinstance(value, str)}

    assert all(american[name] == metric[name] for name in words)
    assert all(
        american[name] == pytest.approx(metric[name], rel=1e-6) for name in metric.keys() - words
    )
