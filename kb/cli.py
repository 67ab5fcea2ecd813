"""Commands of the knowledge base: calc, match and readings, and what all commands share."""

import json
from collections.abc import Callable, Iterable, Iterator
from functools import wraps
from pathlib import Path
from typing import Any, Protocol, TypeVar

import click
from sqlite_utils import Database

from kb import cautions
from kb.answers import Answer, Answerer
from kb.calculators import ALL
from kb.calculators.model import Calculator, Choice, Input, Report, show_plain, span
from kb.errors import InputErrors, InputProblem, KbError, NotFound
from kb.readings import read

BAD_INPUT = 2
FOUND_PROBLEMS = 1
_Command = TypeVar("_Command", bound=Callable[..., object])


class Site(Protocol):
    """What the commands need of the site around them."""

    def answerer(self, content: Path | None, data: Path | None = None) -> Answerer:
        """What answers questions out of the content and the wordings in the data folder."""

    def answerer_maker(
        self, content: Path | None, data: Path | None = None
    ) -> Callable[[], Answerer]:
        """The same as a function that another process may be given."""

    def database(self, data: Path | None, content: Path | None) -> Database:
        """The open question log."""


content_option = click.option(
    "--content",
    envvar="STANDPIPE_CONTENT",
    type=click.Path(file_okay=False, path_type=Path),
    help="A folder with articles and rules of your own.",
)
data_option = click.option(
    "--data",
    envvar="STANDPIPE_DATA",
    type=click.Path(file_okay=False, path_type=Path),
    help="The folder with the question log.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON for programs.")


