"""The book used elsewhere: figures filled in for the keeper, and a sentence for a reply.

Pages that anybody sees call these; for anybody but the keeper, and with a database that cannot be
read, they give nothing.
"""

import datetime
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from flask import current_app
from flask_login import current_user

from kb.bookkeeping import present
from kb.bookkeeping.knowing import book_sentence
from kb.calculators.model import Calculator
from kb.errors import KbError, StoreError
from kb.store import book
from kb.store.book import System
from rules import state
from rules.model import Symptom
from web.book.knowing import known_of
from web.book.shared import now
from web.database import database

WEEK = datetime.timedelta(days=present.FEED_DAYS + 1)


@dataclass(frozen=True)
class Way:
    """An address with the figures of one system filled in, and what they are."""

    system: str
    link: str
    figures: str


@dataclass(frozen=True)
class Sentence:
    """What the keeper may say of one system in a reply."""

    system: str
    text: str


def calculator_ways(calculator: Calculator, given: Mapping[str, str]) -> list[Way]:
    """The calculator with the present figures of each system, in place of those given."""
    ways = []
    for system in _systems():
        known = present.filled_in(
            system, book.latest(database(), system.id), _feed(system), calculator, now=now()
        )
        for group in calculator.one_of:
            if any(name in given for name in group):
                known = {name: value for name, value in known.items() if name not in group}
        if known:
            labels = (f"{calculator.input(name).label} {value}" for name, value in known.items())
            link = calculator.link({**given, **known})
            ways.append(Way(system.name, link, "; ".join(labels)))
    return ways


def symptom_ways(symptom: Symptom, given: state.Answers) -> list[Way]:
    """The symptom with each system's readings of the last day, beside the answers given."""
    ways = []
    for system in _systems():
        latest = book.latest(database(), system.id)
        read = present.readings(latest, now=now())
        numbers = {one.name: one.value for one in read.found if isinstance(one.value, float)}
        if not numbers:
            continue
        feed = _feed(system)
        numbers |= {"volume_l": system.volume_l} | ({} if feed is None else {"feed_g_day": feed})
        filled = state.prefill(symptom, numbers)
        fresh = {name: value for name, value in filled.items() if name not in given}
        if fresh:
            figures = ", ".join(f"{name} {state.plain(value)}" for name, value in fresh.items())
            ways.append(Way(system.name, state.link(symptom, {**fresh, **given}), figures))
    return ways


def reply_sentences() -> list[Sentence]:
    """For each system of which enough is known, what may be said of it in a reply."""
    found = ((system, _sentence(system)) for system in _systems())
    return [Sentence(system.name, text) for system, text in found if text]


def _sentence(system: System) -> str:
    try:
        return book_sentence(known_of(system))
    except KbError as error:
        current_app.logger.error("the book of %s cannot be read: %s", system.name, error)
        return ""


def _systems() -> Iterator[System]:
    """The keeper's systems; none for anybody else."""
    try:
        if current_user.is_authenticated:
            yield from book.systems(database())
    except StoreError as error:
        current_app.logger.error("the water book cannot be read: %s", error)


def _feed(system: System) -> float | None:
    return present.feed_a_day(book.entries(database(), system.id, since=now() - WEEK), now=now())
