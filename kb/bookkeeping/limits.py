"""The lines a reading should not cross, each with who says so."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import quantiles

from kb.alarms import limit_of
from kb.bookkeeping.times import day
from kb.calculators.ammonia import HARM_MG_L
from kb.science.ammonia import unionised_fraction
from kb.store.book import Entry, System
from kb.units import show

UNIONISED = "unionised-ammonia"
NEAR = datetime.timedelta(hours=12)


@dataclass(frozen=True)
class Limit:
    """A line not to be crossed, ``upper`` or lower, and who says so."""

    value: float
    upper: bool
    label: str
    source: str


@dataclass(frozen=True)
class Point:
    """One value at one time."""

    at: datetime.datetime
    value: float


def limits_of(quantity: str, system: System) -> tuple[Limit, ...]:
    """The limits of a quantity in this system; its own floors come before those of the books."""
    own = {"ph": system.floor_ph, "alkalinity": system.floor_alkalinity}.get(quantity)
    if own is not None:
        return (Limit(own, False, f"floor {own:g}", "set for this system"),)
    if quantity == UNIONISED:
        return (Limit(HARM_MG_L, True, f"harm above {HARM_MG_L:g}", "ifas-fa16"),)
    found = {
        "ph": ("low-ph", False),
        "ammonia": ("total-ammonia", True),
        "nitrite": ("nitrite", True),
        "oxygen": ("oxygen", False),
    }.get(quantity)
    if found is None:
        return ()
    value, sources = limit_of(found[0])
    word = "act above" if found[1] else "act below"
    return (Limit(value, found[1], f"{word} {value:g}", sources[0]),)


def crossed(limit: Limit, value: float) -> bool:
    """Is a value on the wrong side of the line?"""
    return value > limit.value if limit.upper else value < limit.value


def points_of(entries: Iterable[Entry]) -> tuple[Point, ...]:
    """The values of entries in their order."""
    return tuple(Point(entry.at, entry.value) for entry in entries if entry.value is not None)


def unionised(entries: Sequence[Entry]) -> tuple[Point, ...]:
    """Un-ionised ammonia, as N, wherever pH and temperature were read within half a day."""
    ph, temperature, ammonia = (
        points_of(entry for entry in entries if entry.quantity == name)
        for name in ("ph", "temperature", "ammonia")
    )
    found = []
    for total in ammonia:
        acid, warm = _nearest(ph, total.at), _nearest(temperature, total.at)
        if acid is None or warm is None or not (4 <= acid <= 11 and 0 <= warm <= 40):
            continue
        share = unionised_fraction(ph=acid, temp_c=warm)
        found.append(Point(total.at, total.value * share))
    return tuple(found)


def sentence(
    label: str, unit: str, digits: int, points: Sequence[Point], limits: Sequence[Limit]
) -> str:
    """What a plot shows, in words and numbers."""
    if not points:
        return f"{label}: nothing was written down in this time."
    values = [point.value for point in points]
    low, high = min(points, key=lambda p: p.value), max(points, key=lambda p: p.value)
    tail = f" {unit}" if unit and unit != "pH" else ""
    count = f"{len(points)} values" if len(points) > 1 else "one value"
    text = f"{label}: {count}"
    if len(points) == 1:
        text += f", {show(values[0], digits)}{tail} on {_day(points[0])}"
    else:
        text += f" from {_day(points[0])} to {_day(points[-1])}, "
        text += f"lowest {show(low.value, digits)} on {_day(low)}, "
        text += f"highest {show(high.value, digits)}{tail} on {_day(high)}"
    if len(points) > 3:
        quarter, _, three = quantiles(values, n=4, method="inclusive")
        text += f"; half of them from {show(quarter, digits)} to {show(three, digits)}"
    text += f"; the last is {show(values[-1], digits)}{tail}." if len(points) > 1 else "."
    for limit in limits:
        over = sum(crossed(limit, value) for value in values)
        side = "above" if limit.upper else "below"
        text += f" {over or 'None'} of them {'is' if over == 1 else 'are'} {side} {limit.value:g}."
    return text


def _nearest(points: Sequence[Point], at: datetime.datetime) -> float | None:
    near = min(points, key=lambda point: abs(point.at - at), default=None)
    return near.value if near is not None and abs(near.at - at) <= NEAR else None


def _day(point: Point) -> str:
    return day(point.at)
