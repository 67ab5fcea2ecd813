"""The water book of one system: what was measured and given, and what follows from it."""

from kb.book.know import know
from kb.book.model import (
    QUANTITIES,
    Advice,
    Book,
    Dose,
    Entry,
    Estimate,
    Feed,
    Fish,
    Forecast,
    Knowledge,
    Reading,
    Remark,
    Residual,
    System,
    Water,
)

__all__ = [
    "QUANTITIES",
    "Advice",
    "Book",
    "Dose",
    "Entry",
    "Estimate",
    "Feed",
    "Fish",
    "Forecast",
    "Knowledge",
    "Reading",
    "Remark",
    "Residual",
    "System",
    "Water",
    "know",
]
