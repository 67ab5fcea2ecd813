"""From words to belief: how far the answers given speak for each cause of a symptom."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rules.model import HOW_OFTEN, NOT_LISTED, NOT_LISTED_PARTS, Evidence, Symptom

DECIMALS = 9
Given = Mapping[str, int]  # evidence id -> index of the answer


@dataclass(frozen=True)
class Scale:
    """A symptom in numbers: the log parts of each cause and the log shares of each answer."""

    causes: tuple[str, ...]
    start: tuple[float, ...]
    logs: Mapping[str, tuple[tuple[float, ...], ...]]


def scale(symptom: Symptom) -> Scale:
    """The numbers behind a symptom's words; the last cause is the one not listed."""
    causes = (*(cause.id for cause in symptom.causes), NOT_LISTED)
    parts = (*(HOW_OFTEN[item.how_often] for item in symptom.suspects), NOT_LISTED_PARTS)
    logs = {
        item.id: tuple(tuple(math.log(share) for share in row) for row in shares(item, causes))
        for item in symptom.evidence
    }
    return Scale(causes, tuple(math.log(part) for part in parts), logs)


def shares(evidence: Evidence, causes: Iterable[str]) -> tuple[tuple[float, ...], ...]:
    """For each answer, how often it is given by those who have each of the causes."""
    causes = tuple(causes)
    rows = []
    for saying in evidence.sayings:
        factors = [saying.factor(cause) for cause in causes]
        most = max(1.0, *factors)
        rows.append([factor / most for factor in factors])
    totals = [sum(column) for column in zip(*rows, strict=True)]
    return tuple(
        tuple(value / total for value, total in zip(row, totals, strict=True)) for row in rows
    )


def beliefs(scale: Scale, given: Given) -> tuple[float, ...]:
    """The belief in each cause, adding up to 1; the order of answering does not matter."""
    return scaled(weights(scale, given))


def weights(scale: Scale, given: Given) -> tuple[float, ...]:
    """The log weight of each cause: its parts and the answers given, added in file order."""
    rows = [logs[given[key]] for key, logs in scale.logs.items() if key in given]
    return tuple(map(sum, zip(scale.start, *rows, strict=True)))


def scaled(logs: Iterable[float]) -> tuple[float, ...]:
    """Log weights as shares that add up to 1."""
    logs = tuple(logs)
    top = max(logs)
    raw = [math.exp(value - top) for value in logs]
    total = sum(raw)
    return tuple(value / total for value in raw)


def entropy(belief: Iterable[float]) -> float:
    """The uncertainty that is left, in bits."""
    return -sum(value * math.log2(value) for value in belief if value > 0)


@dataclass(frozen=True)
class Outlook:
    """What asking one piece of evidence would do: gain in bits, expected move of each cause."""

    gain: float
    moves: tuple[float, ...]


def outlook(scale: Scale, evidence: Evidence, now: tuple[float, ...]) -> Outlook:
    """The expected fall in uncertainty, and how far each cause is expected to move."""
    left = 0.0
    moves = [0.0] * len(now)
    for row in scale.logs[evidence.id]:
        joint = [belief * math.exp(log) for belief, log in zip(now, row, strict=True)]
        chance = sum(joint)
        after = [value / chance for value in joint]
        left += chance * entropy(after)
        moves = [
            move + chance * abs(new - old) for move, new, old in zip(moves, after, now, strict=True)
        ]
    return Outlook(entropy(now) - left, tuple(moves))


def ranking(belief: tuple[float, ...]) -> tuple[int, ...]:
    """The places of the listed causes, strongest belief first; ties stay in file order."""
    listed = range(len(belief) - 1)
    return tuple(sorted(listed, key=lambda place: (-round(belief[place], DECIMALS), place)))
