"""How sure is sure enough: the two limits, worked out from the content itself."""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

# What the limits must hold on the content's own wordings; shares, not limits.
WRONG_AMONG_STRONG = 0.04
STRONG_WITHOUT_ANSWER = 0.08
SCORE_AT_POSSIBLE = 0.40
SCORE_AT_STRONG = 0.75
LEAST_GAP = 0.15  # keeps scores from jumping where the two limits coincide


@dataclass(frozen=True)
class Limits:
    """From which trust on a match is strong, and from which it is possible."""

    strong: float
    possible: float

    def verdict(self, trust: float) -> str:
        """The verdict on a best match of this trust."""
        if trust >= self.strong:
            return "strong"
        return "possible" if trust >= self.possible else "none"

    def score(self, trust: float) -> float:
        """The trust as a number from 0 to 1: 0.40 at possible, as a rule 0.75 at strong."""
        low, high = _logit(SCORE_AT_POSSIBLE), _logit(SCORE_AT_STRONG)
        slope = (high - low) / max(self.strong - self.possible, LEAST_GAP)
        exponent = low + slope * (trust - self.possible)
        return 1 / (1 + math.exp(-max(-30.0, min(30.0, exponent))))


@dataclass(frozen=True)
class Case:
    """One wording left out: the place of its own answer, the trust in the first of all, and the
    trust in the first of the others when the whole answer is left out."""

    place: int
    trust: float
    without: float


@dataclass(frozen=True)
class Measures:
    """How well the content finds its own wordings, each left out in turn; shares from 0 to 1."""

    cases: int
    first: float
    first_three: float
    strong: float
    strong_wrong: float
    none: float
    without_answer_strong: float
    off_topic_none: float
    off_topic_strong: float


def find(cases: Sequence[Case], strangers: Sequence[float]) -> Limits:
    """The limits that these left-out wordings and off-topic texts call for."""
    strong = _strong(cases, strangers)
    return Limits(strong, min(strong, _possible(cases, strangers)))


def measure(cases: Sequence[Case], strangers: Sequence[float]) -> Measures:
    """The shares, every half judged by limits that only the other half has set."""
    halves = [(cases[start::2], strangers[start::2]) for start in (0, 1)]
    limits = [find(*half) for half in reversed(halves)]
    judged = [
        (case, limit.verdict(case.trust), limit.verdict(case.without))
        for (own, _), limit in zip(halves, limits, strict=True)
        for case in own
    ]
    other = [
        limit.verdict(trust)
        for (_, own), limit in zip(halves, limits, strict=True)
        for trust in own
    ]
    strong = [case for case, verdict, _ in judged if verdict == "strong"]
    return Measures(
        cases=len(cases),
        first=_share(case.place == 1 for case in cases),
        first_three=_share(case.place <= 3 for case in cases),
        strong=_share(verdict == "strong" for _, verdict, _ in judged),
        strong_wrong=_share(case.place != 1 for case in strong),
        none=_share(verdict == "none" for _, verdict, _ in judged),
        without_answer_strong=_share(verdict == "strong" for _, _, verdict in judged),
        off_topic_none=_share(verdict == "none" for verdict in other),
        off_topic_strong=_share(verdict == "strong" for verdict in other),
    )


def _strong(cases: Sequence[Case], strangers: Sequence[float]) -> float:
    """The lowest trust from which on wrong answers are rare and no stranger is left."""
    floor = max(strangers, default=0.0)
    for trust in sorted({case.trust for case in cases if case.trust > floor}):
        reached = [case for case in cases if case.trust >= trust]
        wrong = _share(case.place != 1 for case in reached)
        without = _share(case.without >= trust for case in cases)
        if wrong <= WRONG_AMONG_STRONG and without <= STRONG_WITHOUT_ANSWER:
            return trust
    return max((floor, *(max(case.trust, case.without) for case in cases))) + 0.01


def _possible(cases: Sequence[Case], strangers: Sequence[float]) -> float:
    """The trust that best parts right answers from off-topic texts and missing answers."""
    right = [case.trust for case in cases if case.place == 1]
    without = [case.without for case in cases]
    if not right:
        return max(strangers, default=0.0) + 0.01
    return max(right, key=_parting(right, without, strangers))


def _parting(
    right: Sequence[float], without: Sequence[float], strangers: Sequence[float]
) -> Callable[[float], tuple[float, float]]:
    def gain(limit: float) -> tuple[float, float]:
        kept = _share(trust >= limit for trust in right)
        let_in = _share(trust >= limit for trust in without)
        strange = _share(trust >= limit for trust in strangers)
        return kept - (let_in + 2 * strange) / 3, -limit

    return gain


def _share(hits: Iterable[bool]) -> float:
    values = list(hits)
    return sum(values) / len(values) if values else 0.0


def _logit(share: float) -> float:
    return math.log(share / (1 - share))
