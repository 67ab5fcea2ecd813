"""The carbonate system and the doses against published and independently computed values.

Each row of the tables names its source; rows that rest on memory are not among them.
"""

from math import exp, log, log10

import pytest

from kb.science.acids import constants
from kb.science.carbonate import (
    CACO3_MG_PER_EQ,
    CO2_MG_PER_MOL,
    Water,
    air_co2_mol_l,
    at_ph,
    citrate_charge,
    from_reading,
    phosphate_charge,
    settle,
)
from kb.science.dosing import (
    add,
    dose_for_ph,
    mix,
    mixed_alkalinity_mg_l,
    most_that_dissolves,
)
from kb.science.substances import (
    ACIDS,
    BASES,
    lime_solubility_g_l,
    molarity_mol_l,
    solution_density_g_ml,
)

TOPICS = (
    "carbonate_constants",
    "carbon_dioxide",
    "ph_dosing",
    "acid_demand",
    "equivalents",
    "solubility",
    "blending",
    "limestone_equilibrium",
)
ACID_IDS = {"HCl": "hydrochloric", "H3PO4": "phosphoric", "H2SO4": "sulphuric"}
COMPOUNDS = {
    "Ca(OH)2": BASES["calcium-hydroxide"],
    "KOH": BASES["potassium-hydroxide"],
    "KHCO3": BASES["potassium-bicarbonate"],
    "K2CO3": BASES["potassium-carbonate"],
    "CaCO3": BASES["calcium-carbonate"],
    "NaHCO3": BASES["sodium-bicarbonate"],
    "CaMg(CO3)2": BASES["dolomite"],
    "Mg(OH)2": BASES["magnesium-hydroxide"],
    "citric acid": ACIDS["citric"],
    **{formula: ACIDS[name] for formula, name in ACID_IDS.items()},
}


def test_a_published_or_independent_value_is_met(table_row, accuracy):
    accuracy.meets_row(table_row, QUANTITIES[table_row.quantity](**table_row.given))


def water(ph, alk_mg_l_caco3, temp_c, background="Na-HCO3"):
    ideal = background.startswith("ideal")
    return from_reading(ph=ph, alkalinity_mg_l=alk_mg_l_caco3, temp_c=temp_c, ideal=ideal)


def gas(pco2_uatm, temp_c):
    return air_co2_mol_l(temp_c=temp_c, uatm=pco2_uatm)


def dissolved_gas(*, ph, alk_mg_l_caco3, temp_c, background):
    found = water(ph, alk_mg_l_caco3, temp_c, background)
    return at_ph(found, ph=ph)[1].co2_mol_l * CO2_MG_PER_MOL


def dosed(*, ph, alk_mg_l_caco3, temp_c, dose_compound, background, **dose):
    substance = COMPOUNDS[dose_compound]
    if "dose_g" in dose:
        mol_l = dose["dose_g"] * dose["purity"] / substance.molar_mass / dose["volume_l"]
    else:
        mol_l = dose["dose_mmol_l"] / 1000
    return add(water(ph, alk_mg_l_caco3, temp_c, background), substance, mol_l)


def ph_closed(*, system, **given):
    assert system == "closed"
    return settle(dosed(**given)).ph


def ph_aerated(*, pco2_uatm, **given):
    return settle(dosed(**given), co2_mol_l=gas(pco2_uatm, given["temp_c"])).ph


def ph_in_gas(*, alk_mg_l_caco3, temp_c, pco2_uatm, background):
    start = water(7.0, alk_mg_l_caco3, temp_c, background)
    return settle(start, co2_mol_l=gas(pco2_uatm, temp_c)).ph


def acid_closed(*, ph, alk_mg_l_caco3, temp_c, target_ph, background):
    start = water(ph, alk_mg_l_caco3, temp_c, background)
    return dose_for_ph(start, ACIDS["hydrochloric"], ph=target_ph) * 1000


def acid_aerated(*, alk_mg_l_caco3, temp_c, target_ph, pco2_uatm, background):
    start = water(8.0, alk_mg_l_caco3, temp_c, background)
    held = gas(pco2_uatm, temp_c)
    return dose_for_ph(start, ACIDS["hydrochloric"], ph=target_ph, co2_mol_l=held) * 1000


def acid_ml(*, acid, alk_removed_mg_l_caco3, volume_l, density_g_ml, mass_percent, **given):
    strength = molarity_mol_l(
        acid=ACID_IDS[acid], strength_percent=mass_percent, density_g_ml=density_g_ml
    )
    mol_l = alk_removed_mg_l_caco3 / CACO3_MG_PER_EQ / -COMPOUNDS[acid].alkalinity
    return mol_l * volume_l / strength * 1000


def blend(*, alk1_mg_l_caco3, alk2_mg_l_caco3, ph1, ph2, temp_c, volume1_l, volume2_l):
    return settle(
        mix(
            water(ph1, alk1_mg_l_caco3, temp_c),
            water(ph2, alk2_mg_l_caco3, temp_c),
            first_l=volume1_l,
            second_l=volume2_l,
        )
    ).ph


def limestone(*, temp_c, pco2_uatm):
    pure = Water(temp_c=temp_c, alkalinity_eq_l=0, carbon_mol_l=0)
    chalk, held = BASES["calcium-carbonate"], gas(pco2_uatm, temp_c)
    return add(pure, chalk, most_that_dissolves(pure, chalk, co2_mol_l=held)), held


def limestone_ph(**given):
    full, held = limestone(**given)
    return settle(full, co2_mol_l=held).ph


