"""Commands of the question log: take in, list, show, export, forget."""

import csv
import datetime
import io
import json
import sys
from collections.abc import Iterable, Iterator
from contextlib import closing
from dataclasses import asdict
from pathlib import Path

import click

from kb.ageing import months_before
from kb.cli import (
    FOUND_PROBLEMS,
    Site,
    content_option,
    data_option,
    json_option,
    plainly,
    print_json,
)
from kb.errors import InputErrors, InputProblem
from kb.grouping import Grouper
from kb.intake import Progress, take_in_file
from kb.store import groups, people
from kb.store import questions as log
from kb.store.questions import Question
from kb.take_in import FORMATS, read_columns

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\x00")


@click.group()
def questions() -> None:
    """The log of what was asked."""


@questions.command("take-in", epilog="Example: standpipe questions take-in club.csv --place club")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--place", help="Where they were asked; the file's name if not said.")
@click.option("--map", "columns", default="", help="text=Comment,asked_by=Author,link=URL,...")
@click.option("--format", "form", type=click.Choice(FORMATS), help="If the ending does not tell.")
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def take_in_command(
    site: Site,
    file: Path,
    place: str | None,
    columns: str,
    form: str | None,
    as_json: bool,
    data: Path | None,
    content: Path | None,
) -> None:
    """Log the questions in FILE (CSV, JSON Lines, plain text or mbox), each one once."""
    last = Progress()
    steps = take_in_file(
        site.database(data, content),
        file,
        place=place or file.stem,
        columns=read_columns(columns),
        form=form,
        make=site.answerer_maker(content, data),
    )
    try:
        with closing(steps):
            for last in steps:
                _show_progress(last)
    except KeyboardInterrupt:
        click.echo(
            f"\nStopped: {last.logged} logged so far; take the file in again to go on.", err=True
        )
        raise SystemExit(FOUND_PROBLEMS) from None
    _end_progress()
    for fault in last.faults:
        click.echo(f"{file}: line {fault.line}: {fault.reason}", err=True)
    if last.refused > len(last.faults):
        click.echo(f"{file}: {last.refused - len(last.faults)} more lines are broken.", err=True)
    if as_json:
        faults = [{"line": fault.line, "reason": fault.reason} for fault in last.faults]
        print_json({"logged": last.logged, "known": last.known, "refused": faults})
    else:
        click.echo(f"{last.logged} logged, {last.known} known already, {last.refused} refused.")
    raise SystemExit(FOUND_PROBLEMS if last.refused else 0)


@questions.command("groups", epilog="Example: standpipe questions groups --unanswered --limit 20")
@click.option(
    "--answered/--unanswered",
    default=None,
    help="Only groups with questions that a strong match answers, or that nothing answers.",
)
@click.option("--state", type=click.Choice(log.STATES), default="open", show_default=True)
@click.option("--limit", type=click.IntRange(1, 100_000), default=100, show_default=True)
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def groups_command(
    site: Site,
    answered: bool | None,
    state: str,
    limit: int,
    as_json: bool,
    data: Path | None,
    content: Path | None,
) -> None:
    """List groups of questions that ask the same, the commonest first."""
    db = site.database(data, content)
    Grouper().catch_up(db)
    found = groups.listed(db, answered=answered, state=state, limit=limit)
    if as_json:
        print_json([asdict(group) for group in found])
        return
    for group in found:
        answer = group.article or "no answer"
        click.echo(
            f"{group.id:>6}  {group.asked:>5} times  {group.open:>5} open  {group.name[:90]}"
        )
        since, places = group.first_at[:10], ", ".join(group.places)
        click.echo(f"{'':>8}since {since}, from {places}  [{answer}]")


@questions.command("list", epilog="Example: standpipe questions list --state open")
@click.option("--state", type=click.Choice(log.STATES), help="Only these.")
@click.option("--limit", type=click.IntRange(1, 100_000), default=100, show_default=True)
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def list_command(
    site: Site,
    state: str | None,
    limit: int,
    as_json: bool,
    data: Path | None,
    content: Path | None,
) -> None:
    """List logged questions, urgent ones first."""
    found = log.listed(site.database(data, content), state=state, limit=limit)
    if as_json:
        print_json([_question_json(question, people=False) for question in found])
        return
    for question in found:
        mark = "URGENT " if question.urgent else ""
        answer = question.article or "no answer"
        words = " ".join(question.text.split())[:90]
        click.echo(f"{question.id:>6}  {question.state:<9}  {mark}{words}  [{answer}]")


