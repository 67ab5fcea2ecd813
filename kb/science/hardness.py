"""Hardness: what calcium and magnesium come to as calcium carbonate, and back."""

from .substances import ATOMIC_WEIGHTS, BASES

CACO3_G_MOL = BASES["calcium-carbonate"].molar_mass
CALCIUM_SHARE = ATOMIC_WEIGHTS["Ca"] / CACO3_G_MOL
MAGNESIUM_SHARE = ATOMIC_WEIGHTS["Mg"] / CACO3_G_MOL


def total_mg_l(*, calcium_mg_l: float, magnesium_mg_l: float) -> float:
    """The general hardness, as CaCO3, of calcium and magnesium together.

    Valid for fresh water. Source: iupac-atomic-weights.

    >>> round(total_mg_l(calcium_mg_l=20.0, magnesium_mg_l=5.0), 1)
    70.5
    """
    return calcium_mg_l / CALCIUM_SHARE + magnesium_mg_l / MAGNESIUM_SHARE


def calcium_mg_l(*, hardness_mg_l: float) -> float:
    """The calcium in a general hardness (as CaCO3) if there is no magnesium in it.

    Valid for fresh water. Source: iupac-atomic-weights.

    >>> round(calcium_mg_l(hardness_mg_l=100.0), 1)
    40.0
    """
    return hardness_mg_l * CALCIUM_SHARE
