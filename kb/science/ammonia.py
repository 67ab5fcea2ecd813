"""Un-ionised ammonia in fresh water, and the limits published for total ammonia (all as N)."""

import math

COLDEST_C = 0.0
HOTTEST_C = 50.0
CAREFUL_MG_L = 0.02  # un-ionised; common practice: a cautious line
HARM_MG_L = 0.05  # un-ionised; ifas-fa16: gill damage
ACT_MG_L = 1.0  # ksu-2021: total ammonia to act at


def pka(*, temp_c: float) -> float:
    """The pKa of ammonium in fresh water.

    Valid for 0 to 50 °C, no salt. Source: emerson-1975.

    >>> round(pka(temp_c=25.0), 3)
    9.246
    """
    if not COLDEST_C <= temp_c <= HOTTEST_C:
        raise ValueError(f"temp_c is {temp_c}; it must be from {COLDEST_C} to {HOTTEST_C}.")
    return 0.09018 + 2729.92 / (temp_c + 273.15)


def unionised_fraction(*, ph: float, temp_c: float) -> float:
    """The share of total ammonia that is NH3, from 0 to 1.

    Valid for 0 to 50 °C, pH 0 to 14, no salt. Source: emerson-1975.

    >>> round(unionised_fraction(ph=7.9, temp_c=27.0), 4)
    0.0493
    """
    if not 0 <= ph <= 14:
        raise ValueError(f"ph is {ph}; it must be from 0 to 14.")
    return 1 / (1 + 10 ** (pka(temp_c=temp_c) - ph))


def ph_for_fraction(*, fraction: float, temp_c: float) -> float:
    """The pH at which the share of NH3 is ``fraction``; the inverse of unionised_fraction.

    Valid for a fraction between 0 and 1, 0 to 50 °C, no salt. Source: emerson-1975.

    >>> round(ph_for_fraction(fraction=0.0493, temp_c=27.0), 2)
    7.9
    """
    if not 0 < fraction < 1:
        raise ValueError(f"fraction is {fraction}; it must be between 0 and 1.")
    return pka(temp_c=temp_c) - math.log10(1 / fraction - 1)


def epa_acute_mg_l(*, ph: float, temp_c: float, trout_family: bool) -> float:
    """The one-hour limit for total ammonia (criterion maximum concentration), mg N/L.

    Valid for pH 6.5 to 9.0 and 0 to 30 °C; beyond, the same formula goes on. Source: epa-2013,
    acute criterion, with or without fish of the trout and salmon genus Oncorhynchus.

    >>> round(epa_acute_mg_l(ph=7.0, temp_c=20.0, trout_family=False))
    17
    """
    shape = 0.7249 * _by_ph(ph, 7.204, 0.0114, 1.6181)
    mussels = 23.12 * 10 ** (0.036 * (20 - temp_c))
    if trout_family:
        return min(_by_ph(ph, 7.204, 0.275, 39.0), shape * mussels)
    return shape * min(51.93, mussels)


def epa_chronic_mg_l(*, ph: float, temp_c: float) -> float:
    """The thirty-day limit for total ammonia (criterion continuous concentration), mg N/L.

    Valid for pH 6.5 to 9.0 and 0 to 30 °C; beyond, the same formula goes on. Source: epa-2013,
    chronic criterion; it does not rise further below 7 °C.

    >>> round(epa_chronic_mg_l(ph=7.0, temp_c=20.0), 1)
    1.9
    """
    shape = 0.8876 * _by_ph(ph, 7.688, 0.0278, 1.1994)
    return shape * 2.126 * 10 ** (0.028 * (20 - max(temp_c, 7.0)))


def _by_ph(ph: float, middle: float, low: float, high: float) -> float:
    return float(low / (1 + 10 ** (middle - ph)) + high / (1 + 10 ** (ph - middle)))
