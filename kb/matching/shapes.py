"""A text's shape: its telling words as numbers, small enough to keep for every logged question."""

import math
import re
import struct
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache
from itertools import pairwise
from typing import Any
from zlib import crc32

from rapidfuzz import process
from rapidfuzz.distance import OSA

from . import contrasts, vocabulary
from .contrasts import PLAIN, TELLING, Fact, Words
from .normalise import LONGEST_TEXT, words
from .vocabulary import Token, Vocabulary

VERSION = 1  # goes up whenever the same text would get another shape
MOST_WORDS = 40
SHORTEST_MISSPELT = 5
# What a word counts by its class, and two neighbours together beside the lesser of the two.
WEIGHTS = (0.0, 0.5, 0.8, 1.0)
PAIR = 0.3
NEARLY_THE_SAME = 0.9
_LOOSE, _ONE_SIDED, _PARTLY = 0.95, 0.85, 0.85
BITS = 0xFFFFFFFF
SPREAD = 2654435761  # spreads sums of word numbers over 32 bits
_HEAD = struct.Struct("<BBB")
HEAD_BYTES = _HEAD.size
_CACHED = 1 << 15
_SENTENCE = re.compile(r"[^.!?\n]+[.!?\n]*")
_ASKS = re.compile(
    r"\?|\b(?:how|why|what|which|when|where|can|could|should|does|do|is|are)\b", re.I
)
_ENDINGS = {
    "iness": "y", "ies": "y", "ied": "y", "ing": "", "ed": "", "ly": "", "es": "e", "s": "",
}  # fmt: skip
_VOWELS = frozenset("aeiouy")


@dataclass(frozen=True)
class Shape:
    """The words in order, each a number whose last two bits are its class, and the facts."""

    words: tuple[int, ...]
    facts: tuple[int, ...]

    @cached_property
    def weights(self) -> Mapping[int, float]:
        """What each word, and each pair of neighbours, counts."""
        content = [word for word in self.words if word & 3]
        found = {word: WEIGHTS[word & 3] for word in content}
        for first, second in pairwise(content):
            if first != second:
                lesser = min(WEIGHTS[first & 3], WEIGHTS[second & 3])
                found[pair(min(first, second), max(first, second)) & BITS] = PAIR * lesser
        return found

    @cached_property
    def length(self) -> float:
        """The length of the vector of weights."""
        return math.sqrt(sum([weight * weight for weight in self.weights.values()]))

    @cached_property
    def whole(self) -> int:
        """One number for all its telling words together, or for all its words if none tells."""
        content = {word for word in self.words if word & 3} or set(self.words)
        return sum(word * SPREAD for word in content) & BITS

    def packed(self) -> bytes:
        """The shape as bytes."""
        counts = len(self.words), len(self.facts)
        numbers = struct.pack(f"<{counts[0]}I{counts[1]}H", *self.words, *self.facts)
        return _HEAD.pack(VERSION, *counts) + numbers


def pair(low: Any, high: Any) -> Any:
    """A number for two neighbouring words, or for arrays of them, before it is cut to 32 bits."""
    return (low * 31) ^ (high * 17)


def unpacked(raw: bytes) -> Shape:
    """The shape in these bytes."""
    _, count, facts = _HEAD.unpack_from(raw)
    numbers = struct.unpack_from(f"<{count}I{facts}H", raw, _HEAD.size)
    return Shape(numbers[:count], numbers[count:])


def is_current(raw: bytes) -> bool:
    """Would its text get this very shape today?"""
    return raw[0] == VERSION


def shape(text: str) -> Shape:
    """The shape of a text; of a long one only the sentences that ask something count."""
    return _shaper().shape(text)


def likeness(first: Shape, second: Shape) -> float:
    """How alike two texts are, from 0 to 1; 0 if they ask of different things."""
    if not first.length or not second.length:
        return float(first == second and bool(first.words))
    fair = agreement(first.facts, second.facts)
    if not fair:
        return 0.0
    other = second.weights
    shared = [weight * weight for name, weight in first.weights.items() if name in other]
    return enough(fair * sum(shared) / (first.length * second.length), first.words, second.words)


def enough(value: float, first: Sequence[int], second: Sequence[int]) -> float:
    """The likeness, or 0 if hardly more than one word, or none that tells, stands in both."""
    if value >= NEARLY_THE_SAME:
        return value
    classes = [word & 3 for word in set(first).intersection(second) if word & 3]
    return value if len(classes) > 1 and max(classes) >= PLAIN else 0.0


def agreement(first: tuple[int, ...], second: tuple[int, ...]) -> float:
    """1 if two texts speak of the same things, less if one speaks of more, 0 if they disagree."""
    if first == second:
        return 1.0
    fair, loose = 1.0, contrasts.shipped().loose
    ours, theirs = _by_topic(first), _by_topic(second)
    for topic in ours.keys() | theirs.keys():
        one, other = ours.get(topic), theirs.get(topic)
        if not one or not other:
            fair *= _LOOSE if topic in loose else _ONE_SIDED
        elif one.isdisjoint(other):
            return 0.0
        elif one != other:
            fair *= _PARTLY
    return fair


