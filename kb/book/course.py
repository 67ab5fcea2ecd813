"""A book as the filter walks it: what was fed, dosed and read, in order, in days since the first.

Feed uses alkalinity evenly over the day after it is given. Days without an entry of feed are
taken as fed like the recorded days nearest to them, with a doubt as large as half of that. Where
a book falls silent for more than SILENT_DAYS, doses too are taken as not written down.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from math import pi
from statistics import median

import numpy as np

from kb.book.chemistry import Array
from kb.book.model import SUBSTANCES, Book, Dose, Entry, Feed, Reading, System, Water
from kb.science.nitrification import CACO3_G_EQ
from kb.science.substances import Substance

DAY_S = 86_400.0
SLOW_PER_DAY = (0.12, 0.35)  # common practice: chalk and dolomite dissolve over days to weeks
NEAREST_DAYS = 7
SILENT_DAYS = 5.0  # without any entry: what went on by then is not known
RECENT_DAYS = 14.0
CHANGES_DAYS = 28.0
UNSURE_FEED = 0.5  # of a day's feed that nobody wrote down
UNSURE_SPOON = 0.1  # of a dose: spoons and scales
UNKNOWN_TOP_UP, UNKNOWN_SPREAD = 80.0, 60.0  # mg/L; common practice, most mains water
PH_STEPS = (0.5, 0.2, 0.1, 0.05, 0.01)
ALKALINITY_STEPS = (17.848, 10.0, 8.924, 5.0, 4.462, 1.0)  # drops of 1, ½ and ¼ dKH; round mg/L
FEWEST_FOR_STEP = 4
SLOW = frozenset({"calcium-carbonate", "dolomite", "magnesium-hydroxide"})


@dataclass(frozen=True)
class Tick:
    """One moment: ``kind`` is ph, alkalinity, dose, added or changed; values by kind.

    For a dose, ``value`` is mg/L of alkalinity by the label and ``which`` its place among the
    substances; for added water mg/L that it brings; for changed water the share, ``other`` its
    alkalinity, ``spread`` how unsure that is.
    """

    day: float
    kind: str
    value: float
    which: int = 0
    other: float = 0.0
    spread: float = 0.0
    temp_c: float = 24.0
    angle: float = 0.0
    entry: Entry | None = None


@dataclass(frozen=True)
class Course:
    """All ticks, with what happened since the tick before: feed in g, and what slowly dissolved.

    ``slow`` is mg/L by the label, for each tick, rate of SLOW_PER_DAY and substance.
    """

    start: datetime
    ticks: tuple[Tick, ...]
    feed_g: Array
    unsure_g2: Array
    slow: Array
    slow_left: Array
    substances: tuple[str, ...]
    feed_known: bool
    feed_days: int
    usual_feed_g: float
    top_up_mg_l_day: float
    changed_a_day: float
    changed_mg_l: float
    top_up_unknown: bool
    ph_step: float
    alkalinity_step: float
    gap: tuple[bool, ...]
    end: float

    def count(self, kind: str) -> int:
        """How many ticks there are of a kind."""
        return sum(tick.kind == kind for tick in self.ticks)


def course(book: Book, now: datetime) -> Course | None:
    """The course of a book that ends by now; None before there is a reading of pH or alkalinity."""
    entries = book.entries
    readings = [entry for entry in entries if isinstance(entry, Reading)]
    tested = [each for each in readings if each.quantity in ("ph", "alkalinity")]
    if not tested:
        return None
    start = tested[0].at
    doses = [entry for entry in entries if isinstance(entry, Dose)]
    substances = tuple(sorted({dose.substance for dose in doses}))
    ticks = _ticks(book.system, entries, start, substances)
    end = _days(now, start)
    days = np.array([*(tick.day for tick in ticks), end])
    fed, unsure = _feeds(book.system, entries, start, now)
    slow = _slow(book.system, doses, substances, start)
    gone = slow(days)
    top_up = [tick for tick in ticks if tick.kind == "added" and tick.day > end - RECENT_DAYS]
    changes = [tick for tick in ticks if tick.kind == "changed" and tick.day > end - CHANGES_DAYS]
    return Course(
        start=start,
        ticks=tuple(ticks),
        feed_g=_steps(_used(days, fed)),
        unsure_g2=_steps(_used(days, unsure)),
        slow=_steps(gone),
        slow_left=slow(np.array([1e9]))[0] - gone[-1],
        substances=substances,
        feed_known=any(isinstance(entry, Feed) for entry in entries)
        or book.system.feed_g_day is not None,
        feed_days=len({entry.at.date() for entry in entries if isinstance(entry, Feed)}),
        usual_feed_g=_recent(fed, end),
        top_up_mg_l_day=sum(tick.value for tick in top_up) / max(1.0, min(RECENT_DAYS, end)),
        changed_a_day=sum(tick.value for tick in changes) / max(1.0, min(CHANGES_DAYS, end)),
        changed_mg_l=changes[-1].other if changes else 0.0,
        top_up_unknown=any(tick.spread > 0 for tick in ticks),
        ph_step=kit_step([r.value for r in tested if r.quantity == "ph"], PH_STEPS),
        alkalinity_step=kit_step(
            [r.value for r in tested if r.quantity == "alkalinity"], ALKALINITY_STEPS
        ),
        gap=tuple(_gaps(days, [_days(entry.at, start) for entry in entries])),
        end=end,
    )


def kit_step(values: Sequence[float], steps: Sequence[float]) -> float:
    """The coarsest step that all values are whole multiples of, as a kit shows them."""
    if len(values) < FEWEST_FOR_STEP:
        return steps[1]
    for step in steps:
        off = [abs(value / step - round(value / step)) * step for value in values]
        if sum(each > 0.04 * step for each in off) <= 0.1 * len(values):
            return step
    return 0.0


def label_mg_l(substance: Substance, grams: float, volume_l: float, purity: float) -> float:
    """The alkalinity that a dose brings if all is as the label says; below nought for an acid."""
    sign = 1.0 if substance.alkalinity > 0 else -1.0
    pure = grams * purity / 100
    return sign * pure / substance.equivalent_g * CACO3_G_EQ * 1000 / volume_l


def dose_mg_l(dose: Dose, volume_l: float) -> float:
    """The alkalinity of one dose by its label."""
    return label_mg_l(SUBSTANCES[dose.substance], dose.grams, volume_l, dose.purity_percent)


def angle_of(at: datetime) -> float:
    """The hour of the day as an angle."""
    return 2 * pi * (at.hour + at.minute / 60) / 24


def _days(at: datetime, start: datetime) -> float:
    return (at - start).total_seconds() / DAY_S


def _gaps(days: Array, written: Sequence[float]) -> Iterator[bool]:
    """Of each tick and the end: did the book fall silent for long on the way there?"""
    times = [*written, float(days[-1])]
    long = [(early, late) for early, late in pairwise(times) if late - early > SILENT_DAYS]
    yield False
    for before, now in pairwise(days):
        yield any(before <= early and late <= now for early, late in long)


def _steps(running: Array) -> Array:
    return np.diff(running, axis=0, prepend=running[:1])


def _ticks(
    system: System, entries: Iterable[Entry], start: datetime, substances: tuple[str, ...]
) -> list[Tick]:
    found: list[Tick] = []
    temp_c = system.temp_c
    for entry in entries:
        if isinstance(entry, Reading) and entry.quantity == "temperature":
            temp_c = min(50.0, max(0.0, entry.value))
        elif entry.at >= start:
            found += _of_entry(system, entry, _days(entry.at, start), substances, temp_c)
    return found


def _of_entry(
    system: System, entry: Entry, day: float, substances: tuple[str, ...], temp_c: float
) -> list[Tick]:
    angle = angle_of(entry.at)
    if isinstance(entry, Reading):
        if entry.quantity not in ("ph", "alkalinity"):
            return []
        kind = entry.quantity
        return [Tick(day, kind, entry.value, temp_c=temp_c, angle=angle, entry=entry)]
    if isinstance(entry, Dose):
        if entry.substance in SLOW:
            return []
        value = dose_mg_l(entry, system.volume_l)
        which = substances.index(entry.substance)
        other = SUBSTANCES[entry.substance].carbon / SUBSTANCES[entry.substance].alkalinity
        return [Tick(day, "dose", value, which, other=other, temp_c=temp_c, angle=angle)]
    return _of_water(system, entry, day) if isinstance(entry, Water) else []


def _of_water(system: System, entry: Water, day: float) -> list[Tick]:
    known = entry.alkalinity if entry.alkalinity is not None else system.top_up_alkalinity
    alkalinity = UNKNOWN_TOP_UP if known is None else known
    spread = UNKNOWN_SPREAD if known is None else 0.0
    found = []
    if entry.changed_l > 0:
        share = min(1.0, entry.changed_l / system.volume_l)
        found.append(Tick(day, "changed", share, other=alkalinity, spread=spread * share))
    if entry.added_l > 0:
        share = min(1.0, entry.added_l / system.volume_l)
        found.append(Tick(day, "added", share * alkalinity, spread=spread * share))
    return found


def _feeds(
    system: System, entries: Sequence[Entry], start: datetime, now: datetime
) -> tuple[list[tuple[float, float]], list[tuple[float, float]]]:
    """Meals as (day, g), and those nobody wrote down as (day, squared doubt in g)."""
    written = [entry for entry in entries if isinstance(entry, Feed)]
    per_day: dict[int, float] = {}
    for feed in written:
        number = (feed.at.date() - start.date()).days
        per_day[number] = per_day.get(number, 0.0) + feed.grams
    meals = [(_days(feed.at, start), feed.grams) for feed in written]
    unsure = []
    noon = start.replace(hour=12, minute=0, second=0, microsecond=0)
    for number in range(-1, (now.date() - start.date()).days):
        usual = _usual(per_day, number, system.feed_g_day)
        if number not in per_day and usual > 0:
            day = _days(noon + timedelta(days=number), start)
            meals.append((day, usual))
            unsure.append((day, (UNSURE_FEED * usual) ** 2))
    return meals, unsure


def _usual(per_day: dict[int, float], number: int, told: float | None) -> float:
    if not per_day:
        return told or 0.0
    near = sorted(per_day, key=lambda day: abs(day - number))[:NEAREST_DAYS]
    return median(per_day[day] for day in near)


def _used(days: Array, meals: Sequence[tuple[float, float]]) -> Array:
    """The running total of feed (or doubt) that has had its effect at each of the days."""
    if not meals:
        return np.zeros(len(days))
    when, grams = np.array(meals).T
    shares: Array = np.clip(days[:, None] - when[None, :], 0.0, 1.0) @ grams
    return shares


def _recent(meals: Sequence[tuple[float, float]], end: float) -> float:
    """The mean feed a day of late."""
    span = max(1.0, min(RECENT_DAYS, end + 1.0))
    days = np.array([end - span, end])
    before, after = _used(days, meals)
    return float((after - before) / span)


def _slow(
    system: System, doses: Sequence[Dose], substances: tuple[str, ...], start: datetime
) -> Callable[[Array], Array]:
    """What has dissolved of slow bases by a day, in mg/L, for each rate and substance."""
    given = [
        (_days(dose.at, start), substances.index(dose.substance), dose_mg_l(dose, system.volume_l))
        for dose in doses
        if dose.substance in SLOW
    ]

    def dissolved(days: Array) -> Array:
        total = np.zeros((len(days), len(SLOW_PER_DAY), len(substances)))
        for day, which, mg_l in given:
            since = np.clip(days - day, 0.0, None)
            for number, rate in enumerate(SLOW_PER_DAY):
                total[:, number, which] += mg_l * -np.expm1(-rate * since)
        return total

    return dissolved
