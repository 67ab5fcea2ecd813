"""Feed and planted area against FAO 589 and Rakocy 2007; rows of tables/ name their source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.science.nitrification import ammonia_nitrogen_g_day
from kb.science.plants import (
    FEED_PER_M2,
    RAFT_FEED_PER_M2,
    area_m2,
    middle_feed_per_m2,
    nitrogen_uptake_g_day,
)

TOPICS = ("plant_area",)
QUANTITIES = {
    "plant_area_m2": lambda feed_g_day, feed_rate_ratio_g_m2_day: area_m2(
        feed_g_day=feed_g_day, feed_per_m2=feed_rate_ratio_g_m2_day
    ),
    "feed_for_plant_area_g_day": lambda plant_area_m2, feed_rate_ratio_g_m2_day: (
        plant_area_m2 / area_m2(feed_g_day=1, feed_per_m2=feed_rate_ratio_g_m2_day)
    ),
}


def test_a_published_value_is_met(table_row):
    got = QUANTITIES[table_row.quantity](**table_row.given)

    assert got == pytest.approx(table_row.expected, abs=table_row.allowed), table_row.source


# FAO 589, chapter 8: leafy 40 to 50, fruiting 50 to 80; Rakocy 2007: rafts 60 to 100
def test_the_ratios_are_those_of_the_sources():
    assert FEED_PER_M2["leafy"] == (40, 50)
    assert FEED_PER_M2["fruiting"] == (50, 80)
    assert RAFT_FEED_PER_M2 == (60, 100)


def test_a_mix_reaches_from_the_leafy_to_the_fruiting_end():
    assert FEED_PER_M2["mixed"] == (FEED_PER_M2["leafy"][0], FEED_PER_M2["fruiting"][1])


@pytest.mark.parametrize("crop", FEED_PER_M2)
def test_the_middle_lies_half_way(crop):
    low, high = FEED_PER_M2[crop]

    assert middle_feed_per_m2(crop=crop) - low == high - middle_feed_per_m2(crop=crop)


@given(area=st.floats(0.1, 1e5), ratio=st.floats(15, 100))
def test_plants_take_up_what_the_feed_they_balance_gives_off(area, ratio):
    # the ratios are made for feed of 32 % protein (FAO 589, chapter 8)
    taken = nitrogen_uptake_g_day(plant_area_m2=area, feed_per_m2=ratio)
    given_off = ammonia_nitrogen_g_day(feed_g_day=area * ratio, protein_percent=32)

    assert taken == pytest.approx(given_off)
    assert area_m2(feed_g_day=area * ratio, feed_per_m2=ratio) == pytest.approx(area)
