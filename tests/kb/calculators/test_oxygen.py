"""Oxygen: pressure by altitude or given, and what a reading means."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.calculators.model import Report
from kb.calculators.oxygen import OXYGEN
from kb.errors import InputErrors


def values(**given):
    report = OXYGEN.run({"temperature": 20} | given)
    return {name: amount.value for name, amount in report.results.items()}


# Benson & Krause: fresh water, 20 C: 9.09 at the sea, 8.04 at 1000 m; 8.83 with 5 g/kg of salt
@pytest.mark.parametrize(
    ("given", "saturation"),
    [({}, 9.09), ({"altitude": "1000 m"}, 8.04), ({"salinity": 5}, 8.83), ({"altitude": 0}, 9.09)],
)
def test_saturation_by_altitude_and_salt(given, saturation):
    assert values(**given)["saturation"] == pytest.approx(saturation, abs=0.006)


@pytest.mark.parametrize("pressure", ["89.875 kPa", "898.75 hPa", "674.12 mmHg", "26.540 inHg"])
def test_pressure_may_be_given_in_the_units_people_use(pressure):
    assert values(pressure=pressure)["saturation"] == pytest.approx(8.04, abs=0.005)


def test_altitude_and_pressure_together_are_refused():
    with pytest.raises(InputErrors) as error:
        values(altitude="0 m", pressure="100 kPa")
    (problem,) = error.value.problems

    assert problem.input == "pressure"
    assert "give the altitude or the air pressure, not both" in problem.message


# IFAS FA27: below 2 mg/L deaths and gulping, 2 to 4 distress, below 5 harmful; above 110 % of
# saturation: common practice; gas bubbles at 136 % (machova-2017)
@pytest.mark.parametrize(
    ("oxygen", "verdict"),
    [
        (0, "deadly"),
        (1.99, "deadly"),
        (2, "distress"),
        (3.99, "distress"),
        (4, "low"),
        (4.99, "low"),
        (5, "enough"),
        (9, "enough"),
        (10.1, "too full"),
        (20, "too full"),
    ],
)
def test_the_verdict_follows_the_published_lines(oxygen, verdict):
    assert values(oxygen=oxygen)["verdict"] == verdict


@pytest.mark.parametrize(
    ("oxygen", "caution"),
    [(3, "mains-and-water"), (13, "gas-bubbles-exception"), (7, "calculation-not-promise")],
)
def test_the_cautions_fit_the_verdict(oxygen, caution):
    assert caution in OXYGEN.run({"temperature": 20, "oxygen": oxygen}).cautions


def test_trout_are_said_to_want_more():
    # FAO 589: cold-water fish 6 to 8 mg/L
    words = OXYGEN.run({"temperature": 15, "oxygen": 5.5}).results["verdict"].reading

    assert "trout and their kin want 6 mg/L" in words


def test_without_a_reading_there_is_no_verdict():
    got = values()

    assert (got["percent_saturation"], got["verdict"]) == (None, None)


def test_air_that_cannot_give_enough_is_said_so():
    report = OXYGEN.run({"temperature": 38, "altitude": "4000 m", "oxygen": 3})

    assert "Air alone cannot bring it over" in report.results["verdict"].reading


@pytest.mark.parametrize("edge", ["0 °C", "40 °C", "32 F", "104 F"])
@pytest.mark.parametrize("place", [{}, {"altitude": -430}, {"altitude": 5000}, {"pressure": 51}])
def test_the_ends_of_the_ranges_work(edge, place):
    assert 2 < OXYGEN.run({"temperature": edge, **place}).results["saturation"].value < 16


@settings(max_examples=100, deadline=None)
@given(data=st.data())
def test_any_input_gives_a_sound_report_or_a_named_refusal(answer, odd_values, data):
    report = answer(OXYGEN, {"temperature": 20} | data.draw(odd_values(OXYGEN)))
    if isinstance(report, Report):
        judged = report.results["verdict"].value is not None
        assert judged is ("oxygen" in report.inputs)
