"""How much water an upright overflow pipe takes: over its rim at first, then as a hole."""

import math

from .hydraulics import circle_area_m2
from .solids import GRAVITY_M_S2

WEIR = 0.414  # riser-outlet-note
ORIFICE = 0.6  # riser-outlet-note
USBR_SHARE = 0.37  # usbr-vertical-pipe: the same change, in bores


def changeover_m(*, bore_m: float) -> float:
    """The water over the lip at which the rim stops ruling the flow and the hole begins to.

    Valid for an open upright pipe. Source: riser-outlet-note, Cd (D/4)/0.414 = 0.36 D.

    >>> round(changeover_m(bore_m=0.05), 4)
    0.0181
    """
    return ORIFICE * bore_m / 4 / WEIR


def overflow_l_h(*, bore_m: float, water_over_lip_m: float) -> float:
    """What an open upright pipe takes at that depth of water over its lip.

    Valid for a free outlet: no vortex, air lock, screen or long level run. Both formulas give the
    same where they meet. Source: riser-outlet-note.

    >>> round(overflow_l_h(bore_m=0.05, water_over_lip_m=0.01))
    1037
    """
    return (weir_l_h if ruled_by_rim(bore_m=bore_m, head_m=water_over_lip_m) else orifice_l_h)(
        bore_m=bore_m, head_m=water_over_lip_m
    )


def ruled_by_rim(*, bore_m: float, head_m: float) -> bool:
    """Is the water still so shallow that it falls over the rim?

    Valid for an open upright pipe. Source: riser-outlet-note.

    >>> ruled_by_rim(bore_m=0.05, head_m=0.01)
    True
    """
    return head_m <= changeover_m(bore_m=bore_m)


def weir_l_h(*, bore_m: float, head_m: float) -> float:
    """The flow over the round rim, 0.414 √(2g) π D H^1.5.

    Valid up to ``changeover_m``. Source: riser-outlet-note.

    >>> round(weir_l_h(bore_m=0.05, head_m=0.01))
    1037
    """
    metres3_s = WEIR * math.sqrt(2 * GRAVITY_M_S2) * math.pi * bore_m * head_m**1.5
    return float(metres3_s * 3.6e6)


def orifice_l_h(*, bore_m: float, head_m: float) -> float:
    """The flow through the drowned mouth, 0.6 A √(2 g H).

    Valid from ``changeover_m`` up. Source: riser-outlet-note.

    >>> round(orifice_l_h(bore_m=0.05, head_m=0.04))
    3757
    """
    area = circle_area_m2(diameter_m=bore_m)
    return ORIFICE * area * math.sqrt(2 * GRAVITY_M_S2 * head_m) * 3.6e6
