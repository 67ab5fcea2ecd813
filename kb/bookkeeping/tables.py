"""The book as CSV: written and read, one row a moment (wide) or one row an entry (long)."""

import csv
import datetime
import io
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from kb.bookkeeping.entering import (
    AT,
    FISH_WEIGHT,
    STRENGTH,
    SUBSTANCE,
    WATER_ALKALINITY,
    read_form,
    tidy_note,
)
from kb.bookkeeping.quantities import (
    FISH,
    QUANTITIES,
    REMARK,
    REMARK_ID,
    WATER,
    dose_units,
)
from kb.bookkeeping.times import read_time, with_zone
from kb.errors import InputErrors, InputProblem, KbError, UnitError
from kb.store.book import Entry
from kb.units import Kind, split_number

WIDE, LONG = "wide", "long"
FORMS = (WIDE, LONG)
DATE, TIME, QUANTITY, VALUE, UNIT, NOTE, WRITTEN = (
    "date", "time", "quantity", "value", "unit", "note", "as written",
)  # fmt: skip
LARGEST_FILE = 20_000_000
LONGEST_WORDS = 120
_WITH_SPOONS = "calcium-hydroxide"  # for a look at a header, any powder of known weight
_COMPANIONS = {
    WATER_ALKALINITY: "water-alkalinity [mg/L CaCO3]",
    FISH_WEIGHT: "fish-weight [g]",
}
_ALIASES = {
    "at": DATE, "when": DATE, "day": DATE, "datum": DATE, "kh": "alkalinity", "dkh": "alkalinity",
    "alk": "alkalinity", "tan": "ammonia", "nh3": "ammonia", "nh4": "ammonia", "no2": "nitrite",
    "no3": "nitrate", "o2": "oxygen", "do": "oxygen", "temp": "temperature", "notes": NOTE,
    REMARK_ID: NOTE, "remarks": NOTE, "comment": NOTE, "base": SUBSTANCE, "written": WRITTEN,
}  # fmt: skip
_HEAD = re.compile(r"(?P<name>[^\[(]+?)\s*(?:[\[(](?P<unit>[^\])]*)[\])])?\s*")
_FORMULA = ("=", "+", "-", "@", "\t", "'")


@dataclass(frozen=True)
class Fault:
    """A line that cannot be read."""

    line: int
    reason: str


@dataclass(frozen=True)
class Table:
    """What a file came to: entries in its order, unusual values, and lines that are broken."""

    form: str
    entries: tuple[Entry, ...]
    unusual: tuple[Fault, ...]
    faults: tuple[Fault, ...]


@dataclass(frozen=True)
class _Column:
    name: str
    unit: str


def write_csv(entries: Iterable[Entry], form: str = WIDE) -> str:
    """The entries as CSV with units in the header; reading it gives the same entries again."""
    ordered = sorted(entries, key=lambda entry: entry.at)
    head, rows = _wide(ordered) if form == WIDE else _long(ordered)
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(head)
    writer.writerows(rows)
    return out.getvalue()


def read_csv(text: str, *, now: datetime.datetime) -> Table:
    """The entries of a CSV text, long or wide, its broken lines named.

    Raises InputErrors when the header already cannot be used.
    """
    text = text.lstrip("\ufeff").replace("\x00", "")
    rows = _rows(text)
    _, head = next(rows, (0, []))
    columns = [_column(cell) for cell in head]
    form = LONG if {QUANTITY, VALUE} <= {column.name for column in columns} else WIDE
    _check_head(columns, form)
    entries: list[Entry] = []
    unusual: list[Fault] = []
    faults: list[Fault] = []
    for line, cells in rows:
        if not any(cell.strip() for cell in cells):
            continue
        try:
            found = _row(columns, cells, form, now)
        except InputErrors as error:
            faults += [Fault(line, problem.message) for problem in error.problems]
            continue
        entries += found.entries
        unusual += [Fault(line, question) for question in found.questions]
    return Table(form, tuple(entries), tuple(unusual), tuple(faults))


@dataclass(frozen=True)
class _Row:
    entries: tuple[Entry, ...]
    questions: tuple[str, ...]


