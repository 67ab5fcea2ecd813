"""The quick form of the carbonate system against PHREEQC (phreeqc.dat) and the full solver."""

import warnings
from itertools import product

import numpy as np
import pytest

from kb.book.chemistry import alkalinity_of, co2_at_once, gas_at, ph_of
from kb.science.carbonate import CACO3_MG_PER_EQ, from_reading, settle
from kb.science.substances import BASES

with warnings.catch_warnings():
    warnings.simplefilter("ignore", DeprecationWarning)
    warnings.simplefilter("ignore", SyntaxWarning)
    from phreeqpython import PhreeqPython

WATERS = tuple(product((10.0, 40.0, 100.0, 250.0), (12.0, 20.0, 28.0), (5.8, 6.4, 7.0, 7.6, 8.2)))
FORMULAS = {
    "calcium-hydroxide": "Ca(OH)2",
    "potassium-hydroxide": "KOH",
    "potassium-bicarbonate": "KHCO3",
    "potassium-carbonate": "K2CO3",
    "sodium-bicarbonate": "NaHCO3",
}


@pytest.fixture(scope="module")
def phreeqc():
    return PhreeqPython(database="phreeqc.dat")


def water(phreeqc, alkalinity, temp_c, ph):
    meq_l = alkalinity / CACO3_MG_PER_EQ * 1000
    return phreeqc.add_solution(
        {"units": "mmol/kgw", "temp": temp_c, "pH": ph, "Alkalinity": meq_l, "Na": meq_l}
    )


def test_ph_from_alkalinity_and_carbon_dioxide_is_what_phreeqc_says(phreeqc, accuracy):
    for alkalinity, temp_c, ph in WATERS:
        solution = water(phreeqc, alkalinity, temp_c, ph)
        gas = np.log([solution.species["CO2"]])
        solution.forget()
        found = float(ph_of(np.array([alkalinity]), gas, gas_at(temp_c)).value[0])

        accuracy.meets("pH in the water book", "PHREEQC", found, ph, within=0.01)


def test_alkalinity_from_ph_is_the_way_back():
    for alkalinity, temp_c, ph in WATERS:
        gas = np.log([settle(from_reading(ph=ph, alkalinity_mg_l=alkalinity, temp_c=temp_c))
                      .co2_mol_l])  # fmt: skip

        assert alkalinity_of(ph, gas, gas_at(temp_c))[0] == pytest.approx(alkalinity, rel=2e-3)


def test_the_slopes_are_those_of_the_curve():
    step = 1e-4
    for alkalinity, temp_c, ph in WATERS:
        k, start = gas_at(temp_c), np.array([alkalinity])
        gas = np.log([settle(from_reading(ph=ph, alkalinity_mg_l=alkalinity, temp_c=temp_c))
                      .co2_mol_l])  # fmt: skip
        found = ph_of(start, gas, k)
        more = ph_of(start * (1 + step), gas, k).value - ph_of(start * (1 - step), gas, k).value
        airier = ph_of(start, gas + step, k).value - ph_of(start, gas - step, k).value

        assert found.by_alkalinity[0] == pytest.approx(more[0] / (2 * step * alkalinity), rel=0.1)
        assert found.by_co2[0] == pytest.approx(airier[0] / (2 * step), rel=0.1)


@pytest.mark.parametrize("name", FORMULAS)
def test_the_ph_right_after_a_dose_is_what_phreeqc_says(name, phreeqc, accuracy):
    """A tenth of the alkalinity, as in one step of advice."""
    base = BASES[name]
    checked = 0
    for alkalinity, temp_c, ph in WATERS:
        added = alkalinity / 10
        solution = water(phreeqc, alkalinity, temp_c, ph)
        gas = np.log([solution.species["CO2"]])
        solution.add(FORMULAS[name], added / CACO3_MG_PER_EQ * 1000 / base.alkalinity)
        expected = solution.pH
        solution.forget()
        start, k = np.array([alkalinity]), gas_at(temp_c)
        after = co2_at_once(
            start, gas, k, added=np.array([added]), carbon_per_eq=base.carbon / base.alkalinity
        )
        if expected < 8.0:  # above, water shut off from gas hangs on small errors
            checked += 1
            found = float(ph_of(start + added, after, k).value[0])
            accuracy.meets("pH after a dose in the book", "PHREEQC", found, expected, within=0.03)

    assert checked >= 36
