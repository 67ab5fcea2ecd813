"""Troubleshooting: the index and one symptom, one check at a time or as a whole sheet."""

from collections.abc import Mapping
from dataclasses import dataclass

from flask import Blueprint, render_template, request, url_for
from flask.typing import ResponseReturnValue

from kb.errors import InputErrors
from rules import engine, state, summary
from rules.model import Check, Symptom
from rules.result import Diagnosis
from web.book import using
from web.rendering import content

blueprint = Blueprint("troubleshooting", __name__)
VIEW, READ = "view", "read"
GASPING = "fish-gasping"
FIRST_AID_SYMPTOMS = (GASPING, "fish-dying", "low-oxygen", "ammonia-up", "bad-smell", "water-loss")
PEOPLE_FIRST = ("tingle-in-water", "rotten-egg-gas", "acid-and-chlorine", "lime-burns")


@dataclass(frozen=True)
class Given:
    """One answer given so far, with the ways to change it."""

    check: Check
    value: str
    text: str
    read: bool
    without: str


def diagnose(slug: str, raw: Mapping[str, str]) -> Diagnosis:
    """The diagnosis for raw answers; raises NotFound and InputErrors."""
    found = content()
    return engine.diagnose(found.rulebook.symptom(slug), raw, calculators=found.calculators)


@blueprint.get("/symptoms/")
def index() -> str:
    """Every symptom."""
    return render_template("troubleshooting/index.html", groups=content().symptoms_by_group)


@blueprint.get("/first-aid")
def first_aid() -> str:
    """What to do in the first minutes, for people and for fish."""
    known = content().rulebook.symptoms
    return render_template(
        "troubleshooting/first_aid.html",
        gasping=known.get(GASPING),
        symptoms=[known[slug] for slug in FIRST_AID_SYMPTOMS if slug in known],
        people=PEOPLE_FIRST,
    )


@blueprint.get("/symptoms/<slug>")
def symptom(slug: str) -> ResponseReturnValue:
    """One symptom with the answers in the address."""
    found = content().rulebook.symptom(slug)
    raw = {key: value for key, value in request.args.items() if key not in (VIEW, READ)}
    read = frozenset(request.args.get(READ, "").split(","))
    problems: Mapping[str, str] = {}
    try:
        diagnosis = diagnose(slug, raw)
    except InputErrors as error:
        problems = {problem.input: problem.message for problem in error.problems}
        good = {key: value for key, value in raw.items() if key not in problems}
        diagnosis = diagnose(slug, good)
    page = render_template(
        "troubleshooting/symptom.html",
        symptom=found,
        diagnosis=diagnosis,
        problems=problems,
        raw=raw,
        given=_given(found, diagnosis, read),
        read=",".join(sorted(read - {""})),
        sheet=request.args.get(VIEW) == "sheet",
        old_rules=state.old_rules(found, raw),
        articles=content().library.articles,
        sums=_sums(found, diagnosis),
        calculators=content().calculators_of.get(("symptom", slug), ()),
        ways=using.symptom_ways(found, diagnosis.answers),
        summary=summary.as_text(diagnosis) if diagnosis.answers else "",
    )
    return page, 422 if problems else 200


def _given(found: Symptom, diagnosis: Diagnosis, read: frozenset[str]) -> list[Given]:
    answered = {key: state.plain(value) for key, value in diagnosis.answers.items()}
    return [
        Given(
            check=check,
            value=answered[check.id],
            text=summary.answer_text(check, diagnosis.answers[check.id]),
            read=check.id in read,
            without=_address(found, {k: v for k, v in answered.items() if k != check.id}, read),
        )
        for check in found.checks
        if check.id in answered
    ]


def _sums(found: Symptom, diagnosis: Diagnosis) -> dict[str, str]:
    """For each derived number, the calculator's address with the same figures in it."""
    answers = diagnosis.answers
    return {
        item.id: content()
        .calculators[item.derived.calculator]
        .link({name: answers[check] for name, check in item.derived.inputs.items()})
        for item in found.evidence
        if item.derived and item.id in diagnosis.derived
    }


def _address(found: Symptom, answers: Mapping[str, str], read: frozenset[str]) -> str:
    kept = ",".join(sorted(read & set(answers)))
    query = {**answers, **({READ: kept} if kept else {})}
    return url_for(".symptom", slug=found.id, **query)  # type: ignore[arg-type]
