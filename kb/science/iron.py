"""Iron for the plants: how much of a chelate, and whether it holds its iron at the water's pH."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Verdict = Literal["fits", "borderline", "unsuited"]


@dataclass(frozen=True)
class HoldsTo:
    """The highest pH at which two sources trust a chelate; they do not agree."""

    strict: float
    generous: float


CHELATES: Mapping[str, HoldsTo] = {
    "EDTA": HoldsTo(strict=6.0, generous=6.5),
    "DTPA": HoldsTo(strict=7.0, generous=7.5),
    "EDDHA": HoldsTo(strict=8.5, generous=9.0),
}
"""Strict: iron-chelate-maker; generous: norvell-1972, as an agronomy page gives it."""


def product_g(
    *, volume_l: float, target_mg_l: float, present_mg_l: float, iron_percent: float
) -> float:
    """The product that brings iron from what is there to the target; never below 0.

    Valid for an iron share above 0 %. Source: none, arithmetic; the target of 2 mg/L is
    uvi-aquaponics.

    >>> round(product_g(volume_l=1000.0, target_mg_l=2.0, present_mg_l=0.0, iron_percent=6.0), 1)
    33.3
    """
    missing = max(0.0, target_mg_l - present_mg_l)
    return missing * volume_l / 1000 / (iron_percent / 100)


def suits(*, chelate: str, ph: float) -> Verdict:
    """Whether a chelate holds its iron at this pH: by both sources, by one, or by none.

    Valid for EDTA, DTPA and EDDHA. Source: iron-chelate-maker and norvell-1972.

    >>> suits(chelate="DTPA", ph=7.2)
    'borderline'
    """
    limit = CHELATES[chelate]
    if ph <= limit.strict:
        return "fits"
    return "borderline" if ph <= limit.generous else "unsuited"
