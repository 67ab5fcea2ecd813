"""Writing down: the one form by the tank, undoing, and the list of what was entered."""

import datetime
import uuid
from collections.abc import Mapping

from flask import flash, redirect, request, url_for

from kb.bookkeeping import present, times
from kb.bookkeeping.entering import AT, FIELDS, SUBSTANCE, Doubt, jumps, read_form, tidy_note
from kb.bookkeeping.quantities import DOSE, QUANTITIES, REMARK_ID, SUBSTANCES, label_of
from kb.errors import InputErrors, InputProblem
from kb.store import book
from kb.store.book import Entry, Saved, System
from web.book.shared import (
    Answer,
    blueprint,
    counted,
    entry_of,
    faults_of,
    form_values,
    now,
    page,
    system_of,
)
from web.database import database
from web.rendering import content

UNIT, SURE, TOKEN, OPENED = "unit-", "sure", "token", "opened"
COMMON_UNITS: Mapping[str, tuple[str, ...]] = {
    "alkalinity": ("mg/L as CaCO₃", "dKH", "meq/L"),
    "water-alkalinity": ("mg/L as CaCO₃", "dKH", "meq/L"),
    "ammonia": ("mg/L as N", "mg/L as NH₃", "mg/L as NH₄"),
    "nitrite": ("mg/L as N", "mg/L as NO₂"),
    "nitrate": ("mg/L as NO₃", "mg/L as N"),
    "temperature": ("°C", "°F"),
    "level": ("cm", "mm", "in"),
    "feed": ("g", "kg", "oz", "lb"),
    "dose": ("g", "kg", "oz", "tsp", "heaped tsp", "mL"),
    "water-added": ("L", "gal", "imperial gal"),
    "water-changed": ("L", "gal", "imperial gal"),
    "fish-weight": ("g", "kg", "oz", "lb"),
}
"""The units offered beside a field; others can be written out behind the number."""
FROM_FILE = "file-"
LIST_DAYS = 30


@blueprint.get("/")
def home() -> Answer:
    """The system last written to, or the way to begin."""
    found = book.systems(database())
    if not found:
        return redirect(url_for(".new_system"))
    return redirect(url_for(".enter", number=found[0].id))


@blueprint.get("/<int:number>/")
def enter(number: int) -> Answer:
    """The form, with the last values and what they call for."""
    return _form(system_of(number), {}, uuid.uuid4().hex)


@blueprint.post("/<int:number>/")
def save(number: int) -> Answer:
    """Write down what was entered; ask about what is hardly likely first."""
    system, sent = system_of(number), form_values()
    raw = {name: sent[name] for name in FIELDS if name in sent}
    if raw.get(AT) == sent.get(OPENED):
        raw.pop(AT, None)  # left as it was when the page was opened: now
    units = {name.removeprefix(UNIT): unit for name, unit in sent.items() if name.startswith(UNIT)}
    token = sent.get(TOKEN, "")[:64] or uuid.uuid4().hex
    sure = sent.get(SURE, "").split("\n")
    try:
        read = read_form(raw, now=now(), units=units, sure=sure)
    except InputErrors as error:
        return _form(system, sent, token, faults=faults_of(error)), 422
    latest = book.latest(database(), number)
    doubts = (*read.doubts, *jumps(read, latest, now=now(), sure=sure))
    if doubts:
        return _form(system, sent, token, doubts=doubts), 422
    if not read.entries:
        nothing = "Nothing was filled in: write down at least one value or a remark."
        return _form(system, sent, token, faults={"form": nothing}), 422
    saved = book.save(database(), number, token, read.entries, now=now())
    flash(_told(saved, tuple(read.entries.values())))
    return redirect(url_for(".enter", number=number), 303)


@blueprint.post("/<int:number>/undo")
def undo(number: int) -> Answer:
    """Take back what was entered together."""
    count = book.undo(database(), number, request.form.get("batch", ""), now=now())
    flash(f"Taken back: {counted(count)}.")
    return redirect(url_for(".enter", number=number), 303)


@blueprint.post("/<int:number>/redo")
def redo(number: int) -> Answer:
    """Put back what was taken back together."""
    count = book.redo(database(), number, request.form.get("batch", ""), now=now())
    flash(f"Put back: {counted(count)}.")
    return redirect(url_for(".enter", number=number), 303)


@blueprint.get("/<int:number>/entries")
def entries(number: int) -> Answer:
    """What was entered, the newest first, a month at a time."""
    system = system_of(number)
    before = max(request.args.get("before", 0, type=int), 0)
    removed = request.args.get("removed") == "yes"
    until = now() - datetime.timedelta(days=LIST_DAYS * before) + times.CLOCKS_DIFFER
    since = until - datetime.timedelta(days=LIST_DAYS)
    found = book.entries(database(), number, since=since, until=until, removed=removed)
    days: dict[str, list[Entry]] = {}
    for entry in reversed(found):
        days.setdefault(times.day(entry.at), []).append(entry)
    earlier = bool(book.entries(database(), number, until=since, removed=removed))
    return page(
        "entries", system, days=days, before=before, removed=removed, earlier=earlier,
        text_of=present.text_of, label_of=label_of,
    )  # fmt: skip


@blueprint.get("/<int:number>/entries/<int:entry>")
def one(number: int, entry: int) -> Answer:
    """One entry to be looked at or corrected."""
    system = system_of(number)
    return _entry_page(system, entry_of(system, entry), {})


