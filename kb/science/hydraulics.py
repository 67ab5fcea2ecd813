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


def turnovers_per_h(*, volume_l: float, flow_l_h: float) -> float:
    """How many times an hour the flow would fill the vessel, Q/V.

    Valid for any volume above zero. Source: fao-589 (the term); arithmetic.

    >>> turnovers_per_h(volume_l=1000.0, flow_l_h=1500.0)
    1.5
    """
    return flow_l_h / volume_l


def velocity_m_s(*, flow_l_h: float, bore_m: float) -> float:
    """The mean speed of water in a full round pipe.

    Valid for any flow and a bore above zero. Source: geometry.

    >>> round(velocity_m_s(flow_l_h=1500.0, bore_m=0.025), 3)
    0.849
    """
    return flow_l_h / 3.6e6 / circle_area_m2(diameter_m=bore_m)


def bore_for_velocity_m(*, flow_l_h: float, velocity_m_s: float) -> float:
    """The inside diameter at which a full pipe runs at that speed.

    Valid for any flow and speed above zero. Source: geometry.

    >>> round(bore_for_velocity_m(flow_l_h=1500.0, velocity_m_s=0.7), 4)
    0.0275
    """
    return math.sqrt(flow_l_h / 3.6e6 / velocity_m_s * 4 / math.pi)
