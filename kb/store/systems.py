"""The systems that have a water book."""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

from sqlite_utils import Database

from kb.errors import NotFound, StoreError
from kb.store.database import told_plainly, writing

LONGEST_NAME = 80


@dataclass(frozen=True)
class System:
    """A system with a book of its own; what is not known is None.

    ``id`` is 0 until it is kept; ``version`` grows with every change to it or its entries.
    """

    name: str
    volume_l: float
    fish_tank_l: float | None = None
    temp_c: float | None = None
    protein_percent: float | None = None
    target_ph: float | None = None
    target_alkalinity: float | None = None
    floor_ph: float | None = None
    floor_alkalinity: float | None = None
    top_up_alkalinity: float | None = None
    feed_g_day: float | None = None
    base: str | None = None
    purity_percent: float | None = None
    id: int = 0
    version: int = 0


SYSTEM_FIELDS = tuple(one.name for one in fields(System) if one.name not in ("id", "version"))


def add_system(db: Database, new: System, *, now: datetime.datetime) -> int:
    """The number of a system now kept; a name stands for one system only."""
    with writing(db):
        _refuse_taken(db, new.name, None)
        done = db.table("systems").insert(
            {**_system_row(new), "version": 1, "made_at": _stamp(now)}
        )
        return int(str(done.last_pk))


def change_system(db: Database, number: int, new: System) -> None:
    """Put other figures in the place of a system's; raises NotFound."""
    with writing(db):
        known = system(db, number)
        _refuse_taken(db, new.name, number)
        db.table("systems").update(number, {**_system_row(new), "version": known.version + 1})


def system(db: Database, number: int) -> System:
    """The system of that number; raises NotFound."""
    with told_plainly("The database"):
        row = next(db.query("select * from systems where id = ?", [number]), None)
    if row is None:
        raise NotFound(f"There is no system {number} in the book.")
    return _system(row)


def systems(db: Database) -> tuple[System, ...]:
    """Every system, the one last written to first."""
    sql = """
        select systems.* from systems left join entries on entries.system = systems.id
        group by systems.id order by max(entries.made_at) desc nulls last, systems.id
    """
    with told_plainly("The database"):
        return tuple(_system(row) for row in db.query(sql))


def named(db: Database, name: str) -> System:
    """The system of that name, capitals aside; raises NotFound naming those there are."""
    found = systems(db)
    for one in found:
        if one.name.casefold() == name.strip().casefold():
            return one
    known = ", ".join(f"“{one.name}”" for one in found) or "none yet"
    raise NotFound(f"There is no system “{name[:60]}” in the book; there are: {known}.")


def _refuse_taken(db: Database, name: str, number: int | None) -> None:
    sql = "select id, name from systems"
    for row in db.query(sql):
        if row["name"].casefold() == name.casefold() and row["id"] != number:
            raise StoreError(f"There is a system “{row['name']}” already; choose another name.")


def _system_row(new: System) -> dict[str, Any]:
    return {name: getattr(new, name) for name in SYSTEM_FIELDS}


def _system(row: Mapping[str, Any]) -> System:
    return System(**{one.name: row[one.name] for one in fields(System)})


def _stamp(moment: datetime.datetime) -> str:
    return moment.astimezone(datetime.UTC).isoformat(timespec="seconds")
