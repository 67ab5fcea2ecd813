"""Ammonia for cycling: masses by stoichiometry, densities against an older printed table."""

import periodictable
import pytest

from kb.science.cycling import (
    AMMONIUM_CHLORIDE_G_MOL,
    ammonia_solution_g,
    ammonia_solution_ml,
    ammonium_chloride_g,
    nitrogen_g,
    solution_density_g_ml,
)

TOPICS = ("cycling_dosing",)


def test_a_published_value_is_met(table_row):
    got = QUANTITIES[table_row.quantity](**table_row.given)

    assert got == pytest.approx(table_row.expected, rel=0, abs=table_row.allowed), table_row.source


def powder(*, volume_l, target_tan_mg_l_as_n):
    return ammonium_chloride_g(
        nitrogen_g=nitrogen_g(rise_mg_l=target_tan_mg_l_as_n, volume_l=volume_l)
    )


def solution(*, volume_l, target_tan_mg_l_as_n, solution_nh3_pct_w_w, solution_density_g_ml):
    return ammonia_solution_ml(
        nitrogen_g=nitrogen_g(rise_mg_l=target_tan_mg_l_as_n, volume_l=volume_l),
        strength_percent=solution_nh3_pct_w_w,
        density_g_ml=solution_density_g_ml,
    )


QUANTITIES = {"ammonium_chloride_g": powder, "ammonia_solution_ml": solution}


# Specific gravity at 60 F (15.6 C) against percent NH3 by weight, table in Cooley's Cyclopaedia of
# Practical Receipts, sixth edition; water of 15.6 C weighs 0.999 g/mL, the solution some 0.2 %
# more than at 20 C
@pytest.mark.parametrize(
    ("percent", "gravity"),
    [(3.074, 0.9875), (6.227, 0.9750), (10.119, 0.9600), (16.19, 0.9375), (19.691, 0.9250),
     (24.386, 0.90875), (28.871, 0.89375)],
)  # fmt: skip
def test_densities_agree_with_an_older_table(percent, gravity):
    got = solution_density_g_ml(strength_percent=percent)

    assert got == pytest.approx(gravity * 0.999, rel=0.005)


# engineering data table, 20 C (source: ammonia-density-table)
@pytest.mark.parametrize(
    ("percent", "density"), [(1, 0.9938), (5, 0.9770), (10, 0.9575), (20, 0.9228), (30, 0.8920)]
)
def test_densities_pass_through_the_points_of_the_table(percent, density):
    assert solution_density_g_ml(strength_percent=percent) == pytest.approx(density)


@pytest.mark.parametrize("percent", [-0.1, 30.1])
def test_a_strength_beyond_the_table_is_refused(percent):
    with pytest.raises(ValueError, match="must be from 0 to 30"):
        solution_density_g_ml(strength_percent=percent)


def test_ammonium_chloride_weighs_what_a_library_says():
    mass = periodictable.formula("NH4Cl").mass

    assert pytest.approx(mass, rel=2e-4) == AMMONIUM_CHLORIDE_G_MOL
    assert ammonium_chloride_g(nitrogen_g=1) == pytest.approx(mass / 14.007, rel=2e-4)


def test_the_nitrogen_put_in_is_found_again_in_the_product():
    # NH3 is 82.24 % nitrogen (atomic weights)
    grams = ammonia_solution_g(nitrogen_g=2, strength_percent=25)

    assert grams * 0.25 * 0.8224 == pytest.approx(2, rel=1e-4)
