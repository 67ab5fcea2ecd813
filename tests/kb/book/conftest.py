"""Small books of a school greenhouse, written by hand."""

from datetime import UTC, datetime, timedelta

import pytest

from kb.book import Book, Dose, Feed, Reading, System

START = datetime(2024, 4, 1, 8, tzinfo=UTC)


@pytest.fixture(scope="session")
def day():
    """A time so many days after the start."""

    def at(days):
        return START + timedelta(days=days)

    return at


@pytest.fixture(scope="session")
def steady_book(day):
    """A book of a system that is dosed every day with what it uses: 10 g of feed use 1 g.

    Thousand litres, 100 g of feed a day, 10 mg/L of alkalinity used and given back each day.
    """

    def make(days=20, *, alkalinity=True, ammonia=0.0, extra=(), last=(), **system):
        entries = []
        for number in range(days):
            now = day(number)
            entries.append(Reading(now, "ph", 6.8 if number % 2 else 6.9))
            if alkalinity and number % 3 == 0:
                entries.append(Reading(now, "alkalinity", 40.0 if number % 2 else 45.0))
            entries.append(Feed(now + timedelta(hours=1), 100.0))
            entries.append(Dose(now + timedelta(hours=2), "sodium-bicarbonate", 16.8))
        entries.append(Reading(day(days), "ph", 6.8))
        if ammonia is not None:
            entries.append(Reading(day(days), "ammonia", ammonia))
        settings = {"volume_l": 1000.0, "target_ph": 7.0, **system}
        return Book(System(**settings), (*entries, *extra, *last)), day(days)

    return make
