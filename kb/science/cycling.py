"""Ammonia for starting a filter without fish: how much solution or salt brings a given nitrogen."""

from itertools import pairwise

from .nitrification import NITROGEN_COMPOUND_G_MOL, NITROGEN_G_MOL
from .substances import ATOMIC_WEIGHTS, WATER_G_ML

STRONGEST_PERCENT = 30.0  # where the table of densities ends
AMMONIUM_CHLORIDE_G_MOL = NITROGEN_G_MOL + 4 * ATOMIC_WEIGHTS["H"] + ATOMIC_WEIGHTS["Cl"]
_DENSITIES = (
    (0.0, WATER_G_ML), (1.0, 0.9938), (5.0, 0.977), (10.0, 0.9575), (20.0, 0.9228), (30.0, 0.892),
)  # fmt: skip


def solution_density_g_ml(*, strength_percent: float) -> float:
    """The density of ammonia in water at 20 °C, by its strength in percent NH3 by mass.

    Straight lines between the points of the table; less than 0.1 % off between them.
    Valid for 0 to 30 %. Source: ammonia-density-table.

    >>> round(solution_density_g_ml(strength_percent=9.5), 3)
    0.959
    """
    if not 0 <= strength_percent <= STRONGEST_PERCENT:
        raise ValueError(f"strength_percent is {strength_percent}; it must be from 0 to 30.")
    points = next(pair for pair in pairwise(_DENSITIES) if strength_percent <= pair[1][0])
    (low, light), (high, lighter) = points
    return light + (lighter - light) * (strength_percent - low) / (high - low)


def nitrogen_g(*, rise_mg_l: float, volume_l: float) -> float:
    """The nitrogen that raises the total ammonia of a volume by so much (as N).

    Valid for any volume. Source: none, arithmetic.

    >>> nitrogen_g(rise_mg_l=2.0, volume_l=1000.0)
    2.0
    """
    return rise_mg_l * volume_l / 1000


def ammonium_chloride_g(*, nitrogen_g: float, strength_percent: float = 100.0) -> float:
    """The ammonium chloride that holds so much nitrogen.

    Valid for strengths above 0 %. Source: iupac-atomic-weights, 3.82 g a gram of N.

    >>> round(ammonium_chloride_g(nitrogen_g=2.0), 2)
    7.64
    """
    return nitrogen_g * AMMONIUM_CHLORIDE_G_MOL / NITROGEN_G_MOL / (strength_percent / 100)


def ammonia_solution_g(*, nitrogen_g: float, strength_percent: float) -> float:
    """The ammonia solution that holds so much nitrogen, its strength in percent NH3 by mass.

    Valid for strengths above 0 %. Source: iupac-atomic-weights.

    >>> round(ammonia_solution_g(nitrogen_g=2.0, strength_percent=10.0), 2)
    24.32
    """
    ammonia = nitrogen_g * NITROGEN_COMPOUND_G_MOL["NH3"] / NITROGEN_G_MOL
    return ammonia / (strength_percent / 100)


def ammonia_solution_ml(
    *, nitrogen_g: float, strength_percent: float, density_g_ml: float
) -> float:
    """The same by volume.

    Valid for strengths above 0 %. Source: iupac-atomic-weights.

    >>> round(ammonia_solution_ml(nitrogen_g=2.0, strength_percent=10.0, density_g_ml=0.957), 1)
    25.4
    """
    grams = ammonia_solution_g(nitrogen_g=nitrogen_g, strength_percent=strength_percent)
    return grams / density_g_ml
