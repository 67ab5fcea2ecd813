"""Commands of the water book: add, list, export, take in, know, and its systems."""

import datetime
import uuid
from collections.abc import Iterable, Mapping
from pathlib import Path

import click
from sqlite_utils import Database

from kb.bookkeeping import present, times
from kb.bookkeeping.entering import FIELDS, jumps, read_form
from kb.bookkeeping.knowing import Known, book_sentence, known
from kb.bookkeeping.quantities import QUANTITIES, SUBSTANCES
from kb.bookkeeping.systems import FIGURES, as_written, read_system
from kb.bookkeeping.tables import FORMS, LARGEST_FILE, WIDE, Table, read_csv, write_csv
from kb.cli import (
    FOUND_PROBLEMS,
    Site,
    content_option,
    data_option,
    json_option,
    pairs,
    plainly,
    print_json,
)
from kb.errors import InputErrors, InputProblem, KbError, NotFound
from kb.store import book as store
from kb.store.book import Entry, System

system_option = click.option("--system", help="Its name; the one last written to if not said.")


@click.group()
def book() -> None:
    """The water book: what was measured, fed and dosed, and what follows from it."""


@book.command(
    "systems",
    epilog='Example: standpipe book systems "School greenhouse" volume="1800 L" protein=35',
)
@click.argument("name", required=False)
@click.argument("figures", nargs=-1, metavar="[FIGURE=VALUE]...")
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def systems_command(
    site: Site,
    name: str | None,
    figures: tuple[str, ...],
    as_json: bool,
    data: Path | None,
    content: Path | None,
) -> None:
    """List the systems; with NAME show one; with figures begin its book or change them."""
    db = site.database(data, content)
    if name is not None and figures:
        _put_system(db, name, pairs(figures))
    found = store.systems(db) if name is None else (store.named(db, name),)
    if as_json:
        print_json([_system_json(one) for one in found])
        return
    for one in found:
        click.echo(one.name)
        for figure in FIGURES:
            text = as_written(one)[figure.id]
            if text:
                click.echo(f"  {figure.id:<20}{text} {figure.unit}")
        if one.base:
            click.echo(f"  {'base':<20}{SUBSTANCES[one.base]}")


@book.command("add", epilog='Example: standpipe book add ph=6.9 alkalinity="4 dKH" feed="120 g"')
@click.argument("values", nargs=-1, required=True, metavar="NAME=VALUE...")
@system_option
@click.option("--sure", is_flag=True, help="Unusual values are right.")
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def add_command(
    site: Site,
    values: tuple[str, ...],
    system: str | None,
    sure: bool,
    as_json: bool,
    data: Path | None,
    content: Path | None,
) -> None:
    """Write down readings, feed, a dose, water, fish or a remark, all of one moment.

    Names: at, ph, alkalinity, ammonia, nitrite, nitrate, oxygen, temperature, level, feed, dose
    with substance, water-added, water-changed, water-alkalinity, fish-in, fish-out, fish-died,
    fish-weight, remark.
    """
    db, now = site.database(data, content), _now()
    chosen = _chosen(db, system)
    read = read_form({name: str(text) for name, text in pairs(values).items()}, now=now)
    doubts = (*read.doubts, *jumps(read, store.latest(db, chosen.id), now=now))
    if doubts and not sure:
        raise InputErrors(
            InputProblem(one.field, one.given, f"{one.question} If it is right, add --sure.")
            for one in doubts
        )
    if not read.entries:
        raise KbError(f"Nothing was given; write name=value, with a name of {', '.join(FIELDS)}.")
    store.save(db, chosen.id, f"command-{uuid.uuid4().hex}", read.entries, now=now)
    if as_json:
        print_json([_entry_json(one) for one in read.entries.values()])
    else:
        lines = "; ".join(present.line_of(one) for one in read.entries.values())
        click.echo(f"{chosen.name}: {lines}.")


@book.command("list", epilog="Example: standpipe book list --days 7")
@system_option
@click.option("--days", type=click.IntRange(1, 100_000), default=30, show_default=True)
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def list_command(
    site: Site,
    system: str | None,
    days: int,
    as_json: bool,
    data: Path | None,
    content: Path | None,
) -> None:
    """List what was written down in the last days."""
    db = site.database(data, content)
    since = _now() - datetime.timedelta(days=days)
    found = store.entries(db, _chosen(db, system).id, since=since)
    if as_json:
        print_json([_entry_json(one) for one in found])
        return
    for one in found:
        note = f"  ({one.note})" if one.note and one.value is not None else ""
        click.echo(f"{times.with_zone(one.at)[:16]}  {present.line_of(one)}{note}")


@book.command("export", epilog="Example: standpipe book export --form long > book.csv")
@system_option
@click.option("--form", type=click.Choice(FORMS), default=WIDE, show_default=True)
@data_option
@content_option
@click.pass_obj
@plainly
def export_command(
    site: Site, system: str | None, form: str, data: Path | None, content: Path | None
) -> None:
    """Write the whole book to standard output as CSV; taking it in again doubles nothing."""
    db = site.database(data, content)
    entries = store.entries(db, _chosen(db, system).id)
    click.echo(write_csv(entries, form), nl=False)


