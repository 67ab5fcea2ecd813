"""Hardness from calcium and magnesium, and a unit, against published factors."""

import periodictable
import pytest

from kb.science.hardness import CACO3_G_MOL, calcium_mg_l, total_mg_l
from kb.units import ALKALINITY

TOPICS = ("hardness_totals",)


def test_a_published_value_is_met(table_row):
    got = QUANTITIES[table_row.quantity](**table_row.given)

    assert got == pytest.approx(table_row.expected, rel=0, abs=table_row.allowed), table_row.source


def grains(**given):
    assert (given["from"], given["to"]) == ("us_grain_per_gallon", "mg_l_caco3")
    return ALKALINITY.to_base(given["value"], "gr/gal")


QUANTITIES = {
    "hardness_convert": grains,
    "total_hardness_mg_l_caco3": lambda ca_mg_l, mg_mg_l: total_mg_l(
        calcium_mg_l=ca_mg_l, magnesium_mg_l=mg_mg_l
    ),
}


# common factors of water analysis: hardness = 2.497 x Ca + 4.118 x Mg (Standard Methods 2340 B;
# the two factors follow from atomic weights, here those of an independent library)
def test_the_two_factors_of_water_analysis():
    chalk = periodictable.formula("CaCO3").mass

    assert total_mg_l(calcium_mg_l=1, magnesium_mg_l=0) == pytest.approx(
        chalk / periodictable.Ca.mass, rel=1e-3
    )
    assert total_mg_l(calcium_mg_l=0, magnesium_mg_l=1) == pytest.approx(
        chalk / periodictable.Mg.mass, rel=1e-3
    )
    assert pytest.approx(chalk, rel=1e-4) == CACO3_G_MOL


def test_calcium_alone_goes_there_and_back():
    assert total_mg_l(calcium_mg_l=calcium_mg_l(hardness_mg_l=150), magnesium_mg_l=0) == (
        pytest.approx(150)
    )