def lime_water_ph(*, temp_c):
    lime = BASES["calcium-hydroxide"]
    pure = Water(temp_c=temp_c, alkalinity_eq_l=0, carbon_mol_l=0)
    return settle(add(pure, lime, lime_solubility_g_l(temp_c=temp_c) / lime.molar_mass)).ph


def equivalents_at(*, acid, ph, temp_c):
    assert acid == "H3PO4"
    return phosphate_charge(ph=ph, temp_c=temp_c)


QUANTITIES = {
    "pk1": lambda temp_c, ionic_strength=0: -log10(constants(temp_c=temp_c).carbonic[0]),
    "pk2": lambda temp_c, ionic_strength=0: -log10(constants(temp_c=temp_c).carbonic[1]),
    "pkw": lambda temp_c, ionic_strength=0: -log10(constants(temp_c=temp_c).water),
    "pkh_mol_l_atm": lambda temp_c, ionic_strength=0: -log10(constants(temp_c=temp_c).gas),
    # Tucker's factors take all alkalinity for bicarbonate
    "co2_factor_mg_per_mg_caco3": lambda ph, temp_c: (
        10**-ph / constants(temp_c=temp_c).carbonic[0] * CO2_MG_PER_MOL / CACO3_MG_PER_EQ
    ),
    "co2_mg_l": dissolved_gas,
    "co2_mg_l_at_air_equilibrium": lambda pco2_uatm, temp_c: (
        gas(pco2_uatm, temp_c) * CO2_MG_PER_MOL
    ),
    "co2_mg_l_from_bicarbonate": lambda hco3_mg_l, ph, temp_c: (
        hco3_mg_l / 61_017 * 10**-ph / constants(temp_c=temp_c).carbonic[0] * CO2_MG_PER_MOL
    ),
    "ph_after_dose": ph_closed,
    "ph_after_dose_and_aeration": ph_aerated,
    "ph_at_co2_equilibrium": ph_in_gas,
    "strong_acid_meq_l_closed": acid_closed,
    "strong_acid_meq_l_aerated": acid_aerated,
    "molar_mass_g_mol": lambda compound: COMPOUNDS[compound].molar_mass,
    "equivalent_weight_g_eq": lambda compound, equivalents_per_mol: (
        COMPOUNDS[compound].molar_mass / equivalents_per_mol
    ),
    "alk_mg_l_caco3_per_mg_l": lambda compound, purity: (
        CACO3_MG_PER_EQ / 1000 / COMPOUNDS[compound].equivalent_g * purity
    ),
    "dose_g_for_alk_rise": lambda compound, alk_rise_mg_l_caco3, volume_l, purity: (
        alk_rise_mg_l_caco3 / CACO3_MG_PER_EQ * volume_l * COMPOUNDS[compound].equivalent_g / purity
    ),
    "acid_density_g_ml": lambda acid, mass_percent, temp_c: solution_density_g_ml(
        acid=ACID_IDS[acid], strength_percent=mass_percent
    ),
    "acid_molarity_mol_l": lambda acid, mass_percent, density_g_ml: molarity_mol_l(
        acid=ACID_IDS[acid], strength_percent=mass_percent, density_g_ml=density_g_ml
    ),
    "acid_volume_ml_to_remove_alk": acid_ml,
    "equivalents_per_mol_at_ph": equivalents_at,
    "caoh2_solubility_g_l": lime_solubility_g_l,
    "caoh2_saturated_ph": lime_water_ph,
    "water_l_to_dissolve_caoh2": lambda dose_g, temp_c: dose_g / lime_solubility_g_l(temp_c=temp_c),
    "blend_alk_mg_l_caco3": lambda alk1_mg_l_caco3, alk2_mg_l_caco3, volume1_l, volume2_l, **_: (
        mixed_alkalinity_mg_l(
            first_mg_l=alk1_mg_l_caco3,
            first_l=volume1_l,
            second_mg_l=alk2_mg_l_caco3,
            second_l=volume2_l,
        )
    ),
    "blend_ph_closed": blend,
    "calcite_equilibrium_ph": limestone_ph,
    "calcite_equilibrium_alk_mg_l_caco3": lambda **given: (
        limestone(**given)[0].alkalinity_eq_l * CACO3_MG_PER_EQ
    ),
}


@pytest.mark.parametrize("temp_c", [10, 20, 25, 30])
@pytest.mark.parametrize("ph", [3.0, 4.5, 5.5, 6.5, 7.5])
def test_citric_acid_agrees_with_the_older_fit_to_its_constants(temp_c, ph):
    """ln K refitted to Bates & Pinching 1949 (source: bates-pinching-1949).

    The abstract read prints a plus before the 1/T terms of the second and third constant; only
    a minus gives their known values at 25 °C.
    """
    kelvin = temp_c + 273.15
    fits = (
        (-646.52280, 14264.1855, 115.34510, -0.2204),
        (-52.19970, -1842.97387, 11.19421, -0.05487),
        (-129.89305, -394.04129, 25.36088, -0.09394),
    )
    steps = [exp(a + b / kelvin + c * log(kelvin) + d * kelvin) for a, b, c, d in fits]
    h = 10**-ph
    one = steps[0] / h
    two, three = one * steps[1] / h, one * steps[1] / h * steps[2] / h
    expected = (one + 2 * two + 3 * three) / (1 + one + two + three)

    assert citrate_charge(ph=ph, temp_c=temp_c) == pytest.approx(expected, abs=0.02)
