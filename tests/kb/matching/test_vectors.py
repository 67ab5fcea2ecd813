"""Texts as vectors: of length 1, alike when their telling words are."""

import math

import pytest

from kb.matching.vectors import blocks, likeness, space, without_letters


def text(*words):
    return blocks(words, words)


GROUPS = ((text("why", "acid"), text("more", "acid")), (text("why", "feed"),))


def test_the_blocks_are_stems_pairs_with_ends_and_letters():
    stems, pairs, letters = blocks(("acids",), ("acid",))
    assert stems == {"acid": 1}
    assert pairs == {"^ acid": 1, "acid $": 1}
    assert letters == {
        "* ac": 1,
        "*aci": 1,
        "*cid": 1,
        "*ids": 1,
        "*ds ": 1,
        "* aci": 1,
        "*acid": 1,
        "*cids": 1,
        "*ids ": 1,
    }


def test_a_feature_spread_evenly_over_all_documents_tells_least():
    found = space(GROUPS)
    assert found.telling["acid"] == pytest.approx(1.2)
    assert found.telling["why"] == pytest.approx(0.2)


def test_a_feature_spread_unevenly_tells_by_its_entropy():
    uneven = (*GROUPS, (text("acid"),))
    share = -(2 / 3 * math.log(2 / 3) + 1 / 3 * math.log(1 / 3))
    assert space(uneven).telling["acid"] == pytest.approx(1.2 - share / math.log(3))


def test_vectors_are_of_length_one_with_and_without_letters():
    vector = space(GROUPS).vector(text("why", "unseen"))
    assert likeness(vector, vector) == pytest.approx(1)
    terms = without_letters(vector)
    assert likeness(terms, terms) == pytest.approx(1)


def test_unseen_words_make_a_text_less_alike():
    found = space(GROUPS)
    wording = found.vector(text("more", "acid"))
    short = found.vector(text("acid"))
    longer = found.vector(text("acid", "telescope"))
    assert likeness(longer, wording) < likeness(short, wording)


def test_a_text_without_words_is_like_nothing():
    assert space(GROUPS).vector(text()).keys() <= {"^ $"}
