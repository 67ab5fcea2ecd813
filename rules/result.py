"""The result of a diagnosis: all that a page, a command or another program shows of it."""

from collections.abc import Mapping
from dataclasses import dataclass

from kb.cautions import Caution
from kb.units import figures
from rules.choose import NextCheck
from rules.model import Check, Remedy, Symptom
from rules.situation import DerivedValue
from rules.state import Answers, check_json, plain

MOST_SHOWN, LEAST_SHOWN, WORTH_SHOWING = 4, 2, 0.10


@dataclass(frozen=True)
class RankedCause:
    """One cause in the ranking, with all that speaks for and against it."""

    id: str
    label: str
    why: str
    urgent: bool
    likelihood: str
    share: float
    share_text: str
    reasons_for: tuple[str, ...]
    reasons_against: tuple[str, ...]
    missing: tuple[str, ...]
    better_explained_by: str
    remedies: tuple[Remedy, ...]
    article: str
    shown: bool

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """The cautions of all its remedies, each once."""
        return unique_cautions(self.remedies)

    def as_json(self) -> dict[str, object]:
        """The cause in the shape of the JSON contract."""
        return {
            "cause": self.id,
            "label": self.label,
            "likelihood": self.likelihood,
            "share": self.share,
            "share_text": self.share_text,
            "for": list(self.reasons_for),
            "against": list(self.reasons_against),
            "missing": list(self.missing),
            "better_explained_by": self.better_explained_by,
            "why": self.why,
            "urgent": self.urgent,
            "remedies": [_remedy_json(remedy) for remedy in self.remedies],
            "cautions": [caution.id for caution in self.cautions],
            "article": self.article,
            "shown": self.shown,
        }


@dataclass(frozen=True)
class Alarm:
    """An urgent cause to act on now, whatever its place in the ranking."""

    cause: str
    label: str
    reasons: tuple[str, ...]
    remedies: tuple[Remedy, ...]
    article: str

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """The cautions of all its remedies, each once."""
        return unique_cautions(self.remedies)

    def as_json(self) -> dict[str, object]:
        """The alarm in plain data."""
        return {
            "cause": self.cause,
            "label": self.label,
            "reasons": list(self.reasons),
            "remedies": [_remedy_json(remedy) for remedy in self.remedies],
            "cautions": [caution.id for caution in self.cautions],
            "article": self.article,
        }


@dataclass(frozen=True)
class Hanging:
    """An answer without which another cause would come first."""

    checks: tuple[Check, ...]
    text: str


@dataclass(frozen=True)
class NotListed:
    """The share of what no cause on the list explains."""

    label: str
    likelihood: str
    share: float
    share_text: str


@dataclass(frozen=True)
class Diagnosis:
    """All that follows from the answers given under one symptom."""

    symptom: Symptom
    answers: Answers
    first: tuple[str, ...]
    alarms: tuple[Alarm, ...]
    headline: str
    causes: tuple[RankedCause, ...]
    not_listed: NotListed
    phase: str
    next: tuple[NextCheck, ...]
    stop: str
    open: tuple[Check, ...]
    derived: Mapping[str, DerivedValue]
    hangs_on: tuple[Hanging, ...]
    unchecked: tuple[str, ...]
    closing: tuple[str, ...]
    link: str

    @property
    def shown(self) -> tuple[RankedCause, ...]:
        """The causes a page shows: two to four."""
        return tuple(cause for cause in self.causes if cause.shown)

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """The cautions of every alarm and every cause shown, each once."""
        alarmed = [remedy for alarm in self.alarms for remedy in alarm.remedies]
        shown = [remedy for cause in self.shown for remedy in cause.remedies]
        return unique_cautions((*alarmed, *shown))

    def as_json(self) -> dict[str, object]:
        """The diagnosis in the shape of the JSON contract, and more keys."""
        return {
            "symptom": self.symptom.id,
            "title": self.symptom.title,
            "summary": self.symptom.summary,
            "article": self.symptom.article,
            "answers": {key: _number(value) for key, value in self.answers.items()},
            "first": list(self.first),
            "urgent": bool(self.alarms),
            "alarms": [alarm.as_json() for alarm in self.alarms],
            "headline": self.headline,
            "causes": [cause.as_json() for cause in self.causes],
            "not_listed": {
                "label": self.not_listed.label,
                "likelihood": self.not_listed.likelihood,
                "share": self.not_listed.share,
                "share_text": self.not_listed.share_text,
            },
            "phase": self.phase,
            "next": [_next_json(item) for item in self.next],
            "stop": self.stop,
            "open": [check.id for check in self.open],
            "derived": {name: _derived_json(value) for name, value in self.derived.items()},
            "hangs_on": [
                {"checks": [check.id for check in item.checks], "text": item.text}
                for item in self.hangs_on
            ],
            "unchecked": list(self.unchecked),
            "cautions": [caution.id for caution in self.cautions],
            "caution_texts": {caution.id: caution.text for caution in self.cautions},
            "closing": list(self.closing),
            "link": self.link,
            "rules": self.symptom.fingerprint,
        }


def unique_cautions(remedies: tuple[Remedy, ...]) -> tuple[Caution, ...]:
    """The cautions of these remedies, each once, in order."""
    return tuple({c.id: c for remedy in remedies for c in remedy.cautions}.values())


def _remedy_json(remedy: Remedy) -> dict[str, object]:
    return {
        "title": remedy.title,
        "steps": list(remedy.steps),
        "cautions": [caution.id for caution in remedy.cautions],
    }


def _next_json(item: NextCheck) -> dict[str, object]:
    return check_json(item.check) | {
        "why": item.why,
        "phase": item.phase,
        "together": item.together,
    }


def _derived_json(item: DerivedValue) -> dict[str, object]:
    return {
        "value": None if item.value is None else figures(item.value, 4),
        "unit": item.unit,
        "label": item.label,
        "answer": item.answer.id if item.answer else "",
        "text": item.answer.text if item.answer else "",
        "steps": [
            {"formula": step.formula, "numbers": step.numbers, "value": step.value}
            for step in item.steps
        ],
        "problem": item.problem,
    }


def _number(value: str | float) -> str | float | int:
    if isinstance(value, str):
        return value
    text = plain(value)
    return float(text) if "." in text else int(text)