def _wide(entries: Iterable[Entry]) -> tuple[list[str], list[list[str]]]:
    names = [DATE, *QUANTITIES, SUBSTANCE, *_COMPANIONS, NOTE]
    heads = {name: item.header for name, item in QUANTITIES.items()} | _COMPANIONS
    rows: list[dict[str, str]] = []
    kinds: set[str] = set()
    for entry in entries:
        date = with_zone(entry.at)
        fits = (
            rows
            and not entry.note
            and rows[-1][DATE] == date
            and NOTE not in rows[-1]
            and entry.quantity not in rows[-1]
            and entry.kind not in kinds & {WATER, FISH}
        )
        if not fits:
            rows.append({DATE: date})
            kinds = set()
        rows[-1] |= _cells(entry)
        kinds.add(entry.kind)
    return [heads.get(name, name) for name in names], [
        [row.get(name, "") for name in names] for row in rows
    ]


def _long(entries: Iterable[Entry]) -> tuple[list[str], list[list[str]]]:
    names = [DATE, QUANTITY, VALUE, UNIT, SUBSTANCE, *_COMPANIONS, NOTE, WRITTEN]
    rows = []
    for entry in entries:
        cells = _cells(entry)
        item = QUANTITIES.get(entry.quantity)
        cells |= {
            DATE: with_zone(entry.at),
            QUANTITY: entry.quantity,
            VALUE: cells.get(entry.quantity, ""),
            UNIT: item.column if item else "",
            WRITTEN: _shielded(entry.written),
        }
        rows.append([cells.get(name, "") for name in names])
    return [_COMPANIONS.get(name, name) for name in names], rows


def _cells(entry: Entry) -> dict[str, str]:
    cells = {
        entry.quantity: _exact(entry.value),
        SUBSTANCE: entry.substance or "",
        WATER_ALKALINITY: _exact(entry.alkalinity),
        FISH_WEIGHT: _exact(entry.grams),
        NOTE: _shielded(entry.note),
    }
    return {name: text for name, text in cells.items() if text}


def _exact(value: float | None) -> str:
    """A number that reads back as the very same one."""
    return "" if value is None else repr(value).removesuffix(".0")


def _shielded(text: str) -> str:
    """A text that no spreadsheet takes for a formula; ``_bare`` takes the shield off."""
    return f"'{text}" if text.startswith(_FORMULA) else text


def _bare(text: str) -> str:
    return text[1:] if text.startswith("'") and text[1:].startswith(_FORMULA) else text


