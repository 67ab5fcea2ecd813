"""Made-up readers who walk a symptom in some order, until the engine says that they may stop.

A case has one true cause, drawn by its starting parts, and answers drawn from the shares of
``rules/belief.py``. Only the order of asking differs; the stopping rule is the engine's.
"""

import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from rules.belief import beliefs, ranking, scale, shares
from rules.choose import STOP, Plan, plan
from rules.explain import alarms
from rules.model import HOW_OFTEN, UNKNOWN, Check, Symptom
from rules.situation import DerivedValue, Situation

SEED = 2024
EARLY = 2  # checks within which an urgent cause is to be raised
AMONG_FIRST = 3
MEASURED = "measured"


@dataclass(frozen=True)
class Noise:
    """How often an answer is wrong or stays away; typical: each answer the likeliest of all."""

    name: str
    wrong: float
    unknown: float
    typical: bool = False


# Even clean answers mislead now and then: by the shares, one without a cause gives the answer
# that confirms it up to once in nine (of a check with two answers). Typical ones never do.
TYPICAL = Noise("typical", 0.0, 0.0, typical=True)
CLEAN = Noise("clean", 0.0, 0.0)
NOISES = (TYPICAL, CLEAN, Noise("noisy", 0.1, 0.2))


@dataclass(frozen=True)
class Case:
    """A made-up reader: the true cause, the answer to all evidence, the checks not known."""

    true: str
    drawn: Mapping[str, int]
    unknown: frozenset[str]
    shuffled: tuple[str, ...]


@dataclass(frozen=True)
class Walk:
    """What one walk came to; ``at_last``: with every check answered, ``at_stop``: if urgent."""

    first: bool
    among_first: bool
    checks: int
    minutes: float
    among_first_at_last: bool
    alarm_at_stop: bool | None


@dataclass(frozen=True)
class Start:
    """What the first two checks came to for a case whose true cause is urgent."""

    named: bool
    alarm: bool


Order = Callable[[Case, Situation, Plan], tuple[Check, ...]]


