"""The command ``diagnose``: answers in, ranked causes, next check and first steps out."""

import json
import textwrap
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NoReturn

import click

from kb import calculators
from kb.errors import InputErrors, InputProblem, KbError
from kb.units import show
from rules import load
from rules.choose import NextCheck
from rules.engine import diagnose as work_out
from rules.model import Check, Remedy, Rulebook, Symptom
from rules.result import Alarm, Diagnosis, RankedCause
from rules.situation import DerivedValue
from rules.state import checks_json, old_rules, plain

BAD_INPUT = 2
WIDTH = 96
EXAMPLE = "standpipe diagnose fish-gasping oxygen=3.2 nitrite=unknown temperature=79F"


@click.command(epilog=f"Example: {EXAMPLE}")
@click.argument("symptom")
@click.argument("answers", nargs=-1, metavar="[CHECK=ANSWER]...")
@click.option("--json", "as_json", is_flag=True, help="Print JSON for other programs.")
@click.option("--checks", is_flag=True, help="List every check of the symptom and stop.")
@click.option(
    "--content",
    envvar="STANDPIPE_CONTENT",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="A folder with articles and rules of your own.",
)
def diagnose(
    symptom: str, answers: tuple[str, ...], as_json: bool, checks: bool, content: Path | None
) -> None:
    """Find the cause behind SYMPTOM from what you have seen and measured.

    An answer is a choice or a number with or without its unit; "unknown" and "cant-measure"
    are always allowed. Without answers it says what to look at first.
    """
    try:
        found = _rulebook(content).symptom(symptom)
        if checks:
            _print_checks(found, as_json)
            return
        raw = _split(answers)
        diagnosis = work_out(found, raw, calculators=calculators.ALL)
        if old_rules(found, raw):
            click.echo("The rules have changed since this link was written.", err=True)
    except KbError as error:
        _refuse(error)
    if as_json:
        click.echo(json.dumps(diagnosis.as_json(), ensure_ascii=False, indent=1))
    else:
        click.echo("\n".join(_lines(diagnosis)))


def _rulebook(content: Path | None) -> Rulebook:
    own = content / "rules" if content else None
    return load.shipped(*([own] if own and own.is_dir() else []))


def _split(answers: tuple[str, ...]) -> dict[str, object]:
    """The answers by check; raises InputErrors for what is no pair and what is said twice."""
    raw: dict[str, object] = {}
    problems = []
    for text in answers:
        key, mark, value = (part.strip() for part in text.partition("="))
        if not mark or not key:
            problems.append(_problem(text, f"“{text[:60]}” is no answer; write check=answer."))
        elif key in raw:
            problems.append(_problem(text, f"“{key}” is answered twice; give one answer."))
        raw[key] = value
    if problems:
        raise InputErrors(problems)
    return raw


def _problem(given: str, message: str) -> InputProblem:
    return InputProblem(given.partition("=")[0][:60], given[:60], message)


def _refuse(error: KbError) -> NoReturn:
    messages = [str(error)]
    if isinstance(error, InputErrors):
        messages = [problem.message for problem in error.problems]
    for message in messages:
        click.echo(message, err=True)
    raise SystemExit(BAD_INPUT)


def _print_checks(symptom: Symptom, as_json: bool) -> None:
    listed = checks_json(symptom)
    if as_json:
        click.echo(json.dumps(listed, ensure_ascii=False, indent=1))
        return
    for check in symptom.checks:
        tool = f", needs: {check.tool.name}" if check.tool else ""
        wait = f", then wait {plain(check.wait_minutes)} min" if check.wait_minutes else ""
        click.echo(f"{check.id}: {check.ask} ({plain(check.minutes)} min{wait}{tool})")
        click.echo("\n".join(_wrapped(_how_to_answer(check), "    ")))
        if check.how:
            click.echo("\n".join(_wrapped(check.how, "    ")))


def _how_to_answer(check: Check) -> str:
    if check.reading is None:
        return "; ".join(f"{answer.id} = {answer.text}" for answer in check.answers)
    low, high = plain(check.reading.minimum), plain(check.reading.maximum)
    return f"a number from {low} to {high} {check.reading.unit}".strip()


def _lines(found: Diagnosis) -> Iterator[str]:
    yield found.symptom.title
    yield from _block("Do this first, whatever the cause:", found.first)
    for alarm in found.alarms:
        yield from _alarm(alarm)
    yield from _block("Not checked:", found.unchecked)
    yield from ("", found.headline)
    alarmed = {alarm.cause for alarm in found.alarms}
    for place, cause in enumerate(found.shown, 1):
        yield from _cause(place, cause, alarmed)
    rest = found.not_listed
    yield f"   {rest.label}: {rest.likelihood} ({rest.share_text})"
    worked_out = [_derived(item) for item in found.derived.values()]
    yield from _block("Worked out from your answers:", worked_out)
    yield from _block("Check next:", [_next(item) for item in found.next])
    if found.stop:
        yield from _block("No more questions:", [found.stop[0].upper() + found.stop[1:] + "."])
    yield from _block("Watch out:", [item.text for item in found.hangs_on])
    yield from _block("Take care:", [caution.text for caution in found.cautions])
    yield from _block("And then:", found.closing)
    yield from ("", found.link)


def _alarm(alarm: Alarm) -> Iterator[str]:
    yield from ("", f"ACT NOW: {alarm.label}")
    for reason in alarm.reasons:
        yield from _wrapped(reason, "   ")
    yield from _remedies(alarm.remedies)


def _cause(place: int, cause: RankedCause, alarmed: set[str]) -> Iterator[str]:
    yield f"{place}. {cause.label}: {cause.likelihood} ({cause.share_text})"
    yield from _wrapped(cause.why, "   ")
    for head, reasons in (("for", cause.reasons_for), ("against", cause.reasons_against)):
        for reason in reasons:
            yield from _wrapped(f"{head}: {reason}", "   ")
    if cause.better_explained_by:
        yield f"   better explained by: {cause.better_explained_by}"
    if cause.missing:
        yield f"   not checked yet: {', '.join(cause.missing)}"
    if cause.id not in alarmed:  # its remedies stand in the alarm already
        yield from _remedies(cause.remedies)
    if cause.article:
        yield f"   more: /articles/{cause.article}"


def _remedies(remedies: tuple[Remedy, ...]) -> Iterator[str]:
    for remedy in remedies:
        yield f"   {remedy.title}:"
        for step in remedy.steps:
            yield from _wrapped(f"- {step}", "     ")


def _derived(item: DerivedValue) -> str:
    if item.value is None:
        return f"{item.label}: could not be worked out. {item.problem}"
    unit = f" {item.unit}" if item.unit else ""
    working = "; ".join(f"{step.formula}: {step.value}" for step in item.steps)
    return f"{item.label}: {show(item.value)}{unit}" + (f" ({working})" if working else "")


def _next(item: NextCheck) -> str:
    check = item.check
    wait = f", then wait {plain(check.wait_minutes)} min" if check.wait_minutes else ""
    return (
        f"{check.id}: {check.ask} ({plain(check.minutes)} min{wait}) {item.why}"
        f" Answer: {_how_to_answer(check)}."
    )


def _block(head: str, items: Iterable[str]) -> Iterator[str]:
    items = list(items)
    if items:
        yield from ("", head)
    for item in items:
        yield from _wrapped(f"- {item}", " ")


def _wrapped(text: str, indent: str) -> list[str]:
    hang = indent + ("  " if text.startswith("- ") else "")
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=hang)
