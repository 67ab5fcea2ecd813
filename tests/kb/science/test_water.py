"""Density and viscosity of water against an independent library and printed tables."""

import gsw
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.science.water import density_kg_m3, dynamic_viscosity_pa_s, kinematic_viscosity_m2_s


@given(temp_c=st.floats(0, 40))
def test_density_agrees_with_the_gibbs_seawater_library_at_no_salt(temp_c):
    assert density_kg_m3(temp_c=temp_c) == pytest.approx(
        float(gsw.rho_t_exact(0, temp_c, 0)), abs=0.01
    )


# London South Bank University, Water structure and science, table of water data (dynamic
# viscosity in cP to three decimals; it quotes the measured values)
@pytest.mark.parametrize(
    ("temp_c", "millipascal_s"),
    [(0, 1.792), (10, 1.307), (20, 1.002), (30, 0.797), (40, 0.653), (50, 0.547)],
)
def test_viscosity_agrees_with_a_table_of_water_data(temp_c, millipascal_s):
    assert dynamic_viscosity_pa_s(temp_c=temp_c) * 1000 == pytest.approx(millipascal_s, abs=0.0012)


# Encyclopedia of Environmental Science and Engineering, appendix table 2, after the International
# Critical Tables of 1928-29, whose viscosities are known to be some 0.7 % high at 20 C
@pytest.mark.parametrize(
    ("temp_c", "millipascal_s"),
    [(5, 1.5188), (15, 1.1447), (20, 1.0087), (25, 0.8949), (30, 0.8004), (35, 0.7208)],
)
def test_viscosity_stays_near_the_older_table(temp_c, millipascal_s):
    assert dynamic_viscosity_pa_s(temp_c=temp_c) * 1000 == pytest.approx(millipascal_s, rel=0.008)


def test_kinematic_viscosity_is_the_one_engineers_use_at_20_degrees():
    # water-treatment and pipe tables print 1.004e-6 m2/s
    assert kinematic_viscosity_m2_s(temp_c=20) == pytest.approx(1.004e-6, rel=0.001)


@given(temp_c=st.floats(0, 49.9))
def test_water_gets_thinner_as_it_warms(temp_c):
    assert dynamic_viscosity_pa_s(temp_c=temp_c + 0.1) < dynamic_viscosity_pa_s(temp_c=temp_c)


def test_water_is_heaviest_near_4_degrees():
    heaviest = max(range(0, 500), key=lambda tenths: density_kg_m3(temp_c=tenths / 10))

    assert 39 <= heaviest <= 41


@pytest.mark.parametrize("temp_c", [-0.1, 50.1, float("nan")])
def test_a_temperature_beyond_the_source_is_refused(temp_c):
    with pytest.raises(ValueError, match="temp_c"):
        density_kg_m3(temp_c=temp_c)
    with pytest.raises(ValueError, match="temp_c"):
        dynamic_viscosity_pa_s(temp_c=temp_c)
