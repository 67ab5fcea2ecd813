"""The documents as they are searched: word stems, rarities, sums of wordings, meanings."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from .arrays import Floats, Sparse, groups, sparse, times
from .documents import Document
from .meaning import Meanings
from .normalise import sentence_words, words
from .shelf import Columns, Shelf
from .spelling import Speller, count
from .vectors import LEAST_TELLING, Space, Vector, blocks, likeness, space, without_letters
from .vocabulary import Reading, Token, Vocabulary, common_words

# What a document's rank value is made of: the likeness to all its wordings together, to its
# nearest single wording, in meaning to its three nearest wordings and sentences, and how well its
# text covers the question. Set by leaving wordings out and by the first half of the tests'
# questions; none of them alone comes near.
TOGETHER, NEAREST, TEXT, MEANT, MEANT_IN_TEXT = 0.44, 0.12, 0.14, 0.21, 0.09
NEAR_ENOUGH = 3  # wordings or sentences whose mean counts
DAMPING = 0.5  # power of a feature's sum: what stands in every wording shall not drown the rest
_REMEMBERED = 20_000

Words = tuple[str, ...]


@dataclass(frozen=True)
class Asked:
    """One wording, or one question: as written, in plain words, as stems, as vector.

    ``terms`` is the vector without the letter groups, for comparing single wordings; ``asks``
    says that it is a sentence that could be a question of its own.
    """

    text: str
    reading: Reading
    stems: tuple[str, ...]
    vector: Vector
    terms: Vector
    asks: bool = False


@dataclass(frozen=True)
class Entry:
    """A document, its wordings and their sum."""

    document: Document
    asked: tuple[Asked, ...]
    total: Vector
    start: int  # the number of its first wording among all


@dataclass(frozen=True, eq=False)
class Weighed:
    """How well a question fits each document, and each single wording."""

    question: Asked
    values: Floats
    wordings: Floats


class Index:
    """All documents, ready to be searched; the same text always gives the same answer."""

    def __init__(
        self, documents: Sequence[Document], vocabulary: Vocabulary, meanings: Meanings
    ) -> None:
        self._vocabulary, self._meanings = vocabulary, meanings
        asked = [[self._translate(text) for text in document.asked] for document in documents]
        said = [self._said(document) for document in documents]
        texts = [
            (readings[0].words, _joined(headings), _joined(sentences))
            for readings, (headings, sentences) in zip(asked, said, strict=True)
        ]
        counts = _counts(vocabulary, asked, texts)
        known = dict.fromkeys(
            (*(word for reading in _flat(asked) for word in reading.words), *counts)
        )
        everyday = sorted(common_words())
        self._shelf = Shelf(texts, (*known, *(word for word in everyday if word not in known)))
        self._known_stems = frozenset(self._shelf.stems([*known, *everyday]))
        self._correct = lru_cache(_REMEMBERED)(Speller(counts, self._left_alone).correct)
        self.entries, self._space = self._enter(documents, asked)
        every = [one for entry in self.entries for one in entry.asked]
        self._sums, self._lengths = _sums(self.entries)
        self._terms = sparse([one.terms for one in every])
        self._meant = meanings.vectors([one.reading.words for one in every])
        self._of_wording = groups(len(entry.asked) for entry in self.entries)
        self._sentences = meanings.vectors(
            [one for parts in said for part in parts for one in part]
        )
        self._of_sentence = groups(sum(map(len, parts)) for parts in said)

    def question(self, text: str, *, asks: bool = False) -> Asked:
        """The text as it is compared: spelling put right, trade words translated."""
        plain = _plain(self._vocabulary, text)
        fixed = [self._correct(token.word) for token in plain]
        spellings = dict.fromkeys(
            (token.shown, word)
            for token, word in zip(plain, fixed, strict=True)
            if word != token.word
        )
        reading = self._vocabulary.translate(
            [Token(word, token.shown) for token, word in zip(plain, fixed, strict=True)]
        )
        reading = Reading(reading.tokens, reading.meanings, tuple(spellings))
        stems = tuple(self._shelf.stems(reading.words))
        vector = self._space.vector(blocks(reading.words, stems))
        return Asked(text, reading, stems, vector, without_letters(vector), asks)

    def telling(self, stem: str) -> float:
        """How much a word stem tells the documents apart, from 0 to 1."""
        return self._space.telling.get(stem, LEAST_TELLING) - LEAST_TELLING

    def known(self, question: Asked) -> float:
        """The share of a question's stems that our wordings use, each as much as it tells."""
        weights = [self._space.telling.get(stem, self._space.unseen) for stem in question.stems]
        known = [self._space.telling.get(stem, 0.0) for stem in question.stems]
        return sum(known) / max(sum(weights), 1e-9)

    def weigh(self, question: Asked) -> Weighed:
        """How well each document and each wording fits the question."""
        return self._weigh(question, self._together(question))

    def weigh_left_out(self, row: int, place: int) -> Weighed:
        """The same for one wording of a document, as if it did not stand there."""
        entry = self.entries[row]
        question = entry.asked[place]
        together = self._together(question)
        together[row] = _left_out(question.vector, entry, float(self._lengths[row]))
        return self._weigh(question, together, leave=entry.start + place)

    def nearest(self, row: int, weighed: Weighed) -> Asked:
        """The wording of a document that is nearest to the question."""
        entry = self.entries[row]
        alike = weighed.wordings[entry.start : entry.start + len(entry.asked)]
        return entry.asked[int(np.argmax(alike))]

    def _together(self, question: Asked) -> Floats:
        together = self._sums.times(question.vector) / np.maximum(self._lengths, 1e-9)
        return np.asarray(together, np.float32)

    def _weigh(self, question: Asked, together: Floats, leave: int | None = None) -> Weighed:
        if leave is None:
            meant = self._meanings.vectors([question.reading.words])[0]
        else:
            meant = self._meant[leave]
        terms, alike = self._terms.times(question.terms), times(self._meant, meant)
        if leave is not None:
            terms[leave] = alike[leave] = -np.inf
        values = (
            TOGETHER * together
            + NEAREST * self._of_wording.best(terms, 1)
            + TEXT * self._shelf.rank(question.reading.words)
            + MEANT * self._of_wording.best(alike, NEAR_ENOUGH)
            + MEANT_IN_TEXT * self._of_sentence.best(times(self._sentences, meant), NEAR_ENOUGH)
        )
        return Weighed(question, values, terms + alike)

    def _enter(
        self, documents: Sequence[Document], asked: Sequence[Sequence[Reading]]
    ) -> tuple[tuple[Entry, ...], Space]:
        stems = [
            [tuple(self._shelf.stems(reading.words)) for reading in readings] for readings in asked
        ]
        features = [
            [blocks(reading.words, stem) for reading, stem in zip(readings, row, strict=True)]
            for readings, row in zip(asked, stems, strict=True)
        ]
        found = space(features)
        entries: list[Entry] = []
        start = 0
        for line, document in enumerate(documents):
            wordings = tuple(
                _asked(text, reading, stem, found.vector(block))
                for text, reading, stem, block in zip(
                    document.asked, asked[line], stems[line], features[line], strict=True
                )
            )
            entries.append(Entry(document, wordings, _sum(wordings), start))
            start += len(wordings)
        return tuple(entries), found

    def _translate(self, text: str) -> Reading:
        return self._vocabulary.translate(_plain(self._vocabulary, text))

    def _said(self, document: Document) -> tuple[list[Words], list[Words]]:
        """The headings and the sentences of a document in plain words."""
        text = self._vocabulary.spell_out(document.text)
        return (
            [self._translate(heading).words for heading in document.headings],
            [
                self._vocabulary.translate([Token(word, word) for word in sentence]).words
                for sentence in sentence_words(text)
            ],
        )

    def _left_alone(self, word: str) -> bool:
        """Is this a word of the language, or one of ours with another ending?"""
        if not word.isalpha() or word in self._meanings.numbers:
            return True
        return self._shelf.stems([word])[0] in self._known_stems