@lru_cache(_CACHED)
def _by_topic(facts: tuple[int, ...]) -> Mapping[int, frozenset[int]]:
    topics = {fact >> 9 for fact in facts}
    return {topic: frozenset(fact for fact in facts if fact >> 9 == topic) for topic in topics}


@cache
def _shaper() -> "_Shaper":
    return _Shaper(vocabulary.shipped(), contrasts.shipped(), vocabulary.common_words())


class _Shaper:
    def __init__(
        self, trade: Vocabulary, known: contrasts.Contrasts, common: frozenset[str]
    ) -> None:
        self._trade = trade
        self._same = Vocabulary(
            {_stems(variant): _stems(phrase) for variant, phrase in known.same.variants.items()}
        )
        self._facts: dict[Words, tuple[Fact, ...]] = {}
        for phrase, facts in known.facts.items():
            stems = tuple(token.word for token in self._canonical(_stems(phrase)))
            self._facts[stems] = (*self._facts.get(stems, ()), *facts)
        self._classes = {_stem(word): PLAIN for word in common}
        parts = (stem for stems in self._facts if len(stems) > 1 for stem in stems)
        self._classes |= dict.fromkeys(parts, PLAIN)  # “bell” and “siphon” name but one thing
        self._classes |= {stems[0]: TELLING for stems in self._facts if len(stems) == 1}
        self._classes |= {_stem(word): weight for word, weight in known.weights.items()}
        trade_words = {
            word
            for phrase in (*trade.variants, *trade.variants.values(), *known.facts)
            for word in phrase
        }
        self._right = trade_words | common | known.weights.keys()
        self._choices: dict[int, list[str]] = {}
        for word in sorted(trade_words - common):
            if len(word) >= SHORTEST_MISSPELT - 1 and word.isalpha():
                self._choices.setdefault(len(word), []).append(word)
        self._spelt = lru_cache(_CACHED)(self._correct)
        self._number = lru_cache(_CACHED)(self._numbered)

    def shape(self, text: str) -> Shape:
        plain = self._words(text[:LONGEST_TEXT])
        tokens = self._trade.translate([Token(word, "") for word in map(self._spelt, plain)])
        stems = [token.word for token in self._canonical(_stems(tokens.words))][:MOST_WORDS]
        if not stems and text.strip():  # nothing but emoji: alike only if the very same
            stems = [text[:LONGEST_TEXT].strip()]
        facts = {fact.topic << 9 | fact.thing for fact in self._spoken_of(stems)}
        return Shape(tuple(map(self._number, stems)), tuple(sorted(facts)))

    def _words(self, text: str) -> Words:
        found = words(self._trade.spell_out(text))
        if len(found) <= MOST_WORDS:
            return found
        asking = [part for part in _SENTENCE.findall(text) if _ASKS.search(part)]
        asked = words(self._trade.spell_out(" ".join(asking)))
        tells = any(self._classes.get(stem, TELLING) == TELLING for stem in _stems(asked))
        return asked if tells else found  # “where do I begin?” is not what a long letter asks

    def _canonical(self, stems: Words) -> tuple[Token, ...]:
        return self._same.translate([Token(stem, "") for stem in stems]).tokens

    def _spoken_of(self, stems: Sequence[str]) -> list[Fact]:
        found: list[Fact] = []
        place = 0
        while place < len(stems):
            for size in (3, 2, 1):
                facts = self._facts.get(tuple(stems[place : place + size]))
                if facts:
                    found += facts
                    place += size - 1
                    break
            place += 1
        return found

    def _correct(self, word: str) -> str:
        if len(word) < SHORTEST_MISSPELT or word in self._right or not word.isalpha():
            return word
        near = [one for size in (-1, 0, 1) for one in self._choices.get(len(word) + size, ())]
        found = process.extractOne(word, near, scorer=OSA.distance, score_cutoff=1)
        return found[0] if found and _stem(word) != _stem(found[0]) else word

    def _numbered(self, stem: str) -> int:
        return crc32(stem.encode()) & ~3 | self._classes.get(stem, TELLING)


def _stems(plain: Sequence[str]) -> Words:
    return tuple(_stem(word) for word in plain)


@lru_cache(_CACHED)
def _stem(word: str) -> str:
    """The word without its ending; ours alone, so that a shape holds wherever it was made."""
    if len(word) < 4 or word.endswith("ss"):
        return word
    for ending, instead in _ENDINGS.items():
        if word.endswith(ending):
            root = word[: -len(ending)] + instead
            if len(root) < 3 or not _VOWELS.intersection(root):
                continue
            word = root
            break
    if len(word) > 3 and word[-1] == word[-2] and word[-1] not in "lsz":
        word = word[:-1]
    return word[:-1] if len(word) > 3 and word.endswith("e") else word
