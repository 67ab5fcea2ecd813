"""Heat against TEOS-10, the thermodynamic equation of seawater, at no salt.

Worked values stand in tables/heat.csv.
"""

import gsw
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.science.heat import (
    LATENT_KJ_KG,
    RAFFERTY_LATENT_KJ_KG,
    conduction_w,
    evaporation_w,
    heating_kwh,
    mean_power_w,
)


# heat content (enthalpy) per kilogram and density of fresh water: gsw, TEOS-10
@given(start=st.floats(0, 44), rise=st.floats(1, 45))
def test_the_energy_to_warm_fresh_water_is_that_of_teos_10(start, rise):
    end = min(start + rise, 45.0)
    joule_kg = gsw.enthalpy_t_exact(0, end, 0) - gsw.enthalpy_t_exact(0, start, 0)
    litre_kg = gsw.rho_t_exact(0, (start + end) / 2, 0) / 1000
    theirs = 1000 * litre_kg * joule_kg / 3.6e6

    assert heating_kwh(volume_l=1000, rise_c=end - start) == pytest.approx(theirs, rel=0.012)


@pytest.mark.parametrize(("temp_c", "within"), [(10, 0.015), (20, 0.003), (30, 0.015)])
def test_the_heat_of_evaporation_is_that_of_teos_10(temp_c, within):
    assert pytest.approx(gsw.latentheat_evap_t(0, temp_c) / 1000, rel=within) == LATENT_KJ_KG


# Rafferty, Geo-Heat Center chapter 15: about 1000 Btu for a pound evaporated
def test_the_handbooks_round_figure_is_a_little_lower():
    pound = pint.UnitRegistry()("1000 Btu / pound").to("kJ / kg").magnitude

    assert pytest.approx(pound, rel=1e-3) == RAFFERTY_LATENT_KJ_KG
    assert evaporation_w(evaporation_l_day=10, latent_kj_kg=RAFFERTY_LATENT_KJ_KG) < evaporation_w(
        evaporation_l_day=10
    )


# the British thermal unit warms a pound of water by one degree Fahrenheit (by its definition)
def test_a_pound_of_water_takes_one_btu_for_a_degree_fahrenheit():
    registry = pint.UnitRegistry()
    kwh = registry("1 Btu").to("kWh").magnitude

    assert heating_kwh(volume_l=0.45359237, rise_c=5 / 9) == pytest.approx(kwh, rel=0.003)


@given(kwh=st.floats(0, 1e5), hours=st.floats(0.1, 1000))
def test_the_power_brings_the_energy_in_that_time(kwh, hours):
    assert mean_power_w(energy_kwh=kwh, hours=hours) * hours / 1000 == pytest.approx(kwh)


@given(water=st.floats(0, 45), warmer=st.floats(0, 20))
def test_air_as_warm_as_the_water_takes_nothing(water, warmer):
    assert conduction_w(surface_m2=4, u_w_m2_k=3, water_c=water, air_c=water + warmer) == 0


def test_half_as_much_passed_is_half_the_loss():
    one = conduction_w(surface_m2=4, u_w_m2_k=3, water_c=26, air_c=12)

    assert conduction_w(surface_m2=4, u_w_m2_k=1.5, water_c=26, air_c=12) == pytest.approx(one / 2)