@book.command("take-in", epilog="Example: standpipe book take-in readings.csv --dry-run")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@system_option
@click.option("--dry-run", is_flag=True, help="Only say what would be taken in.")
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def take_in_command(
    site: Site,
    file: Path,
    system: str | None,
    dry_run: bool,
    as_json: bool,
    data: Path | None,
    content: Path | None,
) -> None:
    """Take in a CSV FILE, long or wide, with units in its header; nothing is ever doubled."""
    db, now = site.database(data, content), _now()
    chosen = _chosen(db, system)
    table = _table(file, now)
    if dry_run:
        _, saved = store.sorted_out(db, chosen.id, table.entries)
    else:
        saved = store.take_in(db, chosen.id, f"file-{uuid.uuid4().hex}", table.entries, now=now)
    for fault in table.faults:
        click.echo(f"{file}: line {fault.line}: {fault.reason}", err=True)
    for fault in table.unusual:
        click.echo(f"{file}: line {fault.line}: unusual: {fault.reason}", err=True)
    if as_json:
        print_json(
            {
                "taken_in": saved.new,
                "known": saved.known,
                "removed_before": saved.removed,
                "broken": [{"line": one.line, "reason": one.reason} for one in table.faults],
                "unusual": [{"line": one.line, "reason": one.reason} for one in table.unusual],
            }
        )
    else:
        verb = "would be taken in" if dry_run else "taken in"
        click.echo(f"{saved.new} {verb}, {saved.known} known, {len(table.faults)} broken lines.")
    raise SystemExit(FOUND_PROBLEMS if table.faults else 0)


@book.command("know", epilog='Example: standpipe book know --system "School greenhouse"')
@click.argument(
    "file", required=False, type=click.Path(exists=True, dir_okay=False, path_type=Path)
)
@system_option
@click.option("--volume", help="The water of the system that FILE is about, such as 1500 L.")
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def know_command(
    site: Site,
    file: Path | None,
    system: str | None,
    volume: str | None,
    as_json: bool,
    data: Path | None,
    content: Path | None,
) -> None:
    """Tell what the book, or a CSV FILE, says of its system, and what to do next."""
    now = _now()
    if file is not None:
        found = _known_of_file(file, volume, now)
    else:
        db = site.database(data, content)
        chosen = _chosen(db, system)
        found = known(chosen, store.entries(db, chosen.id), now=now)
    if as_json:
        print_json({**found.knowledge.as_json(), "sentence": book_sentence(found)})
        return
    click.echo(found.knowledge.as_text())
    for one in found.left_out:
        click.echo(f"Left out: {present.line_of(one)}, {times.day(one.at)}.", err=True)


def _known_of_file(file: Path, volume: str | None, now: datetime.datetime) -> Known:
    if volume is None:
        raise KbError(f"Say how much water the system of {file} holds, with --volume.")
    table = _table(file, now)
    for fault in table.faults:
        click.echo(f"{file}: line {fault.line}: {fault.reason}", err=True)
    last = max((one.at for one in table.entries), default=now)
    return known(read_system({"name": file.stem[:80], "volume": volume}), table.entries, now=last)


def _put_system(db: Database, name: str, figures: Mapping[str, object]) -> None:
    raw = {key: str(value) for key, value in figures.items()}
    try:
        before = store.named(db, name)
    except NotFound:
        store.add_system(db, read_system({"name": name, **raw}), now=_now())
    else:
        store.change_system(db, before.id, read_system(raw, before))


def _chosen(db: Database, name: str | None) -> System:
    if name is not None:
        return store.named(db, name)
    found = store.systems(db)
    if not found:
        raise KbError('There is no system yet: standpipe book systems NAME volume="1500 L".')
    return found[0]


def _table(file: Path, now: datetime.datetime) -> Table:
    try:
        if file.stat().st_size > LARGEST_FILE:
            raise KbError(f"{file} is too large; at most {LARGEST_FILE // 1_000_000} MB are read.")
        text = file.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise KbError(f"{file} cannot be read: {error.strerror}.") from error
    except UnicodeDecodeError as error:
        raise KbError(f"{file} is not UTF-8 at byte {error.start}; save it as UTF-8.") from error
    return read_csv(text, now=now)


def _system_json(one: System) -> dict[str, object]:
    figures: Iterable[tuple[str, object]] = (
        (figure.attribute, getattr(one, figure.attribute)) for figure in FIGURES
    )
    return {"id": one.id, "name": one.name, **dict(figures), "base": one.base}


def _entry_json(one: Entry) -> dict[str, object]:
    item = QUANTITIES.get(one.quantity)
    return {
        "kind": one.kind,
        "at": one.at.astimezone(datetime.UTC).isoformat(timespec="seconds"),
        "quantity": one.quantity,
        "value": one.value,
        "unit": item.units.base if item else "",
        "as_written": one.written,
        "substance": one.substance,
        "water_alkalinity": one.alkalinity,
        "fish_weight": one.grams,
        "note": one.note,
    }


def _now() -> datetime.datetime:
    return datetime.datetime.now(datetime.UTC)
