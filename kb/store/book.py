"""The water book: one row an entry, each entered once however often its form is sent."""

import datetime
import json
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any

from sqlite_utils import Database

from kb.errors import NotFound
from kb.store.database import told_plainly, writing
from kb.store.systems import System, add_system, change_system, named, system, systems

__all__ = [
    "Batch",
    "Change",
    "Entry",
    "Saved",
    "System",
    "add_system",
    "change",
    "change_system",
    "ends",
    "entries",
    "entry",
    "history",
    "last_batch",
    "latest",
    "named",
    "redo",
    "remove",
    "restore",
    "save",
    "sorted_out",
    "system",
    "systems",
    "take_in",
    "undo",
]
LONGEST_NOTE = 1000
SHOWN_OF_BATCH = 20


@dataclass(frozen=True)
class Entry:
    """Something written into the book; ``value`` stands in the base unit of its quantity.

    What follows ``id`` is known of an entry that is kept; one that is yet to be has the id 0.
    """

    kind: str
    quantity: str
    at: datetime.datetime
    value: float | None = None
    unit: str = ""
    written: str = ""
    substance: str | None = None
    alkalinity: float | None = None
    grams: float | None = None
    note: str = ""
    id: int = 0
    system: int = 0
    batch: str = ""
    part: str = ""
    made_at: str = ""
    changed_at: str | None = None
    removed_at: str | None = None

    @property
    def content(self) -> tuple[object, ...]:
        """What makes two entries the same: all but how it was written."""
        return (
            self.kind,
            self.quantity,
            _stamp(self.at),
            _rounded(self.value),
            self.substance,
            _rounded(self.alkalinity),
            _rounded(self.grams),
            self.note,
        )


ENTRY_FIELDS = (
    "kind", "quantity", "at", "value", "unit", "written", "substance", "alkalinity", "grams",
    "note",
)  # fmt: skip


@dataclass(frozen=True)
class Change:
    """What an entry was before it was changed."""

    what: str
    changed_at: str
    before: Entry


@dataclass(frozen=True)
class Batch:
    """What was entered together: how many entries, whether all are gone, and the first of them."""

    id: str
    count: int
    gone: bool
    entries: tuple[Entry, ...]


@dataclass(frozen=True)
class Saved:
    """What came of entries: how many are new, known already, changed, or removed and left so."""

    new: int = 0
    known: int = 0
    changed: int = 0
    removed: int = 0


def save(
    db: Database,
    number: int,
    batch: str,
    entries: Mapping[str, Entry],
    *,
    now: datetime.datetime,
) -> Saved:
    """Write the parts of one form, all or none.

    A form sent twice is one entry a part; sent again with another value it is a correction.
    """
    saved = Saved()
    with writing(db):
        system(db, number)
        known = {entry.part: entry for entry in _of_batch(db, number, batch)}
        for part, entry in entries.items():
            before = known.get(part)
            if before is None:
                _insert(db, number, batch, part, entry, now)
                saved = replace(saved, new=saved.new + 1)
            elif before.content == entry.content and before.removed_at is None:
                saved = replace(saved, known=saved.known + 1)
            else:
                _put(db, before, entry, "changed", now)
                saved = replace(saved, changed=saved.changed + 1)
        if saved.new or saved.changed:
            _touch(db, number)
    return saved


def take_in(
    db: Database, number: int, batch: str, entries: Iterable[Entry], *, now: datetime.datetime
) -> Saved:
    """Write entries out of a file, all or none; what the book holds already is not doubled.

    An entry that was removed from the book stays removed.
    """
    with writing(db):
        new, saved = sorted_out(db, number, entries)
        db.table("entries").insert_all(
            _new_row(number, batch, f"{place:06}", entry, now) for place, entry in enumerate(new)
        )
        if new:
            _touch(db, number)
    return saved


