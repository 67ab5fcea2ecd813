"""Seeing: every quantity over a day, a month, a year or any span, as picture, words and table."""

import calendar
import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from flask import request, url_for
from markupsafe import Markup

from kb.bookkeeping import limits, present, times
from kb.bookkeeping.limits import UNIONISED, Limit, Point
from kb.bookkeeping.quantities import FEED, QUANTITIES, READING
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
    found = book.entries(database(), number)
    span, fault = _chosen(found)
    start, end = span.ends
    inside = [entry for entry in found if start <= entry.at < end]
    only = request.args.get("of", "")
    shown = [
        _shown(name, system, inside, span)
        for name in (*QUANTITIES, UNIONISED)
        if not only or name == only
    ]
    return page(
        "see",
        system,
        span=span,
        spans=SPANS,
        shown=[one for one in shown if one is not None],
        remarks=[entry for entry in inside if entry.note],
        ways=_ways(system, span, only, found),
        only=only,
        fault=fault,
        any=bool(found),
        text_of=present.text_of,
        day=times.day,
        label=lambda entry: present.line_of(entry),
    ), 422 if fault else 200


def _chosen(found: Sequence[Entry]) -> tuple[Span, str]:
    """The span the address names, else the month of the last entry; and what is wrong with it."""
    last = (found[-1].at if found else now()).astimezone().date()
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


def _ways(system: System, span: Span, only: str, found: Sequence[Entry]) -> dict[str, str]:
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
    if found:
        days = [entry.at.astimezone().date() for entry in (found[0], found[-1])]
        ways["whole"] = way(**{"from": str(days[0]), "to": str(days[1])})
    middle = str(min(span.last, now().date()))
    return ways | {name: way(span=name, on=middle) for name in SPANS}


def _shown(name: str, system: System, inside: Sequence[Entry], span: Span) -> Shown | None:
    points = limits.unionised(inside) if name == UNIONISED else limits.points_of(name, inside)
    if not points:
        return None
    label, unit, digits, factor = _looks(name)
    points = tuple(Point(point.at, point.value * factor) for point in points)
    drawn = limits.limits_of(name, system)
    kind = QUANTITIES[name].kind if name in QUANTITIES else READING
    words = limits.sentence(label, unit, digits, points, drawn)
    events = _events(inside) if kind == READING else ()
    bars = _per_day(points) if kind == FEED else [(point.at, point.value) for point in points]
    svg = draw(
        OverTime(
            title=f"{label}, {span.words}",
            words=words,
            y_name=f"{label}, {unit}" if unit not in ("", "pH") else label,
            span=span.ends,
            values=tuple(bars),
            lines=tuple(Line(each.value, each.label, each.upper) for each in drawn),
            events=events,
            bars=kind != READING,
        )
    )
    rows = _rows(name, points, inside, digits, unit)
    return Shown(
        name, label, svg, words, _caption(drawn, events), rows[:MOST_ROWS],
        max(0, len(rows) - MOST_ROWS),
    )  # fmt: skip


def _looks(name: str) -> tuple[str, str, int, float]:
    """Label, unit, decimals and the factor from the base unit to the unit shown."""
    if name == UNIONISED:
        return "Un-ionised ammonia", "mg/L as N", 3, 1.0
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


def _caption(drawn: Sequence[Limit], events: Sequence[Event]) -> str:
    """What the hatching and the signs mean, and who draws the line."""
    parts = [
        f"Hatched: {'above' if each.upper else 'below'} {each.value:g} ({each.source})."
        for each in drawn
    ]
    signs = key(events)
    return " ".join([*parts, f"Under the picture, {signs}." if signs else ""]).strip()


def _rows(
    name: str, points: Sequence[Point], inside: Sequence[Entry], digits: int, unit: str
) -> tuple[tuple[str, str, str], ...]:
    """Every value with its time and how it was written; the newest first."""
    tail = "" if unit in ("", "pH") else f" {unit}"
    if name == UNIONISED:
        return tuple(
            (_when(point.at), f"{show(point.value, digits)}{tail}", "worked out")
            for point in reversed(points)
        )
    entries = [entry for entry in inside if entry.quantity == name and entry.value is not None]
    return tuple(
        (_when(point.at), f"{show(point.value, digits)}{tail}", _as_written(entry))
        for point, entry in reversed(list(zip(points, entries, strict=True)))
    )


def _as_written(entry: Entry) -> str:
    of = f" of {entry.substance.replace('-', ' ')}" if entry.substance else ""
    return f"{entry.written}{of}" + (f" ({entry.note})" if entry.note else "")


def _when(moment: datetime.datetime) -> str:
    return moment.astimezone().strftime("%Y-%m-%d %H:%M")
