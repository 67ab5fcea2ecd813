"""What a water book says of its system: the one thing to call here."""

from datetime import datetime, timedelta

import numpy as np

from kb.book.advice import advise
from kb.book.ahead import Coming, habit_of, kits_in
from kb.book.bank import Posterior, run
from kb.book.chemistry import gas_at
from kb.book.comparison import compare
from kb.book.course import angle_of, course, dose_mg_l
from kb.book.draws import Draws, draw
from kb.book.enough import missing_things
from kb.book.estimates import estimates
from kb.book.model import (
    LEVEL,
    Ahead,
    Book,
    Dose,
    Entry,
    Forecast,
    Knowledge,
    Reading,
    Residual,
)

DAY_S = 86_400.0


def know(book: Book, *, now: datetime, level: float = LEVEL) -> Knowledge:
    """All that the entries up to now tell; intervals hold the truth in ``level`` of all cases."""
    book = Book(book.system, tuple(entry for entry in book.entries if entry.at <= now))
    walk = course(book, now)
    if walk is None:
        return _nothing(book, now)
    belief = run(book.system, walk)
    draws = draw(book.system, walk, belief)
    temp_c = _temperature(book, now)
    angle, k = angle_of(now), gas_at(temp_c)
    found = tuple(estimates(book, draws, level=level, angle=angle, k=k))
    enough, missing = missing_things(
        book, walk, draws, belief.innovations[-1] if belief.innovations else None, now
    )
    return Knowledge(
        now=now,
        enough=enough,
        missing=missing,
        estimates=found,
        comparison=compare(draws) if enough else (),
        residuals=_residuals(belief),
        advice=advise(book, draws, now=now, temp_c=temp_c, enough=enough),
        ahead=_ahead(book, draws, now, temp_c, level),
    )


def _nothing(book: Book, now: datetime) -> Knowledge:
    _, missing = missing_things(book, None, None, None, now)
    return Knowledge(
        now=now,
        enough=False,
        missing=missing,
        estimates=(),
        comparison=(),
        residuals=(),
        advice=advise(book, None, now=now, temp_c=book.system.temp_c, enough=False),
        ahead=lambda days, planned, as_usual: (),
    )


def _temperature(book: Book, now: datetime) -> float:
    read = [
        entry.value
        for entry in book.entries
        if isinstance(entry, Reading) and entry.quantity == "temperature" and entry.at <= now
    ]
    return read[-1] if read else book.system.temp_c


def _residuals(belief: Posterior) -> tuple[Residual, ...]:
    return tuple(
        Residual(
            at=one.tick.entry.at,
            quantity=one.tick.kind,
            measured=one.tick.value,
            predicted=one.predicted,
            spread=one.spread,
            outlier=one.outlier,
        )
        for one in belief.innovations
        if one.tick.entry is not None
    )


def _ahead(book: Book, draws: Draws, now: datetime, temp_c: float, level: float) -> Ahead:
    """The function that tells what kits will read."""
    tail = (1 - level) / 2
    habit = habit_of(book, draws.walk, now)

    def ahead(days: float, planned: tuple[Entry, ...], as_usual: bool) -> tuple[Forecast, ...]:
        at = now + timedelta(days=days)
        doses = tuple(
            Coming((entry.at - now).total_seconds() / DAY_S, entry.substance,
                   dose_mg_l(entry, book.system.volume_l))
            for entry in planned
            if isinstance(entry, Dose)
        )  # fmt: skip
        both = kits_in(
            draws, days, angle=angle_of(at), k=gas_at(temp_c), doses=doses,
            habit=habit if as_usual else None,
        )  # fmt: skip
        found = []
        for quantity, values in zip(("ph", "alkalinity"), both, strict=True):
            low, middle, high = (float(x) for x in np.quantile(values, (tail, 0.5, 1 - tail)))
            found.append(Forecast(at, quantity, middle, low, high, level))
        return tuple(found)

    return ahead
