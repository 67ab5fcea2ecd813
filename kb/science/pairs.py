"""Ion pairs: calcium and magnesium held by bicarbonate, carbonate and hydroxide."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import log10

from .acids import constants
from .activity import KELVIN

MOST_ROUNDS = 50
CLOSE_ENOUGH = 1e-13  # of the carbon dioxide


@dataclass(frozen=True)
class PairConstants:
    """How strongly one metal is held: constants for concentrations and the activity of H."""

    bicarbonate: float
    carbonate: float
    hydroxide: float


@dataclass(frozen=True)
class Metal:
    """One metal in one litre at one pH, and how strongly it is held there.

    ``hydroxide`` is the part in that pair over the free part; the other two are the same for each
    mole a litre of carbon dioxide, with the bicarbonate and carbonate that stand beside it.
    """

    total: float
    hydroxide: float
    by_bicarbonate: float
    by_carbonate: float

    def free(self, co2: float) -> float:
        """What is bound by nothing, mol/L."""
        bound = (self.by_bicarbonate + self.by_carbonate) * co2
        return self.total / (1 + self.hydroxide + bound)

    def share_left(self, co2: float) -> float:
        """The share that carbon has not bound."""
        loose = 1 + self.hydroxide
        return loose / (loose + (self.by_bicarbonate + self.by_carbonate) * co2)


@lru_cache(maxsize=512)
def at_no_strength(*, temp_c: float) -> tuple[PairConstants, PairConstants]:
    """The constants of calcium and of magnesium at no ionic strength.

    Valid for 0 to 50 °C. Source: plummer-busenberg-1982 (calcium), phreeqc (magnesium and the
    hydroxides).

    >>> calcium, magnesium = at_no_strength(temp_c=25.0)
    >>> round(log10(calcium.bicarbonate), 2), round(log10(calcium.carbonate), 2)
    (1.11, 3.23)
    >>> round(log10(magnesium.bicarbonate), 2), round(log10(magnesium.carbonate), 2)
    (1.07, 2.98)
    """
    t = temp_c + KELVIN
    second = log10(constants(temp_c=temp_c).carbonic[1])
    calcium = 1317.0071 + 0.34546894 * t - 39916.84 / t - 517.70761 * log10(t) + 563713.9 / t**2
    magnesium = 48.6721 + 0.03252849 * t - 2614.335 / t - 18.00263 * log10(t) + 563713.9 / t**2
    carbonate = -1228.732 - 0.299440 * t + 35512.75 / t + 485.818 * log10(t)
    shift = 15.952 * 4184 / (8.314462618 * 2.302585093) * (1 / 298.15 - 1 / t)  # van 't Hoff
    return (
        PairConstants(10 ** (calcium + second), 10**carbonate, 10**-12.78),
        PairConstants(
            10 ** (magnesium + second), 10 ** (0.9910 + 0.00667 * t), 10 ** (-11.44 + shift)
        ),
    )


def metals(
    *,
    calcium_mol_l: float,
    magnesium_mol_l: float,
    temp_c: float,
    ion: float,
    h: float,
    ratios: tuple[float, float],
) -> tuple[Metal, ...]:
    """Calcium and magnesium; ``ratios`` are bicarbonate and carbonate over carbon dioxide.

    ``ion`` is the activity coefficient of an ion of one charge, ``h`` the activity of H.
    Valid for 0 to 50 °C and an ionic strength up to 0.5 mol/L. Source: davies-1962.

    >>> found = metals(
    ...     calcium_mol_l=0.001, magnesium_mol_l=0.0, temp_c=25.0, ion=1.0, h=1e-8, ratios=(45, 0.2)
    ... )
    >>> round(found[0].free(0.00004) * 1000, 3)
    0.965
    """
    totals = (calcium_mol_l, magnesium_mol_l)
    return tuple(
        Metal(
            total=total,
            hydroxide=k.hydroxide * ion**3 / h,
            by_bicarbonate=k.bicarbonate * ion**4 * ratios[0],
            by_carbonate=k.carbonate * ion**8 * ratios[1],
        )
        for total, k in zip(totals, at_no_strength(temp_c=temp_c), strict=True)
    )


def co2_of_total(
    total: float, *, weights: tuple[float, float, float], held: Sequence[Metal]
) -> float:
    """The carbon dioxide for which the weighted sum of carbon, pairs with it, comes to ``total``.

    ``weights`` are what a mole of carbon dioxide counts for together with the free bicarbonate
    and carbonate beside it, and what a mole of each pair counts for: (1 + both ratios, 1, 1) for
    carbon, their charges for alkalinity. The sum grows evenly with carbon dioxide, so Newton's
    steps close in from one side after the first. Valid for totals above nought.
    Source: common-practice (textbook root finding).

    >>> metal = Metal(total=0.001, hydroxide=0.0, by_bicarbonate=580.0, by_carbonate=350.0)
    >>> co2 = co2_of_total(0.002, weights=(46.0, 1.0, 1.0), held=[metal])
    >>> round(46 * co2 + 930 * co2 * metal.free(co2), 9)
    0.002
    """
    free_weight, one, two = weights
    co2 = total / free_weight
    for _ in range(MOST_ROUNDS):
        value, slope = free_weight * co2 - total, free_weight
        for metal in held:
            pulled = one * metal.by_bicarbonate + two * metal.by_carbonate
            free = metal.free(co2)
            value += pulled * co2 * free
            slope += pulled * free * metal.share_left(co2)
        before, co2 = co2, max(0.0, co2 - value / slope)
        if abs(co2 - before) <= CLOSE_ENOUGH * co2:
            break
    return co2