@questions.command("show", epilog="Example: standpipe questions show 12")
@click.argument("number", type=int)
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def show_command(
    site: Site, number: int, as_json: bool, data: Path | None, content: Path | None
) -> None:
    """Show one question with all that was kept of it."""
    found = _question_json(log.get(site.database(data, content), number), people=True)
    if as_json:
        print_json(found)
    else:
        click.echo("\n".join(f"{name}: {value}" for name, value in found.items()))


@questions.command("export", epilog="Example: standpipe questions export --format csv > log.csv")
@click.option("--format", "form", type=click.Choice(("csv", "jsonl")), default="jsonl")
@click.option("--with-people", is_flag=True, help="Names and links too.")
@data_option
@content_option
@click.pass_obj
@plainly
def export_command(
    site: Site, form: str, with_people: bool, data: Path | None, content: Path | None
) -> None:
    """Write the whole log to standard output; names and links only if asked for."""
    rows = (
        _question_json(question, people=with_people)
        for question in log.all_questions(site.database(data, content))
    )
    for line in _csv_lines(rows) if form == "csv" else map(_json_line, rows):
        click.echo(line)


@questions.command("forget", epilog="Example: standpipe questions forget --person finch_3")
@click.argument("number", type=int, required=False)
@click.option("--person", help="All questions of whoever gave this name.")
@click.option("--place", help="Only those asked in this place.")
@click.option("--link", help="The question with this link.")
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def forget_command(
    site: Site,
    number: int | None,
    person: str | None,
    place: str | None,
    link: str | None,
    as_json: bool,
    data: Path | None,
    content: Path | None,
) -> None:
    """Remove the asker's name, link and words of question NUMBER, or of all a person asked.

    What they asked still counts. Copies made with “standpipe backup” are left as they are.
    """
    if (number is None) == (not (person or link)) or (number is not None and place):
        message = "Give either a NUMBER, or --person or --link, perhaps with --place."
        raise InputErrors([InputProblem("person", "", message)])
    db = site.database(data, content)
    if number is not None:
        log.forget(db, number)
        people.overwrite(db)
        forgotten: tuple[int, ...] = (number,)
    else:
        forgotten = people.forget_person(db, name=person, place=place, link=link)
    named = people.mentions(db, person) if person else ()
    if as_json:
        print_json({"forgotten": list(forgotten), "still_named_in": list(named)})
    elif number is not None:
        click.echo(f"Name, link and words of question {number} are gone; it still counts.")
    else:
        click.echo("\n".join(people.told(forgotten, named)))


@questions.command("drop-names", epilog="Example: standpipe questions drop-names --months 24")
@click.option(
    "--months", type=click.IntRange(1, 1200), required=True, help="Older than so many months."
)
@data_option
@content_option
@click.pass_obj
@plainly
def drop_names_command(site: Site, months: int, data: Path | None, content: Path | None) -> None:
    """Drop the names and links of old questions; the site does so by itself once a day."""
    before = months_before(datetime.datetime.now(datetime.UTC), months)
    dropped = people.drop_names(site.database(data, content), before=before)
    click.echo(f"Names and links of {people.counted(dropped)} are gone; the words stay.")


def _show_progress(done: Progress) -> None:
    if sys.stderr.isatty():
        click.echo(f"\r{done.read} questions", nl=False, err=True)


def _end_progress() -> None:
    if sys.stderr.isatty():
        click.echo("\r", nl=False, err=True)


def _question_json(question: Question, *, people: bool) -> dict[str, object]:
    row: dict[str, object] = {
        "id": question.id,
        "text": question.text,
        "place": question.place,
        "asked_at": question.asked_at,
        "logged_at": question.logged_at,
        "times": question.times,
        "state": question.state,
        "verdict": question.verdict,
        "article": question.article,
        "urgent": question.urgent,
        "group": question.group,
    }
    if people:
        row |= {"asked_by": question.asked_by, "link": question.link}
    return row


def _csv_lines(rows: Iterable[dict[str, object]]) -> Iterator[str]:
    for number, row in enumerate(rows):
        if number == 0:
            yield _csv_line(row)
        yield _csv_line(_defused(value) for value in row.values())


def _defused(value: object) -> object:
    """A cell that no spreadsheet takes for a formula."""
    if isinstance(value, str) and value[:1] in FORMULA_STARTS:
        return f"'{value}"
    return value


def _csv_line(cells: Iterable[object]) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="").writerow(cells)
    return out.getvalue()


def _json_line(row: object) -> str:
    return json.dumps(row, ensure_ascii=False)
