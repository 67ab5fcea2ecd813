"""Readings and urgency held to texts by somebody who had not seen the code, half by half."""

import tomllib
from collections import Counter

import pytest

from bench.understanding import (
    FOLDER,
    HALVES,
    agree,
    reading_cases,
    readings_score,
    urgency_cases,
    urgency_score,
)
from kb.readings.reading import NAMES

# Floors a little under what each half measures (recall, precision), so that a step back shows.
READINGS = {"development": (0.98, 0.98), "measuring": (0.97, 0.98)}
URGENCY = {"development": (0.98, 0.94), "measuring": (0.98, 0.88)}


@pytest.mark.parametrize("half", HALVES)
def test_readings_are_understood_as_well_as_before(half):
    score = readings_score(reading_cases(half))
    recall, precision = READINGS[half]
    assert score.recall >= recall, score
    assert score.precision >= precision, score


@pytest.mark.parametrize("half", HALVES)
def test_urgency_is_judged_as_well_as_before(half):
    score = urgency_score(urgency_cases(half))
    recall, precision = URGENCY[half]
    assert score.recall >= recall, score
    assert score.precision >= precision, score


def test_the_halves_share_all_texts_and_no_text_stands_twice():
    table = tomllib.loads((FOLDER / "readings.toml").read_text(encoding="utf-8"))
    texts = [text for half in HALVES for text, _ in reading_cases(half)]
    assert sorted(texts) == sorted(case["text"] for case in table["case"])
    assert len(texts) >= 220
    judged = [text for half in HALVES for text, _ in urgency_cases(half)]
    assert len(judged) >= 280
    assert [text for text, count in Counter(texts + judged).items() if count > 1] == []


def test_the_cases_name_only_readings_that_there_are():
    names = {name for half in HALVES for _, holds in reading_cases(half) for name in holds}
    assert names == set(NAMES)


@pytest.mark.parametrize(
    ("wanted", "found", "same"),
    [
        (7.9, 7.9, True),
        (100.0, 100.9, True),
        (100.0, 101.2, False),
        (0, 0.0, True),
        (0, 0.01, False),
        ([0.25, 0.5], [0.25, 0.5], True),
        ([0.25, 0.5], [0.25, 0.6], False),
        ([0.25, 0.5], 0.5, False),
        (
            {"substance": "phosphoric", "amount": 20, "unit": "ml"},
            {"substance": "phosphoric acid", "amount": 20.0, "unit": "ml"},
            True,
        ),
        (
            {"substance": "citric acid", "amount": 20, "unit": "g"},
            {"substance": "citric acid", "amount": 20.0, "unit": "ml"},
            False,
        ),
    ],
)
def test_the_measure_tells_the_same_from_the_different(wanted, found, same):
    assert agree(wanted, found) is same
