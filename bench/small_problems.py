"""Symptoms cut down until the best order of all can be worked out, to hold the engine against.

An answer state says of each check whether it is open or how it was answered. From the states in
which the engine stops, expected minutes are worked out backwards; the optimum takes in every state
the check that leaves the fewest. The stopping rule is the engine's in all orders.
"""

import random
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from rules.belief import beliefs, scale, shares
from rules.choose import STOP, plan
from rules.model import Evidence, Saying, Symptom
from rules.situation import Situation

CAUSES, CHECKS, URGENT, EACH = 4, 5, 2, 2
SEED = 2024
OPEN = -1
State = tuple[int, ...]


@dataclass(frozen=True)
class Small:
    """Expected minutes of one small problem in four orders."""

    name: str
    states: int
    optimum: float
    engine: float
    file: float
    random: float

    @property
    def ratio(self) -> float:
        """The engine's minutes against the optimum."""
        return self.engine / self.optimum if self.optimum else 1.0


def small_problems(symptoms: Iterable[Symptom], progress: Callable[[str], None]) -> list[Small]:
    """Each symptom cut down in different ways, solved exactly."""
    found = []
    for symptom in symptoms:
        progress(f"small: {symptom.id}")
        for number in range(1, EACH + 1):
            found.append(solve(cut_down(symptom, number), f"{symptom.id} {number}"))
    progress("")
    return found


def cut_down(symptom: Symptom, number: int) -> Symptom:
    """A symptom with few of its causes, and the plain checks that say most about them."""
    dice = random.Random(f"{SEED} {symptom.id} {number}")
    urgent = [suspect for suspect in symptom.suspects if suspect.cause.urgent]
    kept = [dice.choice(urgent)]
    rest = [suspect for suspect in symptom.suspects if suspect not in kept]
    kept += dice.sample(rest, CAUSES - 1)
    suspects = tuple(suspect for suspect in symptom.suspects if suspect in kept)
    ids = frozenset(suspect.cause.id for suspect in suspects)
    plain = [_narrowed(item, ids) for item in symptom.evidence if item.derived is None]
    telling = sorted(plain, key=lambda item: -len(item.named))
    best = [item for item in telling if item.urgent][:URGENT]
    best += [item for item in telling if not item.urgent][: CHECKS - len(best)]
    evidence = tuple(item for item in plain if item in best and item.named)
    checks = tuple(item.checks[0] for item in evidence)
    return replace(symptom, suspects=suspects, evidence=evidence, checks=checks)


def _narrowed(item: Evidence, causes: frozenset[str]) -> Evidence:
    words = [{c: w for c, w in saying.words.items() if c in causes} for saying in item.sayings]
    return replace(item, sayings=tuple(Saying(mine) for mine in words))


def solve(symptom: Symptom, name: str) -> Small:
    """The expected minutes of all four orders, by dynamic programming over answer states."""
    solver = _Solver(symptom)
    optimum, engine, file, chance = solver.minutes((OPEN,) * len(symptom.evidence))
    return Small(name, len(solver.known), optimum, engine, file, chance)


class _Solver:
    def __init__(self, symptom: Symptom) -> None:
        self.symptom = symptom
        self.scale = scale(symptom)
        self.start = beliefs(self.scale, {})
        self.tables = [shares(item, self.scale.causes) for item in symptom.evidence]
        self.known: dict[State, tuple[float, float, float, float]] = {}

    def minutes(self, state: State) -> tuple[float, float, float, float]:
        """What is left to spend from this state: optimum, engine, file order, random order."""
        if state not in self.known:
            self.known[state] = self._work_out(state)
        return self.known[state]

    def _work_out(self, state: State) -> tuple[float, float, float, float]:
        here = self._situation(state)
        ahead = plan(here)
        if ahead.phase == STOP:
            return 0.0, 0.0, 0.0, 0.0
        places = [place for place, answer in enumerate(state) if answer == OPEN]
        after = {place: self._asked(state, place, here) for place in places}
        asked = ahead.next[0].check.id
        engine = next(p for p in places if self.symptom.evidence[p].id == asked)
        return (
            min(spent[0] for spent in after.values()),
            after[engine][1],
            after[places[0]][2],
            sum(spent[3] for spent in after.values()) / len(places),
        )

    def _asked(self, state: State, place: int, here: Situation) -> tuple[float, ...]:
        spent = [self.symptom.evidence[place].checks[0].cost] * 4
        for answer, row in enumerate(self.tables[place]):
            chance = sum(b * share for b, share in zip(here.belief, row, strict=True))
            left = self.minutes((*state[:place], answer, *state[place + 1 :]))
            spent = [so_far + chance * more for so_far, more in zip(spent, left, strict=True)]
        return tuple(spent)

    def _situation(self, state: State) -> Situation:
        pairs = list(zip(self.symptom.evidence, state, strict=True))
        given = {item.id: answer for item, answer in pairs if answer != OPEN}
        return Situation(
            symptom=self.symptom,
            answers={id: str(answer) for id, answer in given.items()},
            scale=self.scale,
            given=given,
            belief=beliefs(self.scale, given),
            start=self.start,
            open=tuple(item for item, answer in pairs if answer == OPEN),
            unchecked=(),
            derived={},
        )
