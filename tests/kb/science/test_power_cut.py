"""The oxygen fish use, against measured fish, and how long it lasts."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.science.power_cut import AFTER_FEED, AT_MOST, minutes_left, resting_use_mg_kg_h


# Nile tilapia at rest: 79.8 mg/kg/h at 18 C, 255.1 at 38 C, 1.79 times for 10 C (Journal of
# Thermal Biology 2022, 105:103206, abstract)
@pytest.mark.parametrize(("temp_c", "measured"), [(18, 79.8), (38, 255.1)])
def test_resting_tilapia_use_what_was_measured(temp_c, measured):
    assert resting_use_mg_kg_h(temp_c=temp_c) == pytest.approx(measured, rel=0.005)


# the same abstract: flat out 240.5 mg/kg/h at 18 C, at most 373.8 at 30 C
@pytest.mark.parametrize(("temp_c", "measured"), [(18, 240.5), (30, 373.8)])
def test_three_times_the_rest_covers_tilapia_flat_out(temp_c, measured):
    most = AT_MOST * resting_use_mg_kg_h(temp_c=temp_c)

    assert 0.99 * measured < most < 1.35 * measured


# Southern catfish at 27.5 C peaked at 207.8 to 378.8 mg/kg/h after meals of 0.5 to 4 % of their
# weight, on 175.4 + 47.3 x meal (Fu and others 2005, Journal of Fish Biology, abstract)
@pytest.mark.parametrize("peak", [207.8, 378.8])
def test_fed_catfish_lie_between_rest_and_flat_out(peak):
    resting = resting_use_mg_kg_h(temp_c=27.5)

    assert resting < peak < AT_MOST * resting


def test_the_use_counted_on_is_that_of_catfish_after_a_middling_meal():
    # 175.4 + 47.3 x 2 for a meal of 2 % of their weight (Fu and others 2005)
    counted = AFTER_FEED * resting_use_mg_kg_h(temp_c=27.5)

    assert counted == pytest.approx(175.4 + 47.3 * 2, rel=0.05)


# Turbot at their most used 107 mg/kg/h at 6 C and 218 at 18 C: about twice for 12 C (Journal of
# Fish Biology 2002, abstract); northern pikeminnow at rest 2.96 times for 10 C (Canadian Journal
# of Fisheries and Aquatic Sciences 1994, 51:8-12, abstract)
def test_the_rise_with_temperature_is_like_that_of_other_fish():
    ours = resting_use_mg_kg_h(temp_c=18) / resting_use_mg_kg_h(temp_c=6)

    assert 0.9 * 218 / 107 < ours < 2.96**1.2


@pytest.mark.parametrize("temp_c", [-0.1, 40.1, float("nan")])
def test_water_no_fish_lives_in_is_refused(temp_c):
    with pytest.raises(ValueError, match="from 0 to 40"):
        resting_use_mg_kg_h(temp_c=temp_c)


@given(
    volume=st.floats(1, 1e6),
    biomass=st.floats(0.001, 1e5),
    oxygen=st.floats(0, 20),
    critical=st.floats(0, 20),
    use=st.floats(1, 5000),
)
def test_what_the_fish_use_in_that_time_is_what_was_to_spare(
    volume, biomass, oxygen, critical, use
):
    minutes = minutes_left(
        volume_l=volume,
        biomass_kg=biomass,
        oxygen_mg_l=oxygen,
        critical_mg_l=critical,
        use_mg_kg_h=use,
    )
    used_mg_l = minutes / 60 * use * biomass / volume

    assert used_mg_l == pytest.approx(max(0, oxygen - critical), abs=1e-9)
