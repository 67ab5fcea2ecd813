"""The documents as they are searched: word stems, rarities, sums of wordings."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from .documents import Document
from .normalise import words
from .shelf import Columns, Shelf
from .spelling import Speller, count
from .vectors import LEAST_TELLING, Space, Vector, likeness, space, without_letters
from .vocabulary import Reading, Token, Vocabulary, common_words

# What a document's rank value is made of: the likeness to all its wordings together, how well its
# text covers the question, and the likeness to its nearest single wording. Set by leaving wordings
# out: all of them together tell more than any single one.
TOGETHER = 0.8
TEXT = 0.2
NEAREST = 0.4
DAMPING = 0.7  # power of a feature's sum: what stands in every wording shall not drown the rest
LOOKED_AT = 8  # documents whose single wordings are compared, of each kind


@dataclass(frozen=True)
class Asked:
    """One wording, or one question: as written, in plain words, as stems, as vectors.

    ``terms`` is the vector without the letter groups, for comparing single wordings.
    """

    text: str
    reading: Reading
    stems: tuple[str, ...]
    vector: Vector
    terms: Vector


@dataclass(frozen=True)
class Entry:
    """A document, its wordings, their sum, and the length of the sum once it is damped."""

    document: Document
    asked: tuple[Asked, ...]
    total: Vector
    length: float


@dataclass(frozen=True)
class Weighed:
    """For each row how well its wordings together, and its text, fit a question."""

    question: Asked
    together: list[float]
    texts: Mapping[int, float]

    def fits(self, row: int) -> bool:
        """Does the row share anything with the question?"""
        return self.together[row] > 0 or row in self.texts

    def score(self, row: int) -> float:
        """How well the row fits, before its single wordings are compared."""
        return TOGETHER * self.together[row] + TEXT * self.texts.get(row, 0.0)


@dataclass(frozen=True)
class Found:
    """A document's rank value for a question, and its wording nearest to it."""

    row: int
    value: float
    wording: Asked
    question: Asked


class Index:
    """All documents, ready to be searched; the same text always gives the same answer."""

    def __init__(self, documents: Sequence[Document], vocabulary: Vocabulary) -> None:
        self._vocabulary = vocabulary
        asked = [[self._translate(text) for text in document.asked] for document in documents]
        texts = [self._columns(document) for document in documents]
        counts = _counts(vocabulary, asked, texts)
        known = dict.fromkeys(
            (*(word for reading in _flat(asked) for word in reading.words), *counts)
        )
        everyday = sorted(common_words())
        self._shelf = Shelf(texts, (*known, *(word for word in everyday if word not in known)))
        self._known_stems = frozenset(self._shelf.stems([*known, *everyday]))
        self._speller = Speller(counts, self._left_alone)
        self.entries, self._space = self._enter(documents, asked)
        self._postings = _postings(self.entries)

    def question(self, text: str) -> Asked:
        """The text as it is compared: spelling put right, trade words translated."""
        plain = _plain(self._vocabulary, text)
        fixed = [self._speller.correct(token.word) for token in plain]
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
        return _asked(self._space, text, reading, stems)

    def telling(self, stem: str) -> float:
        """How much a word stem tells the documents apart, from 0 to 1."""
        return self._space.telling.get(stem, LEAST_TELLING) - LEAST_TELLING

    def weigh(self, question: Asked) -> Weighed:
        """How well each row fits the question, before single wordings are compared."""
        return Weighed(
            question, self._together(question.vector), self._shelf.rank(question.reading.words)
        )

    def rank(self, weighed: Weighed, rows: Sequence[int]) -> list[Found]:
        """The best of these rows for the question, best first; only those that share anything."""
        scores = {row: weighed.score(row) for row in rows if weighed.fits(row)}
        first = sorted(scores, key=lambda row: (-scores[row], row))[:LOOKED_AT]
        found = [self._found(row, scores[row], weighed.question) for row in first]
        return sorted(found, key=lambda item: (-item.value, item.row))

    def rank_left_out(self, row: int, place: int, rows: Sequence[int]) -> list[Found]:
        """The best of these rows for one wording of a row, as if it did not stand there."""
        entry = self.entries[row]
        weighed = self.weigh(entry.asked[place])
        weighed.together[row] = _left_out(weighed.question.vector, entry)
        found = [one for one in self.rank(weighed, rows) if one.row != row]
        found.append(self._found(row, weighed.score(row), weighed.question, leave=place))
        return sorted(found, key=lambda item: (-item.value, item.row))

    def _found(self, row: int, score: float, question: Asked, leave: int = -1) -> Found:
        wordings = [
            (likeness(question.terms, asked.terms), -place, asked)
            for place, asked in enumerate(self.entries[row].asked)
            if place != leave
        ]
        alike, _, wording = max(wordings, key=lambda item: item[:2])
        return Found(row, score + NEAREST * alike, wording, question)

    def _together(self, vector: Vector) -> list[float]:
        scores = [0.0] * len(self.entries)
        for name, weight in vector.items():
            for row, share in self._postings.get(name, ()):
                scores[row] += weight * share
        return scores

    def _enter(
        self, documents: Sequence[Document], asked: Sequence[Sequence[Reading]]
    ) -> tuple[tuple[Entry, ...], Space]:
        stems = [
            [tuple(self._shelf.stems(reading.words)) for reading in readings] for readings in asked
        ]
        found = space(
            [
                [(reading.words, stem) for reading, stem in zip(readings, row, strict=True)]
                for readings, row in zip(asked, stems, strict=True)
            ]
        )
        entries = []
        for document, readings, row in zip(documents, asked, stems, strict=True):
            wordings = tuple(
                _asked(found, text, reading, stem)
                for text, reading, stem in zip(document.asked, readings, row, strict=True)
            )
            total = _sum(wordings)
            entries.append(Entry(document, wordings, total, _length(_damped(total))))
        return tuple(entries), found

    def _translate(self, text: str) -> Reading:
        return self._vocabulary.translate(_plain(self._vocabulary, text))

    def _columns(self, document: Document) -> Columns:
        return (
            self._translate(document.title).words,
            tuple(word for text in document.headings for word in self._translate(text).words),
            self._translate(document.text).words,
        )

    def _left_alone(self, word: str) -> bool:
        """Is this an everyday word, or one of ours with another ending?"""
        return not word.isalpha() or self._shelf.stems([word])[0] in self._known_stems


def _asked(where: Space, text: str, reading: Reading, stems: tuple[str, ...]) -> Asked:
    vector = where.vector(reading.words, stems)
    return Asked(text, reading, stems, vector, without_letters(vector))


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
    return {name: math.pow(weight, DAMPING) for name, weight in vector.items()}


def _postings(entries: Sequence[Entry]) -> dict[str, list[tuple[int, float]]]:
    """For every feature the rows it stands in, with its share of their damped sum."""
    postings: dict[str, list[tuple[int, float]]] = {}
    for row, entry in enumerate(entries):
        for name, weight in _damped(entry.total).items():
            postings.setdefault(name, []).append((row, weight / entry.length))
    return postings


def _left_out(vector: Vector, entry: Entry) -> float:
    """The likeness of one wording of an entry to all its other wordings together."""
    before = {name: entry.total[name] for name in vector}
    after = {name: max(0.0, before[name] - weight) for name, weight in vector.items()}
    damped = _damped(after)
    change = _length(damped) ** 2 - _length(_damped(before)) ** 2
    rest = entry.length**2 + change
    if rest < 1e-9:
        return 0.0
    return sum(weight * damped[name] for name, weight in vector.items()) / math.sqrt(rest)
