"""Spelling: a word we do not know is read as the nearest word of our own."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from rapidfuzz import process
from rapidfuzz.distance import OSA

SHORTEST = 4
TWO_SLIPS_FROM = 8


@dataclass(frozen=True)
class Speller:
    """Knows the words of the content and how often each stands there."""

    counts: Mapping[str, int]
    left_alone: Callable[[str], bool]

    def correct(self, word: str) -> str:
        """The word itself, or the nearest of our own words when this one is unknown."""
        if len(word) < SHORTEST or word in self.counts or self.left_alone(word):
            return word
        slips = 2 if len(word) >= TWO_SLIPS_FROM else 1
        near = process.extract(
            word,
            self._choices(len(word), slips),
            scorer=OSA.distance,
            score_cutoff=slips,
            limit=None,
        )
        return min(
            ((found, distance) for found, distance, _ in near),
            key=lambda pair: self._order(word, *pair),
            default=(word, 0),
        )[0]

    def _order(self, word: str, found: str, distance: float) -> tuple[float, bool, int, str]:
        return distance, found[0] != word[0], -self.counts[found], found

    @cached_property
    def _by_length(self) -> Mapping[int, tuple[str, ...]]:
        found: dict[int, list[str]] = {}
        for word in self.counts:
            if len(word) >= SHORTEST - 1:
                found.setdefault(len(word), []).append(word)
        return {length: tuple(words) for length, words in found.items()}

    @cached_property
    def _near_length(self) -> dict[tuple[int, int], list[str]]:
        return {}

    def _choices(self, length: int, slips: int) -> list[str]:
        found = self._near_length.get((length, slips))
        if found is None:
            lengths = range(length - slips, length + slips + 1)
            found = [word for near in lengths for word in self._by_length.get(near, ())]
            self._near_length[length, slips] = found
        return found


def count(texts: Iterable[Iterable[str]]) -> dict[str, int]:
    """How often each word that holds no figure stands in the texts."""
    counts: dict[str, int] = {}
    for text in texts:
        for word in text:
            if word.isalpha():
                counts[word] = counts.get(word, 0) + 1
    return counts
