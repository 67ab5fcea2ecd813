"""Taking chlorine out: the planning factor and its range, and what chloramine leaves."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.calculators.dechlorinate import DECHLORINATE
from kb.calculators.model import Report

FREE = {"volume": "200 L", "chlorine": "2 mg/L", "chloramine": "no"}
BOUND = FREE | {"chloramine": "yes"}


def report(given, **changes):
    return DECHLORINATE.run(given | changes)


# support note of an instrument maker: 7.0 mg of the pentahydrate a mg of chlorine
@pytest.mark.parametrize("given", [FREE, BOUND])
def test_seven_milligrams_take_one(given):
    assert report(given).results["thiosulphate"].value == pytest.approx(2.8)


def test_the_range_in_use_is_named():
    # 2 to 7 mg a mg in use; a field guide found 1.9 at pH 7
    doubts = " ".join(report(FREE).doubts)

    assert "from 2 to 7 mg a mg of chlorine, 0.8 to 2.8 g here" in doubts
    assert "1.9 at pH 7" in doubts


# one N a Cl2: 14.007 / 70.90 = 0.1976 (atomic weights)
def test_chloramine_leaves_ammonia_and_free_chlorine_none():
    assert report(BOUND).results["ammonia_released"].value == pytest.approx(0.395, abs=0.0005)
    assert report(FREE).results["ammonia_released"].value == 0


@pytest.mark.parametrize(("system", "rise"), [("200 L", 0.395), ("1000 L", 0.079), (None, None)])
def test_the_ammonia_is_thinned_by_the_system(system, rise):
    given = BOUND if system is None else BOUND | {"system_volume": system}
    found = report(given).results["ammonia_in_system"]

    assert found.value == (None if rise is None else pytest.approx(rise, abs=0.0005))
    assert found.reading


def test_a_system_smaller_than_the_new_water_is_refused(refused):
    ((name, words),) = refused(DECHLORINATE, BOUND | {"system_volume": 50})

    assert name == "system_volume"
    assert words.startswith("Water in the system: 50 L cannot hold 200 L of new water")


# any chlorine that can be measured harms fish (Merck); 0.25 mg/L is one colour of a common ammonia
# kit (common practice)
@pytest.mark.parametrize(
    ("given", "verdict"),
    [
        (FREE | {"chlorine": 0}, "no chlorine"),
        (FREE | {"chlorine": 0.02}, "treat"),
        (BOUND, "treat, mind the ammonia"),
        (BOUND | {"system_volume": "1000 L"}, "treat"),
    ],
)
def test_the_verdict_follows_what_is_left(given, verdict):
    assert report(given).results["verdict"].value == verdict


def test_the_label_comes_first_and_air_keeps_running():
    found = report(FREE)

    assert found.cautions[0] == "dechlorinator-label"
    assert found.doubts[0].startswith("For a product that is sold as a dechlorinator, its label")
    assert any("oxygen" in doubt for doubt in found.doubts)


def test_chloramine_is_never_said_to_leave_by_itself():
    assert "chloramine does not leave by itself" in report(BOUND).results["verdict"].reading
    assert "aeration" in report(FREE).results["verdict"].reading


def test_ammonia_is_not_met_with_base():
    assert "never-raise-ph-with-ammonia" in report(BOUND).cautions
    assert "never-raise-ph-with-ammonia" not in report(FREE).cautions


def test_what_the_water_works_use_must_be_said(refused):
    ((name, words),) = refused(DECHLORINATE, {"volume": 100, "chlorine": 1})

    assert (name, words) == ("chloramine", "Chloramine is missing. Choose one of no, yes.")


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_any_input_gives_a_sound_report_or_a_named_refusal(answer, odd_values, data):
    found = answer(DECHLORINATE, BOUND | data.draw(odd_values(DECHLORINATE)))
    if isinstance(found, Report):
        got = {name: amount.value for name, amount in found.results.items()}
        assert (got["verdict"] == "no chlorine") is (got["thiosulphate"] == 0)
        if got["ammonia_in_system"] is not None:
            assert got["ammonia_in_system"] <= got["ammonia_released"] * (1 + 1e-9)
