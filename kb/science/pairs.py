"""Ion pairs: calcium and magnesium held by bicarbonate, carbonate and hydroxide."""

from collections.abc import Sequence
from math import log10
from typing import NamedTuple

from .activity import KELVIN

MOST_ROUNDS = 50
CLOSE_ENOUGH = 1e-13  # of the carbon dioxide
REFERENCE_K = 298.15
VAN_T_HOFF = 8.314462618 * 2.302585093  # J/mol/K, for log10


class PairConstants(NamedTuple):
    """How strongly one metal is held: constants for concentrations and the activity of H."""

    bicarbonate: float
    carbonate: float
    hydroxide: float


class Metal(NamedTuple):
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


def calcium_pairs(*, temp_c: float, log_k2: float) -> PairConstants:
    """The constants of calcium at no ionic strength; ``log_k2`` is that of carbonic acid.

    Valid for 0 to 50 °C. Source: plummer-busenberg-1982; phreeqc for the hydroxide.

    >>> found = calcium_pairs(temp_c=25.0, log_k2=-10.329)
    >>> round(log10(found.bicarbonate), 2), round(log10(found.carbonate), 2)
    (1.11, 3.23)
    """
    t = temp_c + KELVIN
    first = 1317.0071 + 0.34546894 * t - 39916.84 / t - 517.70761 * log10(t) + 563713.9 / t**2
    second = -1228.732 - 0.299440 * t + 35512.75 / t + 485.818 * log10(t)
    return PairConstants(10 ** (first + log_k2), 10**second, 10**-12.78)


def magnesium_pairs(*, temp_c: float, log_k2: float) -> PairConstants:
    """The constants of magnesium at no ionic strength; ``log_k2`` is that of carbonic acid.

    Valid for 0 to 50 °C. Source: phreeqc, database phreeqc.dat.

    >>> found = magnesium_pairs(temp_c=25.0, log_k2=-10.329)
    >>> round(log10(found.bicarbonate), 2), round(log10(found.carbonate), 2)
    (1.07, 2.98)
    """
    t = temp_c + KELVIN
    first = 48.6721 + 0.03252849 * t - 2614.335 / t - 18.00263 * log10(t) + 563713.9 / t**2
    hydroxide = -11.44 + 15_952 * 4.184 / VAN_T_HOFF * (1 / REFERENCE_K - 1 / t)
    return PairConstants(10 ** (first + log_k2), 10 ** (0.9910 + 0.00667 * t), 10**hydroxide)


def corrected_pairs(at_zero: PairConstants, *, ion: float) -> PairConstants:
    """The constants for concentrations, ``ion`` being the activity coefficient of one charge.

    Valid for an ionic strength up to 0.5 mol/L. Source: davies-1962.

    >>> corrected_pairs(PairConstants(10.0, 1000.0, 1e-12), ion=0.5)
    PairConstants(bicarbonate=0.625, carbonate=3.90625, hydroxide=1.25e-13)
    """
    bicarbonate, carbonate, hydroxide = at_zero
    return PairConstants(bicarbonate * ion**4, carbonate * ion**8, hydroxide * ion**3)


def metal(
    total: float, k: PairConstants, *, h: float, bicarbonate: float, carbonate: float
) -> Metal:
    """A metal at one pH; ``bicarbonate`` and ``carbonate`` are those over carbon dioxide.

    Valid for 0 to 50 °C. Source: stumm-morgan-1996.

    >>> found = metal(
    ...     0.001, PairConstants(13.0, 1700.0, 1.7e-13), h=1e-8, bicarbonate=45.0, carbonate=0.2
    ... )
    >>> round(found.free(0.00004) * 1000, 3)
    0.964
    """
    return Metal(total, k.hydroxide / h, k.bicarbonate * bicarbonate, k.carbonate * carbonate)


def co2_of_carbon(total: float, *, weight: float, held: Sequence[Metal]) -> float:
    """The carbon dioxide with which carbon, free and in pairs, comes to ``total`` mol/L.

    ``weight`` is the free carbon for each mole of carbon dioxide.
    Valid for totals above nought. Source: common-practice (Newton's steps on a curve that bends
    one way only, so that they close in from one side).

    >>> one = Metal(total=0.001, hydroxide=0.0, by_bicarbonate=580.0, by_carbonate=350.0)
    >>> co2 = co2_of_carbon(0.002, weight=46.0, held=[one])
    >>> round(46 * co2 + 930 * co2 * one.free(co2), 9)
    0.002
    """
    terms = [(m, m.by_bicarbonate + m.by_carbonate, 0.0) for m in held]
    return _newton(total, weight, terms)


def co2_of_alkalinity(total: float, *, weight: float, held: Sequence[Metal]) -> float:
    """The carbon dioxide with which carbonate alkalinity comes to ``total`` eq/L.

    ``weight`` is the free alkalinity for each mole of carbon dioxide; ``total`` is what comes on
    top of the alkalinity without any carbon, the metals' hydroxide among it.
    Valid for totals above nought. Source: common-practice, as ``co2_of_carbon``.

    >>> one = Metal(total=0.001, hydroxide=0.0, by_bicarbonate=580.0, by_carbonate=350.0)
    >>> co2 = co2_of_alkalinity(0.002, weight=46.0, held=[one])
    >>> round(46 * co2 + 1280 * co2 * one.free(co2), 9)
    0.002
    """
    terms = [(m, m.by_bicarbonate + 2 * m.by_carbonate, m.hydroxide) for m in held]
    return _newton(total, weight, terms)


def _newton(total: float, weight: float, terms: Sequence[tuple[Metal, float, float]]) -> float:
    """Where weight x co2 + what the metals add, each counted as (start + pull x co2), is total."""
    co2 = total / weight
    for _ in range(MOST_ROUNDS):
        value, slope = weight * co2 - total, weight
        for held, pull, start in terms:
            loose, bound = 1 + held.hydroxide, held.by_bicarbonate + held.by_carbonate
            spread = loose + bound * co2
            value += held.total * ((start + pull * co2) / spread - start / loose)
            slope += held.total * (pull * loose - bound * start) / spread**2
        before, co2 = co2, max(0.0, co2 - value / slope)
        if abs(co2 - before) <= CLOSE_ENOUGH * co2:
            break
    return co2
