"""Wastes of the feed, against published budgets and the weights of atoms."""

import periodictable
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.calculators.wastes import WASTES

MASS = {name: periodictable.formula(name).mass for name in ("N", "NO3", "NH3", "O2", "CO2")}


def run(**given):
    return WASTES.run({"feed": "200 g", "protein": 32} | given)


def values(**given):
    return {name: amount.value for name, amount in run(**given).results.items()}


# Hager et al. 2021, section 5, after Timmons & Ebeling 2013: 2000 g at 32 % give 58.9 g N
def test_two_kilograms_give_58_9_grams_of_ammonia_nitrogen():
    assert values(feed="2 kg")["ammonia_nitrogen"] == pytest.approx(58.9, abs=0.1)


def test_protein_is_32_percent_unless_given():
    assert WASTES.run({"feed": "2 kg"}).results["ammonia_nitrogen"].value == pytest.approx(58.88)


# two molecules of oxygen for an atom of nitrogen; Timmons & Ebeling round to 4.57
def test_oxygen_of_the_bacteria_follows_the_atoms():
    got = values()

    assert got["oxygen_nitrification"] == pytest.approx(
        got["ammonia_nitrogen"] / MASS["N"] * 2 * MASS["O2"], rel=1e-3
    )


def test_carbon_dioxide_is_one_molecule_for_one_of_oxygen():
    got = values()

    assert got["carbon_dioxide"] == pytest.approx(
        got["oxygen_fish"] / MASS["O2"] * MASS["CO2"], rel=1e-3
    )


def test_nitrate_rises_by_all_of_the_nitrogen():
    got = values(volume="1000 L")

    assert got["nitrate_rise"] == pytest.approx(
        got["ammonia_nitrogen"] / MASS["N"] * MASS["NO3"], rel=1e-3
    )


def test_nitrate_needs_the_volume():
    report = run()

    assert report.results["nitrate_rise"].value is None
    assert report.results["nitrate_rise"].reading.startswith("Give the volume of the system")
    assert not any("nitrate" in step.formula for step in report.steps)


# a smolt system of 2009 reckoned 20 % of feed; salmon faeces 0.3 to 0.4 kg a kg of feed
def test_solids_are_a_fifth_and_may_be_twice_that():
    got = values()

    assert (got["solids"], got["solids_high"]) == (40, 140)
    assert "up to 140 g" in run().results["solids"].reading


def test_oxygen_of_the_fish_is_a_range_marked_as_common_practice():
    words = run().results["oxygen_fish"].reading

    assert "50 to 100 g" in words
    assert "common practice" in words


def test_both_ways_of_writing_ammonia_stand_side_by_side():
    words = run().results["ammonia_nitrogen"].reading

    assert "5.89 g of ammonia nitrogen" in words
    assert "7.16 g written as NH3" in words


# FAO 589, appendix 4: 200 g at 32 % give 7.5 g NH3
def test_the_other_budget_is_named_where_it_differs():
    assert any("FAO 589 reckons 7.5 g" in doubt for doubt in run().doubts)


def test_every_step_has_a_source():
    assert all(step.source for step in run(volume=1000).steps)
    assert len(run(volume=1000).steps) == 6


def test_bad_inputs_are_all_named(refused):
    found = refused(WASTES, {"feed": "much", "protein": 5, "volume": "3 L"})

    assert [name for name, _ in found] == ["feed", "protein", "volume"]


@given(feed=st.floats(1, 5e5), protein=st.floats(10, 70), volume=st.floats(10, 1e7))
def test_all_wastes_double_with_the_feed(feed, protein, volume):
    one = values(feed=feed, protein=protein, volume=volume)
    two = values(feed=2 * feed, protein=protein, volume=volume)

    assert two == {name: pytest.approx(2 * value) for name, value in one.items()}


@given(data=st.data())
def test_whatever_is_given_is_answered_or_refused(odd_values, answer, data):
    answer(WASTES, {"feed": 200} | data.draw(odd_values(WASTES)))
