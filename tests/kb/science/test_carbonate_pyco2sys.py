"""The carbonate system against PyCO2SYS with its option for fresh water: Millero 1979, no salt.

PyCO2SYS takes water for an ideal solution there, so our activity correction is switched off.
Its alkalinity has no phosphate or sulphate in it here.
"""

import warnings
from itertools import product

import pytest

from kb.science.carbonate import CACO3_MG_PER_EQ, at_ph, from_reading, settle
from kb.science.dosing import add
from kb.science.substances import ACIDS, BASES

with warnings.catch_warnings():
    warnings.simplefilter("ignore", DeprecationWarning)
    warnings.simplefilter("ignore", SyntaxWarning)
    import PyCO2SYS

FRESH = {"salinity": 0, "opt_k_carbonic": 8, "opt_pH_scale": 3}
READINGS = tuple(product((15, 60, 150, 300), (6.0, 6.8, 7.4, 8.2), (5, 15, 25, 35)))


def solve(par1, par2, kind1, kind2, temp_c):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)  # its oxygen terms divide by no salt
        return PyCO2SYS.sys(
            par1=par1,
            par2=par2,
            par1_type=kind1,
            par2_type=kind2,
            temperature=temp_c,
            **FRESH,
        )


def test_the_carbon_of_a_reading_agrees(accuracy):
    eq_l = [alkalinity / CACO3_MG_PER_EQ for alkalinity, _, _ in READINGS]
    ph, temp_c = ([reading[place] for reading in READINGS] for place in (1, 2))
    expected = solve([1e6 * value for value in eq_l], ph, 1, 3, temp_c)["dic"] / 1e6
    got = [
        from_reading(ph=ph, alkalinity_mg_l=alkalinity, temp_c=temp_c, ideal=True).carbon_mol_l
        for alkalinity, ph, temp_c in READINGS
    ]

    for ours, theirs in zip(got, expected, strict=True):
        accuracy.meets("dissolved carbon of a reading", "PyCO2SYS", ours, theirs, rel=0.005)


@pytest.mark.parametrize(
    ("substance", "ph", "share"),
    [
        (ACIDS["hydrochloric"], 8.2, 0.3),
        (ACIDS["hydrochloric"], 7.6, 0.6),
        (BASES["potassium-hydroxide"], 6.2, 0.3),
        (BASES["sodium-bicarbonate"], 6.2, 1.0),
        (BASES["potassium-carbonate"], 6.4, 0.2),
    ],
)
def test_the_ph_after_a_dose_agrees_shut_off_and_in_gas(accuracy, substance, ph, share):
    waters = []
    for alkalinity, temp_c in product((20, 80, 250), (10, 20, 30)):
        start = from_reading(ph=ph, alkalinity_mg_l=alkalinity, temp_c=temp_c, ideal=True)
        waters.append(add(start, substance, share * start.alkalinity_eq_l / 2))
    total = [water.alkalinity_eq_l * 1e6 for water in waters]
    temp_c = [water.temp_c for water in waters]
    closed = [settle(water) for water in waters]
    held = [state.co2_mol_l / 2 for state in closed]
    in_gas = [settle(water, co2_mol_l=co2) for water, co2 in zip(waters, held, strict=True)]
    expected = solve(total, [water.carbon_mol_l * 1e6 for water in waters], 1, 2, temp_c)["pH"]
    expected_in_gas = solve(total, [1e6 * co2 for co2 in held], 1, 8, temp_c)["pH"]

    for states, theirs in ((closed, expected), (in_gas, expected_in_gas)):
        for state, value in zip(states, theirs, strict=True):
            accuracy.meets("pH after a dose, ideal", "PyCO2SYS", state.ph, value, within=0.005)


def test_the_activity_correction_is_what_sets_us_apart():
    """At 300 mg/L ideal and corrected carbon dioxide differ by some 9 % (source: phreeqc)."""
    corrected, ideal = (
        from_reading(ph=7.0, alkalinity_mg_l=300, temp_c=25, ideal=ideal) for ideal in (False, True)
    )
    ratio = at_ph(ideal, ph=7.0)[1].co2_mol_l / at_ph(corrected, ph=7.0)[1].co2_mol_l

    assert ratio == pytest.approx(1.09, abs=0.01)
