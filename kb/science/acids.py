"""Dissociation constants of the weak acids in the water, at no ionic strength and corrected."""

from dataclasses import dataclass
from functools import lru_cache
from math import log10

from .activity import KELVIN, debye_huckel_a, log_coefficient
from .ammonia import pka as ammonium_pka
from .pairs import PairConstants, calcium_pairs, corrected_pairs, magnesium_pairs

GAS_CONSTANT = 8.314462618  # J/mol/K
JOULES_PER_CALORIE = 4.184
REFERENCE_K = 298.15


@dataclass(frozen=True)
class Constants:
    """The constants of one temperature; mol/L, gas constant mol/L/atm, ``a`` of Debye-Hückel.

    ``first`` to ``third`` belong to phosphoric and citric acid, ``ammonium`` is used with the pH
    as it is read, whatever the ionic strength.
    """

    gas: float
    carbonic: tuple[float, float]
    water: float
    phosphoric: tuple[float, float, float]
    bisulphate: float
    citric: tuple[float, float, float]
    ammonium: float
    a: float
    calcium: PairConstants
    magnesium: PairConstants
    ion: float = 1.0  # activity coefficient of an ion of one charge


@lru_cache(maxsize=512)
def constants(*, temp_c: float) -> Constants:
    """All constants at no ionic strength.

    Valid for 0 to 50 °C. Source: plummer-busenberg-1982 (carbonic acid, solubility of the gas),
    phreeqc (water, phosphoric acid, bisulphate), benezeth-1997 (citric acid), emerson-1975
    (ammonium).

    >>> round(-log10(constants(temp_c=25.0).carbonic[0]), 3)
    6.352
    """
    log_k2 = _log_k2(temp_c)
    return Constants(
        gas=10 ** _log_gas(temp_c),
        carbonic=(10 ** _log_k1(temp_c), 10**log_k2),
        calcium=calcium_pairs(temp_c=temp_c, log_k2=log_k2),
        magnesium=magnesium_pairs(temp_c=temp_c, log_k2=log_k2),
        water=10 ** _log_water(temp_c),
        phosphoric=_phosphoric(temp_c),
        bisulphate=10 ** -_log_bisulphate(temp_c),
        citric=_citric(temp_c),
        ammonium=10 ** -ammonium_pka(temp_c=temp_c),
        a=debye_huckel_a(temp_c=temp_c),
    )


def corrected(at_zero: Constants, *, ionic_strength: float) -> Constants:
    """The constants for ``activity of H x concentrations of the rest`` at an ionic strength.

    Valid for an ionic strength up to 0.5 mol/L. Source: davies-1962.

    >>> round(-log10(corrected(constants(temp_c=25.0), ionic_strength=0.01).carbonic[0]), 3)
    6.307
    """
    log_ion = log_coefficient(ionic_strength=ionic_strength, a=at_zero.a)
    one, three, five = 10**-log_ion, 10 ** (-3 * log_ion), 10 ** (-5 * log_ion)
    k1, k2 = at_zero.carbonic
    p1, p2, p3 = at_zero.phosphoric
    c1, c2, c3 = at_zero.citric
    return Constants(
        gas=at_zero.gas,
        carbonic=(k1 * one, k2 * three),
        water=at_zero.water * one,
        phosphoric=(p1 * one, p2 * three, p3 * five),
        bisulphate=at_zero.bisulphate * three,
        citric=(c1 * one, c2 * three, c3 * five),
        ammonium=at_zero.ammonium,
        a=at_zero.a,
        calcium=corrected_pairs(at_zero.calcium, ion=10**log_ion),
        magnesium=corrected_pairs(at_zero.magnesium, ion=10**log_ion),
        ion=10**log_ion,
    )


def _log_k1(temp_c: float) -> float:
    t = temp_c + KELVIN
    return -356.3094 - 0.06091964 * t + 21834.37 / t + 126.8339 * log10(t) - 1684915 / t**2


def _log_k2(temp_c: float) -> float:
    t = temp_c + KELVIN
    return -107.8871 - 0.03252849 * t + 5151.79 / t + 38.92561 * log10(t) - 563713.9 / t**2


def _log_gas(temp_c: float) -> float:
    t = temp_c + KELVIN
    return 108.3865 + 0.01985076 * t - 6919.53 / t - 40.45154 * log10(t) + 669365 / t**2


def _log_water(temp_c: float) -> float:
    t = temp_c + KELVIN
    curve = 293.29227 + 0.1360833 * t - 10576.913 / t - 123.73158 * log10(t)
    return curve - 6.996455e-5 * t**2


def _log_bisulphate(temp_c: float) -> float:
    t = temp_c + KELVIN
    return -56.889 + 0.006473 * t + 2307.9 / t + 19.8858 * log10(t)


def _phosphoric(temp_c: float) -> tuple[float, float, float]:
    # phreeqc.dat writes the acids as PO4 taking up one, two and three protons
    one = 12.346 + _shift(-3530 * JOULES_PER_CALORIE, temp_c)
    two = 19.553 + _shift(-4520 * JOULES_PER_CALORIE, temp_c)
    three = 21.721 + _shift(-10100, temp_c)
    return 10 ** (two - three), 10 ** (one - two), 10**-one


def _citric(temp_c: float) -> tuple[float, float, float]:
    pairs = ((-3.127, 4100), (-4.759, 2200), (-6.397, -3600))
    first, second, third = (10 ** (log_k + _shift(heat, temp_c)) for log_k, heat in pairs)
    return first, second, third


def _shift(heat_j_mol: float, temp_c: float) -> float:
    """What a heat of reaction adds to a log10 constant known at 25 °C (van 't Hoff)."""
    gap = 1 / REFERENCE_K - 1 / (temp_c + KELVIN)
    return heat_j_mol / (GAS_CONSTANT * 2.302585093) * gap
