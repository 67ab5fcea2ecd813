"""Feed ration: FAO 589's rates, the trout chart, and nothing where fish do not eat."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.calculators.feed_ration import FEED_RATION
from kb.science.feed import SPECIES

FISH = {"fish_count": 30, "mean_weight": "250 g", "species": "tilapia", "temperature": 28}


def run(**given):
    return FEED_RATION.run(FISH | given)


def values(**given):
    return {name: amount.value for name, amount in run(**given).results.items()}


def reading(name, **given):
    return run(**given).results[name].reading


# Somerville et al. 2014, FAO 589, 7.2: 1 to 2 % of body weight; 30 fish of 250 g at 1.5 %
def test_grown_tilapia_in_warm_water_get_1_to_2_percent():
    assert values() == {
        "biomass": 7.5, "rate": 1.5, "ration": 112.5, "ration_low": 75, "ration_high": 150,
        "verdict": "feed",
    }  # fmt: skip


# Leitritz & Lewis 1980: 50 F, 3 to 4 inches 2.7 %; 59 F, 5 to 6 inches 2.3 %
@pytest.mark.parametrize(
    ("temperature", "length", "rate"), [("50 F", "3.5 in", 2.7), ("59 F", "14 cm", 2.3)]
)
def test_trout_of_a_known_length_get_the_rate_of_the_chart(temperature, length, rate):
    got = values(species="trout", temperature=temperature, length=length, mean_weight=20)

    assert (got["rate"], got["ration"]) == (pytest.approx(rate), pytest.approx(6 * rate))


def test_without_a_length_the_trout_ration_says_it_is_a_middle():
    report = run(species="trout", temperature=12)

    assert report.doubts[0].startswith("Without the length of the trout")
    assert report.results["ration_low"].value < report.results["ration_high"].value


# FAO 589, 7.4: tilapia do not feed below 17 C and die below 12 C; table 7.1; NSW: trout above
# 19 C; Business Queensland: jade perch stop at 16 C
@pytest.mark.parametrize(
    ("species", "temperature", "why"),
    [
        ("tilapia", 16.9, "tilapia do not feed under 17 °C"),
        ("tilapia", "96.9 F", "at the end of their range at 36 °C"),
        ("trout", 19.1, "trout are stressed above 19 °C"),
        ("trout", 4.9, "off the feed chart under 5 °C"),
        ("carp", 3.9, "at the end of their range at 4 °C"),
        ("catfish", 4.9, "eat poorly under 21 °C"),
        ("barramundi", 17.9, "at the end of their range at 18 °C"),
        ("barramundi", 34.1, "at the end of their range at 34 °C"),
        ("perch", 15.9, "jade perch stop feeding at 16 °C, silver perch eat a little"),
        ("other-warm", 16, "(as tilapia) do not feed under 17 °C"),
        ("other-cool", 20, "(as trout) are stressed above 19 °C"),
    ],
)
def test_outside_the_feeding_range_there_is_no_feed_and_a_reason(species, temperature, why):
    report = run(species=species, temperature=temperature)
    words = report.results["verdict"].reading

    assert report.results["ration"].value == 0
    assert report.results["verdict"].value == "stop feeding"
    assert words.startswith("Stop feeding at")
    assert why in words


def test_a_rate_of_ones_own_does_not_feed_fish_that_do_not_eat():
    assert values(temperature=15, rate=2)["ration"] == 0


def test_a_rate_of_ones_own_is_taken_and_the_tables_named():
    report = run(rate="2.5 %")

    assert report.results["ration"].value == 187.5
    assert report.doubts[0] == "The tables here would give 112 g a day."


# hatchery advice (weak): poor feeding below 70 F
def test_catfish_are_said_to_feed_poorly_under_70_f():
    assert "feed poorly" in reading("verdict", species="catfish", temperature="69 F")
    assert "feed poorly" not in reading("verdict", species="catfish", temperature="71 F")


def test_between_12_and_16_degrees_the_high_end_is_for_silver_perch():
    cool = run(species="perch", temperature=14).results

    assert (cool["ration"].value, cool["ration_high"].value) == (0, 37.5)
    assert "silver perch; jade perch eat nothing" in cool["ration_high"].reading


def test_the_difference_of_the_two_perch_is_told():
    told = " ".join(run(species="perch").doubts)

    assert "Jade perch stop feeding at 16 °C and die at 13 °C" in told
    assert "Queensland" in told
    assert "New South Wales" in told


def test_disagreeing_sources_on_barramundi_are_both_named():
    told = " ".join(run(species="barramundi", temperature=32).doubts)

    assert "26 to 29 °C" in told
    assert "Katersky & Carter 2007" in told


def test_young_fish_get_a_wide_range_and_the_bag_has_the_word():
    report = run(mean_weight="10 g")

    assert (report.results["ration_low"].value, report.results["ration_high"].value) == (6, 45)
    assert "table on the feed bag" in report.doubts[0]


@pytest.mark.parametrize("temperature", [9, 18.5])
def test_trout_at_the_edge_of_their_range_are_given_less(temperature):
    # FAO 589, table 7.1: rainbow trout 10 to 18 C
    assert values(species="trout", temperature=temperature)["verdict"] == "feed less"


def test_law_on_species_is_named():
    assert "species-law" in run().cautions


def test_every_species_offered_is_known():
    assert set(FEED_RATION.input("species").ids) == set(SPECIES)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"fish_count": 2.5}, "Fish: 2.5 must be a whole number, 1 to 1 000 000."),
        (
            {"species": "shark"},
            "Species: “shark” is not offered; choose tilapia, trout, carp, catfish, barramundi, "
            "perch, other-warm, other-cool.",
        ),
        (
            {"temperature": 60},
            "Water temperature: 60 is outside what can be worked with, 0 to 45 °C.",
        ),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(refused, given, words):
    found = refused(FEED_RATION, FISH | given)

    assert [message.replace("\u202f", " ") for _, message in found] == [words]


@given(
    species=st.sampled_from(sorted(SPECIES)),
    temperature=st.floats(0, 45),
    weight=st.floats(0.1, 20_000),
)
def test_the_ration_lies_within_its_range_and_is_0_only_with_a_stop(species, temperature, weight):
    got = values(species=species, temperature=temperature, mean_weight=weight)

    assert got["ration_low"] <= got["ration"] <= got["ration_high"]
    assert (got["ration"] == 0) == (got["verdict"] == "stop feeding")


@given(data=st.data())
def test_whatever_is_given_is_answered_or_refused(odd_values, answer, data):
    answer(FEED_RATION, FISH | data.draw(odd_values(FEED_RATION)))
