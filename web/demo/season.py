"""The demo's water book: a season in the school greenhouse, and a tank that is just begun."""

import datetime
from dataclasses import replace
from importlib.resources import files

from sqlite_utils import Database

from kb.bookkeeping.entering import read_form
from kb.bookkeeping.tables import read_csv
from kb.errors import KbError
from kb.store import book
from kb.store.book import Entry, System

FILE = "season.csv"
FAR_AHEAD = datetime.datetime(2100, 1, 1, tzinfo=datetime.UTC)
GREENHOUSE = System(
    name="School greenhouse",
    volume_l=1800,
    fish_tank_l=1000,
    temp_c=24,
    protein_percent=35,
    target_ph=6.8,
    floor_ph=6.2,
    floor_alkalinity=10,
    top_up_alkalinity=8,
    base="calcium-hydroxide",
)
NURSERY = System(name="Nursery tank", volume_l=220, protein_percent=45)
FIRST_LOOK = {"ph": "7.4", "alkalinity": "5 dKH", "temperature": "24 C"}


def fill(database: Database, *, now: datetime.datetime) -> int:
    """Write the season so that it ends today, and give how many entries it has."""
    entries = season(now=now)
    greenhouse = book.add_system(database, GREENHOUSE, now=now)
    nursery = book.add_system(database, NURSERY, now=now)
    begun = now - datetime.timedelta(days=2)
    first = read_form(FIRST_LOOK, now=begun).entries
    book.save(database, nursery, "demo", first, now=begun)
    *earlier, last = entries
    book.take_in(database, greenhouse, "demo", earlier, now=begun)
    book.save(database, greenhouse, "demo-last", {last.quantity: last}, now=now)
    return len(entries)


def season(*, now: datetime.datetime) -> tuple[Entry, ...]:
    """The entries of the season, moved by whole days so that the last is less than a day old."""
    text = (files("web") / "demo" / FILE).read_text("utf-8")
    table = read_csv(text, now=FAR_AHEAD)
    if table.faults:
        raise KbError(f"web/demo/{FILE}: line {table.faults[0].line}: {table.faults[0].reason}")
    last = max(entry.at for entry in table.entries)
    moved = datetime.timedelta(days=(now - last) // datetime.timedelta(days=1))
    return tuple(replace(entry, at=entry.at + moved) for entry in table.entries)
