"""Kinds of quantity: what units they have, and how a value with its unit is read."""

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass

from kb.errors import UnitError
from kb.units.numbers import split_number


@dataclass(frozen=True)
class Unit:
    """One unit: base value = value x factor + offset; ``names`` are the ways people write it."""

    symbol: str
    factor: float
    names: tuple[str, ...] = ()
    offset: float = 0.0


@dataclass(frozen=True)
class Kind:
    """One kind of quantity; the first unit is the base unit."""

    name: str
    units: tuple[Unit, ...]

    @property
    def base(self) -> str:
        """The symbol of the base unit."""
        return self.units[0].symbol

    def unit(self, text: str) -> Unit:
        """The unit a person means by ``text``; raises UnitError when it is none of this kind."""
        key = _unit_key(text)
        for unit in self.units:
            if key in (_unit_key(name) for name in (unit.symbol, *unit.names)):
                return unit
        known = _one_of(unit.symbol or "none at all" for unit in self.units)
        raise UnitError(f"“{text}” is not a unit of {self.name}; use {known}.")

    def to_base(self, value: float, unit: str) -> float:
        """``value`` in ``unit``, as a number in the base unit."""
        found = self.unit(unit)
        return value * found.factor + found.offset

    def from_base(self, value: float, unit: str) -> float:
        """``value`` in the base unit, as a number in ``unit``."""
        found = self.unit(unit)
        return (value - found.offset) / found.factor

    def parse(self, raw: object, unit: str) -> float:
        """A number (in ``unit``) or a text with its own unit, as a number in the base unit."""
        if isinstance(raw, bool):
            raise UnitError(f"“{raw}” is not a number.")
        if isinstance(raw, int | float):
            return self.to_base(_finite(raw), unit)
        number, written = split_number(str(raw))
        return self.to_base(number, written or unit)

    def with_units(self, *more: Unit) -> "Kind":
        """The same kind with further units, such as spoons of a powder of known density."""
        return Kind(self.name, (*self.units, *more))


def _finite(raw: float) -> float:
    """A number as one that can be worked with; raises UnitError."""
    try:
        value = float(raw)
    except OverflowError:  # a whole number of more than 308 digits
        raise UnitError("This number is too large to work with.") from None
    if not math.isfinite(value):
        raise UnitError(f"“{raw}” is not a number.")
    return value


def _unit_key(text: str) -> str:
    text = text.strip().casefold().replace("\u00b5", "u").replace("\u03bc", "u")
    text = (
        text.replace("²", "2").replace("³", "3").replace("°", "").replace("º", "").replace("^", "")
    )
    text = re.sub(r"\s+", " ", text)
    return re.sub(r" ?(?:/|\bper\b|⁄) ?", "/", text).strip(" .")


def _one_of(names: Iterable[str]) -> str:
    return ", ".join(names)
