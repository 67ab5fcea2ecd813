"""Chloride against nitrite: ratios of published trials converted, and salts weighed."""

import periodictable
import pytest

from kb.science.nitrification import NITROGEN_COMPOUND_G_MOL
from kb.science.nitrite import (
    CHLORIDE_G_MOL,
    NITRITE_G_MOL,
    SALT_G_MOL,
    chloride_share,
    chloride_to_add_mg_l,
    ratio_to_nitrite,
    salt_g,
    weight_ratio,
)

TOPICS = ("nitrite_chloride",)


def test_a_published_value_is_met(table_row):
    got = QUANTITIES[table_row.quantity](**table_row.given)

    assert got == pytest.approx(table_row.expected, rel=0, abs=table_row.allowed), table_row.source


def ions_ratio(*, nacl_mg_l, nitrite_mg_l_no2):
    chloride = nacl_mg_l * chloride_share(compound="NaCl")
    return chloride / nitrite_mg_l_no2 / weight_ratio(ions=1.0)


def weighed(*, chloride_rise_mg_l, compound, purity, volume_l):
    return salt_g(chloride_mg_l=chloride_rise_mg_l, volume_l=volume_l, compound=compound) / purity


def to_add(*, chloride_mg_l, nitrite_mg_l_no2, ratio_cl_to_no2):
    return chloride_to_add_mg_l(
        nitrite_mg_l_no2=nitrite_mg_l_no2, chloride_mg_l=chloride_mg_l, ratio=ratio_cl_to_no2
    )


def salt_for_nitrite(*, volume_l, nitrite_mg_l, chloride_to_nitrite_ratio, current_chloride_mg_l):
    missing = to_add(
        chloride_mg_l=current_chloride_mg_l,
        nitrite_mg_l_no2=nitrite_mg_l,
        ratio_cl_to_no2=chloride_to_nitrite_ratio,
    )
    return salt_g(chloride_mg_l=missing, volume_l=volume_l)


QUANTITIES = {
    "weight_ratio_cl_to_no2": lambda **given: (
        weight_ratio(ions=given["molar_ratio_cl_to_no2"])
        if "molar_ratio_cl_to_no2" in given
        else ratio_to_nitrite(ratio_to_nitrogen=given["weight_ratio_cl_to_no2_n"])
    ),
    "weight_ratio_cl_to_no2_n": lambda molar_ratio_cl_to_no2: (
        weight_ratio(ions=molar_ratio_cl_to_no2) / ratio_to_nitrite(ratio_to_nitrogen=1.0)
    ),
    "molar_ratio_cl_to_no2": ions_ratio,
    "chloride_to_add_mg_l": to_add,
    "salt_g_for_chloride": weighed,
    "chloride_mass_fraction": chloride_share,
    "salt_for_nitrite_g": salt_for_nitrite,
}


# atomic weights of an independent library
@pytest.mark.parametrize(
    ("compound", "formula"),
    [("NaCl", "NaCl"), ("KCl", "KCl"), ("CaCl2", "CaCl2"), ("CaCl2.2H2O", "CaCl2(H2O)2")],
)
def test_molar_masses_agree_with_a_library(compound, formula):
    assert SALT_G_MOL[compound] == pytest.approx(periodictable.formula(formula).mass, rel=2e-4)


def test_nitrite_and_chloride_weigh_what_a_library_says():
    assert pytest.approx(periodictable.formula("NO2").mass, rel=2e-4) == NITRITE_G_MOL
    assert pytest.approx(periodictable.Cl.mass, rel=3e-4) == CHLORIDE_G_MOL
    assert NITROGEN_COMPOUND_G_MOL["NO2"] == NITRITE_G_MOL


def test_chloride_that_is_there_already_is_never_taken_out():
    assert chloride_to_add_mg_l(nitrite_mg_l_no2=0.1, chloride_mg_l=50) == 0
