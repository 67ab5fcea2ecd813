"""Time and speed of water on its way through a vessel."""

import math


def retention_min(*, volume_l: float, flow_l_h: float) -> float:
    """The mean time water stays in a vessel, V/Q.

    Valid for any volume and flow above zero. Source: boyd-2012; sedimentation-textbook.

    >>> retention_min(volume_l=200.0, flow_l_h=1500.0)
    8.0
    """
    return volume_l / flow_l_h * 60


def circle_area_m2(*, diameter_m: float) -> float:
    """The area of a circle.

    Valid for any diameter. Source: geometry.

    >>> round(circle_area_m2(diameter_m=0.57), 4)
    0.2552
    """
    return math.pi * diameter_m**2 / 4


def overflow_rate_m_h(*, flow_l_h: float, area_m2: float) -> float:
    """Flow over plan area: how fast water rises, so what sinks slower is not caught.

    Valid for any flow and area above zero; depth does not matter. Source: sedimentation-textbook.

    >>> round(overflow_rate_m_h(flow_l_h=1500.0, area_m2=0.2552), 2)
    5.88
    """
    return flow_l_h / 1000 / area_m2


def depth_m(*, volume_l: float, area_m2: float) -> float:
    """The depth of water in an upright vessel.

    Valid for straight walls. Source: geometry.

    >>> round(depth_m(volume_l=200.0, area_m2=0.2552), 2)
    0.78
    """
    return volume_l / 1000 / area_m2
