"""Which words tell two logged questions apart, which mean the same, and how much each counts."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from kb.fields import Problems, Readable, read_table

from .normalise import words
from .vocabulary import Vocabulary

NOTHING, LIGHT, PLAIN, TELLING = range(4)
Words = tuple[str, ...]
_PATH = "kb/matching/contrasts.toml"


@dataclass(frozen=True)
class Fact:
    """That a text speaks of this side of a pair, or of this thing of a kind.

    Two texts that speak of one topic, and of nothing in it that both name, ask different things.
    """

    topic: int
    thing: int


@dataclass(frozen=True)
class Contrasts:
    """Words that mean the same, words by what they speak of, and words that count for less."""

    same: Vocabulary
    facts: Mapping[Words, tuple[Fact, ...]]
    weights: Mapping[str, int]
    loose: frozenset[int]


@cache
def shipped() -> Contrasts:
    """The contrasts that come with Standpipe; raises ContentErrors when the file is broken."""
    problems = Problems()
    found = read(files("kb") / "matching" / "contrasts.toml", path=_PATH, problems=problems)
    problems.raise_any()
    return found


def read(file: Readable, *, path: str, problems: Problems) -> Contrasts:
    """The contrasts in a TOML file."""
    table = read_table(file, path=path, problems=problems)
    same: dict[Words, Words] = {}
    for line in table.texts("same", required=True):
        first, *others = _phrases(line)
        same |= dict.fromkeys(others, first)
    facts: dict[Words, tuple[Fact, ...]] = {}
    topics: list[str] = []
    for line in table.texts("opposite", required=True):
        _note(facts, topics, "opposite", [_phrases(side) for side in line.split("|")])
    kinds = table.table("kind")
    for name in sorted(kinds.rest()):
        _note(facts, topics, name, [[words(thing)] for thing in kinds.texts(name)])
    weights = table.table("weight")
    found: dict[str, int] = {}
    for key, weight in (("plain", PLAIN), ("light", LIGHT), ("none", NOTHING)):
        found |= dict.fromkeys(weights.texts(key), weight)
    loose = table.texts("loose")
    for name in loose:
        if name not in topics:
            table.problem(f"“{name}” is no kind; there are {', '.join(topics)}.", "loose")
    weights.finish()
    table.finish()
    numbers = frozenset(topic for topic, name in enumerate(topics) if name in loose)
    return Contrasts(Vocabulary(same), facts, found, numbers)


def _note(
    facts: dict[Words, tuple[Fact, ...]], topics: list[str], name: str, things: list[list[Words]]
) -> None:
    for thing, phrases in enumerate(things):
        for phrase in phrases:
            facts[phrase] = (*facts.get(phrase, ()), Fact(len(topics), thing))
    topics.append(name)


def _phrases(text: str) -> list[Words]:
    return [words(phrase) for phrase in text.split(",")]
