"""Un-ionised ammonia: worked examples, verdicts, and what the readings' errors do."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.calculators.ammonia import AMMONIA
from kb.calculators.model import Report
from kb.errors import InputErrors

WARM = {"ammonia": "2 mg/L", "ph": "7.9", "temperature": "27 °C"}


def values(**changes):
    report = AMMONIA.run(WARM | changes)
    return {name: amount.value for name, amount in report.results.items()}


# Worked example of IFAS FA-16: at pH 8.0 and 24 C the factor is 0.0502
def test_an_extension_factor_is_met():
    assert values(ph=8, temperature=24)["unionised_fraction"] == pytest.approx(0.0502, abs=0.0001)


def test_the_sentence_stands_by_itself():
    report = AMMONIA.run(WARM)

    assert report.results["unionised_ammonia"].reading == (
        "2 mg/L total ammonia (as N) at pH 7.9 and 27 °C holds about 0.099 mg/L "
        "of un-ionised ammonia (as N)."
    )


# mg/L as N = mg/L NH3 x 0.8224 = mg/L NH4 x 0.7765 (atomic weights)
@pytest.mark.parametrize(("basis", "share"), [("N", 1), ("NH3", 0.8224), ("NH4", 0.7765)])
def test_the_basis_of_the_kit_is_taken_into_account(basis, share):
    got = values(ammonia_as=basis)

    assert got["ammonia_nitrogen"] == pytest.approx(2 * share, rel=1e-4)
    assert got["unionised_ammonia"] == pytest.approx(
        2 * share * got["unionised_fraction"], rel=1e-4
    )


# 0.02 mg/L is a common cautious line (common practice); 0.05 mg/L starts to burn gills (ifas-fa16)
@pytest.mark.parametrize(
    ("ammonia", "verdict"),
    [("0", "safe"), ("0.4", "safe"), ("0.41", "caution"), ("1", "caution"), ("1.02", "danger")],
)
def test_the_verdict_follows_the_two_lines(ammonia, verdict):
    report = AMMONIA.run(WARM | {"ammonia": ammonia})

    assert report.results["verdict"].value == verdict
    assert ("never-raise-ph-with-ammonia" in report.cautions) is (verdict != "safe")


def test_at_the_ph_limit_the_cautious_line_is_just_reached():
    limit = values()["ph_limit"]

    assert values(ph=limit)["unionised_ammonia"] == pytest.approx(0.02, rel=1e-6)


def test_without_ammonia_no_ph_is_too_high():
    report = AMMONIA.run(WARM | {"ammonia": 0})

    assert report.results["ph_limit"].value is None
    assert report.results["ph_limit"].reading.startswith("No pH brings so little ammonia")


def test_a_ph_limit_far_off_the_scale_is_not_given():
    # 0.0201 mg/L would reach 0.02 only above pH 11
    assert values(ammonia="0.0201")["ph_limit"] is None


def test_trout_make_the_one_hour_limit_stricter_in_cold_water():
    cold = {"ph": 7, "temperature": 10}

    assert values(trout_family="yes", **cold)["epa_acute"] < values(**cold)["epa_acute"]


def test_the_epa_limits_are_said_with_two_figures():
    results = AMMONIA.run(WARM | {"ph": 7, "temperature": 20}).results

    assert results["epa_acute"].reading.startswith("17 mg/L total ammonia")
    assert results["epa_chronic"].reading.startswith("1.9 mg/L total ammonia")


def test_beyond_the_range_of_the_epa_tables_it_is_said():
    assert any("drawn on" in doubt for doubt in AMMONIA.run(WARM | {"ph": 9.5}).doubts)
    assert not any("drawn on" in doubt for doubt in AMMONIA.run(WARM).doubts)


def test_the_doubts_are_worked_out_and_not_guessed():
    # 0.1 pH is 26 % of the share at low pH (water chemistry, size of input errors)
    low, high = values(ph=7.8)["unionised_ammonia"], values(ph=8.0)["unionised_ammonia"]
    doubt = AMMONIA.run(WARM).doubts[0]

    assert doubt == f"A pH reading 0.1 off makes it {low:.2g} to {high:.2g} mg/L."


def test_a_little_salt_is_worked_with_and_remarked_on():
    report = AMMONIA.run(WARM | {"salinity": "3 ppt"})

    assert report.results["unionised_ammonia"].value == values()["unionised_ammonia"]
    assert any("errs on the safe side" in doubt for doubt in report.doubts)


def test_brackish_water_is_refused():
    with pytest.raises(InputErrors) as error:
        AMMONIA.run(WARM | {"salinity": "12 g/kg"})
    (problem,) = error.value.problems

    assert problem.input == "salinity"
    assert problem.message == (
        "Salinity: 12 g/kg is too salty for the fresh-water formula used here; "
        "it can be given up to 5 g/kg."
    )


@pytest.mark.parametrize(
    "edge", [{"temperature": "32 F"}, {"temperature": "113 F"}, {"ph": 4}, {"ph": 11}]
)
def test_the_ends_of_the_ranges_work(edge):
    assert values(**edge)["unionised_ammonia"] >= 0


@settings(max_examples=100, deadline=None)
@given(data=st.data())
def test_any_input_gives_a_sound_report_or_a_named_refusal(answer, odd_values, data):
    report = answer(AMMONIA, WARM | data.draw(odd_values(AMMONIA)))
    if isinstance(report, Report):
        got = {name: amount.value for name, amount in report.results.items()}
        assert got["unionised_ammonia"] <= got["ammonia_nitrogen"]
