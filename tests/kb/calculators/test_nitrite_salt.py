"""Salt against nitrite: published ratios, what the kit reads as, and what plants bear."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.calculators.model import Report
from kb.calculators.nitrite_salt import NITRITE_SALT

WEEK = {"volume": "1000 L", "nitrite": "2 mg/L", "nitrite_as": "NO2"}


def report(**changes):
    return NITRITE_SALT.run(WEEK | changes)


def values(**changes):
    return {name: amount.value for name, amount in report(**changes).results.items()}


# extension texts for catfish: at least ten parts of chloride to one of nitrite by weight; 1.65 g of
# salt hold 1 g of chloride (atomic weights)
def test_ten_parts_to_one_by_weight():
    got = values()

    assert got["chloride_needed"] == pytest.approx(20)
    assert got["salt"] == pytest.approx(20 * 1.6485, rel=1e-3)


# NO2 = 3.284 x NO2-N (atomic weights)
def test_a_kit_that_reads_as_nitrogen_takes_three_times_the_salt():
    assert values(nitrite_as="N")["salt"] == pytest.approx(3.284 * values()["salt"], rel=1e-3)


def test_without_a_word_about_the_kit_nitrogen_is_taken():
    given = {"volume": 1000, "nitrite": 2}

    assert NITRITE_SALT.run(given).results["salt"].value == values(nitrite_as="N")["salt"]


def test_chloride_that_is_there_is_taken_off():
    assert values(chloride=15)["chloride_needed"] == pytest.approx(5)
    assert values(chloride=30)["salt"] == 0


def test_what_is_added_is_sodium_and_chloride_and_no_more():
    got = values(nitrite=5)

    assert got["sodium_added"] + got["chloride_needed"] == pytest.approx(
        got["salinity_added"] * 1000
    )
    assert got["salt"] == pytest.approx(got["salinity_added"] * 1000)


# Tomasso, Simco & Davis 1979: 16 ions to one; Gutierrez et al. 2019: 104 to 1 against NO2-N, so
# 12.33 and 31.66 to one by weight; salt = ratio x 2 x 1.6485: 40.7 and 104 g, said in two figures
def test_every_rule_is_named_with_the_salt_it_asks_for():
    rules = report().doubts[0]

    assert "5 to 1 by weight (16 g" in rules
    assert "at least 10 to 1 (33 g)" in rules
    assert "12 to 1 by weight (41 g)" in rules
    assert "32 to 1 by weight (100 g)" in rules


def test_fish_that_chloride_does_not_help_are_named():
    # Tomasso 1986 (largemouth bass), Mazik et al. 1991 (striped bass), abstracts
    assert any("largemouth bass were not protected" in doubt for doubt in report().doubts)


# common practice, no source: 0.5 g/L sets tender plants back, 1 g/L harms many
@pytest.mark.parametrize(
    ("nitrite", "verdict"),
    [
        (0, "no salt"),
        (10, "plants bear it"),
        (30, "plants bear it"),
        (31, "tender plants suffer"),
        (60, "tender plants suffer"),
        (61, "harms plants"),
    ],
)
def test_the_verdict_is_for_the_plants(nitrite, verdict):
    found = report(nitrite=nitrite)

    assert found.results["verdict"].value == verdict
    assert ("salt-and-plants" in found.cautions) is (verdict != "no salt")


def test_much_salt_is_said_to_burden_the_fish_too():
    assert "burdens fresh-water fish" in report(nitrite=200, ratio=30).results["verdict"].reading


def test_the_sentence_stands_by_itself():
    assert report(chloride=10).results["salt"].reading == (
        "16.5 g of plain salt (sodium chloride) in 1\u202f000 L brings the chloride to 20 mg/L, "
        "10 times the nitrite (as NO2) by weight."
    )


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_any_input_gives_a_sound_report_or_a_named_refusal(answer, odd_values, data):
    found = answer(NITRITE_SALT, WEEK | data.draw(odd_values(NITRITE_SALT)))
    if isinstance(found, Report):
        got = {name: amount.value for name, amount in found.results.items()}
        assert got["chloride_needed"] <= got["chloride_wanted"] * (1 + 1e-9)
        assert (got["salt"] == 0) is (got["verdict"] == "no salt")
