"""Plant area: the ranges of two sources, both named."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.calculators.plant_area import PLANT_AREA


def run(**given):
    return PLANT_AREA.run({"feed": "200 g", "crop": "leafy"} | given)


def values(**given):
    return {name: amount.value for name, amount in run(**given).results.items()}


# FAO 589, chapter 8: leafy 40 to 50, fruiting 50 to 80 g of feed a m2 and day
@pytest.mark.parametrize(
    ("crop", "low", "high"), [("leafy", 4, 5), ("fruiting", 2.5, 4), ("mixed", 2.5, 5)]
)
def test_the_area_is_that_of_the_published_ratios(crop, low, high):
    got = values(crop=crop)

    assert (got["area_low"], got["area_high"]) == (low, high)


# Rakocy 2007: 1000 g/day at 60 is 16.7 m2; 200 m2 at 100 is 20 000 g/day
@pytest.mark.parametrize(
    ("feed", "name", "area"), [("1 kg", "raft_area_high", 16.7), ("20 kg", "raft_area_low", 200)]
)
def test_the_raft_guide_gives_its_own_area(feed, name, area):
    assert values(feed=feed)[name] == pytest.approx(area, abs=0.05)


def test_both_sources_are_named_with_their_ranges():
    words = run().results["area_low"].reading

    assert "4 to 5 m²" in words
    assert "FAO 589" in words
    assert "2 to 3.33 m² (Rakocy 2007)" in words
    assert any("from 2 to 5 m²" in doubt for doubt in run().doubts)


# FAO 589, chapter 8: 20 to 25 leafy, 4 to 8 fruiting plants on a m2
def test_the_plants_that_fill_the_area_are_counted():
    assert [values()[name] for name in ("plants_low", "plants_high")] == [80, 125]
    assert [values(crop="fruiting")[name] for name in ("plants_low", "plants_high")] == [10, 32]


def test_a_mix_has_no_number_of_plants_but_a_reason():
    assert values(crop="mixed")["plants_low"] is None
    assert "hangs on the mix" in run(crop="mixed").results["plants_low"].reading


# Rakocy 2007: nutrient film takes about a quarter of the raft ratio, so four times the area
def test_nutrient_film_needs_four_times_the_rafts():
    assert any("8 to 13.3 m²" in doubt for doubt in run().doubts)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"crop": "trees"}, "Crop: “trees” is not offered; choose leafy, fruiting, mixed."),
        ({"feed": "0"}, "Feed a day: 0 is outside what can be worked with, 1 to 1 000 000 g/day."),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(refused, given, words):
    found = refused(PLANT_AREA, {"feed": "200 g", "crop": "leafy"} | given)

    assert [message.replace("\u202f", " ") for _, message in found] == [words]


def test_the_crop_must_be_chosen(refused):
    assert [name for name, _ in refused(PLANT_AREA, {"feed": 200})] == ["crop"]


@given(feed=st.floats(1, 1e6), crop=st.sampled_from(["leafy", "fruiting", "mixed"]))
def test_more_feed_needs_more_plants(feed, crop):
    one, two = values(feed=feed, crop=crop), values(feed=min(feed * 2, 1e6), crop=crop)

    assert 0 < one["area_low"] <= one["area_high"] <= two["area_high"]


@given(data=st.data())
def test_whatever_is_given_is_answered_or_refused(odd_values, answer, data):
    answer(PLANT_AREA, {"feed": 200, "crop": "leafy"} | data.draw(odd_values(PLANT_AREA)))
