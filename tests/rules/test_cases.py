"""The cases beside the shipped symptoms: what each set of answers must and must not come to.

Keys of a case: ``answers``, and any of ``first`` (the first cause, or those that may be it),
``not_first``, ``open`` (causes neither ruled out nor below a share of 0.02), ``alarm``,
``first_action`` (a text in the first steps or in the first remedy of an alarm) and ``never``
(texts that no first step, no alarm and no remedy on the page may hold). Texts are compared
without regard to capitals.
"""

import tomllib
from pathlib import Path

import pytest

from kb import calculators
from rules.engine import diagnose
from rules.load import shipped

FOLDER = Path(__file__).parent / "cases"
CASES = [
    pytest.param(data["symptom"], case, id=f"{file.stem}: {case['name']}")
    for file in sorted(FOLDER.glob("*.toml"))
    for data in [tomllib.loads(file.read_text(encoding="utf-8"))]
    for case in data["case"]
]
KEYS = {
    "name",
    "answers",
    "first",
    "not_first",
    "open",
    "alarm",
    "first_action",
    "never",
    "source",
}
LEAST_OPEN = 0.02


@pytest.fixture(scope="module")
def book():
    return shipped()


@pytest.mark.parametrize(("symptom", "case"), CASES)
def test_a_case_leads_where_it_should(book, symptom, case):
    assert set(case) <= KEYS, f"unknown key in the case: {set(case) - KEYS}"
    known = {cause.id for cause in book.symptom(symptom).causes}
    wanted = [case["first"]] if isinstance(case.get("first"), str) else case.get("first", [])
    avoided = case.get("not_first", [])
    assert {*wanted, *avoided, *case.get("open", [])} <= known
    assert wanted or avoided or "alarm" in case
    found = diagnose(book.symptom(symptom), case["answers"], calculators=calculators.ALL)
    first = found.causes[0]
    assert not wanted or first.id in wanted, found.headline
    assert first.id not in avoided
    if "alarm" in case:
        assert bool(found.alarms) == case["alarm"], [alarm.reasons for alarm in found.alarms]
    assert _closed(found, case.get("open", [])) == []
    assert _not_advised(found, case.get("first_action", "")) == ""
    assert _wrongly_advised(found, case.get("never", [])) == []


def _closed(found, causes):
    """Those of these causes that are as good as given up, with their share."""
    return [
        (cause.id, cause.likelihood, cause.share)
        for cause in found.causes
        if cause.id in causes and (cause.likelihood == "ruled out" or cause.share <= LEAST_OPEN)
    ]


def _not_advised(found, text):
    """The text, unless a first step or the first remedy of an alarm holds it."""
    remedies = [alarm.remedies[0] for alarm in found.alarms]
    return "" if text.casefold() in _advice(found.first, remedies) else text


def _wrongly_advised(found, texts):
    """Those of these texts that the page holds."""
    shown = [remedy for item in (*found.alarms, *found.shown) for remedy in item.remedies]
    advice = _advice(found.first, shown)
    return [text for text in texts if text.casefold() in advice]


def _advice(first, remedies):
    steps = [text for remedy in remedies for text in (remedy.title, *remedy.steps)]
    return "\n".join((*first, *steps)).casefold()


def test_every_shipped_symptom_has_four_cases_one_of_them_a_false_alarm(book):
    cases = [(param.values[0], param.values[1]) for param in CASES]
    short = {
        slug
        for slug in book.symptoms
        if sum(symptom == slug for symptom, _ in cases) < 4
        or not any(symptom == slug and case.get("alarm") is False for symptom, case in cases)
    }
    assert short == set()


@pytest.mark.parametrize(("key", "least"), [("open", 3), ("first_action", 2), ("never", 2)])
def test_every_shipped_symptom_has_cases_for_what_stays_open_and_what_to_do(book, key, least):
    counted = {slug: sum(p.values[0] == slug and key in p.values[1] for p in CASES)
               for slug in book.symptoms}  # fmt: skip
    assert {slug: count for slug, count in counted.items() if count < least} == {}


def test_what_must_never_be_advised_is_advised_somewhere(book):
    """Else a slip of the pen in a case would forbid nothing; one such text a symptom is enough."""
    causes = {c.id: c for symptom in book.symptoms.values() for c in symptom.causes}.values()
    advice = _advice((), [remedy for cause in causes for remedy in cause.remedies])
    idle = {
        slug
        for slug in book.symptoms
        if not any(
            text.casefold() in advice
            for param in CASES
            if param.values[0] == slug
            for text in param.values[1].get("never", [])
        )
    }
    assert idle == set()