@blueprint.post("/<int:number>/entries/<int:entry>")
def change(number: int, entry: int) -> Answer:
    """Correct an entry, take it out, or put it back."""
    system = system_of(number)
    found, sent = entry_of(system, entry), form_values()
    act = sent.pop("act", "change")
    if act == "remove":
        book.remove(database(), entry, now=now())
        flash("The entry is taken out; it can be put back.")
    elif act == "restore":
        book.restore(database(), entry, now=now())
        flash("The entry is put back.")
    else:
        try:
            changed, doubts = _corrected(found, sent)
        except InputErrors as error:
            return _entry_page(system, found, sent, faults=faults_of(error)), 422
        if doubts:
            return _entry_page(system, found, sent, doubts=doubts), 422
        book.change(database(), entry, changed, now=now())
        flash("The entry is changed; what it was is kept.")
    return redirect(url_for(".one", number=number, entry=entry), 303)


def _form(
    system: System,
    sent: Mapping[str, str],
    token: str,
    *,
    faults: Mapping[str, str] | None = None,
    doubts: tuple[Doubt, ...] = (),
) -> str:
    moment = now()
    latest = book.latest(database(), system.id)
    calculators = content().calculators
    opened = sent.get(OPENED) or times.as_written(moment)
    return page(
        "enter",
        system,
        quantities=QUANTITIES,
        substances=SUBSTANCES,
        last=present.last_values(latest, now=moment),
        alarms=present.alarms_now(latest, calculators, now=moment),
        saturation=present.saturation(latest, calculators, now=moment),
        batch=_batch(system),
        units={name: _units(name, latest, sent) for name in COMMON_UNITS},
        substance=sent.get(SUBSTANCE) or _last_substance(system, latest),
        given=sent,
        opened=opened,
        token=token,
        faults=faults or {},
        doubts=doubts,
        sure="\n".join(doubt.key for doubt in doubts),
    )


def _units(name: str, latest: Mapping[str, Entry], sent: Mapping[str, str]) -> list[str]:
    """The units to choose from, the one just chosen or last written in first."""
    quantity = {"water-alkalinity": "alkalinity"}.get(name, name)
    entry = latest.get(quantity)
    chosen = sent.get(UNIT + name) or (entry.unit if entry else "")
    return list(dict.fromkeys(unit for unit in (chosen, *COMMON_UNITS[name]) if unit))


def _last_substance(system: System, latest: Mapping[str, Entry]) -> str:
    dose = latest.get("dose")
    return (dose.substance if dose else None) or system.base or ""


def _batch(system: System) -> dict[str, object] | None:
    """What was entered together last, in words, and whether it was taken back."""
    found = book.last_batch(database(), system.id)
    if found is None:
        return None
    shown = "; ".join(present.line_of(entry) for entry in found.entries)
    from_file = found.id.startswith(FROM_FILE)
    return {
        "id": found.id,
        "words": f"{counted(found.count)} out of a file" if from_file else shown,
        "when": times.spoken(found.entries[0].at, now=now()),
        "gone": found.gone,
    }


def _told(saved: Saved, written: tuple[Entry, ...]) -> str:
    lines = "; ".join(present.line_of(entry) for entry in written)
    if saved.new or saved.changed:
        return f"{'Written down' if saved.new else 'Corrected'}: {lines}."
    return f"That was written down already, once: {lines}."


def _entry_page(
    system: System,
    entry: Entry,
    sent: Mapping[str, str],
    *,
    faults: Mapping[str, str] | None = None,
    doubts: tuple[Doubt, ...] = (),
) -> str:
    return page(
        "entry",
        system,
        entry=entry,
        label=label_of(entry.quantity),
        given={**_shown(entry), **sent},
        substances=SUBSTANCES,
        history=book.history(database(), entry.id),
        text_of=present.text_of,
        spoken=lambda stamp: times.spoken(datetime.datetime.fromisoformat(stamp), now=now()),
        faults=faults or {},
        doubts=doubts,
        sure="\n".join(doubt.key for doubt in doubts),
        is_dose=entry.kind == DOSE,
    )


def _shown(entry: Entry) -> dict[str, str]:
    """An entry as its form shows it."""
    return {
        AT: times.as_written(entry.at),
        "value": "" if entry.value is None else present.text_of(entry),
        SUBSTANCE: entry.substance or "",
        "note": entry.note,
    }


def _corrected(entry: Entry, sent: Mapping[str, str]) -> tuple[Entry, tuple[Doubt, ...]]:
    """The entry with what was sent in its place; what was left as it was stays exact."""
    shown = _shown(entry)
    note = tidy_note(sent.get("note", ""))
    same = all(sent.get(name, shown[name]) == shown[name] for name in ("value", SUBSTANCE))
    value = present.text_of(entry) if same and entry.value is not None else sent.get("value", "")
    raw = {AT: sent.get(AT, ""), REMARK_ID: note}
    if entry.quantity != REMARK_ID and not same:
        raw |= {entry.quantity: value, SUBSTANCE: sent.get(SUBSTANCE, "")}
    read = read_form(raw, now=now(), sure=sent.get(SURE, "").split("\n"))
    made = entry if same else read.entries.get(entry.quantity)
    at = entry.at if sent.get(AT) == shown[AT] else _time_of(raw)
    if made is None or (entry.quantity == REMARK_ID and not note):
        message = "Nothing is left of the entry: give a value, or take the entry out."
        raise InputErrors([InputProblem("value", "", message)])
    changed = Entry(
        entry.kind, entry.quantity, at, made.value, made.unit, made.written, made.substance,
        entry.alkalinity, entry.grams, note,
    )  # fmt: skip
    return changed, read.doubts


def _time_of(raw: Mapping[str, str]) -> datetime.datetime:
    return times.read_time(raw[AT], now=now()) if raw[AT] else now()