class Walker:
    """Walks the cases of one symptom; every state it has met is planned once."""

    def __init__(self, symptom: Symptom) -> None:
        self.symptom = symptom
        self.scale = scale(symptom)
        self.tables = {item.id: shares(item, self.scale.causes) for item in symptom.evidence}
        self.start = beliefs(self.scale, {})
        self.seen: dict[object, tuple[Situation, Plan]] = {}

    def draw(self, noise: Noise, number: int, *, urgent: bool = False) -> Case:
        """The case of that number, the same in every run; if asked, with an urgent cause."""
        dice = random.Random(f"{SEED} {self.symptom.id} {noise.name} {urgent} {number}")
        causes = self.symptom.causes
        places = [place for place, cause in enumerate(causes) if cause.urgent or not urgent]
        parts = [HOW_OFTEN[self.symptom.suspects[place].how_often] for place in places]
        place = dice.choices(places, parts)[0]
        drawn = {}
        for item in self.symptom.evidence:
            column = [row[place] for row in self.tables[item.id]]
            if noise.typical:
                column = [float(share >= max(column) - 1e-9) for share in column]
            answer = dice.choices(range(len(column)), column)[0]
            others = [other for other in range(len(column)) if other != answer]
            drawn[item.id] = dice.choice(others) if dice.random() < noise.wrong else answer
        ids = [check.id for check in self.symptom.checks]
        unknown = frozenset(id for id in ids if dice.random() < noise.unknown)
        dice.shuffle(ids)
        return Case(causes[place].id, drawn, unknown, tuple(ids))

    def walk(self, case: Case, order: Order) -> Walk:
        """The walk of one case in one order, to where the engine would stop."""
        answers: dict[str, str] = {}
        minutes = 0.0
        here, ahead = self.look(case, answers)
        while ahead.phase != STOP:
            for check in order(case, here, ahead):
                self._answer(case, answers, check)
                minutes += check.cost
            here, ahead = self.look(case, answers)
        at_last: dict[str, str] = {}
        for check in self.symptom.checks:
            self._answer(case, at_last, check)
        return Walk(
            first=self._rank(case, answers) == 0,
            among_first=self._rank(case, answers) < AMONG_FIRST,
            checks=len(answers),
            minutes=minutes,
            among_first_at_last=self._rank(case, at_last) < AMONG_FIRST,
            alarm_at_stop=_alarmed(here, case) if self._is_urgent(case) else None,
        )

    def start_out(self, case: Case, order: Order) -> Start:
        """The first two checks of a case with an urgent cause."""
        answers: dict[str, str] = {}
        named = alarm = False
        here, ahead = self.look(case, answers)
        while ahead.phase != STOP and len(answers) < EARLY:
            for check in order(case, here, ahead)[: EARLY - len(answers)]:
                named = named or self._names(check, case.true)
                self._answer(case, answers, check)
                here, ahead = self.look(case, answers)
                alarm = alarm or _alarmed(here, case)
        return Start(named or alarm, alarm)

    def look(self, case: Case, answers: Mapping[str, str]) -> tuple[Situation, Plan]:
        """Where the reader stands after these answers, and what the engine asks next."""
        given = self._given(case, answers)
        key = (frozenset(answers.items()), frozenset(given.items()))
        if key not in self.seen:
            here = self._situation(dict(answers), given)
            self.seen[key] = here, plan(here)
        return self.seen[key]

    def _situation(self, answers: Mapping[str, str], given: Mapping[str, int]) -> Situation:
        unknown = {id for id, value in answers.items() if value == UNKNOWN}
        without = [e for e in self.symptom.evidence if any(c.id in unknown for c in e.checks)]
        return Situation(
            symptom=self.symptom,
            answers=answers,
            scale=self.scale,
            given=given,
            belief=beliefs(self.scale, given),
            start=self.start,
            open=tuple(e for e in self.symptom.evidence if e.id not in given and e not in without),
            unchecked=tuple(without),
            derived={
                item.id: DerivedValue(item.id, item.id, "", None, item.answers[given[item.id]])
                for item in self.symptom.evidence
                if item.derived and item.id in given
            },
        )

    def _answer(self, case: Case, answers: dict[str, str], check: Check) -> None:
        answers[check.id] = UNKNOWN if check.id in case.unknown else MEASURED

    def _given(self, case: Case, answers: Mapping[str, str]) -> dict[str, int]:
        return {
            item.id: case.drawn[item.id]
            for item in self.symptom.evidence
            if all(answers.get(check.id) == MEASURED for check in item.checks)
        }

    def _rank(self, case: Case, answers: Mapping[str, str]) -> int:
        belief = beliefs(self.scale, self._given(case, answers))
        return [self.scale.causes[place] for place in ranking(belief)].index(case.true)

    def _is_urgent(self, case: Case) -> bool:
        return any(cause.id == case.true for cause in self.symptom.urgent_causes)

    def _names(self, check: Check, cause: str) -> bool:
        return any(check in item.checks and cause in item.named for item in self.symptom.evidence)


def by_engine(case: Case, here: Situation, ahead: Plan) -> tuple[Check, ...]:
    """What the page asks next; the checks of one number together."""
    together = ahead.next[0].together
    if not together:
        return (ahead.next[0].check,)
    return tuple(item.check for item in ahead.next if item.together == together)


def by_file(case: Case, here: Situation, ahead: Plan) -> tuple[Check, ...]:
    """The first open check in the file."""
    return (_useful(here)[0],)


def by_chance(case: Case, here: Situation, ahead: Plan) -> tuple[Check, ...]:
    """Any open check."""
    return (min(_useful(here), key=lambda check: case.shuffled.index(check.id)),)


def by_cost(case: Case, here: Situation, ahead: Plan) -> tuple[Check, ...]:
    """The quickest open check."""
    return (min(_useful(here), key=lambda check: check.cost),)


def by_gain(case: Case, here: Situation, ahead: Plan) -> tuple[Check, ...]:
    """What tells most a minute, blind to danger."""
    return here.open_checks(ahead.open[0].evidence)


ORDERS: Mapping[str, Order] = {
    "engine": by_engine,
    "file": by_file,
    "random": by_chance,
    "cheapest": by_cost,
    "gain": by_gain,
}


def _alarmed(here: Situation, case: Case) -> bool:
    return any(found.cause == case.true for found in alarms(here))


def _useful(here: Situation) -> list[Check]:
    """The checks still to be answered that some open evidence needs, in file order."""
    wanted = {check.id for item in here.open for check in here.open_checks(item)}
    return [check for check in here.symptom.checks if check.id in wanted]
