"""The balance as it is told: values of worked examples, which limit binds, and why."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.calculators.balance import BALANCE
from kb.calculators.base_demand import BASE_DEMAND
from kb.errors import InputErrors

# FAO 589, appendix 4 and chapter 8: 200 g of 32 % feed, 13.2 m2 of filter, 4 m2 of lettuce
SCHOOL = {
    "volume": "2000 L", "flow": "2000 L/h", "feed": "200 g", "protein": 32, "temperature": 20,
    "ph": 7, "biofilter_surface": 13.2, "plant_area": 4, "crop": "leafy",
}  # fmt: skip
SIGNED = {"oxygen_margin", "nitrate_trend"}


def run(**given):
    return BALANCE.run(SCHOOL | given)


def values(**given):
    return {name: amount.value for name, amount in run(**given).results.items()}


def reading(name, **given):
    return run(**given).results[name].reading


# FAO 589, appendix 4: 13.2 m2 is the filter for 200 g of feed, at 0.57 g NH3/m2/day; it reckons
# 5 % more ammonia
def test_the_worked_filter_carries_its_feed():
    assert values()["feed_by_filter"] == pytest.approx(200, rel=0.06)


# FAO 589: 4 m2 and 200 g/day at 50 g/m2; the middle of 40 to 50 is 45
def test_the_worked_plants_carry_their_feed_within_the_published_range():
    assert 4 * 40 <= values()["feed_by_plants"] <= 4 * 50


# 5.888 g N/day: 26.9 g O2 (4.57), 42.04 g CaCO3 (7.14), 26.06 mg/L NO3 in 1000 L
def test_without_plants_all_nitrogen_ends_as_nitrate():
    got = values(plant_area=0, volume=1000, oxygen_supply=200)

    assert got["nitrate_trend"] == pytest.approx(26.064, rel=1e-3)
    assert got["alkalinity_use"] == pytest.approx(42.04, rel=2e-3)
    assert got["oxygen_use"] == pytest.approx(100 + 26.908, rel=1e-3)
    assert got["oxygen_margin"] == pytest.approx(200 - 126.908, rel=1e-3)


@pytest.mark.parametrize(("plant_area", "given_back"), [(0, 0), (100, 50)])
def test_alkalinity_agrees_with_the_calculator_of_base_demand(plant_area, given_back):
    base = BASE_DEMAND.run({"feed": 200, "protein": 32, "recovered": given_back})

    assert values(plant_area=plant_area)["alkalinity_use"] == pytest.approx(
        base.results["alkalinity_use"].value
    )


def test_the_top_up_takes_its_share_of_the_alkalinity():
    got = values(plant_area=0, top_up="50 L/day", top_up_alkalinity=200)

    assert got["alkalinity_to_add"] == pytest.approx(got["alkalinity_use"] - 10)
    assert values(top_up=1000, top_up_alkalinity=1000)["alkalinity_to_add"] == 0


# at 1 mg/L the power of TAN is 1, so the filter works at the rate given, 0.57 g NH3/m2/day
def test_at_1_mg_l_in_the_filter_a_square_metre_takes_up_the_rate_given():
    surface = 5.888 * 17.031 / 14.007 / 0.57
    got = values(biofilter_surface=surface, flow=1_000_000)

    assert got["tan_steady"] == pytest.approx(1, rel=1e-3)


# Emerson et al. 1975: at pH 7.9 and 27 C 4.93 % is un-ionised
def test_un_ionised_ammonia_is_its_published_share():
    got = values(ph=7.9, temperature=27)

    assert got["unionised_steady"] / got["tan_steady"] == pytest.approx(0.0493, abs=1e-4)


# 1 mg/L (Hager et al. 2021: act above it), or 0.02 mg/L un-ionised (common practice): at pH 7.9
# and 27 C 0.02 / 0.0493 = 0.41
@pytest.mark.parametrize(("ph", "limit"), [(7, 1), (7.9, 0.4057)])
def test_what_is_allowed_is_the_stricter_of_two_lines(ph, limit):
    assert values(ph=ph, temperature=27)["tan_limit"] == pytest.approx(limit, rel=2e-3)


@pytest.mark.parametrize(
    ("given", "limit", "words"),
    [
        ({"plant_area": 0}, "ammonia", "the filter"),
        ({"plant_area": 0, "flow": 150}, "turnover", "the flow"),
        ({"oxygen_supply": 60}, "oxygen", "the oxygen"),
        ({"plant_area": 2}, "plants", "the plants"),
    ],
)
def test_each_limit_is_named_when_it_binds(given, limit, words):
    report = run(**given)

    assert report.results["limit"].value == limit
    assert f"what binds first is {words}" in report.results["limit"].reading
    assert report.results["limit"].reading.endswith("The feed is over it.")


@pytest.mark.parametrize(
    "given",
    [{"plant_area": 0}, {"plant_area": 0, "flow": 150}, {"plant_area": 0, "ph": 8.2}],
)
def test_fed_at_its_most_the_tank_settles_just_at_the_limit(given):
    most = values(**given)["feed_max"]
    got = values(**given, feed=most)

    assert got["tan_steady"] == pytest.approx(got["tan_limit"], rel=1e-6)
    assert got["feed_max"] == pytest.approx(most)


def test_fed_at_its_most_the_air_is_just_used_up():
    most = values(oxygen_supply=60)["feed_max"]

    assert values(oxygen_supply=60, feed=most)["oxygen_margin"] == pytest.approx(0, abs=1e-6)


def test_fed_at_its_most_the_plants_hold_nitrate_where_it_is():
    most = values(plant_area=2)["feed_max"]
    report = run(plant_area=2, feed=most)

    assert report.results["nitrate_trend"].value == pytest.approx(0, abs=1e-6)
    assert "stays about where it is" in report.results["nitrate_trend"].reading


def test_too_little_air_is_a_negative_margin_said_in_words():
    report = run(oxygen_supply=50)

    assert report.results["oxygen_margin"].value < 0
    assert report.results["oxygen_margin"].reading.startswith("76.9 g of oxygen a day are missing")


def test_more_plants_than_feed_make_nitrate_fall():
    report = run(plant_area=20)

    assert report.results["nitrate_trend"].value < 0
    assert report.results["nitrate_trend"].reading.startswith("Nitrate (as NO3) falls")


def test_an_overrun_filter_is_no_number_but_a_sentence():
    report = run(biofilter_surface=1)

    assert report.results["tan_steady"].value is None
    assert report.results["unionised_steady"].value is None
    assert report.results["tan_steady"].reading.startswith("Ammonia does not settle")
    assert "never-raise-ph-with-ammonia" in report.cautions


def test_air_that_is_not_given_is_not_reckoned_with():
    report = run()

    assert report.results["oxygen_margin"].value is None
    assert report.results["oxygen_margin"].reading.startswith("Give the oxygen")
    assert "no oxygen supply was given" in report.results["feed_by_oxygen"].reading


def test_without_plants_it_says_that_nitrate_leaves_with_water():
    assert "nitrate has to leave with water changes" in reading("feed_by_plants", plant_area=0)


# the settler of the reference takes 65 to 85 % of solids; a fifth of feed nitrogen is undigested
def test_solids_that_rot_add_to_the_ammonia():
    clean, dirty = values(plant_area=0), values(plant_area=0, solids_removed=65)

    # 0.35 x 0.2 x 0.16 of the protein on top of 0.092
    more = 1 + 0.35 * 0.2 * 0.16 / 0.092
    assert dirty["nitrate_trend"] / clean["nitrate_trend"] == pytest.approx(more)
    assert dirty["feed_max"] < clean["feed_max"]


def test_nitrate_lost_as_gas_gives_alkalinity_back():
    # US EPA 1975: 3.57 of 7.14 g
    got, all_of_it = values(plant_area=0, denitrified=80), values(plant_area=0)

    assert got["nitrate_trend"] == pytest.approx(0.2 * all_of_it["nitrate_trend"])
    assert got["alkalinity_use"] == pytest.approx(0.6 * all_of_it["alkalinity_use"])


def test_every_term_of_the_balance_is_a_step():
    told = " ".join(step.formula for step in run(oxygen_supply=200).steps)

    for term in (
        "nitrogen of the feed", "ammonia of the fish", "solids", "ammonia for the filter",
        "rate of the filter", "TAN allowed", "TAN in the filter", "TAN in the tank", "un-ionised",
        "oxygen used", "oxygen left", "nitrogen that the plants", "nitrate =", "alkalinity used",
        "feed by flow", "feed by surface", "feed by oxygen", "feed by plants", "most feed",
    ):  # fmt: skip
        assert term in told, term


def test_disagreeing_figures_are_run_through_again():
    told = " ".join(run(ph=6.7, temperature=25).doubts)

    for words in ("FAO 589 names 0.2 to 2", "1.09 (Rusten 2006)", "pH 6.7", "Rakocy 2007", "65 %"):
        assert words in told


def test_a_speck_of_plants_is_refused(refused):
    assert refused(BALANCE, SCHOOL | {"plant_area": 1e-6}) == [
        (
            "plant_area",
            "Planted area: 1e-06 m² is too little to reckon with; give 0 for no plants, "
            "or 0.01 to 1000000 m².",
        )
    ]


def test_all_bad_inputs_are_named_together(refused):
    given = {"feed": "much", "ph": 12, "flow": "", "crop": "trees"}

    assert {name for name, _ in refused(BALANCE, SCHOOL | given)} == set(given)


@given(feed=st.floats(1, 1e5), more=st.floats(1, 5))
def test_more_feed_never_lowers_ammonia_or_the_use_of_oxygen(feed, more):
    one, two = values(feed=feed), values(feed=feed * more)

    assert (two["tan_steady"] or math.inf) >= (one["tan_steady"] or math.inf) * (1 - 1e-9)
    assert two["oxygen_use"] >= one["oxygen_use"] * (1 - 1e-9)
    assert two["feed_max"] == pytest.approx(one["feed_max"])


@given(data=st.data())
def test_whatever_is_given_is_answered_or_refused(odd_values, data):
    raw = SCHOOL | data.draw(odd_values(BALANCE))
    problems, results = outcome(raw)

    assert bool(problems) != bool(results)
    assert all(problem.message.endswith((".", "?")) for problem in problems)
    for name, amount in results.items():
        assert amount.reading.strip(), name
        assert "None" not in amount.reading, name
        if isinstance(amount.value, float):
            assert math.isfinite(amount.value), name
            assert amount.value >= 0 or name in SIGNED, name


def outcome(raw):
    try:
        report = BALANCE.run(raw)
    except InputErrors as errors:
        return errors.problems, {}
    assert report.as_text()
    assert report.as_json()
    return (), report.results
