"""Where a reader stands: what the answers come to, what is open, what was not checked."""

from collections.abc import Mapping
from dataclasses import dataclass

from kb.calculators.model import Calculator, Step
from kb.errors import InputErrors
from kb.units import figures
from rules.belief import Scale, beliefs, scale
from rules.model import CANT_MEASURE, NO_ANSWER, Answer, Check, Derived, Evidence, Symptom
from rules.state import Answers, plain


@dataclass(frozen=True)
class DerivedValue:
    """A number worked out from the answers, or the reason why it could not be."""

    name: str
    label: str
    unit: str
    value: float | None
    answer: Answer | None = None
    steps: tuple[Step, ...] = ()
    problem: str = ""


@dataclass(frozen=True)
class Situation:
    """Everything that follows at once from the answers."""

    symptom: Symptom
    answers: Answers
    scale: Scale
    given: Mapping[str, int]
    belief: tuple[float, ...]
    start: tuple[float, ...]
    open: tuple[Evidence, ...]
    unchecked: tuple[Evidence, ...]
    derived: Mapping[str, DerivedValue]

    def belief_in(self, cause: str) -> float:
        """The belief in a cause now."""
        return self.belief[self.scale.causes.index(cause)]

    def start_of(self, cause: str) -> float:
        """The belief in a cause before any answer."""
        return self.start[self.scale.causes.index(cause)]

    def open_checks(self, evidence: Evidence) -> tuple[Check, ...]:
        """The checks one must still answer for this evidence."""
        return tuple(check for check in evidence.checks if check.id not in self.answers)

    def cost(self, evidence: Evidence) -> float:
        """What it costs to get this evidence."""
        return sum(check.cost for check in self.open_checks(evidence))


def situation(
    symptom: Symptom, answers: Answers, calculators: Mapping[str, Calculator]
) -> Situation:
    """The situation after these answers."""
    closed = _closed(symptom, answers)
    derived = {
        item.id: _work_out(item, item.derived, answers, calculators)
        for item in symptom.evidence
        if item.derived and all(answers.get(c.id, "unknown") not in NO_ANSWER for c in item.checks)
    }
    given = _given(symptom, answers, derived)
    numbers = scale(symptom)
    return Situation(
        symptom=symptom,
        answers=answers,
        scale=numbers,
        given=given,
        belief=beliefs(numbers, given),
        start=beliefs(numbers, {}),
        open=tuple(item for item in symptom.evidence if _is_open(item, answers, closed)),
        unchecked=tuple(
            item
            for item in symptom.evidence
            if item.id not in given and not _is_open(item, answers, closed)
        ),
        derived=derived,
    )


def band(answers: tuple[Answer, ...], value: float) -> int:
    """The place of the answer whose band holds the value."""
    for place, answer in enumerate(answers):
        if answer.below is not None and value < answer.below:
            return place
    return len(answers) - 1


def _closed(symptom: Symptom, answers: Answers) -> frozenset[str]:
    """The checks that will get no answer: said so, or their tool is not there."""
    missing = {
        check.tool.id
        for check in symptom.checks
        if check.tool and answers.get(check.id) == CANT_MEASURE
    }
    without = {
        check.id
        for check in symptom.checks
        if check.id not in answers and check.tool and check.tool.id in missing
    }
    return frozenset(without | {id for id, value in answers.items() if value in NO_ANSWER})


def _is_open(evidence: Evidence, answers: Answers, closed: frozenset[str]) -> bool:
    ids = [check.id for check in evidence.checks]
    return not any(id in closed for id in ids) and any(id not in answers for id in ids)


def _given(
    symptom: Symptom, answers: Answers, derived: Mapping[str, DerivedValue]
) -> dict[str, int]:
    given = {}
    for item in symptom.evidence:
        if item.derived:
            worked_out = derived.get(item.id)
            if worked_out and worked_out.answer:
                given[item.id] = item.answers.index(worked_out.answer)
            continue
        value = answers.get(item.id)
        if isinstance(value, float | int):
            given[item.id] = band(item.answers, value)
        elif value is not None and value not in NO_ANSWER:
            given[item.id] = [answer.id for answer in item.answers].index(value)
    return given


def _work_out(
    evidence: Evidence,
    derived: Derived,
    answers: Answers,
    calculators: Mapping[str, Calculator],
) -> DerivedValue:
    units = {check.id: check.reading.unit if check.reading else "" for check in evidence.checks}
    raw = {name: f"{plain(answers[id])} {units[id]}".strip() for name, id in derived.inputs.items()}
    name, label, unit = evidence.id, derived.label, derived.unit
    try:
        report = calculators[derived.calculator].run(raw)
    except InputErrors as error:
        return DerivedValue(name, label, unit, None, problem=str(error))
    value = report.results[derived.result].value
    if not isinstance(value, float | int):
        return DerivedValue(
            name, label, unit, None, problem=f"{label} does not follow from these figures."
        )
    value = figures(float(value), 6)  # a float's last digits must not decide between two bands
    answer = evidence.answers[band(evidence.answers, value)]
    return DerivedValue(name, label, unit, value, answer, report.steps)
