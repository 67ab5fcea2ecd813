"""Matching on questions that nothing was made to fit; floors a little under what was counted."""

import tomllib
from pathlib import Path

import pytest

FIRST, AMONG_THREE, HARMFUL, FALSE_STRONG = 0.75, 0.89, 0.025, 0.03


@pytest.fixture(scope="module")
def texts():
    return tomllib.loads((Path(__file__).parent / "blind.toml").read_text(encoding="utf-8"))


def share(hits):
    hits = list(hits)
    return sum(hits) / len(hits)


def test_questions_never_seen_find_their_articles_and_hardly_a_wrong_one_unseen(texts, ranker):
    found = [
        (ranker.match(text), frozenset(key.split("|")))
        for key, asked in texts["answerable"].items()
        for text in asked
    ]
    slugs = [([match.slug for match in matches.articles], right) for matches, right in found]
    assert len(found) > 600
    assert share(bool(right.intersection(ranked[:1])) for ranked, right in slugs) >= FIRST
    assert share(bool(right.intersection(ranked[:3])) for ranked, right in slugs) >= AMONG_THREE
    wrong = [
        matches.verdict == "strong" and matches.articles[0].slug not in right
        for matches, right in found
    ]
    assert share(wrong) <= HARMFUL


def test_what_no_article_answers_hardly_ever_gets_a_strong_match(texts, ranker):
    strangers = [*texts["none"]["chatter"], *texts["none"]["field"]]
    assert len(strangers) >= 150
    assert share(ranker.match(text).verdict == "strong" for text in strangers) <= FALSE_STRONG
