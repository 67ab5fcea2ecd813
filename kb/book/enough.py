"""Whether the book says enough, and what to measure or write down next."""

from collections.abc import Iterator
from datetime import datetime
from itertools import islice

import numpy as np

from kb.book.bank import Innovation
from kb.book.course import Course
from kb.book.draws import Draws
from kb.book.model import QUANTITIES, Book, Dose, Reading
from kb.units import show

FEWEST_READINGS, FEWEST_DAYS = 6, 5.0
WIDEST = 2.0  # of the load: 90 % of the draws spread over more than that tell nothing
LEAST_LOAD = 0.15  # of full nitrification: what a spread is measured by when there is no load
STALE_PH, STALE_BUFFER, STALE_AMMONIA = 2, 14, 7  # days
FEWEST_DOSES = 3
FALSE = 0.5
MOST_SAID = 5
WORDS = {"ph": "pH", "alkalinity": "alkalinity (KH)"}


def missing_things(
    book: Book,
    walk: Course | None,
    draws: Draws | None,
    last: Innovation | None,
    now: datetime,
) -> tuple[bool, tuple[str, ...]]:
    """Is it enough? And up to MOST_SAID plain sentences, the most useful first."""
    if walk is None or draws is None:
        return False, (
            "Measure pH and alkalinity (KH) now, and write down the feed of each day and every "
            "dose; after five days of that the book begins to tell.",
        )
    few = walk.count("ph") + walk.count("alkalinity") < FEWEST_READINGS or walk.end < FEWEST_DAYS
    said = [*_readings(book, walk, last, now), *_notes(book, walk)]
    return not few and _spread(draws) <= WIDEST, tuple(islice(said, MOST_SAID))


def _spread(draws: Draws) -> float:
    low, middle, high = np.quantile(draws.load_mg_l_day, (0.05, 0.5, 0.95))
    full = draws.full_per_feed * draws.walk.usual_feed_g * 1000 / draws.system.volume_l
    return float((high - low) / max(abs(middle), LEAST_LOAD * full, 0.5))


def days_since(book: Book, quantity: str, now: datetime) -> int | None:
    """Whole days since a quantity was last read; None if it never was."""
    read = [
        (now - entry.at).days
        for entry in book.entries
        if isinstance(entry, Reading) and entry.quantity == quantity and entry.at <= now
    ]
    return read[-1] if read else None


def _readings(book: Book, walk: Course, last: Innovation | None, now: datetime) -> Iterator[str]:
    if last is not None and last.outlier > FALSE:
        yield (
            f"The last {WORDS[last.tick.kind]} of {show(last.tick.value)} does not fit the rest of "
            f"the book, which leads to about {show(last.predicted)}: test it again with care."
        )
    ph = days_since(book, "ph", now)
    if ph is None:
        yield "Measure pH: alkalinity alone tells nothing of the carbon dioxide."
    elif ph >= STALE_PH:
        yield f"Measure pH: the last reading is {ph} days old."
    buffer = days_since(book, "alkalinity", now)
    if buffer is None:
        yield (
            "Measure alkalinity (KH) today and once or twice a week: from pH alone, much buffer "
            "with much carbon dioxide looks like little of both."
        )
    elif buffer >= STALE_BUFFER:
        yield f"Measure alkalinity (KH): the last reading is {buffer} days old."
    ammonia = days_since(book, "ammonia", now)
    if ammonia is None or ammonia >= STALE_AMMONIA:
        yield "Test ammonia: how far pH may be raised hangs on it."
    if walk.end < FEWEST_DAYS or walk.count("ph") < FEWEST_READINGS:
        yield f"Measure pH every day at the same hour, for at least {FEWEST_DAYS:.0f} days."


def _notes(book: Book, walk: Course) -> Iterator[str]:
    if not walk.feed_known:
        yield "Write down the feed of each day: without it the acid cannot be told from its cause."
    elif 0 < walk.feed_days < walk.end / 2:
        yield (
            f"Write down the feed every day: {walk.feed_days} of {show(walk.end, 0)} days have it, "
            "and the rest are taken like those nearest to them."
        )
    if walk.top_up_unknown:
        yield "Measure the alkalinity of the water you top up with, once: hard water hides acid."
    doses = sum(isinstance(entry, Dose) for entry in book.entries)
    if doses == 0:
        yield (
            "No dose is in the book yet: after the first one, test pH and alkalinity just before "
            "and a day after, to find out what a gram does here."
        )
    elif doses < FEWEST_DOSES:
        yield (
            "Test pH and alkalinity just before the next dose and a day after it, to find out "
            "what a gram does here."
        )
    if walk.ph_step > 0.2:
        yield (
            f"The pH readings go in steps of {show(walk.ph_step, 1)} {QUANTITIES['ph'][0]}: a kit "
            "with finer steps would tell more."
        )
