"""Axes: where a value stands in a drawing, and which round values are marked."""

import math
from dataclasses import dataclass

from kb.units import show

STEPS = (1.0, 2.0, 5.0, 10.0)
MOST_DECADES = 5


@dataclass(frozen=True)
class Axis:
    """Values from ``low`` to ``high`` laid along the drawing from ``start`` to ``end``."""

    low: float
    high: float
    start: float
    end: float
    log: bool = False

    def at(self, value: float) -> float:
        """Where a value stands in the drawing."""
        low, high, here = (self._place(each) for each in (self.low, self.high, value))
        return self.start + (here - low) / (high - low) * (self.end - self.start)

    def marks(self, most: int = 6) -> tuple[float, ...]:
        """The round values to be marked."""
        return _decades(self.low, self.high) if self.log else _even(self.low, self.high, most)

    def _place(self, value: float) -> float:
        return math.log10(max(value, 1e-30)) if self.log else value


def mark_text(value: float) -> str:
    """A round value as it is written at an axis."""
    for digits in range(10):
        if abs(round(value, digits) - value) <= 1e-9 * abs(value):
            return show(value, digits)
    return f"{value:.0e}"


def step_for(span: float, most: int) -> float:
    """The smallest round step that gives no more than ``most`` steps over a span."""
    rough = span / most
    power = 10.0 ** math.floor(math.log10(rough))
    return next(step * power for step in STEPS if step * power >= rough * (1 - 1e-9))


def _even(low: float, high: float, most: int) -> tuple[float, ...]:
    step = step_for(high - low, most)
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return tuple(round(index * step, 12) for index in range(first, last + 1))


def _decades(low: float, high: float) -> tuple[float, ...]:
    first, last = math.ceil(math.log10(low) - 1e-9), math.floor(math.log10(high) + 1e-9)
    every = math.ceil((last - first + 1) / (MOST_DECADES + 1))
    return tuple(10.0**power for power in range(last, first - 1, -every))[::-1]