def sorted_out(
    db: Database, number: int, entries: Iterable[Entry]
) -> tuple[tuple[Entry, ...], Saved]:
    """Which of these entries the book does not hold, and what would come of taking them in."""
    system(db, number)
    here: Counter[tuple[object, ...]] = Counter()
    gone: Counter[tuple[object, ...]] = Counter()
    for kept in _all(db, number):
        (gone if kept.removed_at else here)[kept.content] += 1
    new = []
    saved = Saved()
    for entry in entries:
        if here[entry.content] > 0:
            here[entry.content] -= 1
            saved = replace(saved, known=saved.known + 1)
        elif gone[entry.content] > 0:
            gone[entry.content] -= 1
            saved = replace(saved, removed=saved.removed + 1)
        else:
            new.append(entry)
    return tuple(new), replace(saved, new=len(new))


def undo(db: Database, number: int, batch: str, *, now: datetime.datetime) -> int:
    """Take back all that one form or file brought; gives how many entries that were."""
    with writing(db):
        found = [one for one in _of_batch(db, number, batch) if one.removed_at is None]
        for entry in found:
            _mark(db, entry, "removed", _stamp(now), now)
        if found:
            _touch(db, number)
    return len(found)


def redo(db: Database, number: int, batch: str, *, now: datetime.datetime) -> int:
    """Put back what was taken back together last; gives how many entries that were."""
    with writing(db):
        gone = [one for one in _of_batch(db, number, batch) if one.removed_at]
        last = max((str(one.removed_at) for one in gone), default="")
        found = [one for one in gone if one.removed_at == last]
        for entry in found:
            _mark(db, entry, "restored", None, now)
        if found:
            _touch(db, number)
    return len(found)


def change(db: Database, entry_id: int, new: Entry, *, now: datetime.datetime) -> None:
    """Put other values in the place of an entry's; what it was is kept. Raises NotFound."""
    with writing(db):
        before = entry(db, entry_id)
        _put(db, before, new, "changed", now)
        _touch(db, before.system)


def remove(db: Database, entry_id: int, *, now: datetime.datetime) -> None:
    """Take an entry out of the book; it can be put back. Raises NotFound."""
    with writing(db):
        found = entry(db, entry_id)
        if found.removed_at is None:
            _mark(db, found, "removed", _stamp(now), now)
            _touch(db, found.system)


def restore(db: Database, entry_id: int, *, now: datetime.datetime) -> None:
    """Put a removed entry back. Raises NotFound."""
    with writing(db):
        found = entry(db, entry_id)
        if found.removed_at is not None:
            _mark(db, found, "restored", None, now)
            _touch(db, found.system)


def entry(db: Database, entry_id: int) -> Entry:
    """The entry of that number, removed or not; raises NotFound."""
    with told_plainly("The database"):
        row = next(db.query("select * from entries where id = ?", [entry_id]), None)
    if row is None:
        raise NotFound(f"There is no entry {entry_id} in the book.")
    return _entry(row)


def entries(
    db: Database,
    number: int,
    *,
    since: datetime.datetime | None = None,
    until: datetime.datetime | None = None,
    removed: bool = False,
) -> tuple[Entry, ...]:
    """A system's entries from ``since`` on and before ``until``, in the order of their time."""
    sql = """
        select * from entries where system = :system and at >= :since and at < :until
        and (:removed or removed_at is null) order by at, id
    """
    given = {
        "system": number,
        "since": _stamp(since) if since else "",
        "until": _stamp(until) if until else "~",
        "removed": int(removed),
    }
    with told_plainly("The database"):
        return tuple(_entry(row) for row in db.query(sql, given))


def ends(db: Database, number: int) -> tuple[datetime.datetime, datetime.datetime] | None:
    """The times of the first and the last entry; None of an empty book."""
    sql = """
        select min(at) as first, max(at) as last from entries
        where system = ? and removed_at is null
    """
    with told_plainly("The database"):
        row = next(db.query(sql, [number]))
    if row["first"] is None:
        return None
    first, last = (datetime.datetime.fromisoformat(row[name]) for name in ("first", "last"))
    return first, last


