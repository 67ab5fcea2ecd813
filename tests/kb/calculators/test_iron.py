"""Iron: the mass of a product, and two sources on which chelate holds at which pH."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.calculators.iron import IRON
from kb.calculators.model import Report

BEDS = {"volume": "1000 L", "iron_content": "6 %", "chelate": "DTPA", "ph": 6.8}


def report(**changes):
    return IRON.run(BEDS | changes)


# University of the Virgin Islands: 2 mg/L; 1000 L of it are 2 g of iron, 33.3 g at 6 %
def test_two_milligrams_are_taken_unless_something_else_is_wanted():
    assert report().results["mass"].value == pytest.approx(33.33, rel=1e-3)
    assert report(target=1).results["mass"].value == pytest.approx(16.67, rel=1e-3)


def test_iron_that_is_there_is_taken_off():
    assert report(present=0.5).results["mass"].value == pytest.approx(25)
    assert report(present=2).results["mass"].reading == (
        "No iron is to be added: 2 mg/L is at or over the target of 2 mg/L."
    )


# A chelate maker's page: EDTA to pH 6, DTPA to 7, EDDHA to 8.5; an agronomy page citing Norvell
# 1972: 6.5, 7.5, 9
@pytest.mark.parametrize(
    ("chelate", "ph", "verdict"),
    [
        ("EDTA", 6, "fits"),
        ("EDTA", 6.3, "borderline"),
        ("EDTA", 7, "unsuited"),
        ("DTPA", 7.2, "borderline"),
        ("EDDHA", 8.2, "fits"),
        ("EDDHA", 9.2, "unsuited"),
    ],
)
def test_the_verdict_names_both_sources(chelate, ph, verdict):
    found = report(chelate=chelate, ph=ph).results["verdict"]

    assert found.value == verdict
    assert "a chelate maker's page" in found.reading
    assert "Norvell (1972)" in found.reading


@pytest.mark.parametrize(
    ("chelate", "ph", "words"),
    [
        ("EDTA", 6.8, "DTPA holds there by both."),
        ("DTPA", 7.3, "EDDHA holds there by both."),
        ("EDDHA", 9.5, "No common chelate holds there by both: bring the pH down first."),
    ],
)
def test_a_chelate_that_fits_better_is_named(chelate, ph, words):
    assert report(chelate=chelate, ph=ph).results["verdict"].reading.endswith(words)


def test_a_chelate_is_known_in_small_letters_too():
    assert report(chelate="edta").results["verdict"].value == "unsuited"


def test_the_share_on_the_label_is_doubted_by_working_it_out_again():
    one_more = report(iron_content=7).results["mass"].value

    assert any(doubt.endswith(f"{one_more:.2g} g.") for doubt in report().doubts)


def test_the_colour_of_one_chelate_is_named():
    # common practice, no source
    assert any("red" in doubt for doubt in report(chelate="EDDHA").doubts)
    assert not any("red" in doubt.split() for doubt in report().doubts)


def test_far_more_than_usual_is_said_so():
    assert report(target=5).doubts[0].startswith("5 mg/L is more than twice the usual")


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_any_input_gives_a_sound_report_or_a_named_refusal(answer, odd_values, data):
    found = answer(IRON, BEDS | data.draw(odd_values(IRON)))
    if isinstance(found, Report):
        share = found.inputs["iron_content"].value / 100
        litres = found.inputs["volume"].value
        iron = found.results["mass"].value * share / litres * 1000
        assert iron == pytest.approx(found.results["iron_added"].value, rel=1e-6, abs=1e-9)
