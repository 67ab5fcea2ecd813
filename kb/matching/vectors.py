"""Texts as weighted features: word stems, neighbouring pairs of stems, and letter groups."""

import itertools
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

# Share of each block in the likeness of two texts: stems, pairs with the ends, letters.
SHARES = (0.3, 0.3, 0.4)
LETTERS = (3, 4)
LEAST_TELLING = 0.2
LETTERED_WORDS = 80  # of a longer text only so many words give letter groups
_LETTERS_MARK = "*"

Vector = dict[str, float]
Blocks = tuple[dict[str, int], ...]


@dataclass(frozen=True)
class Space:
    """Knows how much every feature tells the documents apart."""

    telling: Mapping[str, float]
    unseen: float

    def vector(self, features: Blocks) -> Vector:
        """The text as a vector of length 1; unseen features count in the length."""
        vector: Vector = {}
        telling, unseen = self.telling, self.unseen
        for block, share in zip(features, SHARES, strict=True):
            weights = {
                name: telling.get(name, unseen) * (1 if times == 1 else 1 + math.log(times))
                for name, times in block.items()
            }
            length = math.sqrt(sum(weight * weight for weight in weights.values()))
            scale = math.sqrt(share) / length if length else 0.0
            vector |= {name: weight * scale for name, weight in weights.items()}
        return vector


def space(groups: Sequence[Sequence[Blocks]]) -> Space:
    """The space in which these texts are compared: for each document those of its texts.

    A feature weighs the more, the fewer documents use it; one spread evenly over all of them
    tells nothing. Measured by its entropy over the documents, which finds one answer in ten more
    than its plain rarity does.
    """
    counts: dict[str, dict[int, int]] = {}
    for group, texts in enumerate(groups):
        for features in texts:
            for block in features:
                for name in block:
                    own = counts.setdefault(name, {})
                    own[group] = own.get(group, 0) + 1
    even = math.log(max(2, len(groups)))
    telling = {
        name: LEAST_TELLING + 1 - _entropy(tuple(own.values())) / even
        for name, own in counts.items()
    }
    return Space(telling, LEAST_TELLING + 1)


def blocks(words: Sequence[str], stems: Sequence[str]) -> Blocks:
    """How often each feature stands in the text: stems, pairs of stems, letter groups."""
    ends = ("^", *stems, "$")
    pairs = (f"{first} {second}" for first, second in itertools.pairwise(ends))
    letters = (
        f"{_LETTERS_MARK}{padded[start : start + size]}"
        for padded in (f" {word} " for word in words[:LETTERED_WORDS])
        for size in LETTERS
        for start in range(len(padded) - size + 1)
    )
    return _count(stems), _count(pairs), _count(letters)


def without_letters(vector: Vector) -> Vector:
    """The stems and pairs of a vector alone, brought back to length 1."""
    scale = 1 / math.sqrt(SHARES[0] + SHARES[1])
    return {name: weight * scale for name, weight in vector.items() if name[0] != _LETTERS_MARK}


def likeness(first: Vector, second: Vector) -> float:
    """How alike two vectors of length 1 are, from 0 to 1."""
    if len(first) > len(second):
        first, second = second, first
    return sum(weight * second[name] for name, weight in first.items() if name in second)


def _count(names: Iterable[str]) -> dict[str, int]:
    counts: dict[str, int] = {}
    for name in names:
        counts[name] = counts.get(name, 0) + 1
    return counts


def _entropy(counts: Sequence[int]) -> float:
    total = sum(counts)
    return math.log(total) - sum(count * math.log(count) for count in counts) / total
