"""What fish eat, against the feed chart of trout and FAO 589; rows of tables/ name their source."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.science.feed import (
    SPECIES,
    appetite,
    chart_column,
    feeding_rates,
    ration_g_day,
    trout_percent,
)
from kb.science.nitrification import (
    nitrate_rise_mg_l,
    nitrification_oxygen_g_day,
    nitrogen_from,
)
from kb.science.wastes import carbon_dioxide_g_day, fao_ammonia_nh3_g_day

TOPICS = ("feeding", "feed_wastes")


def chart(*, species, temp_f, length_in_min, length_in_max):
    assert species == "rainbow_trout"
    middle_cm = (length_in_min + min(length_in_max, 12)) / 2 * 2.54
    celsius = (temp_f - 32) * 5 / 9
    return trout_percent(temp_c=celsius, column=chart_column(length_cm=middle_cm))


QUANTITIES = {
    "daily_feed_g": lambda fish_count, mean_weight_g, feed_rate_pct_bw_day: ration_g_day(
        fish_count=fish_count, mean_weight_g=mean_weight_g, rate_percent=feed_rate_pct_bw_day
    ),
    "fish_biomass_supported_kg": lambda feed_g_day, feed_rate_pct_bw_day: (
        feed_g_day
        / ration_g_day(fish_count=1, mean_weight_g=1000, rate_percent=feed_rate_pct_bw_day)
    ),
    "feed_rate_pct_bw_day": chart,
    "ammonia_fao_budget_g_nh3_day": lambda feed_g_day, protein_pct: fao_ammonia_nh3_g_day(
        feed_g_day=feed_g_day, protein_percent=protein_pct
    ),
    "nh3_mass_to_nitrogen_g": lambda nh3_g: nitrogen_from(mass=nh3_g, compound="NH3"),
    "oxygen_demand_nitrification_g_day": lambda tan_g_n_day: nitrification_oxygen_g_day(
        nitrogen_g_day=tan_g_n_day
    ),
    "carbon_dioxide_from_oxygen_g_day": carbon_dioxide_g_day,
}


def test_a_published_value_is_met(table_row):
    got = QUANTITIES[table_row.quantity](**table_row.given)

    assert got == pytest.approx(table_row.expected, abs=table_row.allowed), table_row.source


# Somerville et al. 2014, FAO 589, sections 7.2 and 7.4, table 7.1: best range and feeding limit
@pytest.mark.parametrize(
    ("species", "best"),
    [("tilapia", (27, 30)), ("carp", (25, 30)), ("catfish", (24, 30)), ("barramundi", (26, 29))],
)
def test_a_species_eats_its_fill_over_all_of_its_best_range(species, best):
    assert [SPECIES[species].share(temp_c) for temp_c in best] == [1, 1]
    assert SPECIES[species].share(best[0] - 1) < 1
    assert SPECIES[species].share(best[1] + 1) < 1


# FAO 589, 7.4: tilapia do not feed below 17 C; Business Queensland: jade perch stop at 16 C;
# NSW DPIRD: trout stressed above 19 C; table 7.1: vital ranges
@pytest.mark.parametrize(
    ("species", "from_c", "to_c"),
    [
        ("tilapia", 17, 36),
        ("perch", 16, 35),
        ("trout", 5, 19),
        ("carp", 4, 34),
        ("catfish", 5, 34),
        ("barramundi", 18, 34),
    ],
)
def test_nothing_is_fed_outside_the_feeding_range(species, from_c, to_c):
    for temp_c in (from_c - 0.1, to_c + 0.1):
        assert SPECIES[species].share(temp_c) == 0
        assert feeding_rates(species=species, temp_c=temp_c, weight_g=200).usual == 0
    for temp_c in (from_c + 0.1, to_c - 0.1):
        assert feeding_rates(species=species, temp_c=temp_c, weight_g=200).usual > 0


# FAO 589, 7.2: 1 to 2 % of body weight a day, above 50 g
@pytest.mark.parametrize("species", ["tilapia", "carp", "barramundi", "perch"])
def test_grown_fish_eat_1_to_2_percent_in_their_best_range(species):
    rates = feeding_rates(species=species, temp_c=28, weight_g=50)

    assert (rates.low, rates.high) == (1, 2)


# hatchery advice (weak): catfish feed poorly below 70 F, much reduced at 50 F
def test_catfish_eat_half_at_70_f_and_hardly_at_50_f():
    rates = {
        fahrenheit: feeding_rates(species="catfish", temp_c=(fahrenheit - 32) / 1.8, weight_g=200)
        for fahrenheit in (50, 70, 80)
    }

    assert rates[70].usual == pytest.approx(rates[80].usual / 2)
    assert 0 < rates[50].usual < rates[80].usual / 5


# Business Queensland: negligible growth of silver perch below 12 C, jade perch stop at 16 C
def test_only_silver_perch_eat_between_12_and_16_degrees():
    cool = feeding_rates(species="perch", temp_c=14, weight_g=200)

    assert (cool.low, cool.usual) == (0, 0)
    assert cool.high == pytest.approx(2 * 2 / 8)


# Katersky & Carter 2007: juvenile barramundi ate most at 32.8 C; FAO 589: best at 26 to 29 C
def test_the_high_end_for_warm_barramundi_follows_the_trial():
    warm = feeding_rates(species="barramundi", temp_c=32.8, weight_g=200)

    assert warm.high == 2
    assert warm.usual < 0.5


# SRAC 282: tilapia fry 15 % a day at day 30; FAO 589: 1 to 2 % above 50 g
def test_young_fish_are_given_more_and_a_wide_range():
    young = feeding_rates(species="tilapia", temp_c=28, weight_g=49)

    assert (young.low, young.high) == (2, 15)
    assert young.low < young.usual < young.high


def test_trout_without_a_length_get_the_range_of_the_columns_that_may_fit():
    # the chart at 50 F: 1.4 % at 6 to 7 inches, 0.9 % over 10; 4.3 % at 1 to 2 inches
    grown = feeding_rates(species="trout", temp_c=10, weight_g=200)
    young = feeding_rates(species="trout", temp_c=10, weight_g=20)

    assert (grown.low, grown.high) == (0.9, 1.4)
    assert (young.low, young.high) == (1.4, 4.3)


def test_between_two_rows_of_the_chart_the_rate_lies_between_theirs():
    # 47.5 F is half-way between 45 and 50 F: 2.1 and 2.7 % at 3 to 4 inches
    assert trout_percent(temp_c=(47.5 - 32) / 1.8, column=3) == pytest.approx(2.4)


@pytest.mark.parametrize("fahrenheit", [40.9, 65.1])
def test_the_chart_is_not_read_beyond_its_ends(fahrenheit):
    with pytest.raises(ValueError, match="must be from 5 to"):
        trout_percent(temp_c=(fahrenheit - 32) / 1.8, column=3)


@pytest.mark.parametrize(("length_cm", "column"), [(2.5, 0), (2.54, 1), (25.3, 9), (90, 10)])
def test_a_length_finds_its_column(length_cm, column):
    assert chart_column(length_cm=length_cm) == column


@pytest.mark.parametrize("species", SPECIES)
def test_lines_of_appetite_rise_in_temperature_and_stay_within_0_and_1(species):
    for line in filter(None, (SPECIES[species].line, SPECIES[species].other)):
        assert all(cold < warm for (cold, _), (warm, _) in pairwise(line))
        assert all(0 <= share <= 1 for _, share in line)


@given(
    species=st.sampled_from(sorted(SPECIES)),
    temp_c=st.floats(0, 45),
    weight_g=st.floats(0.1, 20_000),
    length_cm=st.none() | st.floats(1, 150),
)
def test_the_usual_rate_lies_within_its_range(species, temp_c, weight_g, length_cm):
    rates = feeding_rates(species=species, temp_c=temp_c, weight_g=weight_g, length_cm=length_cm)

    assert 0 <= rates.low <= rates.usual <= rates.high <= 15


@given(temp_c=st.floats(0, 45), step=st.floats(0, 0.01))
def test_appetite_never_jumps_but_at_the_ends(temp_c, step):
    line = SPECIES["tilapia"].line
    change = appetite(temp_c=temp_c + step, line=line) - appetite(temp_c=temp_c, line=line)

    assert abs(change) <= step / 6 + 1e-12  # its steepest part falls from 30 to 36 C


# 1 mg/L of N is 4.427 mg/L of NO3 (molar masses); 5.888 g N in 1000 L make 26.06 mg/L
def test_nitrate_rises_by_the_nitrogen_over_the_volume():
    assert nitrate_rise_mg_l(nitrogen_g_day=5.888, volume_l=1000) == pytest.approx(26.064, rel=1e-4)
