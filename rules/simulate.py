"""Made-up readers: each has one cause and answers every check as its rules say they would."""

import math
import random
from collections import Counter
from dataclasses import dataclass
from itertools import accumulate

from rules.belief import scale
from rules.model import Symptom

CASES = 1_000
AMONG_FIRST = 3
Row = tuple[float, ...]
Table = tuple[Row, ...]


@dataclass(frozen=True)
class Recognised:
    """How many cases of a cause put it among the first three, and what the others take it for."""

    cause: str
    cases: int
    found: int
    taken_for: tuple[tuple[str, int], ...]


def simulate(symptom: Symptom, cases: int = CASES) -> tuple[Recognised, ...]:
    """How well each cause is recognised when every check is answered; always the same result."""
    numbers = scale(symptom)
    tables = tuple(numbers.logs.values())
    places = range(len(symptom.causes))
    return tuple(_recognise(symptom, numbers.start, tables, place, cases) for place in places)


def _recognise(
    symptom: Symptom, start: Row, tables: tuple[Table, ...], place: int, cases: int
) -> Recognised:
    cause = symptom.causes[place].id
    dice = random.Random(f"{symptom.id} {cause}")
    chances = [_cumulative(table, place) for table in tables]
    found = 0
    taken_for: Counter[str] = Counter()
    for _ in range(cases):
        rows = [
            dice.choices(table, cum_weights=chance)[0]
            for table, chance in zip(tables, chances, strict=True)
        ]
        weights = list(map(sum, zip(start, *rows, strict=True)))[:-1]
        if sum(weight > weights[place] for weight in weights) < AMONG_FIRST:
            found += 1
        else:
            taken_for[symptom.causes[weights.index(max(weights))].id] += 1
    return Recognised(cause, cases, found, tuple(taken_for.most_common(AMONG_FIRST)))


def _cumulative(table: Table, place: int) -> list[float]:
    return list(accumulate(math.exp(row[place]) for row in table))
