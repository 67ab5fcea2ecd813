"""Kinds, inputs and ways of writing numbers that the feed and balance calculators share."""

from kb import units
from kb.calculators.model import Number, show_plain
from kb.units import MASS_PER_DAY, PERCENT

FEED = Number(
    "feed", "Feed a day", MASS_PER_DAY, "g/day", minimum=1, maximum=1_000_000,
    usual=(10, 20_000), help="What the fish really eat.",
)  # fmt: skip
PROTEIN = Number(
    "protein", "Protein of the feed", PERCENT, "%", minimum=10, maximum=70, usual=(25, 50),
    default=32, help="From the bag.",
)  # fmt: skip


def few(value: float, count: int = 3) -> str:
    """A number for a sentence, to three significant figures unless told otherwise."""
    return units.few(value, count)


def between(low: float, high: float, count: int = 3) -> str:
    """A range for a sentence; one number where both ends look alike."""
    ends = (few(low, count), few(high, count))
    return ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"


def degrees(temp_c: float) -> str:
    """A temperature for a sentence, with Fahrenheit beside it."""
    fahrenheit = show_plain(round(temp_c * 1.8 + 32))
    return f"{show_plain(round(temp_c, 1) + 0.0)} °C ({fahrenheit} °F)".replace("-", "\u2212")
