"""Word vectors: texts that mean alike lie near each other, though they share no word.

The table is made by ``bench/word_vectors.py`` out of an open sentence model.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import numpy.typing as npt

from .normalise import LONGEST_WORD, PLAIN_WORD, fold

FILE = Path(str(files("kb") / "matching" / "words.npz"))
MOST_WORDS = 400  # of a longer text only so many words count
_REMEMBERED = 20_000

Floats = npt.NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Meanings:
    """A vector for each piece of a word; a word we have no piece for means nothing."""

    numbers: Mapping[str, int]
    vectors_of_pieces: npt.NDArray[np.int8]
    scale: Floats

    @staticmethod
    def shipped() -> "Meanings":
        """The table that comes with Standpipe, read once."""
        return _shipped()

    @property
    def size(self) -> int:
        """How many numbers a vector has."""
        return int(self.vectors_of_pieces.shape[1])

    def vectors(self, texts: Sequence[Iterable[str]]) -> Floats:
        """For each text, given as plain words, a row of length 1; without known words, zeros."""
        rows = np.zeros((len(texts), self.size), np.float32)
        for row, text in enumerate(texts):
            for word in tuple(text)[:MOST_WORDS]:
                rows[row] += _of_word(self, word)
        lengths = np.linalg.norm(rows, axis=1, keepdims=True)
        return np.asarray(rows / np.maximum(lengths, 1e-9), np.float32)


def pieces(word: str, numbers: Mapping[str, int]) -> tuple[int, ...]:
    """The longest known pieces a word is made of, from its start on; none if one is missing.

    Source: Wu et al. (2016), section 4.1, arXiv:1609.08144.
    """
    found = []
    start = 0
    while start < len(word):
        mark = "##" if start else ""
        ends = range(len(word), start, -1)
        end = next((end for end in ends if mark + word[start:end] in numbers), 0)
        if not end:
            return ()
        found.append(numbers[mark + word[start:end]])
        start = end
    return tuple(found)


def plain_words(text: str) -> tuple[str, ...]:
    """The words of a text as the table knows them, figures included."""
    return tuple(word for word in PLAIN_WORD.findall(fold(text)) if len(word) <= LONGEST_WORD)


@cache
def _shipped() -> Meanings:
    with np.load(FILE) as table:
        names = table["pieces"].tobytes().decode().split("\n")
        numbers = {name: number for number, name in enumerate(names)}
        return Meanings(numbers, table["vectors"], table["scale"])


@lru_cache(_REMEMBERED)
def _of_word(table: Meanings, word: str) -> Floats:
    found = list(pieces(word, table.numbers))
    if not found:
        return np.zeros(table.size, np.float32)
    rows = table.vectors_of_pieces[found] * table.scale[found, None]
    total: Floats = rows.sum(0) / np.float32(math.sqrt(len(found)))
    return total
