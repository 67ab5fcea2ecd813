"""A short form of ``make book``: made-up systems whose figures are known (bench/book.py)."""

import statistics
import time
from datetime import timedelta

import pytest

from bench.book import measure
from kb.book import Book, Dose, Feed, Reading, System, know

SYSTEMS = range(3000, 3012)
DAYS = 35


@pytest.fixture(scope="module")
def figures():
    return measure(SYSTEMS, days=DAYS)


def test_intervals_hold_the_truth_about_as_often_as_they_say(figures):
    """Some seventy figures of twelve systems, not independent: good to ten or twenty points."""
    assert len(figures.held) > 60
    assert figures.share("all", 0) == pytest.approx(0.9, abs=0.1)
    assert figures.share("all", 1) == pytest.approx(0.5, abs=0.2)


def test_known_loads_are_found(figures):
    widths = [one.width for one in figures.held if one.name == "acid-load" and one.alkalinity_read]

    assert figures.share("acid-load", 0) >= 0.75
    assert statistics.median(widths) < 1.0


@pytest.mark.parametrize("quantity", ["ph", "alkalinity"])
@pytest.mark.parametrize("days", [1, 3, 7])
def test_without_doses_a_forecast_is_nearer_than_both_simple_guesses(figures, quantity, days):
    off, same, line = figures.errors("nothing dosed", quantity, days)

    assert off < min(same, line)


def test_with_the_usual_doses_forecasts_are_nearer_on_the_whole(figures):
    for quantity in ("ph", "alkalinity"):
        errors = [figures.errors("dosed as usual", quantity, days) for days in (1, 3, 7)]
        off, same, line = (sum(each) for each in zip(*errors, strict=True))
        assert off < min(same, line)


def test_readings_to_come_lie_in_their_intervals(figures):
    inside = [
        figures.inside(mode, quantity, days, 0)
        for mode in ("nothing dosed", "dosed as usual")
        for quantity in ("ph", "alkalinity")
        for days in (1, 3, 7)
    ]

    assert statistics.fmean(inside) == pytest.approx(0.9, abs=0.08)


def test_a_season_of_three_readings_a_day_is_known_quickly(day):
    """Half a second of computing on a quiet machine; a busy one computes slower, so three are left.

    The processor's time counts, the best of three.
    """
    entries = []
    for number in range(180):
        entries += [Reading(day(number + part), "ph", 6.8 + part) for part in (0.0, 0.2, 0.4)]
        entries += [Feed(day(number + 0.05), 80.0), Dose(day(number + 0.06), "dolomite", 5.0)]
        entries.append(Reading(day(number), "alkalinity", 40.0))
    book = Book(System(1000.0), tuple(entries))
    seconds = []
    for _ in range(3):
        began = time.process_time()
        known = know(book, now=day(180) + timedelta(hours=1))
        seconds.append(time.process_time() - began)

    assert len(known.residuals) == 720
    assert min(seconds) < 3.0
