"""Taking chlorine out of tap water with thiosulphate, and the ammonia that chloramine leaves."""

from collections.abc import Mapping

from .nitrification import NITROGEN_G_MOL
from .substances import ATOMIC_WEIGHTS

CHLORINE_G_MOL = 2 * ATOMIC_WEIGHTS["Cl"]
THIOSULPHATE_G_MOL = 2 * ATOMIC_WEIGHTS["Na"] + 2 * ATOMIC_WEIGHTS["S"] + 3 * ATOMIC_WEIGHTS["O"]
CRYSTAL_WATER_G_MOL = 5 * (2 * ATOMIC_WEIGHTS["H"] + ATOMIC_WEIGHTS["O"])
PENTAHYDRATE_G_MOL = THIOSULPHATE_G_MOL + CRYSTAL_WATER_G_MOL
PER_CHLORINE: Mapping[str, float] = {"tetrathionate": 2.0, "sulphate": 0.25}
"""Moles of thiosulphate a mole of chlorine, by what it turns into. Source: thiosulphate-note."""
PLANNING_MG = 7.0  # thiosulphate-note, pentahydrate: tetrathionate, the most it can take
LEAST_MG = 2.0  # dechlorination-field-guide has 1.9 at pH 7; the range in use is 2 to 7


def reducer_mg_per_mg(*, molar_mass_g_mol: float, moles: float) -> float:
    """The reducer that one milligram of chlorine takes, from moles of it a mole of chlorine.

    Valid for any reducer. Source: iupac-atomic-weights.

    >>> moles = PER_CHLORINE["tetrathionate"]
    >>> round(reducer_mg_per_mg(molar_mass_g_mol=PENTAHYDRATE_G_MOL, moles=moles), 2)
    7.0
    """
    return moles * molar_mass_g_mol / CHLORINE_G_MOL


def thiosulphate_g(
    *, volume_l: float, chlorine_mg_l: float, mg_per_mg: float = PLANNING_MG
) -> float:
    """The sodium thiosulphate pentahydrate that takes the chlorine out of a volume of water.

    Valid for free chlorine and chloramine, both as Cl2. Source: thiosulphate-note, 7.0 mg a mg.

    >>> thiosulphate_g(volume_l=200.0, chlorine_mg_l=2.0)
    2.8
    """
    return volume_l * chlorine_mg_l * mg_per_mg / 1000


def ammonia_released_mg_l(*, chloramine_mg_l: float) -> float:
    """The ammonia (as N) that monochloramine leaves when its chlorine (as Cl2) is taken out.

    Valid for monochloramine, one N a Cl2. Source: iupac-atomic-weights.

    >>> round(ammonia_released_mg_l(chloramine_mg_l=1.0), 3)
    0.198
    """
    return chloramine_mg_l * NITROGEN_G_MOL / CHLORINE_G_MOL
