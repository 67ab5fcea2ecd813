"""What people write down by the tank, read: entries, what to ask about, and what is nonsense."""

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from kb.bookkeeping.quantities import (
    DOSE,
    FISH,
    QUANTITIES,
    REMARK,
    REMARK_ID,
    SUBSTANCES,
    WATER,
    Quantity,
    dose_hint,
    dose_units,
)
from kb.bookkeeping.times import read_time, spoken
from kb.errors import InputErrors, InputProblem, KbError, UnitError
from kb.store.book import LONGEST_NOTE, Entry
from kb.units import ALKALINITY, COUNT, MASS, PERCENT, PH, Kind, few, show_plain, split_number

AT, SUBSTANCE, STRENGTH = "at", "substance", "strength"
WATER_ALKALINITY, FISH_WEIGHT = "water-alkalinity", "fish-weight"
FIELDS = (
    AT, *QUANTITIES, SUBSTANCE, STRENGTH, WATER_ALKALINITY, FISH_WEIGHT, REMARK_ID,
)  # fmt: skip
JUMPS: Mapping[str, float] = {"ph": 1.05, "alkalinity": 100.0, "temperature": 8.0, "oxygen": 6.0}
JUMP_WITHIN = datetime.timedelta(days=3)
_MOST_HARD = 2000.0


@dataclass(frozen=True)
class Doubt:
    """A value that can be, but hardly is: asked about before it is kept."""

    field: str
    given: str
    question: str

    @property
    def key(self) -> str:
        """What the answer “it is right” names, so that it holds for this very value."""
        return f"{self.field}={self.given}"


@dataclass(frozen=True)
class Read:
    """What a form or a line comes to: entries by field, and what to ask about."""

    entries: Mapping[str, Entry]
    doubts: tuple[Doubt, ...] = ()
    given: Mapping[str, str] = field(default_factory=dict)


@dataclass
class _Reader:
    """One form being read; problems are gathered and told together."""

    raw: Mapping[str, str]
    units: Mapping[str, str]
    problems: list[InputProblem] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)

    def text(self, name: str) -> str:
        """What was written, without spaces around it."""
        return str(self.raw.get(name, "")).strip()

    def fault(self, name: str, message: str) -> None:
        """Note something that cannot be used."""
        self.problems.append(InputProblem(name, self.text(name)[:80], message))

    def number(
        self, name: str, label: str, kind: Kind, unit: str, span: tuple[float, float]
    ) -> float | None:
        """A number in its base unit within a span, None if not given or not usable."""
        text = self.text(name)
        if not text:
            return None
        try:
            value = kind.parse(text, self.units.get(name) or unit)
        except UnitError as error:
            self.fault(name, f"{label}: {error}")
            return None
        low, high = span
        if not low <= value <= high:
            base = "" if kind is PH else kind.base
            allowed = f"{show_plain(low)} to {show_plain(high)} {base}".strip()
            self.fault(name, f"{label}: {text} cannot be; give {allowed}.")
            return None
        return value


def read_form(
    raw: Mapping[str, str],
    *,
    now: datetime.datetime,
    units: Mapping[str, str] | None = None,
    sure: Iterable[str] = (),
) -> Read:
    """The entries of one form; ``units`` says what a bare number means in a field.

    Raises InputErrors with every value that is nonsense. ``sure`` holds the keys of doubts that
    were looked at and found right.
    """
    reader = _Reader(raw, units or {})
    for name in raw:
        if name not in FIELDS:
            message = f"There is no field “{name[:40]}”; there are {', '.join(FIELDS)}."
            reader.problems.append(InputProblem(name[:40], str(raw[name])[:80], message))
    at = _time(reader, now)
    entries: dict[str, Entry] = {}
    for item in QUANTITIES.values():
        entry = _entry(reader, item, at)
        if entry is not None:
            entries[item.id] = entry
    _strays(reader)
    remark = tidy_note(reader.text(REMARK_ID))
    if len(remark) > LONGEST_NOTE:
        reader.fault(
            REMARK_ID, f"The remark has {len(remark)} characters; use at most {LONGEST_NOTE}."
        )
    elif remark:
        entries[REMARK_ID] = Entry(REMARK, REMARK_ID, at, note=remark)
    if reader.problems:
        raise InputErrors(reader.problems)
    known = set(sure)
    doubts = tuple(doubt for doubt in reader.doubts if doubt.key not in known)
    return Read(entries, doubts, {name: reader.text(name) for name in entries})


def jumps(
    read: Read, latest: Mapping[str, Entry], *, now: datetime.datetime, sure: Iterable[str] = ()
) -> tuple[Doubt, ...]:
    """Readings far from the last one, a short time ago: a slip of the pen, or a kit gone bad."""
    known = {*sure, *(doubt.key for doubt in read.doubts)}
    found = []
    for name, far in JUMPS.items():
        entry, last = read.entries.get(name), latest.get(name)
        if entry is None or last is None or entry.value is None or last.value is None:
            continue
        near = datetime.timedelta(0) <= entry.at - last.at <= JUMP_WITHIN
        if near and abs(entry.value - last.value) > far:
            item = QUANTITIES[name]
            text = last.written or few(last.value)
            question = f"{item.label} {entry.written}? It was {text} {spoken(last.at, now=now)}."
            found.append(Doubt(name, read.given[name], question))
    return tuple(doubt for doubt in found if doubt.key not in known)


