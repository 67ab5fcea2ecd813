"""Held-out questions put to the shipped content: the right article, and silence for chatter."""

import tomllib
from pathlib import Path

import pytest

FILE = Path(__file__).parent / "questions.toml"
GROUPS = tomllib.loads(FILE.read_text(encoding="utf-8"))["questions"]
ASKED = tuple((text, slug) for slug, texts in GROUPS.items() for text in texts)


@pytest.fixture(scope="module")
def answered(ranker):
    return [(ranker.match(text), text, slug) for text, slug in ASKED]


def share(hits):
    hits = list(hits)
    return sum(hits) / len(hits)


def test_there_are_enough_questions():
    assert len(ASKED) >= 120
    assert len({text for text, _ in ASKED}) == len(ASKED)


def test_the_first_article_is_mostly_right(answered):
    right = [found.articles[0].slug == slug for found, _, slug in answered if slug != "none"]
    assert share(right) >= 0.8


def test_the_right_article_is_nearly_always_among_the_first_three(answered):
    near = [
        slug in [match.slug for match in found.articles[:3]]
        for found, _, slug in answered
        if slug != "none"
    ]
    assert share(near) >= 0.93


def test_strong_matches_are_hardly_ever_wrong(answered):
    strong = [
        found.articles[0].slug == slug for found, _, slug in answered if found.verdict == "strong"
    ]
    assert len(strong) >= 15
    assert share(strong) >= 0.95


def test_no_chatter_is_a_strong_match(answered):
    assert [
        text for found, text, slug in answered if slug == "none" and found.verdict == "strong"
    ] == []


def test_most_chatter_matches_nothing(answered):
    verdicts = [found.verdict for found, _, slug in answered if slug == "none"]
    assert share(verdict == "none" for verdict in verdicts) >= 0.8


def test_most_answerable_questions_are_not_turned_away(answered):
    kept = [found.verdict != "none" for found, _, slug in answered if slug != "none"]
    assert share(kept) >= 0.85