def plainly(command: _Command) -> _Command:
    """The command, ending with one sentence a problem and status 2 on bad input."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> object:
        try:
            return command(*args, **kwargs)
        except InputErrors as error:
            if kwargs.get("as_json"):
                print_json({"errors": [_problem_json(problem) for problem in error.problems]})
            messages = [problem.message for problem in error.problems]
        except KbError as error:
            messages = [str(error)]
        except UnicodeEncodeError:
            messages = ["What was given holds characters that are no text; write it as UTF-8."]
        for message in messages:
            click.echo(message, err=True)
        raise SystemExit(BAD_INPUT)

    return run  # type: ignore[return-value]


@click.command(epilog='Example: standpipe calc ammonia ammonia="2 ppm" ph=7.9 temperature=27C')
@click.argument("calculator", required=False)
@click.argument("values", nargs=-1, metavar="[NAME=VALUE]...")
@json_option
@plainly
def calc(calculator: str | None, values: tuple[str, ...], as_json: bool) -> None:
    """Work something out; without a name, list the calculators; without values, describe one."""
    if calculator is None:
        _list_calculators(as_json)
        return
    if calculator not in ALL:
        raise NotFound(f"There is no calculator “{calculator[:60]}”; known are {', '.join(ALL)}.")
    found = ALL[calculator]
    if not values:
        _describe(found, as_json)
        return
    report = found.run(pairs(values))
    if as_json:
        print_json(report.as_json())
    else:
        click.echo("\n".join(_report_lines(report)))


@click.command(epilog='Example: standpipe match "fish stopped eating, pH 7.9, ammonia 2 ppm, 27C"')
@click.argument("text", required=False)
@click.option("--batch", help="Read one JSON string a line from this file (- for standard input).")
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def match(
    site: Site,
    text: str | None,
    batch: str | None,
    as_json: bool,
    data: Path | None,
    content: Path | None,
) -> None:
    """Say which article answers TEXT, what its figures mean and what to do first."""
    answerer = site.answerer(content, data)
    for question in _texts(text, batch):
        answer = answerer.answer(question)
        if batch:
            click.echo(json.dumps(answer.as_json(), ensure_ascii=False))
        elif as_json:
            print_json(answer.as_json())
        else:
            click.echo("\n".join(_answer_lines(answer)))


@click.command(epilog='Example: standpipe readings "ph 7,9 and kh 4, 275 gal"')
@click.argument("text", required=False)
@click.option("--batch", help="Read one JSON string a line from this file (- for standard input).")
@json_option
@plainly
def readings(text: str | None, batch: str | None, as_json: bool) -> None:
    """Find the figures in TEXT that say how its system is now."""
    for question in _texts(text, batch):
        found = read(question).as_json()
        if batch:
            click.echo(json.dumps({"readings": found}, ensure_ascii=False))
        elif as_json:
            print_json({"readings": found})
        else:
            click.echo("\n".join(f"{name}: {value}" for name, value in found.items()) or "none")


def pairs(values: Iterable[str]) -> dict[str, object]:
    """The values given as name=value; raises InputErrors for those that are not."""
    given: dict[str, object] = {}
    problems = []
    for text in values:
        name, mark, value = text.partition("=")
        name = name.strip()
        if not mark or not name:
            message = f"“{text[:60]}” is no value; write name=value, as in ph=7.2."
            problems.append(InputProblem(text[:60], text[:60], message))
        elif name in given:
            problems.append(InputProblem(name, value[:60], f"“{name}” is given twice."))
        given[name] = value
    if problems:
        raise InputErrors(problems)
    return given


def _texts(text: str | None, batch: str | None) -> Iterator[str]:
    if (text is None) == (batch is None):
        raise KbError("Give either a TEXT in quotes or --batch FILE (- for standard input).")
    if text is not None:
        yield text
        return
    try:
        with click.open_file(str(batch), encoding="utf-8") as lines:
            for number, line in enumerate(lines, start=1):
                if line.strip():
                    yield _json_text(line, number)
    except (OSError, UnicodeDecodeError) as error:
        raise KbError(f"{batch} cannot be read: {error}.") from error


def _json_text(line: str, number: int) -> str:
    try:
        value = json.loads(line)
    except ValueError:
        value = None
    if not isinstance(value, str):
        raise KbError(f"Line {number} is no JSON string; write one text in quotes a line.")
    return value


def _list_calculators(as_json: bool) -> None:
    if as_json:
        print_json([item.describe() for item in ALL.values()])
        return
    for item in ALL.values():
        click.echo(f"{item.id:<18}{item.question}")


def _describe(item: Calculator, as_json: bool) -> None:
    if as_json:
        print_json(item.describe())
        return
    click.echo(f"{item.title}: {item.question}")
    for entry in item.inputs:
        click.echo(f"  {entry.name:<20}{_input_line(entry)}")
    for group in item.one_of:
        click.echo(f"  exactly one of {', '.join(group)}")
    example = " ".join(f'{name}="{value}"' for name, value in item.examples[0].given.items())
    click.echo(f"Example: standpipe calc {item.id} {example}")


def _input_line(entry: Input) -> str:
    if isinstance(entry, Choice):
        default = f", usually {entry.default}" if entry.default else ""
        return f"{entry.label}: {', '.join(entry.ids)}{default}"
    default = f", usually {show_plain(entry.default)}" if entry.default is not None else ""
    optional = ", may be left out" if entry.optional else ""
    return f"{entry.label}: {span(entry)}{default}{optional}"


def _report_lines(report: Report) -> Iterator[str]:
    yield report.calculator.title
    for amount in report.results.values():
        if amount.value is not None:
            reading = f"  {amount.reading}" if amount.reading else ""
            yield f"  {amount.label}: {amount.text}.{reading}"
    for remark in report.remarks:
        yield f"Check: {remark}"
    yield "Working:"
    for step in report.steps:
        yield f"  {step.formula}"
        yield f"    {step.numbers} = {step.value}" + (f"  [{step.source}]" if step.source else "")
    for doubt in report.doubts:
        yield f"Doubt: {doubt}"
    known = cautions.shipped()
    for name in report.cautions:
        yield f"{known[name].level.upper()}: {known[name].text}"


def _answer_lines(answer: Answer) -> Iterator[str]:
    if answer.urgent:
        yield f"URGENT: {'; '.join(answer.urgency.reasons) or 'the figures are dangerous'}"
    for alarm in answer.alarms:
        yield f"{'DANGER' if alarm.danger else 'TAKE CARE'}: {alarm.sentence}"
        yield from (f"  - {step}" for step in alarm.first)
    words = {"strong": "This fits well", "possible": "This may fit", "none": "Nothing fits well"}
    yield f"{words[answer.matches.verdict]}:"
    for found in answer.matches.articles:
        yield f"  {found.score:.2f}  /articles/{found.slug}  {found.title}"
        yield from (f"        {reason}" for reason in found.why)
    for way in (*answer.symptoms, *answer.calculators):
        yield f"  {way.title}: {way.link}"


def print_json(value: object) -> None:
    click.echo(json.dumps(value, ensure_ascii=False, indent=1))


def _problem_json(problem: InputProblem) -> dict[str, str]:
    return {"input": problem.input, "given": problem.given, "message": problem.message}