def _rows(text: str) -> Iterator[tuple[int, list[str]]]:
    """Rows with the number of the line each ends on; comma, semicolon or tab between cells."""
    first = text.partition("\n")[0]
    mark = max(",;\t", key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    try:
        for cells in reader:
            yield reader.line_num, cells
    except csv.Error as error:
        message = f"Line {reader.line_num} cannot be read as CSV: {error}."
        raise InputErrors([InputProblem("file", f"line {reader.line_num}", message)]) from error


def _column(cell: str) -> _Column:
    match = _HEAD.fullmatch(cell.strip())
    name, unit = (match["name"], match["unit"] or "") if match else (cell.strip(), "")
    key = re.sub(r"[\s_]+", "-", name.casefold())
    plain = "dKH" if key == "dkh" else ""
    name = key.replace("-", " ") if key.replace("-", " ") == WRITTEN else _ALIASES.get(key, key)
    return _Column(name, unit.strip() or plain)


def _check_head(columns: list[_Column], form: str) -> None:
    known = {DATE, TIME, SUBSTANCE, STRENGTH, NOTE, *_COMPANIONS}
    known |= {QUANTITY, VALUE, UNIT, WRITTEN, "kind"} if form == LONG else set(QUANTITIES)
    problems = []
    names = [column.name for column in columns if column.name]
    for name in dict.fromkeys(names):
        if name not in known:
            message = f"Column “{name[:40]}” is not known; known are {', '.join(sorted(known))}."
            problems.append(InputProblem(name[:40], name[:40], message))
        elif names.count(name) > 1:
            problems.append(InputProblem(name, name, f"Column “{name}” stands there twice."))
    if DATE not in names:
        message = "There is no column “date”; the first line must name the columns."
        problems.append(InputProblem(DATE, ", ".join(names)[:80], message))
    problems += [
        InputProblem(column.name, column.unit, f"Column “{column.name}”: {fault}")
        for column in columns
        if (fault := _unit_fault(column))
    ]
    if problems:
        raise InputErrors(problems)


def _unit_fault(column: _Column) -> str:
    item = QUANTITIES.get(column.name)
    if not column.unit or item is None:
        return ""
    try:
        (dose_units("calcium-hydroxide", None) if item.id == "dose" else item.units).unit(
            column.unit
        )
    except UnitError as error:
        return str(error)
    return ""


def _row(columns: list[_Column], cells: list[str], form: str, now: datetime.datetime) -> _Row:
    if len(cells) > len(columns) and any(cell.strip() for cell in cells[len(columns) :]):
        message = f"has {len(cells)} cells, but there are {len(columns)} columns."
        raise InputErrors([InputProblem("line", "", message)])
    given = {
        column.name: cell.strip()
        for column, cell in zip(columns, cells, strict=False)
        if column.name and cell.strip()
    }
    units = {column.name: column.unit for column in columns if column.unit}
    at = _at(given, now)
    note = tidy_note(_bare(given.pop(NOTE, "")))
    written = _bare(given.pop(WRITTEN, ""))
    if form == LONG:
        quantity = _quantity(given)
        if quantity == REMARK_ID:
            return _Row((Entry(REMARK, REMARK_ID, at, note=note or given.get(VALUE, "")),), ())
        units[quantity] = given.pop(UNIT, "")
        given[quantity] = given.pop(VALUE, "")
        if not given[quantity]:
            raise InputErrors([InputProblem(VALUE, "", f"{quantity}: there is no value.")])
    read = read_form(given, units=units, now=now)
    found = [replace(entry, at=at) for entry in read.entries.values()]
    if written and len(found) == 1:
        found = [_as_written(found[0], written)]
    if note and len(found) == 1:
        found = [replace(found[0], note=note)]
    elif note:
        found.append(Entry(REMARK, REMARK_ID, at, note=note))
    if not found:
        raise InputErrors([InputProblem("line", "", "holds a date and nothing else.")])
    return _Row(tuple(found), tuple(doubt.question for doubt in read.doubts))


def _at(given: dict[str, str], now: datetime.datetime) -> datetime.datetime:
    text = " ".join(part for part in (given.pop(DATE, ""), given.pop(TIME, "")) if part)
    given.pop(AT, None)
    if not text:
        raise InputErrors([InputProblem(DATE, "", "there is no date.")])
    try:
        return read_time(text, now=now)
    except KbError as error:
        raise InputErrors([InputProblem(DATE, text[:40], str(error))]) from None


def _quantity(given: dict[str, str]) -> str:
    text = given.pop(QUANTITY, "")
    given.pop("kind", None)
    key = re.sub(r"[\s_]+", "-", text.casefold())
    name = REMARK_ID if key in (REMARK_ID, NOTE) else _ALIASES.get(key, key)
    if name not in QUANTITIES and name != REMARK_ID:
        known = ", ".join((*QUANTITIES, REMARK_ID))
        message = f"“{text[:40]}” is no quantity of the book; there are {known}."
        raise InputErrors([InputProblem(QUANTITY, text[:40], message)])
    return name


def _as_written(entry: Entry, written: str) -> Entry:
    """The entry with the words it was first written in; its value stays the one of the file."""
    try:
        kind = _units_of(entry.quantity, entry.substance)
        unit = kind.unit(split_number(written)[1] or entry.unit).symbol
    except UnitError:
        unit = entry.unit  # an acid by volume and strength: the unit is in its words only
    return replace(entry, written=written[:LONGEST_WORDS], unit=unit)


def _units_of(quantity: str, substance: str | None) -> Kind:
    return dose_units(substance, None) if substance else QUANTITIES[quantity].units
