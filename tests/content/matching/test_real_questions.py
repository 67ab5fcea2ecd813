"""Held-out questions put to the shipped content: the right article, and silence for chatter."""

import tomllib
from collections import Counter
from pathlib import Path

import pytest

FILE = Path(__file__).parent / "questions.toml"
HALVES = tomllib.loads(FILE.read_text(encoding="utf-8"))
NAMES = ("questions", "unseen")
NOTHING = frozenset({"none"})
# Floors a little under what both halves measure, so that a step back shows: 0.84 and 0.80 first,
# 0.93 and 0.93 among three, 0.95 and 0.93 not turned away, 0.39 and 0.38 strong; of what nothing
# answers 0.72 and 0.74 are turned away (a quarter of it asks about fish or plants after all).
FIRST, AMONG_THREE, KEPT, STRONG = 0.77, 0.90, 0.88, 0.30
TURNED_AWAY = 0.65


def asked(half):
    """Each text with the slugs that are right for it."""
    return [
        (text, frozenset(slugs.split("|")))
        for slugs, texts in HALVES[half].items()
        for text in texts
    ]


ASKED = {half: asked(half) for half in NAMES}
EVERY_TEXT = [text for half in NAMES for text, _ in ASKED[half]]


@pytest.fixture(scope="module", params=NAMES)
def answered(request, ranker):
    return [(ranker.match(text), text, slugs) for text, slugs in ASKED[request.param]]


@pytest.fixture
def answerable(answered):
    return [(found, slugs) for found, _, slugs in answered if slugs != NOTHING]


@pytest.fixture
def chatter(answered):
    return [(found, text) for found, text, slugs in answered if slugs == NOTHING]


def share(hits):
    hits = list(hits)
    return sum(hits) / len(hits)


def first_is_right(found, slugs):
    return found.articles[0].slug in slugs


def plain(text):
    return " ".join(text.casefold().rstrip(".?! ").split())


def test_the_file_holds_the_two_halves_and_nothing_else():
    assert tuple(HALVES) == NAMES


@pytest.mark.parametrize("half", NAMES)
def test_there_are_enough_questions(half):
    assert len(ASKED[half]) >= 120


def test_no_question_is_asked_twice():
    assert [text for text, times in Counter(map(plain, EVERY_TEXT)).items() if times > 1] == []


def test_every_expected_slug_is_an_article(library):
    expected = {slug for half in NAMES for _, slugs in ASKED[half] for slug in slugs}
    assert expected - set(library.articles) == NOTHING


@pytest.mark.parametrize("half", NAMES)
def test_every_article_is_asked_for(half, library):
    expected = frozenset().union(*(slugs for _, slugs in ASKED[half]))
    assert set(library.articles) - expected == set()


def test_no_question_is_a_wording_of_an_article(library):
    wordings = {
        plain(wording)
        for article in library.articles.values()
        for wording in (article.title, *article.phrasings)
    }
    assert [text for text in EVERY_TEXT if plain(text) in wordings] == []


def test_the_first_article_is_mostly_right(answerable):
    assert share(first_is_right(*each) for each in answerable) >= FIRST


def test_the_right_article_is_nearly_always_among_the_first_three(answerable):
    near = [
        not slugs.isdisjoint(match.slug for match in found.articles[:3])
        for found, slugs in answerable
    ]
    assert share(near) >= AMONG_THREE


def test_strong_matches_are_hardly_ever_wrong(answered):
    strong = [
        first_is_right(found, slugs) for found, _, slugs in answered if found.verdict == "strong"
    ]
    assert len(strong) >= STRONG * len(answered) * 0.8
    assert share(strong) >= 0.93


def test_chatter_is_hardly_ever_a_strong_match(chatter):
    assert share(found.verdict == "strong" for found, _ in chatter) <= 0.03


def test_most_chatter_matches_nothing(chatter):
    assert share(found.verdict == "none" for found, _ in chatter) >= TURNED_AWAY


def test_most_answerable_questions_are_not_turned_away(answerable):
    assert share(found.verdict != "none" for found, _ in answerable) >= KEPT
