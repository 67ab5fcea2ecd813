"""Ammonia for cycling: solution and powder, strength and density, and never with fish."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.calculators.cycling_dose import CYCLING_DOSE
from kb.calculators.model import Report

POWDER = {"volume": "1000 L", "product": "ammonium-chloride"}
BOTTLE = {"volume": "1000 L", "product": "ammonia-solution", "strength": "10 %"}


def values(given, **changes):
    report = CYCLING_DOSE.run(given | changes)
    return {name: amount.value for name, amount in report.results.items()}


# 53.491 g/mol of NH4Cl, 14.007 of N: 3.819 g a gram (atomic weights)
def test_the_powder_is_weighed():
    got = values(POWDER)

    assert got["dose_mass"] == pytest.approx(7.638, rel=1e-3)
    assert got["dose_volume"] is None


def test_a_powder_that_is_not_pure_takes_more():
    assert values(POWDER, strength="50 %")["dose_mass"] == pytest.approx(
        2 * values(POWDER)["dose_mass"]
    )


# 2 g of N are 2.432 g of NH3: 24.32 g of a 10 % solution, 25.41 mL at 0.957 g/mL
def test_the_solution_is_measured_and_may_be_weighed():
    got = values(BOTTLE, density="0.957 g/mL")

    assert got["dose_mass"] == pytest.approx(24.32, rel=1e-3)
    assert got["dose_volume"] == pytest.approx(25.41, rel=1e-3)


# engineering data table, 20 C: 0.9575 g/mL at 10 %, 0.9228 at 20 %
@pytest.mark.parametrize(("strength", "density"), [(10, 0.9575), (20, 0.9228)])
def test_without_a_density_the_table_is_used(strength, density):
    got = values(BOTTLE, strength=strength)

    assert got["dose_mass"] / got["dose_volume"] == pytest.approx(density)


def test_a_density_that_does_not_fit_the_strength_is_doubted():
    def doubted(density):
        doubts = CYCLING_DOSE.run(BOTTLE | {"density": density}).doubts
        return any("look at the label again" in doubt for doubt in doubts)

    assert doubted("0.91 g/mL")
    assert not doubted("0.96 g/mL")


def test_what_is_there_already_is_taken_off():
    assert values(POWDER, present=1)["dose_mass"] == pytest.approx(values(POWDER)["dose_mass"] / 2)
    words = CYCLING_DOSE.run(POWDER | {"present": 3}).results["dose_mass"].reading

    assert words == (
        "Nothing is to be added: the 3 mg/L that is there is at or over the target of 2 mg/L "
        "(as N)."
    )


# 7.14 g of CaCO3 a gram of N (US EPA 1975)
def test_the_alkalinity_it_will_cost_is_said():
    assert values(POWDER)["alkalinity_used"] == pytest.approx(14.28, rel=1e-3)


@pytest.mark.parametrize("given", [POWDER, BOTTLE])
def test_it_is_always_said_that_no_fish_may_be_in(given):
    report = CYCLING_DOSE.run(given)

    assert report.cautions[0] == "ammonia-without-fish"
    assert "with no fish in it" in report.results["dose_mass"].reading


def test_the_solution_comes_with_its_dangers():
    # Hager et al. 2021, 6.6: no detergents in it
    assert {"ammonia-fumes", "plain-ammonia-only"} <= set(CYCLING_DOSE.run(BOTTLE).cautions)
    assert "ammonia-fumes" not in CYCLING_DOSE.run(POWDER).cautions


def test_the_two_times_for_cycling_are_named():
    # FAO 589, glossary: 1 to 6 weeks; Hager et al. 2021: 6 to 8 weeks
    doubts = " ".join(CYCLING_DOSE.run(POWDER).doubts)

    assert "1 to 6 weeks" in doubts
    assert "6 to 8 weeks" in doubts


@pytest.mark.parametrize(
    ("given", "name", "words"),
    [
        (
            {"volume": 100, "product": "ammonia-solution"},
            "strength",
            "Strength: an ammonia solution needs its strength from the label, from 1 to 30 % of "
            "ammonia by mass.",
        ),
        (
            BOTTLE | {"strength": "40 %"},
            "strength",
            "Strength: 40 % is more than the 30 % that an ammonia solution is worked out for here.",
        ),
        (
            POWDER | {"density": "0.9 g/mL"},
            "density",
            "Density: it belongs to an ammonia solution; ammonium chloride is weighed, so leave "
            "it out.",
        ),
    ],
)
def test_what_does_not_go_together_is_refused(given, name, words, refused):
    assert refused(CYCLING_DOSE, given) == [(name, words)]


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_any_input_gives_a_sound_report_or_a_named_refusal(answer, odd_values, data):
    start = data.draw(st.sampled_from([POWDER, BOTTLE]))
    found = answer(CYCLING_DOSE, start | data.draw(odd_values(CYCLING_DOSE)))
    if isinstance(found, Report):
        got = {name: amount.value for name, amount in found.results.items()}
        assert got["dose_mass"] >= got["nitrogen_added"]
        assert (got["dose_volume"] is None) is (
            found.inputs["product"].value == "ammonium-chloride"
        )
