"""The full-text index, held against the published stemmer and the published ranking formula."""

import math
import sqlite3

import pytest

from kb.matching.shelf import TOKENS, WEIGHTS, Shelf

ROWS = (
    (("settler",), ("size",), ("water", "slows", "and", "solids", "settle", "in", "a", "settler")),
    (("oxygen",), ("air",), ("fish", "need", "oxygen", "more", "in", "warm", "water")),
    (("feed",), ("amount",), ("feed", "what", "fish", "eat", "in", "five", "minutes")),
)


@pytest.fixture
def shelf():
    return Shelf(ROWS, [word for row in ROWS for column in row for word in column])


# M. F. Porter (1980), An algorithm for suffix stripping, Program 14(3): examples of steps 1 to 4.
@pytest.mark.parametrize(
    ("word", "stem"),
    [
        ("caresses", "caress"),
        ("ponies", "poni"),
        ("cats", "cat"),
        ("plastered", "plaster"),
        ("motoring", "motor"),
        ("hopping", "hop"),
        ("relational", "relat"),
        ("adjustment", "adjust"),
    ],
)
def test_stems_are_those_of_the_published_stemmer(shelf, word, stem):
    assert shelf.stems([word]) == [stem]


def test_stems_come_in_the_order_of_the_words(shelf):
    assert shelf.stems(["ponies", "settlers", "ponies"]) == ["poni", "settler", "poni"]


def test_a_sign_without_a_stem_stays_as_it_is(shelf):
    assert shelf.stems(["…"]) == ["…"]


# S. Robertson, H. Zaragoza (2009), The probabilistic relevance framework: BM25 and beyond,
# section 3.4: weights on the term frequencies of fields; k1 and b are those of SQLite's manual.
def test_a_rank_is_the_share_of_the_most_the_published_formula_can_give(shelf):
    k1, b = 1.2, 0.75
    lengths = [sum(map(len, row)) for row in ROWS]
    rarity = math.log((3 - 1 + 0.5) / (1 + 0.5))
    frequency = sum(
        weight * list(column).count("settler")
        for weight, column in zip(WEIGHTS, ROWS[0], strict=True)
    )
    spread = k1 * (1 - b + b * lengths[0] / (sum(lengths) / 3))
    value = rarity * frequency * (k1 + 1) / (frequency + spread)
    assert shelf.rank(["settler"]) == pytest.approx([value / (rarity * (k1 + 1)), 0, 0])


def test_unknown_words_count_against_a_text(shelf):
    known = shelf.rank(["settler"])
    mixed = shelf.rank(["settler", "telescope"])
    assert mixed[0] < known[0]


def test_words_found_everywhere_tell_nothing(shelf):
    assert not shelf.rank(["in"]).any()
    assert not shelf.rank([]).any()


# SQLite's own BM25 over the same texts, in a table of its own: sqlite.org/fts5.html, bm25().
def test_ranks_are_those_of_sqlite(shelf):
    database = sqlite3.connect(":memory:")
    database.execute(
        f'CREATE VIRTUAL TABLE t USING fts5(title, headings, body, tokenize="{TOKENS}")'
    )
    database.executemany("INSERT INTO t VALUES (?, ?, ?)", [[" ".join(c) for c in r] for r in ROWS])
    for words in (["settler"], ["oxygen", "warm"], ["feed", "minutes", "solids"]):
        found = database.execute(
            "SELECT rowid - 1, -bm25(t, ?, ?, ?) FROM t WHERE t MATCH ?",
            (*WEIGHTS, " OR ".join(words)),
        ).fetchall()
        rare = math.log((3 - 1 + 0.5) / (1 + 0.5))
        expected = [dict(found).get(row, 0.0) / (2.2 * rare * len(words)) for row in range(3)]
        assert shelf.rank(words) == pytest.approx(expected, rel=1e-5)
    database.close()


def test_a_word_of_other_letters_has_a_stem_too(shelf):
    assert shelf.stems(["wärmer", "settlers", "水温"]) == ["warmer", "settler", "水温"]
