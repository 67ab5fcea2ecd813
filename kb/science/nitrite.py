"""Chloride against nitrite: how much holds a given nitrite off, and the salt that brings it."""

from collections.abc import Mapping

from .nitrification import NITROGEN_COMPOUND_G_MOL, NITROGEN_G_MOL
from .substances import ATOMIC_WEIGHTS

NITRITE_G_MOL = NITROGEN_COMPOUND_G_MOL["NO2"]
CHLORIDE_G_MOL = ATOMIC_WEIGHTS["Cl"]
WATER_G_MOL = 2 * ATOMIC_WEIGHTS["H"] + ATOMIC_WEIGHTS["O"]
SALT_G_MOL: Mapping[str, float] = {
    "NaCl": ATOMIC_WEIGHTS["Na"] + CHLORIDE_G_MOL,
    "KCl": ATOMIC_WEIGHTS["K"] + CHLORIDE_G_MOL,
    "CaCl2": ATOMIC_WEIGHTS["Ca"] + 2 * CHLORIDE_G_MOL,
    "CaCl2.2H2O": ATOMIC_WEIGHTS["Ca"] + 2 * CHLORIDE_G_MOL + 2 * WATER_G_MOL,
}
"""Molar masses of the chlorides in use. Source: iupac-atomic-weights."""


def chloride_share(*, compound: str) -> float:
    """The share of chloride in a salt, by mass.

    Valid for the salts in SALT_G_MOL, pure. Source: iupac-atomic-weights.

    >>> round(chloride_share(compound="NaCl"), 3)
    0.607
    """
    count = 2 if compound.startswith("CaCl2") else 1
    return count * CHLORIDE_G_MOL / SALT_G_MOL[compound]


def chloride_to_add_mg_l(
    *, nitrite_mg_l_no2: float, chloride_mg_l: float, ratio: float = 10.0
) -> float:
    """The chloride missing to ``ratio`` times the nitrite (as NO2) by weight; never below 0.

    Valid for fish that chloride protects. Source: catfish-chloride-rule, at least 10 to 1.

    >>> chloride_to_add_mg_l(nitrite_mg_l_no2=2.0, chloride_mg_l=15.0)
    5.0
    """
    return max(0.0, ratio * nitrite_mg_l_no2 - chloride_mg_l)


def salt_g(*, chloride_mg_l: float, volume_l: float, compound: str = "NaCl") -> float:
    """The pure salt that raises the chloride of a volume by so much.

    Valid for the salts in SALT_G_MOL. Source: iupac-atomic-weights.

    >>> round(salt_g(chloride_mg_l=100.0, volume_l=1000.0), 1)
    164.9
    """
    return chloride_mg_l * volume_l / 1000 / chloride_share(compound=compound)


def weight_ratio(*, ions: float) -> float:
    """A ratio of chloride to nitrite ions, as a ratio by weight of Cl to NO2.

    Valid for any ratio. Source: iupac-atomic-weights.

    >>> round(weight_ratio(ions=16.0), 1)
    12.3
    """
    return ions * CHLORIDE_G_MOL / NITRITE_G_MOL


def ratio_to_nitrite(*, ratio_to_nitrogen: float) -> float:
    """A ratio by weight of Cl to nitrite nitrogen, as a ratio of Cl to NO2.

    Valid for any ratio. Source: iupac-atomic-weights.

    >>> round(ratio_to_nitrite(ratio_to_nitrogen=104.0), 1)
    31.7
    """
    return ratio_to_nitrogen * NITROGEN_G_MOL / NITRITE_G_MOL
