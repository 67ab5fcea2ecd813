"""Chlorine: what thiosulphate takes by its reactions, in the field, and in sample bottles."""

import periodictable
import pytest

from kb.science.chlorine import (
    CHLORINE_G_MOL,
    LEAST_MG,
    PENTAHYDRATE_G_MOL,
    PER_CHLORINE,
    PLANNING_MG,
    THIOSULPHATE_G_MOL,
    ammonia_released_mg_l,
    reducer_mg_per_mg,
    thiosulphate_g,
)

TOPICS = ("dechlorination",)
MOLAR_MASSES = {
    "Na2S2O3.5H2O": PENTAHYDRATE_G_MOL,
    "Na2S2O3": THIOSULPHATE_G_MOL,
    "ascorbic acid": periodictable.formula("C6H8O6").mass,
    "sodium ascorbate": periodictable.formula("C6H7O6Na").mass,
}
MOLES = {
    "tetrathionate stoichiometry": PER_CHLORINE["tetrathionate"],
    "sulfate stoichiometry": PER_CHLORINE["sulphate"],
    "stoichiometry": 1.0,
}


def test_a_published_value_is_met(table_row):
    got = QUANTITIES[table_row.quantity](**table_row.given)

    assert got == pytest.approx(table_row.expected, rel=0, abs=table_row.allowed), table_row.source


def reducer(*, basis, chemical):
    if basis == "practical":
        return PLANNING_MG
    moles = MOLES.get(basis, 1.0)  # in the field ascorbates react as on paper
    return reducer_mg_per_mg(molar_mass_g_mol=MOLAR_MASSES[chemical], moles=moles)


def grams(*, chlorine_mg_l, mg_per_mg_cl2, volume_l):
    return thiosulphate_g(volume_l=volume_l, chlorine_mg_l=chlorine_mg_l, mg_per_mg=mg_per_mg_cl2)


QUANTITIES = {
    "reducer_mg_per_mg_cl2": reducer,
    "thiosulfate_pentahydrate_g": grams,
    "nh3_n_released_mg_l": lambda monochloramine_mg_l_as_cl2: ammonia_released_mg_l(
        chloramine_mg_l=monochloramine_mg_l_as_cl2
    ),
    "nh3_n_rise_in_system_mg_l": lambda monochloramine_mg_l_as_cl2, water_change_fraction: (
        ammonia_released_mg_l(chloramine_mg_l=monochloramine_mg_l_as_cl2) * water_change_fraction
    ),
}


# field guide for disinfecting pipelines, Table 7-2: 1.9 at pH 7. Standard Methods, sample bottles:
# 0.1 mL of 10 % in 120 mL for 15 mg/L, 0.1 mL of 3 % for 5 mg/L.
@pytest.mark.parametrize("found", [1.9, 0.1 * 100 / (15 * 0.12), 0.1 * 30 / (5 * 0.12)])
def test_the_planning_factor_covers_what_others_found(found):
    assert LEAST_MG - 0.2 < found < PLANNING_MG


def test_the_planning_factor_is_the_reaction_that_takes_most():
    most = reducer_mg_per_mg(molar_mass_g_mol=PENTAHYDRATE_G_MOL, moles=max(PER_CHLORINE.values()))

    assert pytest.approx(most, rel=1e-3) == PLANNING_MG


def test_molar_masses_agree_with_a_library():
    # atomic weights of an independent library
    assert pytest.approx(periodictable.formula("Cl2").mass, rel=3e-4) == CHLORINE_G_MOL
    assert pytest.approx(periodictable.formula("Na2S2O3").mass, rel=3e-4) == THIOSULPHATE_G_MOL
    crystals = periodictable.formula("Na2S2O3(H2O)5").mass
    assert pytest.approx(crystals, rel=3e-4) == PENTAHYDRATE_G_MOL


def test_no_chlorine_takes_no_thiosulphate():
    assert thiosulphate_g(volume_l=100, chlorine_mg_l=0) == 0
