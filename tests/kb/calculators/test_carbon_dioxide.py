"""Carbon dioxide: verdicts around the published line, what errors do, readings that cannot be."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.calculators.carbon_dioxide import CARBON_DIOXIDE
from kb.calculators.model import Report

POND = {"ph": 6.8, "alkalinity": "60 mg/L", "temperature": "30 °C"}


def report(**changes):
    return CARBON_DIOXIDE.run(POND | changes)


def values(**changes):
    return {name: amount.value for name, amount in report(**changes).results.items()}


# PHREEQC, phreeqc.dat, water of Na and HCO3: mg/L of CO2, and the pH at rest with 420 uatm
@pytest.mark.parametrize(
    ("ph", "alkalinity", "temperature", "gas"),
    [(6.8, 60, 30, 17.1032), (7.6, 200, 26, 9.10921), (6.4, 80, 12, 74.6003), (6.0, 25, 20, 51.74)],
)
def test_the_gas_is_what_phreeqc_finds(ph, alkalinity, temperature, gas):
    got = values(ph=ph, alkalinity=alkalinity, temperature=temperature)

    assert got["carbon_dioxide"] == pytest.approx(gas, rel=0.01)


@pytest.mark.parametrize(
    ("alkalinity", "temperature", "ph"), [(20, 25, 7.785), (100, 20, 8.433), (150, 18, 8.588)]
)
def test_the_aired_ph_is_what_phreeqc_finds(alkalinity, temperature, ph):
    got = values(alkalinity=alkalinity, temperature=temperature)

    assert got["ph_at_air"] == pytest.approx(ph, abs=0.02)


def test_the_aired_ph_hangs_on_alkalinity_alone():
    assert values(ph=6.4)["ph_at_air"] == pytest.approx(values(ph=8.0)["ph_at_air"])


# Merck Veterinary Manual: more than 40 mg/L is toxic; a meter 0.1 pH off hides a quarter (10^0.1)
@pytest.mark.parametrize(
    ("ph", "verdict"),
    [
        (6.4, "too much"),
        (6.5, "near the line"),
        (6.6, "more than air"),
        (8.1, "more than air"),
        (8.28, "as air"),
        (8.5, "less than air"),
    ],
)
def test_the_verdict_follows_the_published_line_and_the_air(ph, verdict):
    assert values(ph=ph)["verdict"] == verdict


def test_power_near_water_is_warned_of_where_air_is_to_be_added():
    assert "mains-and-water" in report(ph=6.4).cautions
    assert "mains-and-water" not in report(ph=7.4).cautions


def test_what_the_gas_does_to_the_ph_is_said():
    words = report().results["ph_at_air"].reading

    assert words == (
        "Fully aired, with the same alkalinity, this water would stand near pH 8.3; "
        "its carbon dioxide holds the pH 1.5 lower."
    )


def test_the_doubts_are_worked_out_and_not_guessed():
    low, high = (values(ph=ph)["carbon_dioxide"] for ph in (6.9, 6.7))
    doubts = report().doubts

    assert f"{low:.2g} mg/L to {high:.2g} mg/L" in doubts[0]
    # US Geological Survey: 1.60 x 10^(6 - 6.8) x 60 x 1.2192 mg/L of HCO3 = 18.6
    assert "says 19 mg/L" in doubts[3]


def test_alkalinity_of_other_acids_is_said_to_make_it_too_high():
    assert any("humic" in doubt and "phosphate" in doubt for doubt in report().doubts)


def test_chalk_is_named_only_where_there_is_enough_alkalinity():
    # calcium water in air is over-saturated with calcite above some 60 mg/L (PHREEQC)
    assert any("chalk" in doubt for doubt in report(alkalinity=100).doubts)
    assert not any("chalk" in doubt for doubt in report(alkalinity=40).doubts)


def test_a_rise_of_ph_is_a_reason_to_test_ammonia_first():
    # un-ionised ammonia grows with pH (Emerson et al. 1975)
    assert any("test ammonia" in doubt for doubt in report().doubts)
    assert not any("test ammonia" in doubt for doubt in report(ph=8.5).doubts)


def test_readings_that_cannot_both_be_true_are_refused(refused):
    base = {"ph": 10.2, "alkalinity": 1, "temperature": 20}
    acid = {"ph": 4.5, "alkalinity": 500, "temperature": 20}

    assert refused(CARBON_DIOXIDE, base) == [
        (
            "alkalinity",
            "Alkalinity: pH 10.2 with an alkalinity of 1 mg/L cannot be, as that pH alone makes "
            "more alkalinity; test both again.",
        )
    ]
    assert "more than open water holds" in refused(CARBON_DIOXIDE, acid)[0][1]


@pytest.mark.parametrize("edge", ["0 °C", "45 °C", "32 F", "113 F"])
def test_the_ends_of_the_temperature_range_work(edge):
    assert values(temperature=edge)["carbon_dioxide"] > 0


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_any_input_gives_a_sound_report_or_a_named_refusal(answer, odd_values, data):
    found = answer(CARBON_DIOXIDE, POND | data.draw(odd_values(CARBON_DIOXIDE)))
    if isinstance(found, Report):
        got = {name: amount.value for name, amount in found.results.items()}
        ratio = got["carbon_dioxide"] / got["carbon_dioxide_at_air"]
        assert got["times_air"] == pytest.approx(ratio, rel=1e-6)
        assert 4 < got["ph_at_air"] < 10
