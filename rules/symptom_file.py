"""Reading one symptom file: its causes, checks, what answers say, and numbers worked out."""

import re
from collections.abc import Iterable

from kb.calculators.model import Calculator, Choice
from kb.fields import Fields
from rules.model import HOW_OFTEN, Check, Derived, Evidence, Saying, Suspect, Symptom
from rules.read import (
    Known,
    add_once,
    look_up,
    read_answers,
    read_cause,
    read_check,
    read_saying,
)

FEWEST_CAUSES, MOST_CAUSES, MOST_CHECKS = 3, 16, 20
_NAME = re.compile(r"[a-z][a-z0-9]*(?:[-_][a-z0-9]+)*")
_NOTHING = Saying({})


def read_symptom(fields: Fields, slug: str, known: Known) -> Symptom:
    """The symptom of a file whose name, without its ending, is ``slug``."""
    head = fields.table("symptom", required=True)
    if head.slug("id") not in ("", slug):
        head.problem(f"must equal the name of the file, “{slug}”.", "id")
    suspects = _read_suspects(fields, known)
    causes = tuple(suspect.cause.id for suspect in suspects)
    checks, evidence = _read_checks(fields, known, causes)
    derived = _read_derived(fields, known, checks, causes)
    symptom = Symptom(
        id=slug,
        title=head.text("title"),
        summary=head.text("summary"),
        do_first=head.texts("do_first", required=True),
        suspects=suspects,
        checks=tuple(checks.values()),
        evidence=(*evidence, *derived),
        article=head.slug("article", ""),
        path=fields.path,
    )
    head.finish()
    fields.finish()
    return symptom


def _read_suspects(fields: Fields, known: Known) -> tuple[Suspect, ...]:
    found: dict[str, Suspect] = {}
    for table in fields.tables("cause", required=True):
        _one_of_use_and_id(table)
        if table.has("use"):
            cause = look_up(table, "use", known.causes)
        else:
            cause = read_cause(table, known)
            _not_shared(table, cause.id, known.causes)
        how_often = table.word("how_often", tuple(HOW_OFTEN))
        table.finish()
        if cause is not None:
            add_once(found, cause.id, Suspect(cause, how_often), table)
    if not FEWEST_CAUSES <= len(found) <= MOST_CAUSES:
        fields.problem(
            f"must be {FEWEST_CAUSES} to {MOST_CAUSES} causes, not {len(found)}.", "cause"
        )
    return tuple(found.values())


def _read_checks(
    fields: Fields, known: Known, causes: tuple[str, ...]
) -> tuple[dict[str, Check], list[Evidence]]:
    checks: dict[str, Check] = {}
    evidence = []
    tables = fields.tables("check", required=True)
    if len(tables) > MOST_CHECKS:
        fields.problem(f"must be at most {MOST_CHECKS} checks, not {len(tables)}.", "check")
    for table in tables:
        _one_of_use_and_id(table)
        sayings: dict[str, Saying] = {}
        if table.has("use"):
            check = look_up(table, "use", known.checks)
        else:
            check, sayings = read_check(table, known, causes)
            _not_shared(table, check.id, known.checks)
        urgent = table.flag("urgent")
        if check is None:
            continue
        add_once(checks, check.id, check, table)
        _read_sayings(table, check, causes, sayings)
        if sayings:
            evidence.append(_evidence(check.id, check, sayings, urgent))
    return checks, evidence


def _evidence(id: str, check: Check, sayings: dict[str, Saying], urgent: bool) -> Evidence:
    said = tuple(sayings.get(answer.id, _NOTHING) for answer in check.answers)
    return Evidence(id, check.answers, said, (check,), urgent)


def _read_sayings(
    fields: Fields, check: Check, causes: tuple[str, ...], sayings: dict[str, Saying]
) -> None:
    ids = [answer.id for answer in check.answers]
    for key in fields.rest():
        if key not in ids:
            allowed = ", ".join(ids) or "none, as it is a plain number"
            fields.problem(f"is no answer of “{check.id}”; its answers are {allowed}.", key)
            continue
        table = fields.table(key)
        if key in sayings:
            table.problem("says in two places what it means; keep one.")
        sayings[key] = read_saying(table, causes)
        table.finish()


