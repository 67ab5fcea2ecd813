"""Doses against PHREEQC with phreeqc.dat, an independent program (source: phreeqc).

Held to 0.03 pH wherever the result lies below pH 8.5.
"""

import math
import warnings
from itertools import product

import pytest

from kb.science.carbonate import CACO3_MG_PER_EQ, air_co2_mol_l, from_reading, settle
from kb.science.dosing import add, after_dose, dose_for_ph, saturation
from kb.science.substances import ACIDS, BASES

with warnings.catch_warnings():
    warnings.simplefilter("ignore", DeprecationWarning)
    warnings.simplefilter("ignore", SyntaxWarning)
    from phreeqpython import PhreeqPython

FORMULAS = {
    "calcium-hydroxide": "Ca(OH)2",
    "potassium-hydroxide": "KOH",
    "potassium-bicarbonate": "KHCO3",
    "potassium-carbonate": "K2CO3",
    "calcium-carbonate": "CaCO3",
    "sodium-bicarbonate": "NaHCO3",
    "dolomite": "CaMg(CO3)2",
    "magnesium-hydroxide": "Mg(OH)2",
    "hydrochloric": "HCl",
    "phosphoric": "H3PO4",
    "sulphuric": "H2SO4",
}
SUBSTANCES = {**BASES, **ACIDS}
WATERS = tuple(product((10, 40, 100, 300), (10, 20, 30)))
BASE_CASES = tuple(product(WATERS, (6.0, 6.8, 7.4), (0.1, 0.3, 0.8, 2.0)))
ACID_CASES = tuple(product(WATERS, (7.0, 7.8, 8.3), (0.2, 0.5, 0.9)))
BELOW_PH = 8.5


@pytest.fixture(scope="module")
def phreeqc():
    return PhreeqPython(database="phreeqc.dat")


@pytest.fixture(scope="module")
def in_phreeqc(phreeqc):
    def dosed(alkalinity, temp_c, ph, formula, mmol_l):
        """The pH shut off from gas, then at rest with air, in water of Na and HCO3."""
        meq_l = alkalinity / CACO3_MG_PER_EQ * 1000
        solution = phreeqc.add_solution(
            {"units": "mmol/kgw", "temp": temp_c, "pH": ph, "Alkalinity": meq_l, "Na": meq_l}
        )
        solution.add(formula, mmol_l)
        closed = solution.pH
        solution.equalize(["CO2(g)"], [math.log10(420e-6)])
        aerated = solution.pH
        solution.forget()
        return closed, aerated

    return dosed


def cases(substance):
    if substance.alkalinity > 0:
        for (alkalinity, temp_c), ph, meq_l in BASE_CASES:
            yield alkalinity, temp_c, ph, meq_l / substance.alkalinity
    else:
        for (alkalinity, temp_c), ph, share in ACID_CASES:
            meq_l = share * alkalinity / CACO3_MG_PER_EQ * 1000
            yield alkalinity, temp_c, ph, meq_l / -substance.alkalinity


@pytest.mark.parametrize("name", FORMULAS)
def test_every_dose_ends_where_phreeqc_says(name, in_phreeqc, accuracy):
    substance = SUBSTANCES[name]
    checked = 0
    for case in cases(substance):
        alkalinity, temp_c, ph, mmol_l = case
        start = from_reading(ph=ph, alkalinity_mg_l=alkalinity, temp_c=temp_c)
        water = add(start, substance, mmol_l / 1000)
        air = air_co2_mol_l(temp_c=temp_c)
        ours = (settle(water).ph, settle(water, co2_mol_l=air).ph)
        theirs = in_phreeqc(alkalinity, temp_c, ph, FORMULAS[name], mmol_l)
        for how, got, expected in zip(("closed", "aerated"), ours, theirs, strict=True):
            if expected < BELOW_PH:
                checked += 1
                what = f"pH after a dose, {how}"
                accuracy.meets(what, "PHREEQC", got, expected, within=0.03)

    assert checked >= 100


@pytest.mark.parametrize("name", FORMULAS)
def test_a_dose_worked_out_for_a_target_reaches_it_in_phreeqc(name, in_phreeqc):
    substance = SUBSTANCES[name]
    ph, target = (6.3, 7.0) if substance.alkalinity > 0 else (7.8, 6.6)
    for alkalinity, temp_c in WATERS:
        water = from_reading(ph=ph, alkalinity_mg_l=alkalinity, temp_c=temp_c)
        dose = dose_for_ph(water, substance, ph=target)
        closed, _ = in_phreeqc(alkalinity, temp_c, ph, FORMULAS[name], dose * 1000)

        assert closed == pytest.approx(target, abs=0.03)


def test_sulphuric_and_phosphoric_acid_count_their_second_proton(in_phreeqc):
    """A strong dose, down to pH 3 where bisulphate and phosphoric acid hold protons back."""
    for name in ("sulphuric", "phosphoric"):
        water = from_reading(ph=7.8, alkalinity_mg_l=50, temp_c=20)
        done = after_dose(water, ACIDS[name], mol_l=0.003)
        closed, aerated = in_phreeqc(50, 20, 7.8, FORMULAS[name], 3.0)

        assert (done.at_once.ph, done.aerated.ph) == pytest.approx((closed, aerated), abs=0.03)


@pytest.mark.parametrize("temp_c", [10, 20, 30])
@pytest.mark.parametrize("calcium", [10, 40, 100])
def test_calcite_saturation_agrees_with_phreeqc(phreeqc, temp_c, calcium):
    water = from_reading(ph=7.6, alkalinity_mg_l=120, temp_c=temp_c, calcium_mg_l=calcium)
    meq_l = 120 / CACO3_MG_PER_EQ * 1000
    mmol_l = calcium / 40.078
    solution = phreeqc.add_solution(
        {
            "units": "mmol/kgw", "temp": temp_c, "pH": 7.6, "Alkalinity": meq_l, "Ca": mmol_l,
            "Na": max(0.0, meq_l - 2 * mmol_l), "Cl": max(0.0, 2 * mmol_l - meq_l),
        }
    )  # fmt: skip
    expected = solution.si("Calcite")
    solution.forget()

    assert saturation(water, "calcite") == pytest.approx(expected, abs=0.03)


def test_dolomite_saturation_agrees_with_phreeqc(phreeqc):
    water = from_reading(ph=7.0, alkalinity_mg_l=50, temp_c=20)
    water = add(water, BASES["dolomite"], 0.0005)
    meq_l = 50 / CACO3_MG_PER_EQ * 1000
    solution = phreeqc.add_solution(
        {"units": "mmol/kgw", "temp": 20, "pH": 7.0, "Alkalinity": meq_l, "Na": meq_l}
    )
    solution.add("CaMg(CO3)2", 0.5)
    solution.equalize(["CO2(g)"], [-3.0])
    expected = solution.si("Dolomite")
    solution.forget()
    held = air_co2_mol_l(temp_c=20, uatm=1000)

    assert saturation(water, "dolomite", co2_mol_l=held) == pytest.approx(expected, abs=0.03)
