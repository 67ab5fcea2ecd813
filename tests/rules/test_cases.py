"""The cases beside the shipped symptoms: answers, the first cause, causes that must not lead."""

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
KEYS = {"name", "answers", "first", "not_first", "alarm", "source"}


@pytest.fixture(scope="module")
def book():
    return shipped()


@pytest.mark.parametrize(("symptom", "case"), CASES)
def test_a_case_leads_where_it_should(book, symptom, case):
    assert set(case) <= KEYS, f"unknown key in the case: {set(case) - KEYS}"
    known = {cause.id for cause in book.symptom(symptom).causes}
    wanted = [case["first"]] if isinstance(case.get("first"), str) else case.get("first", [])
    avoided = case.get("not_first", [])
    assert {*wanted, *avoided} <= known
    assert wanted or avoided or "alarm" in case
    found = diagnose(book.symptom(symptom), case["answers"], calculators=calculators.ALL)
    first = found.causes[0]
    assert not wanted or first.id in wanted, found.headline
    assert first.id not in avoided
    if "alarm" in case:
        assert bool(found.alarms) == case["alarm"], [alarm.reasons for alarm in found.alarms]


def test_every_shipped_symptom_has_four_cases_one_of_them_a_false_alarm(book):
    cases = [(param.values[0], param.values[1]) for param in CASES]
    short = {
        slug
        for slug in book.symptoms
        if sum(symptom == slug for symptom, _ in cases) < 4
        or not any(symptom == slug and case.get("alarm") is False for symptom, case in cases)
    }
    assert short == set()
