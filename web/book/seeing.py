"""Seeing: every quantity over a day, a month, a year or any span, as picture, words and table."""

import calendar
import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from flask import request, url_for
from markupsafe import Markup

from kb.bookkeeping import limits, present, times
from kb.bookkeeping.knowing import name_of
from kb.bookkeeping.limits import UNIONISED, Limit, Point
from kb.bookkeeping.quantities import DOSE, QUANTITIES, READING
from kb.errors import InputErrors, InputProblem
from kb.store import book
from kb.store.book import Entry, System
from kb.units import show
from web.book.shared import Answer, blueprint, now, page, system_of
from web.database import database
from web.pictures.over_time import Event, Line, OverTime, draw, key

DAY, MONTH, YEAR, OWN = "day", "month", "year", "own"
SPANS = {DAY: "day", MONTH: "month", YEAR: "year"}
SHOWN_UNIT = {"level": ("cm", 100.0)}
MOST_ROWS = 400
Ends = tuple[datetime.datetime, datetime.datetime] | None


@dataclass(frozen=True)
class Span:
    """A stretch of days, from the start of the first to the end of the last."""

    name: str
    first: datetime.date
    last: datetime.date

    @property
    def ends(self) -> tuple[datetime.datetime, datetime.datetime]:
        """Its first moment, and the first one after it."""
        after = self.last + datetime.timedelta(days=1)
        start, end = (
            datetime.datetime.combine(day, datetime.time()).astimezone()
            for day in (self.first, after)
        )
        return start, end

    @property
    def words(self) -> str:
        """The span as people say it."""
        months = times.MONTHS
        if self.name == DAY:
            return f"{self.first.day} {months[self.first.month - 1]} {self.first.year}"
        if self.name == MONTH:
            return f"{calendar.month_name[self.first.month]} {self.first.year}"
        if self.name == YEAR:
            return str(self.first.year)
        return f"{self.first} to {self.last}"


@dataclass(frozen=True)
class Shown:
    """One quantity as picture, sentence and table."""

    id: str
    label: str
    svg: Markup
    words: str
    caption: str
    rows: tuple[tuple[str, str, str], ...]
    more: int


@blueprint.get("/<int:number>/see")
def see(number: int) -> Answer:
    """The quantities over a span of time."""
    system = system_of(number)
    ends = book.ends(database(), number)
    span, fault = _chosen(ends)
    start, end = span.ends
    inside = book.entries(database(), number, since=start, until=end)
    only = request.args.get("of", "")
    shown = [
        _shown(name, system, inside, span) for name in _names(inside) if not only or name == only
    ]
    return page(
        "see",
        system,
        span=span,
        spans=SPANS,
        shown=[one for one in shown if one is not None],
        remarks=[entry for entry in inside if entry.note],
        ways=_ways(system, span, only, ends),
        only=only,
        fault=fault,
        any=ends is not None,
        text_of=present.text_of,
        day=times.day,
        label=lambda entry: present.line_of(entry),
    ), 422 if fault else 200


def _names(inside: Sequence[Entry]) -> Iterator[str]:
    """What there is to be shown: every quantity, doses by what was dosed, un-ionised ammonia."""
    for name in QUANTITIES:
        if name == DOSE:
            substances = dict.fromkeys(one.substance for one in inside if one.substance)
            yield from (f"{DOSE}-{substance}" for substance in substances)
        else:
            yield name
        if name == "ammonia":
            yield UNIONISED


def _chosen(ends: Ends) -> tuple[Span, str]:
    """The span the address names, else the month of the last entry; and what is wrong with it."""
    last = (ends[1] if ends else now()).astimezone().date()
    try:
        if request.args.get("from") or request.args.get("to"):
            return _own(last), ""
        on = _date("on", last)
        name = request.args.get("span", MONTH)
        if name not in SPANS:
            message = f"There is no span “{name[:20]}”; choose {', '.join(SPANS)}."
            raise InputErrors([InputProblem("span", name[:20], message)])
        return _span(name, on), ""
    except InputErrors as error:
        return _span(MONTH, last), str(error)


def _own(last: datetime.date) -> Span:
    first, until = _date("from", last - datetime.timedelta(days=30)), _date("to", last)
    if first > until:
        message = f"From {first} to {until} runs backwards; give the earlier day first."
        raise InputErrors([InputProblem("from", str(first), message)])
    return Span(OWN, first, until)


def _date(name: str, usual: datetime.date) -> datetime.date:
    text = request.args.get(name, "").strip()
    if not text:
        return usual
    try:
        found = datetime.date.fromisoformat(text)
    except ValueError:
        found = datetime.date.min
    if not times.EARLIEST.date() <= found <= now().date() + datetime.timedelta(days=366):
        message = f"“{text[:20]}” is no day to look at; write it like 2026-03-31."
        raise InputErrors([InputProblem(name, text[:20], message)])
    return found


def _span(name: str, on: datetime.date) -> Span:
    if name == DAY:
        return Span(DAY, on, on)
    if name == YEAR:
        return Span(YEAR, on.replace(month=1, day=1), on.replace(month=12, day=31))
    length = calendar.monthrange(on.year, on.month)[1]
    return Span(MONTH, on.replace(day=1), on.replace(day=length))


