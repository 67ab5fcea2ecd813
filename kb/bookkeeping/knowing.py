"""From the kept book to what is known of its system, and that in a sentence for others."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from kb import book
from kb.book import Book, Knowledge, know
from kb.bookkeeping.quantities import (
    DOSE,
    FEED,
    FISH,
    QUANTITIES,
    READING,
    SUBSTANCES,
    WATER,
)
from kb.errors import InputErrors
from kb.science.nitrification import nitrogen_from
from kb.science.substances import BASES
from kb.store.book import Entry, System
from kb.units import few, figures, show_plain

USED = datetime.timedelta(days=366)  # of the book: what was before is another system
NEXT_TO_NOTHING = 0.0002  # g a litre and day
NO3_TO_N = nitrogen_from(mass=1.0, compound="NO3")


@dataclass(frozen=True)
class Known:
    """What is known of a system, the base that is meant, and entries that could not be used."""

    system: System
    knowledge: Knowledge
    base: str
    left_out: tuple[Entry, ...]


def known(system: System, entries: Iterable[Entry], *, now: datetime.datetime) -> Known:
    """What a system's entries of a year tell about it; what cannot be is left out and named."""
    usable: list[book.Entry] = []
    left_out = []
    model = model_system(system)
    for entry in entries:
        if entry.at < now - USED:
            continue
        if entry.at > now:
            left_out.append(entry)
            continue
        try:
            made = model_entry(entry)
            Book(model, (made,))
        except InputErrors:
            left_out.append(entry)
        else:
            usable.append(made)
    knowledge = know(Book(model, tuple(usable)), now=now)
    return Known(system, knowledge, _base(system, usable), tuple(left_out))


def model_system(system: System) -> book.System:
    """The system as the estimates want it; what is not known takes their usual values."""
    known_figures = {
        name: value
        for name in (
            "temp_c", "protein_percent", "target_ph", "target_alkalinity", "floor_ph",
            "floor_alkalinity", "top_up_alkalinity", "feed_g_day", "base", "purity_percent",
        )
        if (value := getattr(system, name)) is not None
    }  # fmt: skip
    return book.System(volume_l=system.volume_l, **known_figures)


def model_entry(entry: Entry) -> book.Entry:
    """An entry as the estimates want it."""
    value = entry.value or 0.0
    if entry.kind == READING:
        return book.Reading(entry.at, entry.quantity, _in_model_unit(entry.quantity, value))
    if entry.kind == FEED:
        return book.Feed(entry.at, value)
    if entry.kind == DOSE:
        return book.Dose(entry.at, entry.substance or "", value)
    if entry.kind == WATER:
        added = value if entry.quantity == "water-added" else 0.0
        return book.Water(entry.at, added, value - added, entry.alkalinity)
    if entry.kind == FISH:
        sign = 1 if entry.quantity == "fish-in" else -1
        return book.Fish(entry.at, sign * int(value), entry.grams)
    return book.Remark(entry.at, entry.note)


def book_sentence(found: Known) -> str:
    """What the keeper's own system needs, for a reply to somebody else; empty when not known."""
    dose = found.knowledge.estimate("holding-dose")
    if not found.knowledge.enough or dose is None:
        return ""
    size = f"My own system ({show_plain(figures(found.system.volume_l))} L)"
    tail = "Every system differs: start with less, and test before each further step."
    if dose.value < NEXT_TO_NOTHING * found.system.volume_l:
        return f"{size} needs no base just now: its water brings what its fish use up. {tail}"
    fed = found.knowledge.estimate("load-per-feed")
    a_day = dose.unit.removesuffix("/day")
    text = (
        f"{size} needs about {few(dose.value)} {a_day} of {name_of(found.base)} a day to hold its "
        f"pH, most likely between {few(dose.low)} and {few(dose.high)} {a_day}."
    )
    if fed is not None:
        text += f" 100 g of feed use up about {few(fed.value)} g of alkalinity (as CaCO₃) there."
    return f"{text} {tail}"


def name_of(substance: str) -> str:
    """A base or acid by its plain name."""
    return SUBSTANCES[substance].partition(" (")[0]


def _base(system: System, entries: Iterable[book.Entry]) -> str:
    """The base that is meant: the one set for the system, the one last dosed, or lime."""
    dosed = [one.substance for one in entries if isinstance(one, book.Dose)]
    last = next((name for name in reversed(dosed) if name in BASES), "calcium-hydroxide")
    return system.base or last


def _in_model_unit(quantity: str, value: float) -> float:
    """Nitrate is kept as NO3 and reckoned with as N, a level in m and reckoned with in cm."""
    if quantity == "nitrate":
        return value * NO3_TO_N
    return QUANTITIES[quantity].units.from_base(value, "cm") if quantity == "level" else value
