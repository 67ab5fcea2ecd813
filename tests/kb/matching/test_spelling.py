"""Unknown words are read as the nearest of our own, known and everyday ones are left alone."""

import pytest

from kb.matching.spelling import Speller, count

OWN = {"ammonia": 9, "settler": 5, "alkalinity": 4, "gills": 2, "pills": 8, "water": 20, "ph": 30}


@pytest.fixture
def speller():
    return Speller(OWN, lambda word: word == "later")


@pytest.mark.parametrize(
    ("word", "read"),
    [
        ("amonia", "ammonia"),
        ("ammnoia", "ammonia"),
        ("setler", "settler"),
        ("alkilinety", "alkalinity"),
        ("later", "later"),
        ("ammonia", "ammonia"),
        ("xyzzy", "xyzzy"),
        ("pg", "pg"),
    ],
)
def test_a_word_is_read_as_the_nearest_of_our_own(speller, word, read):
    assert speller.correct(word) == read


def test_two_slips_are_forgiven_only_from_eight_letters_on(speller):
    assert speller.correct("setlar") == "setlar"
    assert speller.correct("alkalenety") == "alkalinity"


def test_the_same_first_letter_goes_before_the_more_frequent_word(speller):
    assert speller.correct("gillls") == "gills"
    assert speller.correct("gilks") == "gills"


def test_only_words_without_figures_are_counted():
    assert count([("water", "co2"), ("water",)]) == {"water": 2}