def _ways(system: System, span: Span, only: str, ends: Ends) -> dict[str, str]:
    """The spans before and after this one, and the others round the same day."""
    length = span.last - span.first
    step = datetime.timedelta(days=1)

    def way(**query: str) -> str:
        address = url_for(".see", number=system.id)
        return f"{address}?{urlencode({**query, **({'of': only} if only else {})})}"

    if span.name == OWN:
        before, after = span.first - step, span.last + step
        ways = {
            "before": way(**{"from": str(before - length), "to": str(before)}),
            "after": way(**{"from": str(after), "to": str(after + length)}),
        }
    else:
        ways = {
            "before": way(span=span.name, on=str(span.first - step)),
            "after": way(span=span.name, on=str(span.last + step)),
        }
    if ends:
        days = [moment.astimezone().date() for moment in ends]
        ways["whole"] = way(**{"from": str(days[0]), "to": str(days[1])})
    middle = str(min(span.last, now().date()))
    return ways | {name: way(span=name, on=middle) for name in SPANS}


def _shown(name: str, system: System, inside: Sequence[Entry], span: Span) -> Shown | None:
    label, unit, digits, factor = _looks(name)
    entries = _entries_of(name, inside)
    base = limits.unionised(inside) if name == UNIONISED else limits.points_of(entries)
    if not base:
        return None
    points = tuple(Point(point.at, point.value * factor) for point in base)
    drawn = limits.limits_of(name, system)
    words = limits.sentence(label, unit, digits, points, drawn)
    is_reading = name == UNIONISED or entries[0].kind == READING
    events = _events(inside) if is_reading else ()
    shown = [(point.at, point.value) for point in points] if is_reading else _per_day(points)
    svg = draw(
        OverTime(
            title=f"{label}, {span.words}",
            words=words,
            y_name=f"{label}, {unit}" if unit not in ("", "pH") else label,
            span=span.ends,
            values=tuple(shown),
            lines=tuple(Line(each.value, each.label, each.upper) for each in drawn),
            events=events,
            bars=not is_reading,
        )
    )
    rows = _rows(points, entries, digits, unit)
    return Shown(
        name, label, svg, words, _caption(drawn, events, is_reading), rows[:MOST_ROWS],
        max(0, len(rows) - MOST_ROWS),
    )  # fmt: skip


def _entries_of(name: str, inside: Sequence[Entry]) -> list[Entry]:
    """The entries that hold the values of what is shown."""
    quantity, _, substance = name.partition("-") if name.startswith(f"{DOSE}-") else (name, "", "")
    return [
        one
        for one in inside
        if one.quantity == quantity
        and one.value is not None
        and (not substance or one.substance == substance)
    ]


def _looks(name: str) -> tuple[str, str, int, float]:
    """Label, unit, decimals and the factor from the base unit to the unit shown."""
    if name == UNIONISED:
        return "Un-ionised ammonia", "mg/L as N", 3, 1.0
    if name.startswith(f"{DOSE}-"):
        label = name_of(name.removeprefix(f"{DOSE}-"))
        return label[0].upper() + label[1:], "g", 1, 1.0
    item = QUANTITIES[name]
    unit, factor = SHOWN_UNIT.get(name, (item.units.base, 1.0))
    return item.label, unit, 0 if name in SHOWN_UNIT else item.digits, factor


def _per_day(points: Sequence[Point]) -> list[tuple[datetime.datetime, float]]:
    """What was given on each day together, at noon of it."""
    days: dict[datetime.date, float] = {}
    for point in points:
        day = point.at.astimezone().date()
        days[day] = days.get(day, 0.0) + point.value
    return [
        (datetime.datetime.combine(day, times.NOON).astimezone(), total)
        for day, total in sorted(days.items())
    ]


def _events(inside: Sequence[Entry]) -> tuple[Event, ...]:
    return tuple(
        Event(entry.at, entry.kind)
        for entry in inside
        if entry.kind in ("dose", "water", "fish", "remark")
    )


def _caption(drawn: Sequence[Limit], events: Sequence[Event], is_reading: bool) -> str:
    """What the hatching and the signs mean, and who draws the line."""
    parts = [
        f"Hatched: {'above' if each.upper else 'below'} {each.value:g} ({each.source})."
        for each in drawn
    ]
    signs = key(events)
    if signs:
        parts.append(f"Under the picture, {signs}; where they crowd, one stands for several.")
    return " ".join(parts if is_reading else [*parts, "Each bar is a day."])


def _rows(
    points: Sequence[Point], entries: Sequence[Entry], digits: int, unit: str
) -> tuple[tuple[str, str, str], ...]:
    """Every value with its time and how it was written; the newest first."""
    tail = "" if unit in ("", "pH") else f" {unit}"
    written = [_as_written(entry) for entry in entries] or ["worked out"] * len(points)
    return tuple(
        (_when(point.at), f"{show(point.value, digits)}{tail}", words)
        for point, words in reversed(list(zip(points, written, strict=True)))
    )


def _as_written(entry: Entry) -> str:
    return entry.written + (f" ({entry.note})" if entry.note else "")


def _when(moment: datetime.datetime) -> str:
    return moment.astimezone().strftime("%Y-%m-%d %H:%M")
