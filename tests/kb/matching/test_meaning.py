"""Word vectors: what means alike lies near, whatever the words."""

import hashlib

import numpy as np
import pytest

from kb.matching.meaning import FILE, Meanings, pieces, plain_words

# The file that was measured; bench/word_vectors.py prints the hash of a new one.
SHA256 = "0eccf55b6c7a4d434ae5afb3bf365779340c9706c9685a5661bce00fa3850913"
NUMBERS = {"un": 0, "##aff": 1, "##able": 2, "##a": 3, "a": 4}


def likeness(first, second):
    rows = Meanings.shipped().vectors([plain_words(first), plain_words(second)])
    return float(rows[0] @ rows[1])


def test_the_shipped_table_is_the_one_that_was_measured():
    assert hashlib.sha256(FILE.read_bytes()).hexdigest() == SHA256
    assert FILE.stat().st_size < 5_000_000


# Y. Wu et al. (2016), Google's neural machine translation system, section 4.1: the longest piece
# first, so that any word can be made; the example is that of the BERT paper's reference code.
@pytest.mark.parametrize(
    ("word", "expected"),
    [("unaffable", (0, 1, 2)), ("a", (4,)), ("unaff", (0, 1)), ("axe", ()), ("", ())],
)
def test_a_word_is_made_of_the_longest_pieces_from_its_start(word, expected):
    assert pieces(word, NUMBERS) == expected


@pytest.mark.parametrize(
    ("text", "near", "far"),
    [
        ("my fish are dying", "dead fish this morning", "where to buy seeds"),
        ("the leaves turn yellow", "pale foliage", "the pump is loud"),
        ("how cold may it get", "lowest temperature", "how much to feed"),
    ],
)
def test_texts_that_mean_alike_lie_nearer(text, near, far):
    assert likeness(text, near) > likeness(text, far) + 0.1


def test_vectors_are_of_length_one_and_those_of_nothing_are_noughts():
    rows = Meanings.shipped().vectors([("water",), (), ("\u6c34\u6c34",)])
    assert np.linalg.norm(rows[0]) == pytest.approx(1, abs=1e-5)
    assert not rows[1].any()
