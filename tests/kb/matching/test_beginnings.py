"""Pages found while their words are still being typed."""

import pytest

from kb.matching.beginnings import Beginnings, Lead, merged
from kb.matching.documents import Document


def document(slug, title, *wordings, kind="article"):
    return Document(kind, slug, title, wordings, (), "")


@pytest.fixture
def found():
    return Beginnings(
        [
            document("ammonia-high", "Ammonia is showing", "my ammonium is up"),
            document("ph-falling", "pH keeps falling", "the acid eats my buffer"),
            document("settler", "Settler", "how big a swirl tank", kind="calculator"),
        ]
    )


def slugs(leads):
    return [lead.slug for lead in leads]


def test_the_beginning_of_a_word_is_enough(found):
    assert slugs(found.find("amm")) == ["ammonia-high"]
    assert slugs(found.find("SETT")) == ["settler"]


def test_a_wording_counts_too_but_less_than_a_title(found):
    assert slugs(found.find("swirl")) == ["settler"]
    title, wording = found.find("settler")[0], found.find("swirl")[0]
    assert title.share > wording.share


def test_words_nobody_wrote_are_passed_over(found):
    assert slugs(found.find("zzz ammonia")) == ["ammonia-high"]
    assert found.find("zzz") == ()


@pytest.mark.parametrize("text", ["", " ", "?", "💧", "\x00", "1.5", "a" * 6000, "fish " * 2000])
def test_any_text_has_an_answer(found, text):
    assert isinstance(found.find(text), tuple)


def test_no_more_than_asked_for_are_given(found):
    assert len(found.find("a p s", most=2)) == 2


def test_both_lists_come_in_turn_and_nothing_twice():
    one, two, three = (Lead("article", slug, slug, 1.0) for slug in ("one", "two", "three"))
    assert merged([one, two], [two, three], most=5) == (one, two, three)
    assert merged([one, two], [three], most=2) == (one, three)
