"""How sure is sure enough: the two limits, worked out from the content itself."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

# What the limits must hold on the content's own wordings, each left out; shares, not limits.
# Such wordings are harder to find than real questions: every one was written to differ from the
# others. Of what is strong among questions from outside, a fifth as much is wrong.
WRONG_AMONG_STRONG = 0.17
STRONG_WITHOUT_ANSWER = 0.09
STRONG_OFF_TOPIC = 0.02
AS_GOOD = 0.03
STRANGERS_COUNT = 0.9  # what an off-topic text let in costs, beside a right answer turned away
LEAD_COUNTS = 2.0
# How far from possible to strong one of several questions must be, and one that asks nothing.
QUESTION_STANDS_ALONE, SENTENCE_STANDS_ALONE = 0.2, 0.6
SCORE_AT_POSSIBLE = 0.40
SCORE_AT_STRONG = 0.75
LEAST_GAP = 0.15  # keeps scores from jumping where the two limits coincide


@dataclass(frozen=True)
class Sure:
    """How well the best document fits, and how far it is ahead of the second."""

    value: float
    lead: float

    @property
    def trust(self) -> float:
        """What tells right answers from wrong ones: a near rival makes even a good fit doubtful."""
        return self.value + LEAD_COUNTS * self.lead


@dataclass(frozen=True)
class Limits:
    """From which trust on a match is strong, and from which value on it is possible."""

    strong: float
    possible: float

    def verdict(self, best: Sure) -> str:
        """The verdict on the best match."""
        if best.value < self.possible:
            return "none"
        return "strong" if best.trust >= self.strong else "possible"

    def stands_alone(self, best: Sure, *, asks: bool) -> bool:
        """Is a part of a text, which asks or only tells, surely about a matter of its own?"""
        share = QUESTION_STANDS_ALONE if asks else SENTENCE_STANDS_ALONE
        line = self.possible + share * (self.strong - self.possible)
        return best.value >= self.possible and best.trust >= line

    def score(self, best: Sure) -> float:
        """How good the best match is, from 0 to 1: possible begins at 0.40, strong at 0.75."""
        if best.value < self.possible:
            return SCORE_AT_POSSIBLE * max(0.0, best.value) / self.possible
        gap = max(self.strong - self.possible, LEAST_GAP)
        if best.trust < self.strong:
            share = max(0.0, 1 - (self.strong - best.trust) / gap)
            return SCORE_AT_POSSIBLE + (SCORE_AT_STRONG - SCORE_AT_POSSIBLE) * share
        return 1 - (1 - SCORE_AT_STRONG) * math.exp((self.strong - best.trust) / gap)


@dataclass(frozen=True)
class Case:
    """One wording left out: the place of its own answer, how sure the first of all is, and how
    sure the first of the others when the whole answer is left out."""

    place: int
    first: Sure
    without: Sure


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


def find(cases: Sequence[Case], strangers: Sequence[Sure]) -> Limits:
    """The limits that these left-out wordings and off-topic texts call for."""
    return Limits(_strong(cases, strangers), _possible(cases, strangers))


def measure(cases: Sequence[Case], strangers: Sequence[Sure]) -> Measures:
    """The shares, every half judged by limits that only the other half has set."""
    halves = [(cases[start::2], strangers[start::2]) for start in (0, 1)]
    limits = [find(*half) for half in reversed(halves)]
    judged = [
        (case, limit.verdict(case.first), limit.verdict(case.without))
        for (own, _), limit in zip(halves, limits, strict=True)
        for case in own
    ]
    other = [
        limit.verdict(one) for (_, own), limit in zip(halves, limits, strict=True) for one in own
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


def _strong(cases: Sequence[Case], strangers: Sequence[Sure]) -> float:
    """The lowest trust from which on wrong answers are rare and hardly a stranger is left."""
    strange = sorted((one.trust for one in strangers), reverse=True)
    floor = next(iter(strange[int(STRONG_OFF_TOPIC * len(strange)) :]), 0.0)
    ordered = sorted(cases, key=lambda case: (-case.first.trust, case.place == 1))
    without = sorted(case.without.trust for case in cases)
    best = None
    wrong = let_in = 0
    for number, case in enumerate(ordered, start=1):
        trust = case.first.trust
        wrong += case.place != 1
        while let_in < len(without) and without[-1 - let_in] >= trust:
            let_in += 1
        if trust <= floor or let_in > STRONG_WITHOUT_ANSWER * len(cases):
            break
        if wrong <= WRONG_AMONG_STRONG * number:
            best = trust
    highest = max((floor, *(max(case.first.trust, case.without.trust) for case in cases)))
    return highest + 0.01 if best is None else best


def _possible(cases: Sequence[Case], strangers: Sequence[Sure]) -> float:
    """The value that best parts right answers from off-topic texts; of many as good, the lowest."""
    right = [case.first.value for case in cases if case.place == 1]
    if not right:
        return max((one.value for one in strangers), default=0.0) + 0.01
    gains = {limit: _gain(limit, right, strangers) for limit in sorted(right)}
    most = max(gains.values())
    return next(limit for limit, gain in gains.items() if gain >= most - AS_GOOD)


def _gain(limit: float, right: Sequence[float], strangers: Sequence[Sure]) -> float:
    kept = _share(value >= limit for value in right)
    strange = _share(one.value >= limit for one in strangers)
    return kept - STRANGERS_COUNT * strange


def _share(hits: Iterable[bool]) -> float:
    values = list(hits)
    return sum(values) / len(values) if values else 0.0
