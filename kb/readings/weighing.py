"""How much the words of a text weigh towards danger, where no rule knows them.

The weights of ``urgent_words.txt`` come from ``bench/urgency_words.py``: a logistic regression on
texts sorted by hand. A word that stood in none of them weighs what words of like meaning weigh.
"""

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from itertools import accumulate

from .tokens import Found, Text

FILE = "urgent_words.txt"
SCALE = 100.0  # the file holds hundredths
CLAUSE_WORDS = 40  # so many words are weighed together; of a longer text the heaviest part counts
RUN_OF_MANY = 0.5  # what a part of a long text weighs less, for there are many of them
PART_ALONE = 1.0  # what a sentence weighs less when it is taken out of a short text
_LEAST_WORDS = 4
_QUOTED = 7
_YEAR = re.compile(r"19[3-9]\d|20[0-3]\d")
_DECADES = frozenset(("fifties", "sixties", "seventies", "eighties", "nineties"))
_ENDING = re.compile(r"(?:ing|ed|es|s|ly)$")

Pair = tuple[float, float]
NEUTRAL: Pair = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Weight:
    """How much a text weighs towards danger, to fish rather than people, and by which words."""

    danger: float
    fish: float
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class _Table:
    start: Pair
    weights: Mapping[str, Pair]


@lru_cache(maxsize=20_000)
def stem(word: str) -> str:
    """A word less its ending, so that "gasps" and "gasping" weigh the same."""
    word = word.removesuffix("'s")
    if len(word) > 4 and len(short := _ENDING.sub("", word)) >= 3:
        word = short
    if len(word) > 4 and word[-1] == word[-2] and word[-1] not in "sl":
        word = word[:-1]
    if len(word) > 3 and word[-1] == "e":
        word = word[:-1]
    return f"{word[:-1]}i" if len(word) > 3 and word[-1] == "y" else word


def units(text: Text) -> list[str]:
    """The words of a text as they are weighed: a number as "#", a year as "#year"."""
    found = []
    for token in text.tokens:
        if token.kind == "number":
            found.append("#year" if _YEAR.fullmatch(token.word) else "#")
        else:
            found.append("#year" if token.word in _DECADES else token.word)
    return found


def pairs(words: list[str]) -> list[str]:
    """Each word with the one before it, "^" before the first."""
    stems = [stem(word) for word in words]
    return [f"{one} {two}" for one, two in zip(["^", *stems], stems, strict=False)]


def share(count: int) -> float:
    """What one word counts for among so many."""
    return 1 / math.sqrt(max(count, _LEAST_WORDS))


def weigh(text: Text, around: Iterable[Found]) -> Weight:
    """How much a text weighs towards danger, or the heaviest part of it."""
    table = _table()
    words = units(text)
    each = _each(table, words)
    sums = [list(accumulate((pair[side] for pair in each), initial=0.0)) for side in (0, 1)]
    counted = list(accumulate((token.kind != "mark" for token in text.tokens), initial=0))
    labels = [(found.first, f"c:{found.label}") for found in around]

    def part(first: int, last: int, less: float) -> Weight:
        danger, fish = table.start
        times = share(counted[last + 1] - counted[first])
        named = {label for place, label in labels if first <= place <= last}
        inside = [table.weights.get(label, NEUTRAL) for label in named]
        danger += (sums[0][last + 1] - sums[0][first]) * times + sum(pair[0] for pair in inside)
        fish += (sums[1][last + 1] - sums[1][first]) * times + sum(pair[1] for pair in inside)
        return Weight(danger - less, fish, first, last)

    parts = [part(first, last, less) for first, last, less in _parts(text, counted)]
    heaviest = max(parts, key=lambda found: found.danger, default=Weight(table.start[0], 0, 0, 0))
    return _narrowed(heaviest, each)


def _each(table: _Table, words: list[str]) -> list[Pair]:
    """What each word weighs, alone and with the one before it."""
    found = []
    for word, pair in zip(words, pairs(words), strict=True):
        alone = table.weights.get(word)
        if alone is None:
            alone = table.weights.get(f"~{stem(word)}", NEUTRAL)
        beside = table.weights.get(pair, NEUTRAL)
        found.append((alone[0] + beside[0], alone[1] + beside[1]))
    return found


def _parts(text: Text, counted: list[int]) -> Iterable[tuple[int, int, float]]:
    """The whole of a short text and its sentences; of a long one runs of sentences."""
    last = len(text.tokens) - 1
    short = counted[-1] <= CLAUSE_WORDS
    if last >= 0 and short:
        yield 0, last, 0.0
    first = 0
    while first <= last:
        end = text.sentence_end[first]
        yield first, end, PART_ALONE
        if not short:
            yield first, _run_end(text, counted, first, end), RUN_OF_MANY
        first = end + 1


def _run_end(text: Text, counted: list[int], first: int, end: int) -> int:
    """The end of the last sentence that is still weighed with the one that begins here."""
    while end + 1 < len(text.tokens):
        further = text.sentence_end[end + 1]
        if counted[further + 1] - counted[first] >= CLAUSE_WORDS:
            break
        end = further
    return end


def _narrowed(weight: Weight, each: list[Pair]) -> Weight:
    """The same with the few words that weigh most."""
    first, last = weight.first, weight.last
    if last - first < _QUOTED:
        return weight
    starts = range(first, last - _QUOTED + 2)
    best = max(starts, key=lambda at: sum(pair[0] for pair in each[at : at + _QUOTED]))
    return Weight(weight.danger, weight.fish, best, best + _QUOTED - 1)


@cache
def _table() -> _Table:
    """The weights that come with Standpipe, read once."""
    weights = {}
    for line in (files("kb") / "readings" / FILE).read_text(encoding="utf-8").splitlines():
        if line and not line.startswith("//"):
            unit, danger, fish = line.split("\t")
            weights[unit] = int(danger) / SCALE, int(fish) / SCALE
    return _Table(weights.pop("^^"), weights)
