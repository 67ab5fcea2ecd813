"""The water change: share or level, several small changes, levels out of reach."""

import pytest

from kb.calculators.water_change import WATER_CHANGE
from kb.errors import InputErrors

TANK = {"now": 80, "source": 20, "volume": "1000 L"}


def values(**given):
    report = WATER_CHANGE.run(TANK | given)
    return {name: amount.value for name, amount in report.results.items()}


def reading(name, **given):
    return WATER_CHANGE.run(TANK | given).results[name].reading


def refusal(**given):
    with pytest.raises(InputErrors) as error:
        WATER_CHANGE.run(TANK | given)
    (problem,) = error.value.problems
    return problem


# dilution: 20 % of 2 mg/L leaves 1.6; 60 mg/L of difference halved wants half of the water
@pytest.mark.parametrize(
    ("given", "share", "water", "after"),
    [
        ({"now": 2, "source": 0, "share": 20}, 20, 200, 1.6),
        ({"target": 50}, 50, 500, 50),
        ({"now": 20, "source": 80, "target": 50}, 50, 500, 50),
        ({"target": 80}, 0, 0, 80),
        ({"target": 20}, 100, 1000, 20),
        ({"share": 0}, 0, 0, 80),
        ({"now": 0, "source": 0, "target": 0}, 0, 0, 0),
        ({"now": 20, "share": 30}, 30, 300, 20),
    ],
)
def test_share_water_and_level_fit_together(given, share, water, after):
    got = values(**given)

    assert got["share"] == pytest.approx(share)
    assert got["water"] == pytest.approx(water)
    assert got["after"] == pytest.approx(after)


@pytest.mark.parametrize("given", [{}, {"target": 50, "share": 20}])
def test_exactly_one_of_level_and_share_is_wanted(given):
    assert "exactly one of target or share" in refusal(**given).message


# Hager et al. 2021, section 6.7: exchange 20 % at a time; 0.8 x 0.8 x 0.8 x 0.8 is 0.41
def test_a_large_change_is_shown_in_small_ones():
    words = reading("share", target=50)

    assert values(target=50)["changes"] == 4
    assert "Gentler in 4 changes of 15.9 %, 159 L" in words
    assert "636 L" in words


def test_the_small_changes_end_at_the_level_wanted():
    level = 80.0
    for _ in range(4):
        level = values(now=level, share=15.910358474628547)["after"]

    assert level == pytest.approx(50)


def test_a_small_change_is_one_change():
    assert values(share=20)["changes"] == 1
    assert "Gentler" not in reading("share", share=20)


def test_all_of_the_water_has_no_number_of_changes():
    assert values(share=100)["changes"] is None
    assert "the fish would have to be elsewhere" in reading("share", share=100)
    assert "never reach" in reading("changes", share=100)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"target": 10}, "10 mg/L is below the 20 mg/L of the new water itself"),
        ({"target": 90}, "90 mg/L is above the 80 mg/L there now, and this water can only lower"),
        (
            {"now": 20, "source": 80, "target": 90},
            "90 mg/L is above the 80 mg/L of the new water itself",
        ),
        (
            {"now": 20, "source": 80, "target": 10},
            "10 mg/L is below the 20 mg/L there now, and this water can only raise it",
        ),
        ({"now": 20, "target": 10}, "the new water holds 20 mg/L, as much as the tank"),
    ],
)
def test_a_level_out_of_reach_is_refused_with_its_reason(given, words):
    problem = refusal(**given)

    assert problem.input == "target"
    assert words in problem.message


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"target": 50}, "makes the share 42.3 % or 55.9 %"),
        ({"share": 50}, "makes the level after it 46 to 54 mg/L"),
        ({"target": 78}, "makes the share none or 14.7 %"),
    ],
)
def test_a_reading_a_tenth_off_is_worked_out(given, words):
    assert words in " ".join(WATER_CHANGE.run(TANK | given).doubts)


def test_new_water_without_a_test_is_doubted():
    words = "The new water is taken as holding none"

    assert words in " ".join(WATER_CHANGE.run(TANK | {"source": 0, "share": 10}).doubts)
    assert words not in " ".join(WATER_CHANGE.run(TANK | {"share": 10}).doubts)


def test_chlorine_and_matching_water_are_cautioned():
    cautions = WATER_CHANGE.run(TANK | {"share": 10}).cautions

    assert cautions[:2] == ("water-change-match", "dechlorinator-label")