def _asked(text: str, reading: Reading, stems: tuple[str, ...], vector: Vector) -> Asked:
    return Asked(text, reading, stems, vector, without_letters(vector))


def _joined(parts: Sequence[Words]) -> Words:
    return tuple(word for part in parts for word in part)


def _counts(
    vocabulary: Vocabulary, asked: Sequence[Sequence[Reading]], texts: Sequence[Columns]
) -> dict[str, int]:
    shown = (token.shown.split() for reading in _flat(asked) for token in reading.tokens)
    trade = (*vocabulary.variants, *vocabulary.variants.values())
    return count((*shown, *trade, *(column for columns in texts for column in columns)))


def _plain(vocabulary: Vocabulary, text: str) -> tuple[Token, ...]:
    return tuple(Token(word, word) for word in words(vocabulary.spell_out(text)))


def _flat(asked: Sequence[Sequence[Reading]]) -> list[Reading]:
    return [reading for readings in asked for reading in readings]


def _sum(asked: Sequence[Asked]) -> Vector:
    total: Vector = {}
    for one in asked:
        for name, weight in one.vector.items():
            total[name] = total.get(name, 0.0) + weight
    return total


def _length(vector: Vector) -> float:
    return math.sqrt(sum(weight * weight for weight in vector.values()))


def _damped(vector: Vector) -> Vector:
    return {name: weight**DAMPING for name, weight in vector.items()}


def _sums(entries: Sequence[Entry]) -> tuple[Sparse, Floats]:
    """For every document the damped sum of its wordings, and the length of that."""
    damped = [_damped(entry.total) for entry in entries]
    return sparse(damped), np.array([_length(one) for one in damped], np.float32)


def _left_out(vector: Vector, entry: Entry, length: float) -> float:
    """The likeness of one wording of an entry to all its other wordings together."""
    before = {name: entry.total[name] for name in vector}
    after = {name: max(0.0, before[name] - weight) for name, weight in vector.items()}
    damped = _damped(after)
    change = _length(damped) ** 2 - _length(_damped(before)) ** 2
    rest = length**2 + change
    if rest < 1e-9:
        return 0.0
    return likeness(vector, damped) / math.sqrt(rest)
