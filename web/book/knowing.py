"""Knowing: what the book says of its system, how sure that is, and what to do next."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import cast

from flask import current_app
from markupsafe import Markup

from kb.book import Estimate, Forecast, Knowledge, Residual
from kb.bookkeeping import present, times
from kb.bookkeeping.knowing import USED, Known, book_sentence, known
from kb.store import book
from kb.store.book import System
from kb.units import few, show
from web.book.shared import Answer, blueprint, now, page, system_of
from web.database import database
from web.pictures.over_time import OverTime, draw

EXTENSION = "book_known"
FRESH = datetime.timedelta(hours=1)
ODD = 0.5
NINETY = 1.645  # standard deviations to either side that hold nine tenths
DAYS_AHEAD = (1, 2, 3, 7)
GROUPS = (
    ("What it needs", ("holding-dose", "target-dose", "acid-load", "alkalinity-use",
                       "load-per-feed", "days-to-floor")),
    ("How it stands now", ("ph-now", "alkalinity-now", "co2-now")),
)  # fmt: skip
LABELS = {"ph": "pH", "alkalinity": "Alkalinity"}
DIGITS = {"ph": 1, "alkalinity": 0}


@dataclass(frozen=True)
class Group:
    """Estimates under one heading."""

    title: str
    estimates: tuple[Estimate, ...]


@dataclass(frozen=True)
class Ahead:
    """The days to come under one plan: each with pH and alkalinity."""

    title: str
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Fit:
    """How well one quantity was foreseen, as picture, words and figures."""

    label: str
    svg: Markup
    words: str
    rows: tuple[tuple[str, str, str, str], ...]


@blueprint.get("/<int:number>/know")
def know(number: int) -> Answer:
    """What is known of a system."""
    system = system_of(number)
    found = known_of(system)
    knowledge = found.knowledge
    return page(
        "know",
        system,
        found=found,
        knowledge=knowledge,
        groups=groups_of(knowledge),
        ahead=_ahead(knowledge),
        fits=[fit for name in LABELS if (fit := _fit(name, knowledge)) is not None],
        odd=[_odd(one) for one in knowledge.residuals if one.outlier > ODD],
        left_out=[f"{times.day(one.at)}: {present.line_of(one)}" for one in found.left_out],
        sentence=book_sentence(found),
        interval=interval,
        amount=amount,
        bar=bar,
        few=few,
    )


def known_of(system: System) -> Known:
    """What is known of a system, worked out anew when its book changed or an hour has passed."""
    kept: dict[int, tuple[int, datetime.datetime, Known]] = cast(
        "dict[int, tuple[int, datetime.datetime, Known]]",
        current_app.extensions.setdefault(EXTENSION, {}),
    )
    moment = now()
    before = kept.get(system.id)
    if before and before[0] == system.version and moment - before[1] < FRESH:
        return before[2]
    found = known(system, book.entries(database(), system.id, since=moment - USED), now=moment)
    kept[system.id] = (system.version, moment, found)
    return found


def groups_of(knowledge: Knowledge) -> list[Group]:
    """The estimates under their headings, those of the bases last."""
    named = {name for _, names in GROUPS for name in names}
    rest = tuple(one for one in knowledge.estimates if one.id not in named)
    groups = [
        Group(title, tuple(one for name in names if (one := knowledge.estimate(name)) is not None))
        for title, names in GROUPS
    ]
    return [group for group in (*groups, Group("What doses have done", rest)) if group.estimates]


def amount(one: Estimate) -> str:
    """The likeliest value with its unit."""
    return f"{few(one.value)} {one.unit}".strip()


def interval(one: Estimate) -> str:
    """How sure an estimate is, in words."""
    share = f"{one.level * 10:.0f} times in 10"
    return f"{share} between {few(one.low)} and {few(one.high)}"


def bar(one: Estimate) -> Markup:
    """The interval as a bar from nought, with a mark at the likeliest value."""
    low, high = min(0.0, one.low), max(one.high * 1.1, 1e-9)
    at = [100 * (value - low) / (high - low) for value in (one.low, one.value, one.high)]
    return Markup(
        '<svg class="estimate-bar" viewBox="0 0 100 6" preserveAspectRatio="none" '
        'aria-hidden="true"><path class="bar-line" d="M0 3H100"/>'
        '<rect class="bar-span" x="{0}" y="1" width="{1}" height="4"/>'
        '<rect class="bar-mark" x="{2}" y="0" width="1" height="6"/></svg>'
    ).format(*(f"{value:.2f}" for value in (at[0], max(at[2] - at[0], 0.6), at[1] - 0.5)))


def _ahead(knowledge: Knowledge) -> list[Ahead]:
    """What pH and alkalinity will read on the days to come, dosed as usual and not at all."""
    if not knowledge.estimates:
        return []
    return [
        Ahead(title, tuple(_day_ahead(knowledge, days, usual) for days in DAYS_AHEAD))
        for title, usual in (("Dosed as usual", True), ("Without any dose", False))
    ]


def _day_ahead(knowledge: Knowledge, days: int, usual: bool) -> tuple[str, ...]:
    coming = {one.quantity: one for one in knowledge.forecast(days, as_usual=usual)}
    words = f"{days} {'day' if days == 1 else 'days'}"
    return words, *(_coming(coming[quantity]) for quantity in LABELS)


def _coming(one: Forecast) -> str:
    digits = DIGITS[one.quantity]
    low, value, high = (show(number, digits) for number in (one.low, one.value, one.high))
    return f"{value} ({low} to {high})"


def _fit(quantity: str, knowledge: Knowledge) -> Fit | None:
    """Each reading beside what the book had led one to expect."""
    found = [one for one in knowledge.residuals if one.quantity == quantity]
    if len(found) < 2:
        return None
    label = LABELS[quantity]
    inside = sum(abs(one.measured - one.predicted) <= NINETY * one.spread for one in found)
    words = (
        f"{label}: {inside} of {len(found)} readings lay in the band in which nine of ten were "
        "expected before they were taken."
    )
    odd = tuple((one.at, one.measured) for one in found if one.outlier > ODD)
    if odd:
        words += f" {len(odd)} {'stands' if len(odd) == 1 else 'stand'} out (ringed)."
    svg = draw(
        OverTime(
            title=f"{label}: measured and expected",
            words=words,
            y_name=label if quantity == "ph" else f"{label}, mg/L as CaCO₃",
            span=(found[0].at, found[-1].at + datetime.timedelta(hours=12)),
            values=tuple((one.at, one.measured) for one in found),
            band=tuple(_expected(found)),
            ringed=odd,
            joined=False,
        )
    )
    return Fit(label, svg, words, tuple(_row(one) for one in reversed(found)))


def _expected(found: Sequence[Residual]) -> Iterable[tuple[datetime.datetime, float, float]]:
    for one in found:
        half = NINETY * one.spread
        yield one.at, max(one.predicted - half, 0.0), one.predicted + half


def _row(one: Residual) -> tuple[str, str, str, str]:
    digits = DIGITS[one.quantity] + 1
    gap = one.measured - one.predicted
    return (
        one.at.astimezone().strftime("%Y-%m-%d %H:%M"),
        show(one.measured, digits),
        show(one.predicted, digits),
        f"{'+' if gap > 0 else ''}{show(gap, digits)}",
    )


def _odd(one: Residual) -> str:
    digits = DIGITS.get(one.quantity, 1)
    return (
        f"On {times.day(one.at)} {LABELS.get(one.quantity, one.quantity)} "
        f"{show(one.measured, digits)} was read where about {show(one.predicted, digits)} was to "
        "be expected; it counts for little here."
    )
