"""A diagnosis as lines to copy: what was checked, what it points to, what was done."""

from collections.abc import Iterator

from kb.units import PH, show
from rules.model import CANT_MEASURE, UNKNOWN, Check
from rules.result import Diagnosis
from rules.state import Value, plain

NO_ANSWER_WORDS = {UNKNOWN: "not known", CANT_MEASURE: "cannot be measured"}


def answer_text(check: Check, value: Value) -> str:
    """An answer in the words of its check."""
    text = plain(value)
    if text in NO_ANSWER_WORDS:
        return NO_ANSWER_WORDS[text]
    if check.reading:
        return text if check.reading.unit == PH.base else f"{text} {check.reading.unit}".strip()
    return next((answer.text for answer in check.answers if answer.id == text), text)


def as_text(found: Diagnosis) -> str:
    """The summary to paste into a reply or to send to a vet."""
    return "\n".join(_lines(found))


def _lines(found: Diagnosis) -> Iterator[str]:
    yield found.symptom.title
    yield ""
    yield "What I checked:"
    checks = {check.id: check for check in found.symptom.checks}
    for key, value in found.answers.items():
        yield f"- {checks[key].ask} {answer_text(checks[key], value)}"
    for item in found.derived.values():
        if item.value is not None:
            yield f"- {item.label}, worked out: {show(item.value)} {item.unit}".rstrip()
    yield ""
    yield "What it points to, as far as these answers go:"
    for alarm in found.alarms:
        yield f"- To act on now: {alarm.label}"
    for cause in found.shown:
        yield f"- {cause.label}: {cause.likelihood} ({cause.share_text})"
    yield f"- {found.not_listed.label}: {found.not_listed.share_text}"
    yield ""
    yield "What I did, and when:"
    yield "- "
