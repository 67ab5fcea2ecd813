"""Our formulas against printed tables and worked examples; each row of tables/ names its source.

Cells known to be misprinted are not in the tables; test_ammonia.py and test_oxygen.py name them.
"""

from kb.science.ammonia import (
    epa_acute_mg_l,
    epa_chronic_mg_l,
    pka,
    unionised_fraction,
)
from kb.science.hydraulics import circle_area_m2
from kb.science.nitrification import (
    FeedDay,
    alkalinity_use_g_day,
    ammonia_nitrogen_g_day,
    base_g,
    nitrogen_from,
)
from kb.science.oxygen import pressure_at_altitude_kpa, saturation_mg_l
from kb.science.solids import Settlers, settling_velocity_mm_s, smallest_caught_mm
from kb.science.substances import BASES
from kb.units import ALKALINITY, MASS, OVERFLOW_RATE, spoon_units

TOPICS = (
    "ammonia_fraction",
    "ammonia_criteria",
    "oxygen_saturation",
    "barometric_pressure",
    "nitrogen_alkalinity",
    "nitrogen_units",
    "hardness_units",
    "settling",
    "waste",
    "base_use",
)
HARDNESS = {
    "dH": "dKH",
    "french_degree": "°fH",
    "english_degree": "°Clark",
    "meq_l": "meq/L",
    "mg_l_caco3": "mg/L as CaCO₃",
}
BASE_IDS = {
    "KHCO3": "potassium-bicarbonate",
    "NaHCO3": "sodium-bicarbonate",
    "Ca(OH)2": "calcium-hydroxide",
    "CaOH2": "calcium-hydroxide",
    "CaCO3": "calcium-carbonate",
    "KOH": "potassium-hydroxide",
    "K2CO3": "potassium-carbonate",
}


def test_a_published_value_is_met(table_row, accuracy):
    accuracy.meets_row(table_row, QUANTITIES[table_row.quantity](**table_row.given))


def test_no_row_of_any_table_comes_from_memory(every_table_row):
    assert {row.flag for row in every_table_row} <= {"read", "computed"}


def acute(*, ph, temp_c, salmonids_present, mussels_present):
    assert mussels_present
    return epa_acute_mg_l(ph=ph, temp_c=temp_c, trout_family=salmonids_present)


def chronic(*, ph, temp_c, mussels_present):
    assert mussels_present
    return epa_chronic_mg_l(ph=ph, temp_c=temp_c)


def saturation(*, temp_c, salinity_g_kg, pressure_kpa=None, altitude_m=None):
    if pressure_kpa is None:
        pressure_kpa = pressure_at_altitude_kpa(altitude_m=altitude_m)
    return saturation_mg_l(temp_c=temp_c, salinity_g_kg=salinity_g_kg, pressure_kpa=pressure_kpa)


def convert_hardness(**given):
    return ALKALINITY.from_base(
        ALKALINITY.to_base(given["value"], HARDNESS[given["from"]]), HARDNESS[given["to"]]
    )


def alkalinity_per_nitrogen(*, basis, process):
    given_back = {"nitrification": 0, "denitrification": 50, "plant_nitrate_uptake": 50}[process]
    return alkalinity_use_g_day(nitrogen_g_day=1, recovered_percent=given_back)


def net_alkalinity(
    *, nitrified_n_g, fraction_nitrate_denitrified, fraction_nitrate_taken_up_by_plants
):
    # one of the two equivalents comes back when the nitrate is taken up or denitrified
    back = 50 * (fraction_nitrate_denitrified + fraction_nitrate_taken_up_by_plants)
    return -alkalinity_use_g_day(nitrogen_g_day=nitrified_n_g, recovered_percent=back)


def settlers(*, flow_l_h, diameter_mm=1000, volume_l=200, settlers_parallel=1, settlers_series=1):
    return Settlers(
        flow_l_h=flow_l_h,
        volume_l=volume_l,
        area_m2=circle_area_m2(diameter_m=diameter_mm / 1000),
        vessels=max(settlers_parallel, settlers_series),
        parallel=settlers_parallel > 1,
        temp_c=20,
        particle_kg_m3=1050,
    )


def sinks(*, dynamic_viscosity_pa_s, particle_diameter_mm, c1=18, **given):
    assert c1 == 18
    return settling_velocity_mm_s(
        diameter_mm=particle_diameter_mm,
        kinematic_viscosity_m2_s=dynamic_viscosity_pa_s / given["water_density_kg_m3"],
        **given,
    )


def smallest(*, dynamic_viscosity_pa_s, overflow_rate_mm_s, **given):
    return smallest_caught_mm(
        overflow_mm_s=overflow_rate_mm_s,
        kinematic_viscosity_m2_s=dynamic_viscosity_pa_s / given["water_density_kg_m3"],
        **given,
    )


