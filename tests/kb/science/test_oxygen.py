"""Oxygen at saturation against an independent fit, and the known misprints.

Printed tables stand in tables/oxygen_saturation.csv and tables/barometric_pressure.csv.
"""

import gsw
import pytest
from fluids.atmosphere import ATMOSPHERE_1976
from hypothesis import given
from hypothesis import strategies as st

from kb.science.oxygen import pressure_at_altitude_kpa, saturation_mg_l

OXYGEN_G_MOL = 31.998


def gsw_mg_l(temp_c, salinity):
    # O2sol_SP_pt takes practical salinity and potential temperature (at the surface: the water's)
    # and gives µmol/kg (Garcia & Gordon 1992, a fit of their own to the measurements)
    absolute = gsw.SA_from_SP(salinity, 0, 0, 0)
    density = gsw.rho_t_exact(absolute, temp_c, 0)
    return gsw.O2sol_SP_pt(salinity, temp_c) * OXYGEN_G_MOL * density * 1e-6


@given(temp_c=st.floats(0, 40), salinity=st.floats(0, 40))
def test_saturation_agrees_with_the_gibbs_seawater_library(accuracy, temp_c, salinity):
    ours = saturation_mg_l(temp_c=temp_c, salinity_g_kg=salinity)

    accuracy.meets("oxygen saturation", "gsw", ours, gsw_mg_l(temp_c, salinity), rel=1e-3)


@given(altitude_m=st.floats(-500, 5000))
def test_pressure_agrees_with_the_us_standard_atmosphere_of_1976(accuracy, altitude_m):
    ours = pressure_at_altitude_kpa(altitude_m=altitude_m)
    theirs = ATMOSPHERE_1976(altitude_m).P / 1000

    accuracy.meets("air pressure by altitude", "fluids, atmosphere of 1976", ours, theirs, rel=1e-3)


@given(temp_c=st.floats(0, 39.9), salinity=st.floats(0, 39.9), pressure=st.floats(51, 111))
def test_warmth_and_salt_lower_it_and_pressure_raises_it(temp_c, salinity, pressure):
    here = saturation_mg_l(temp_c=temp_c, salinity_g_kg=salinity, pressure_kpa=pressure)

    assert here > saturation_mg_l(
        temp_c=temp_c + 0.1, salinity_g_kg=salinity, pressure_kpa=pressure
    )
    assert here > saturation_mg_l(
        temp_c=temp_c, salinity_g_kg=salinity + 0.1, pressure_kpa=pressure
    )
    assert here < saturation_mg_l(
        temp_c=temp_c, salinity_g_kg=salinity, pressure_kpa=pressure + 0.1
    )


@pytest.mark.parametrize(
    "beyond",
    [
        {"temp_c": -0.1},
        {"temp_c": 40.1},
        {"temp_c": 20, "salinity_g_kg": -0.1},
        {"temp_c": 20, "salinity_g_kg": 40.1},
        {"temp_c": 20, "pressure_kpa": 50},
        {"temp_c": 20, "pressure_kpa": 112},
        {"temp_c": float("nan")},
    ],
)
def test_what_lies_beyond_the_source_is_refused(beyond):
    with pytest.raises(ValueError, match="must be from"):
        saturation_mg_l(**beyond)


@pytest.mark.parametrize("altitude_m", [-501, 11_001, float("nan")])
def test_an_altitude_beyond_the_source_is_refused(altitude_m):
    with pytest.raises(ValueError, match="altitude_m"):
        pressure_at_altitude_kpa(altitude_m=altitude_m)


# EN 25814 as reprinted in an instrument maker's manual: 6 C prints 12.5, 7 C prints 12.2.
# A colorimeter manual (older solubility source): 2 C at 700 mm Hg prints 12.9.
@pytest.mark.parametrize(
    ("temp_c", "kpa", "misprint", "right"),
    [(6, 101.325, 12.5, 12.4), (7, 101.325, 12.2, 12.1), (2, 93.326, 12.9, 12.7)],
)
def test_misprinted_cells_are_not_reproduced(temp_c, kpa, misprint, right):
    ours = saturation_mg_l(temp_c=temp_c, pressure_kpa=kpa)

    assert ours == pytest.approx(right, abs=0.06)
    assert abs(ours - misprint) > 0.04


def test_salt_takes_oxygen_away_and_does_not_add_it():
    # one published script turns the sign of 0.017674: 10 g/kg would give 12.2 mg/L at 20 C
    assert saturation_mg_l(temp_c=20, salinity_g_kg=10) == pytest.approx(8.57, abs=0.005)