def tidy_note(text: str) -> str:
    """A note without spaces around it, with plain line ends and no control characters."""
    lines = ("".join(map(_printed, line)).strip() for line in text.splitlines())
    return "\n".join(lines).strip()


def _printed(sign: str) -> str:
    return sign if sign.isprintable() else " " if sign.isspace() else ""


def _time(reader: _Reader, now: datetime.datetime) -> datetime.datetime:
    text = reader.text(AT)
    if not text:
        return now
    try:
        return read_time(text, now=now)
    except KbError as error:
        reader.fault(AT, f"Time: {error}")
        return now


def _entry(reader: _Reader, item: Quantity, at: datetime.datetime) -> Entry | None:
    text = reader.text(item.id)
    if not text:
        return None
    if item.kind == DOSE:
        return _dose(reader, item, at, text)
    value = reader.number(item.id, item.label, item.units, item.unit, item.possible)
    if value is None:
        return None
    if item.units is COUNT and value != int(value):
        reader.fault(item.id, f"{item.label}: {text} must be a whole number.")
        return None
    _ask(reader, item, value, text, item.units)
    unit = _unit(reader, item.id, item.units, item.unit)
    return Entry(
        item.kind,
        item.id,
        at,
        value,
        unit=unit,
        written=_whole(text, unit),
        alkalinity=_water_alkalinity(reader) if item.kind == WATER else None,
        grams=_fish_weight(reader) if item.kind == FISH else None,
    )


def _dose(reader: _Reader, item: Quantity, at: datetime.datetime, text: str) -> Entry | None:
    substance = reader.text(SUBSTANCE)
    if not substance:
        reader.fault(SUBSTANCE, f"Say what was dosed: {text} of what?")
        return None
    if substance not in SUBSTANCES:
        known = ", ".join(SUBSTANCES)
        reader.fault(SUBSTANCE, f"“{substance[:40]}” is not known here; choose one of {known}.")
        return None
    strength = reader.number(STRENGTH, "Strength of the acid", PERCENT, "%", (0.1, 100))
    units = dose_units(substance, strength)
    try:
        value = units.parse(text, reader.units.get(item.id) or item.unit)
    except UnitError as error:
        reader.fault(item.id, f"{item.label}: {dose_hint(substance, error)}")
        return None
    if not item.possible[0] <= value <= item.possible[1]:
        reader.fault(item.id, f"{item.label}: {text} cannot be; give 0 to 1000 kg.")
        return None
    _ask(reader, item, value, text, units)
    unit = _unit(reader, item.id, units, item.unit)
    written = _whole(text, unit) + (f", {show_plain(strength)} %" if strength is not None else "")
    return Entry(DOSE, item.id, at, value, unit=unit, written=written, substance=substance)


def _ask(reader: _Reader, item: Quantity, value: float, text: str, units: Kind) -> None:
    low, high = item.plausible
    if low <= value <= high:
        return
    unit = _unit(reader, item.id, units, item.unit)
    span = " to ".join(few(units.from_base(edge, unit), 3) for edge in item.plausible)
    shown = f" {unit}" if unit and unit != "pH" else ""
    question = f"{item.label} {_whole(text, unit)}? Mostly it is {span}{shown}."
    reader.doubts.append(Doubt(item.id, text, question))


def _unit(reader: _Reader, name: str, units: Kind, usual: str) -> str:
    """The unit a value was written in, by its symbol."""
    _, written = split_number(reader.text(name))
    return units.unit(written or reader.units.get(name) or usual).symbol


def _whole(text: str, unit: str) -> str:
    """A value as it was written, with its unit even if that was left out."""
    bare = unit not in ("", PH.base) and not split_number(text)[1]
    return f"{text} {unit}" if bare else text


def _water_alkalinity(reader: _Reader) -> float | None:
    return reader.number(
        WATER_ALKALINITY, "Alkalinity of that water", ALKALINITY, "mg/L as CaCO₃", (0, _MOST_HARD)
    )


def _fish_weight(reader: _Reader) -> float | None:
    return reader.number(FISH_WEIGHT, "Weight of those fish", MASS, "g", (0, 1e8))


def _strays(reader: _Reader) -> None:
    """Name what was given for something that was not: a strength without a dose, and so on."""
    for name, kind, wanted in (
        (WATER_ALKALINITY, WATER, "how much water was added or changed"),
        (FISH_WEIGHT, FISH, "how many fish"),
        (STRENGTH, DOSE, "how much was dosed"),
    ):
        siblings = {item.id for item in QUANTITIES.values() if item.kind == kind}
        if reader.text(name) and not any(reader.text(one) for one in siblings):
            reader.fault(name, f"“{reader.text(name)[:40]}” is given, but not {wanted}.")
