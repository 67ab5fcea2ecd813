"""Turnover: the guide for few and for many fish, in the units people use."""

import pytest

from kb.calculators.turnover import TURNOVER
from kb.errors import InputErrors

TANK = {"volume": "1000 L", "flow": "1500 L/h"}


def values(**changes):
    report = TURNOVER.run(TANK | changes)
    return {name: amount.value for name, amount in report.results.items()}


# FAO paper 589 (secondary transcription): the whole volume once an hour at low stocking, twice
# at high
def test_few_fish_want_one_turnover_and_many_fish_two():
    assert values() == {"turnovers_per_hour": 1.5, "flow_low": 1000, "flow_high": 2000}


@pytest.mark.parametrize(
    ("flow", "words"),
    [
        (999, "less than the guide of once an hour for few fish"),
        (1000, "enough for few fish"),
        (1999, "less than the guide of twice an hour for many"),
        (2000, ": the guide for many fish"),
        (2001, "more than the guide of twice an hour"),
    ],
)
def test_the_flow_is_held_against_both_guides(flow, words):
    assert words in TURNOVER.run(TANK | {"flow": flow}).results["turnovers_per_hour"].reading


@pytest.mark.parametrize(
    ("flow", "words"),
    [
        ("1000 L/h", "once an hour, every 60 minutes"),
        ("2000 L/h", "twice an hour, every 30 minutes"),
        ("1500 L/h", "1.5 times an hour, every 40 minutes"),
        ("100 L/h", "0.1 times an hour, every 10 hours"),
        ("1000000 L/h", "times an hour, every 3.6 seconds"),
    ],
)
def test_the_time_for_one_turnover_is_said(flow, words):
    assert words in TURNOVER.run(TANK | {"flow": flow}).results["turnovers_per_hour"].reading


# 1 US gallon is 3.785411784 L (NIST Handbook 44)
def test_gallons_give_the_same_as_litres():
    american = values(volume="264.1720524 gal", flow="396.2580786 gal/h")

    assert american == pytest.approx(values(), rel=1e-8)


def test_a_fifth_less_flow_is_reckoned_with():
    assert any("it is 1.2 times an hour" in doubt for doubt in TURNOVER.run(TANK).doubts)


def test_the_guide_is_said_to_be_second_hand():
    assert any("read second-hand" in doubt for doubt in TURNOVER.run(TANK).doubts)


def test_much_flow_is_said_to_hurt_the_settler():
    assert any("settler" in doubt for doubt in TURNOVER.run(TANK | {"flow": 5000}).doubts)
    assert not any("settler" in doubt for doubt in TURNOVER.run(TANK).doubts)


def test_every_bad_input_is_named():
    with pytest.raises(InputErrors) as error:
        TURNOVER.run({"volume": "5 L", "flow": "much", "head": 2})

    assert [problem.input for problem in error.value.problems] == ["head", "volume", "flow"]
