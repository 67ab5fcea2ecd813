"""PH out of alkalinity and carbon dioxide for many waters at once, with its slopes.

The same constants and Davies activities as ``kb.science.carbonate``, for water without calcium
pairs; only the form differs. With carbonate, bicarbonate and hydroxide counted, 1/H is the root of
a quadratic, so that a season of readings takes no search. Alkalinity is mg/L as CaCO3, carbon
dioxide the natural logarithm of mol/L.
"""

from functools import lru_cache
from math import log
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kb.science.acids import constants
from kb.science.carbonate import CACO3_MG_PER_EQ, CO2_MG_PER_MOL

Array = NDArray[np.float64]
LEAST_ALKALINITY = 0.5  # mg/L: below it neither kit nor formula tells anything
MOST_ALKALINITY = 5000.0
LN10 = log(10.0)
ROUNDS = 3


class Gas(NamedTuple):
    """Dissociation constants at one temperature, at no ionic strength."""

    first: float
    second: float
    water: float
    a: float


class Ph(NamedTuple):
    """PH, and how it goes with alkalinity (a mg/L) and with the logarithm of carbon dioxide."""

    value: Array
    by_alkalinity: Array
    by_co2: Array


@lru_cache(maxsize=512)
def gas(tenths_c: int) -> Gas:
    """The constants at so many tenths of a degree."""
    k = constants(temp_c=tenths_c / 10)
    return Gas(k.carbonic[0], k.carbonic[1], k.water, k.a)


def gas_at(temp_c: float) -> Gas:
    """The constants at a temperature."""
    return gas(round(temp_c * 10))


def ln_co2(mg_l: float) -> float:
    """The logarithm of mol/L that stands for so many mg/L of carbon dioxide."""
    return log(mg_l / CO2_MG_PER_MOL)


def ph_of(alkalinity: Array, co2: Array, k: Gas) -> Ph:
    """The pH of waters with this alkalinity and carbon dioxide."""
    equivalents = np.clip(alkalinity, LEAST_ALKALINITY, MOST_ALKALINITY) / CACO3_MG_PER_EQ
    ion, square, by_bicarbonate, rest = _terms(equivalents, co2, k)
    found = equivalents
    inverse = equivalents
    for _ in range(ROUNDS):  # the free acid counts against the alkalinity: little above pH 5
        inverse = 2 * found / (rest + np.sqrt(rest**2 + 4 * square * found))
        found = equivalents + 1 / (inverse * ion)
    slope = 2 * square * inverse + rest + 1 / (inverse**2 * ion)
    by_gas = square * inverse**2 + by_bicarbonate * inverse
    scale = LN10 * inverse * slope
    return Ph(np.log10(inverse), 1 / (scale * CACO3_MG_PER_EQ), -by_gas / scale)


def alkalinity_of(ph: Array | float, co2: Array, k: Gas) -> Array:
    """The alkalinity that water with this pH and carbon dioxide has."""
    inverse = 10.0 ** np.asarray(ph, dtype=np.float64)
    equivalents = np.full(np.shape(co2), 1e-3)
    for _ in range(3 * ROUNDS):
        ion, square, _by, rest = _terms(equivalents, co2, k)
        equivalents = square * inverse**2 + rest * inverse - 1 / (inverse * ion)
        equivalents = np.clip(
            equivalents, LEAST_ALKALINITY / CACO3_MG_PER_EQ, MOST_ALKALINITY / CACO3_MG_PER_EQ
        )
    return equivalents * CACO3_MG_PER_EQ


def co2_at_once(
    alkalinity: Array, co2: Array, k: Gas, *, added: Array, carbon_per_eq: float
) -> Array:
    """The carbon dioxide right after a base or acid is mixed in, no gas exchanged.

    ``added`` is the alkalinity of the dose in mg/L; what carbon dioxide a hydroxide takes, the fish
    and the filter give back within hours.
    """
    before = np.clip(alkalinity, LEAST_ALKALINITY, MOST_ALKALINITY) / CACO3_MG_PER_EQ
    dose = added / CACO3_MG_PER_EQ
    _ion, square, by_bicarbonate, _rest = _terms(before, co2, k)
    # free carbonate is ratio × bicarbonate² ÷ carbon dioxide; ratio = K2 ÷ K1
    ratio = square * np.exp(co2) / (2 * by_bicarbonate**2)
    bicarbonate = _bicarbonate(before, ratio / np.exp(co2))
    total = np.exp(co2) + (before + bicarbonate) / 2 + carbon_per_eq * dose
    after = np.maximum(before + dose, LEAST_ALKALINITY / CACO3_MG_PER_EQ)
    # with T - A/2 - B/2 = gas and (A - B)/2 = carbonate: ratio B² = gas × carbonate
    half, spare = after / 2, total - after / 2
    one, two, three = ratio - 0.25, (spare + half) / 2, -spare * half
    root = np.sqrt(np.maximum(two**2 - 4 * one * three, 0.0))
    found = np.where(np.abs(one) < 1e-12, -three / two, (root - two) / (2 * one))
    left = np.maximum(spare - found / 2, 0.02 * np.exp(co2))
    return np.log(left)


def _bicarbonate(equivalents: Array, over_gas: Array) -> Array:
    """The bicarbonate of an alkalinity that is bicarbonate and carbonate alone."""
    found: Array = 2 * equivalents / (1 + np.sqrt(1 + 8 * over_gas * equivalents))
    return found


def _terms(equivalents: Array, co2: Array, k: Gas) -> tuple[Array, Array, Array, Array]:
    """Activity coefficient of one charge, and the terms of alkalinity in 1/H² and 1/H."""
    root = np.sqrt(equivalents)  # the ionic strength of a water of sodium bicarbonate
    ion = np.exp(-LN10 * k.a * (root / (1 + root) - 0.3 * equivalents))
    held, one = np.exp(co2), 1 / ion
    by_bicarbonate = held * k.first * one
    square = 2 * held * k.first * k.second * (one * one) ** 2
    return ion, square, by_bicarbonate, by_bicarbonate + k.water * one