QUANTITIES = {
    "nh3_fraction": unionised_fraction,
    "nh4_pka": pka,
    "nh3_n_mg_l": lambda tan_mg_l, **water: tan_mg_l * unionised_fraction(**water),
    "max_tan_for_nh3_limit_mg_l": lambda nh3_n_limit_mg_l, **water: (
        nh3_n_limit_mg_l / unionised_fraction(**water)
    ),
    "epa2013_cmc_mg_tan_l": acute,
    "epa2013_ccc_mg_tan_l": chronic,
    "do_saturation_mg_l": saturation,
    "do_percent_saturation": lambda do_mg_l, **water: 100 * do_mg_l / saturation(**water),
    "pressure_kpa": pressure_at_altitude_kpa,
    "pressure_ratio_to_sea_level": lambda altitude_m: (
        pressure_at_altitude_kpa(altitude_m=altitude_m) / 101.325
    ),
    "station_pressure_kpa": lambda altitude_m, sea_level_pressure_kpa: (
        sea_level_pressure_kpa * pressure_at_altitude_kpa(altitude_m=altitude_m) / 101.325
    ),
    "alk_g_caco3_per_g_n": alkalinity_per_nitrogen,
    "alk_g_caco3_consumed": lambda nitrified_n_g: alkalinity_use_g_day(
        nitrogen_g_day=nitrified_n_g
    ),
    "base_g_to_replace_alk": lambda compound, nitrified_n_g, purity: (
        base_g(
            alkalinity_g=alkalinity_use_g_day(nitrogen_g_day=nitrified_n_g), base=BASE_IDS[compound]
        )
        / purity
    ),
    "net_alk_g_caco3": net_alkalinity,
    "alk_drop_mg_l_caco3": lambda nitrified_n_g, volume_l: (
        alkalinity_use_g_day(nitrogen_g_day=nitrified_n_g) * 1000 / volume_l
    ),
    "no2_from_no2_n_mg_l": lambda value_mg_l_n: (
        value_mg_l_n / nitrogen_from(mass=1, compound="NO2")
    ),
    "no3_from_no3_n_mg_l": lambda value_mg_l_n: (
        value_mg_l_n / nitrogen_from(mass=1, compound="NO3")
    ),
    "nh3_from_nh3_n_mg_l": lambda value_mg_l_n: (
        value_mg_l_n / nitrogen_from(mass=1, compound="NH3")
    ),
    "nh4_from_nh4_n_mg_l": lambda value_mg_l_n: (
        value_mg_l_n / nitrogen_from(mass=1, compound="NH4")
    ),
    "no2_n_from_no2_mg_l": lambda value_mg_l: nitrogen_from(mass=value_mg_l, compound="NO2"),
    "no3_n_from_no3_mg_l": lambda value_mg_l: nitrogen_from(mass=value_mg_l, compound="NO3"),
    "hardness_convert": convert_hardness,
    "alk_from_bicarbonate_mg_l_caco3": lambda hco3_mg_l: ALKALINITY.to_base(hco3_mg_l, "mg/L HCO3"),
    "retention_time_min": lambda **given: settlers(**given).minutes_each,
    "flow_per_settler_l_h": lambda **given: settlers(**given).flow_each_l_h,
    "total_retention_time_series_min": lambda **given: settlers(**given).minutes_total,
    "overflow_rate_m_h": lambda **given: settlers(**given).rise_m_h,
    "overflow_rate_series_m_h": lambda **given: settlers(**given).rise_m_h,
    "overflow_rate_mm_s": lambda **given: settlers(**given).rise_m_h / 3.6,
    "overflow_rate_gpm_ft2": lambda overflow_rate_m_s: OVERFLOW_RATE.from_base(
        overflow_rate_m_s * 3600, "gpm/ft2"
    ),
    "overflow_rate_m_d": lambda overflow_rate_m_s: OVERFLOW_RATE.from_base(
        overflow_rate_m_s * 3600, "m/day"
    ),
    "overflow_rate_from_area_m_d": lambda area_ft2_per_gpm: OVERFLOW_RATE.from_base(
        OVERFLOW_RATE.to_base(1 / area_ft2_per_gpm, "gpm/ft2"), "m/day"
    ),
    "settling_velocity_stokes_mm_s": lambda **given: sinks(c2=0, **given),
    "settling_velocity_ferguson_church_mm_s": sinks,
    "smallest_fully_captured_particle_mm": smallest,
    "tan_production_g_day": lambda feed_g_day, protein_pct: ammonia_nitrogen_g_day(
        feed_g_day=feed_g_day, protein_percent=protein_pct
    ),
    "nh3_mass_to_nitrogen_g": lambda nh3_g: nitrogen_from(mass=nh3_g, compound="NH3"),
    "alkalinity_consumed_g_caco3_day": lambda tan_g_n_day: alkalinity_use_g_day(
        nitrogen_g_day=tan_g_n_day
    ),
    "base_for_full_nitrification_g_day": lambda feed_g_day, protein_pct, base: base_g(
        alkalinity_g=FeedDay(feed_g_day, protein_pct).needed, base=BASE_IDS[base]
    ),
    "base_as_caco3_g": lambda base_g, base: base_g / BASES[BASE_IDS[base]].equivalent_g * 50.0434,
    "base_equivalents_mol": lambda base_g, base: base_g / BASES[BASE_IDS[base]].equivalent_g,
    "spoon_mass_g": lambda spoon_count, spoon_volume_ml, bulk_density_g_ml, heap_factor: (
        MASS.with_units(*spoon_units(bulk_density_g_ml)).to_base(spoon_count, "tsp")
        * spoon_volume_ml
        / 5
        * heap_factor
    ),
}
