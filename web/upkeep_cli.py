"""The command of upkeep: what needs the keeper's hand, links to other sites too if told so."""

import datetime
import sys
from collections.abc import Iterator
from pathlib import Path

import click

from kb import link_check, upkeep
from kb.cli import (
    FOUND_PROBLEMS,
    Site,
    content_option,
    data_option,
    json_option,
    plainly,
    print_json,
)
from kb.upkeep import Broken, Upkeep
from web import config
from web import content as site_content
from web.upkeep import report_on


@click.command("upkeep", epilog="Example: standpipe upkeep --check-links")
@click.option("--check-links", is_flag=True, help="Ask every link to another site, too.")
@click.option("--quick", is_flag=True, help="Leave out which answers compete, the slow part.")
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def upkeep_command(
    site: Site,
    check_links: bool,
    quick: bool,
    as_json: bool,
    data: Path | None,
    content: Path | None,
) -> None:
    """Say what needs a hand; ends with status 1 if a link leads nowhere."""
    settings = config.read_settings(config.content_folder(content))
    found = site_content.load(config.content_folder(content))
    db = site.database(data, content)
    now = datetime.datetime.now(datetime.UTC)
    report = report_on(db, found, settings, now=now, with_competing=not quick)
    outside = upkeep.outside_links(db, found.library) if check_links else iter(())
    broken = (*report.broken, *_outside(dict(_turned(outside))))
    if as_json:
        shown = [{"place": b.place, "link": b.link, "reason": b.reason} for b in broken]
        print_json(report.as_json() | {"broken": shown, "links_checked": check_links})
    else:
        click.echo("\n".join(_lines(report, broken)))
    raise SystemExit(FOUND_PROBLEMS if broken else 0)


def _turned(links: Iterator[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    return ((link, place) for place, link in links)


def _outside(places: dict[str, str]) -> Iterator[Broken]:
    for number, (link, reason) in enumerate(link_check.check_all(places), start=1):
        if sys.stderr.isatty():
            click.echo(f"\r{number} of {len(places)} links", nl=False, err=True)
        if reason:
            yield Broken(places[link], link, reason)
    if places and sys.stderr.isatty():
        click.echo("\r", nl=False, err=True)


def _lines(report: Upkeep, broken: tuple[Broken, ...]) -> Iterator[str]:
    yield f"The question log begins: {report.log_begins or 'it is empty'}"
    yield "Most asked in the last thirty days (and in the thirty before):"
    for asked in report.asked:
        yield f"  {asked.article}: {asked.now} ({asked.before}){' rising' * asked.rising}"
    yield "Asked again after the answer (people, same words on the site):"
    yield from (f"  {again.article}: {again.people}, {again.repeats}" for again in report.again)
    if report.competing is not None:
        yield "Answers in each other's way (own wordings, logged near ties):"
        for pair in report.competing:
            yield f"  {pair.first}, {pair.second}: {pair.wordings}, {pair.logged}"
    yield "Links that lead nowhere:"
    yield from (f"  {entry.place}: {entry.link}: {entry.reason}" for entry in broken)
    yield "Due for review:"
    yield from (f"  {due.article}: {due.reviewed}" for due in report.due)
    yield "Answers no logged question reached:"
    yield from (f"  {entry.article}: {entry.last or 'never'}" for entry in report.unreached)
