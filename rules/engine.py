"""Answers in, diagnosis out: pure, and the same byte for byte whatever the order of answering."""

from collections.abc import Mapping

from kb.calculators.model import Calculator
from rules.choose import Option, plan
from rules.explain import (
    CLOSING,
    alarms,
    hanging,
    headline,
    not_listed,
    ranked_causes,
    unchecked,
)
from rules.model import Check, Symptom
from rules.result import Diagnosis
from rules.situation import Situation, situation
from rules.state import link, read_answers


def diagnose(
    symptom: Symptom,
    answers: Mapping[str, object],
    *,
    calculators: Mapping[str, Calculator],
) -> Diagnosis:
    """The diagnosis after these answers; raises InputErrors for any that cannot be used."""
    here = situation(symptom, read_answers(symptom, answers), calculators)
    ahead = plan(here)
    causes = ranked_causes(here, ahead.open)
    return Diagnosis(
        symptom=symptom,
        answers=here.answers,
        first=symptom.do_first,
        alarms=alarms(here),
        headline=headline(here, causes),
        causes=causes,
        not_listed=not_listed(here),
        phase=ahead.phase,
        next=ahead.next,
        stop=ahead.stop,
        open=_open_checks(here, ahead.open),
        derived=here.derived,
        hangs_on=hanging(here),
        unchecked=unchecked(here),
        closing=CLOSING,
        link=link(symptom, here.answers),
    )


def _open_checks(here: Situation, options: tuple[Option, ...]) -> tuple[Check, ...]:
    """The checks one may still answer, best first; for a reader who wants to go on."""
    found = {check.id: check for option in options for check in here.open_checks(option.evidence)}
    return tuple(found.values())