def _read_derived(
    fields: Fields, known: Known, checks: dict[str, Check], causes: tuple[str, ...]
) -> list[Evidence]:
    tables = fields.table("derived")
    evidence = []
    for name in tables.rest():
        table = tables.table(name)
        if not _NAME.fullmatch(name) or name in checks or name in known.checks:
            table.problem("must be a name of its own, in small letters, digits, - or _.")
        calculator = look_up(table, "calculator", known.calculators)
        if not table.has("calculator"):
            table.problem("is missing.", "calculator")
        inputs = _read_inputs(table, known, checks)
        answers, sayings = read_answers(table, known, causes, banded=True)
        if not answers:
            table.problem("needs at least two answers.", "answer")
        urgent = table.flag("urgent")
        derived = _derived(table, calculator, inputs)
        table.finish()
        said = tuple(sayings.get(answer.id, _NOTHING) for answer in answers)
        taken = tuple(dict.fromkeys(inputs.values()))
        if derived is not None:
            evidence.append(Evidence(name, answers, said, taken, urgent, derived))
    return evidence


def _read_inputs(fields: Fields, known: Known, checks: dict[str, Check]) -> dict[str, Check]:
    """The checks that feed a derived number; those the symptom has not used yet are added."""
    inputs = {}
    table = fields.table("inputs", required=True)
    for name in table.rest():
        id = table.text(name)
        check = checks.get(id) or known.checks.get(id)
        if check is None:
            table.problem(f"“{id}” is no check of checks.toml or of this file.", name)
            continue
        checks.setdefault(id, check)
        inputs[name] = check
    return inputs


def _derived(
    fields: Fields, calculator: Calculator | None, inputs: dict[str, Check]
) -> Derived | None:
    name = fields.text("result")
    if calculator is None:
        return None
    results = {result.name: result for result in calculator.results if result.kind is not None}
    if name not in results:
        fields.problem(
            f"“{name}” is no number {calculator.id} works out; it gives {', '.join(results)}.",
            "result",
        )
        return None
    _check_inputs(fields, calculator, inputs)
    return Derived(
        calculator.id,
        name,
        {key: check.id for key, check in inputs.items()},
        results[name].label,
        results[name].unit,
    )


def _check_inputs(fields: Fields, calculator: Calculator, inputs: dict[str, Check]) -> None:
    known = {item.name: item for item in calculator.inputs}
    for name, check in inputs.items():
        if name not in known:
            fields.problem(
                f"“{name}” is no input of {calculator.id}; it takes {', '.join(known)}.", "inputs"
            )
        elif wanted := _mismatch(check, known[name]):
            fields.problem(f"{name} = “{check.id}” does not fit: it must be {wanted}.", "inputs")
    missing = [item.name for item in calculator.inputs if item.required and item.name not in inputs]
    if missing:
        fields.problem(f"is short of {', '.join(missing)}, which {calculator.id} needs.", "inputs")
    for group in calculator.one_of:
        if sum(name in inputs for name in group) != 1:
            fields.problem(f"must name exactly one of {', '.join(group)}.", "inputs")


def _mismatch(check: Check, wanted: object) -> str:
    if isinstance(wanted, Choice):
        options: Iterable[str] = wanted.ids
        fits = check.reading is None and {a.id for a in check.answers} <= set(options)
        return "" if fits else f"a choice among {', '.join(options)}"
    kind = getattr(wanted, "kind", None)
    if check.reading is None or kind is None or check.reading.kind.name != kind.name:
        return f"a number of the kind {getattr(kind, 'name', '')}"
    return ""


def _one_of_use_and_id(fields: Fields) -> None:
    if fields.has("use") == fields.has("id"):
        fields.problem("must have either “use” (an id of the shared file) or “id”, not both.")


def _not_shared(fields: Fields, id: str, shared: Iterable[str]) -> None:
    if id and id in shared:
        fields.problem(f"“{id}” is shared already; write use = “{id}”, or choose another id.", "id")