def latest(db: Database, number: int) -> dict[str, Entry]:
    """The newest entry of each quantity, those with a value."""
    standing = "from entries where system = ? and removed_at is null and value is not null"
    newest = f"select * {standing} and quantity = ? order by at desc, id desc limit 1"
    with told_plainly("The database"):
        rows = list(db.query(f"select distinct quantity {standing}", [number]))
        names = [row["quantity"] for row in rows]
        return {name: _entry(next(db.query(newest, [number, name]))) for name in names}


def last_batch(db: Database, number: int) -> Batch | None:
    """What was entered, or taken back, together last; None of an empty book."""
    last = """
        select batch from entries where system = ?
        order by coalesce(changed_at, made_at) desc, id desc limit 1
    """
    count = "select count(*) as n, count(removed_at) as gone from entries"
    where = " where system = ? and batch = ?"
    with told_plainly("The database"):
        row = next(db.query(last, [number]), None)
        if row is None:
            return None
        both = [number, row["batch"]]
        counts = next(db.query(count + where, both))
        first = db.query(f"select * from entries{where} order by id limit {SHOWN_OF_BATCH}", both)
        shown = tuple(_entry(one) for one in first)
    return Batch(row["batch"], counts["n"], counts["n"] == counts["gone"], shown)


def history(db: Database, entry_id: int) -> tuple[Change, ...]:
    """What an entry was before each of its changes, the oldest first."""
    sql = "select * from entry_changes where entry = ? order by id"
    with told_plainly("The database"):
        return tuple(
            Change(row["what"], row["changed_at"], _loaded(json.loads(row["before"])))
            for row in db.query(sql, [entry_id])
        )


def _all(db: Database, number: int) -> tuple[Entry, ...]:
    return entries(db, number, removed=True)


def _of_batch(db: Database, number: int, batch: str) -> list[Entry]:
    sql = "select * from entries where system = ? and batch = ? order by id"
    return [_entry(row) for row in db.query(sql, [number, batch])]


def _insert(
    db: Database, number: int, batch: str, part: str, new: Entry, now: datetime.datetime
) -> None:
    db.table("entries").insert(_new_row(number, batch, part, new, now))


def _new_row(
    number: int, batch: str, part: str, new: Entry, now: datetime.datetime
) -> dict[str, Any]:
    where = {"system": number, "batch": batch, "part": part}
    return {**where, **_entry_row(new), "made_at": _stamp(now)}


def _put(db: Database, before: Entry, new: Entry, what: str, now: datetime.datetime) -> None:
    _keep(db, before, what, now)
    row = {**_entry_row(new), "changed_at": _stamp(now), "removed_at": None}
    db.table("entries").update(before.id, row)


def _mark(
    db: Database, found: Entry, what: str, removed_at: str | None, now: datetime.datetime
) -> None:
    _keep(db, found, what, now)
    db.table("entries").update(found.id, {"removed_at": removed_at, "changed_at": _stamp(now)})


def _keep(db: Database, before: Entry, what: str, now: datetime.datetime) -> None:
    db.table("entry_changes").insert(
        {
            "entry": before.id,
            "what": what,
            "before": json.dumps(_entry_row(before), ensure_ascii=False),
            "changed_at": _stamp(now),
        }
    )


def _touch(db: Database, number: int) -> None:
    db.execute("update systems set version = version + 1 where id = ?", [number])


def _entry_row(new: Entry) -> dict[str, Any]:
    return {name: getattr(new, name) for name in ENTRY_FIELDS} | {"at": _stamp(new.at)}


def _loaded(row: Mapping[str, Any]) -> Entry:
    return Entry(**{**row, "at": datetime.datetime.fromisoformat(row["at"])})


def _entry(row: Mapping[str, Any]) -> Entry:
    known = {one.name: row[one.name] for one in fields(Entry)}
    texts = {name: known[name] or "" for name in ("unit", "written", "note")}
    return Entry(**{**known, **texts, "at": datetime.datetime.fromisoformat(row["at"])})


def _rounded(value: float | None) -> float | None:
    return None if value is None else float(f"{value:.9g}")


def _stamp(moment: datetime.datetime) -> str:
    return moment.astimezone(datetime.UTC).isoformat(timespec="seconds")
