"""How fast solids sink, and the smallest that a settler catches."""

import math
from dataclasses import dataclass

from .hydraulics import overflow_rate_m_h, retention_min
from .water import density_kg_m3, kinematic_viscosity_m2_s

GRAVITY_M_S2 = 9.80665
SMOOTH_SPHERE = 0.4
NATURAL_GRAIN = 1.0


def settling_velocity_mm_s(
    *,
    diameter_mm: float,
    particle_density_kg_m3: float,
    water_density_kg_m3: float,
    kinematic_viscosity_m2_s: float,
    c2: float = SMOOTH_SPHERE,
) -> float:
    """The speed at which one particle sinks in still water.

    Valid for particles heavier than water, to 10 mm; c2 0.4 for smooth spheres, 1.0 for natural
    grains, 0 gives the law of Stokes. Source: ferguson-church-2004, with C1 = 18.

    >>> round(settling_velocity_mm_s(diameter_mm=0.5, particle_density_kg_m3=1050.0,
    ...     water_density_kg_m3=997.05, kinematic_viscosity_m2_s=8.926e-7), 2)
    6.36
    """
    excess = (particle_density_kg_m3 - water_density_kg_m3) / water_density_kg_m3
    if excess <= 0:
        raise ValueError(
            f"particle_density_kg_m3 is {particle_density_kg_m3}; "
            f"it must be above that of the water, {water_density_kg_m3}."
        )
    metres = diameter_mm / 1000
    pull = excess * GRAVITY_M_S2
    drag = 18 * kinematic_viscosity_m2_s + math.sqrt(0.75 * c2 * pull * metres**3)
    return pull * metres**2 / drag * 1000


def smallest_caught_mm(
    *,
    overflow_mm_s: float,
    particle_density_kg_m3: float,
    water_density_kg_m3: float,
    kinematic_viscosity_m2_s: float,
    largest_mm: float = 10.0,
) -> float | None:
    """The size that sinks just as fast as the water rises; None when it is above ``largest_mm``.

    Valid for smooth spheres heavier than water. Source: ferguson-church-2004, turned round by
    halving the interval 60 times.

    >>> round(smallest_caught_mm(overflow_mm_s=1.63285, particle_density_kg_m3=1050.0,
    ...     water_density_kg_m3=997.05, kinematic_viscosity_m2_s=8.926e-7), 3)
    0.234
    """

    def sinks_in_time(diameter_mm: float) -> bool:
        speed = settling_velocity_mm_s(
            diameter_mm=diameter_mm,
            particle_density_kg_m3=particle_density_kg_m3,
            water_density_kg_m3=water_density_kg_m3,
            kinematic_viscosity_m2_s=kinematic_viscosity_m2_s,
        )
        return speed >= overflow_mm_s

    if not sinks_in_time(largest_mm):
        return None
    lost, caught = 0.0, largest_mm
    for _ in range(60):
        middle = (lost + caught) / 2
        lost, caught = (lost, middle) if sinks_in_time(middle) else (middle, caught)
    return caught


@dataclass(frozen=True)
class Settlers:
    """Equal vessels, side by side or in series, and the water that goes through them.

    Valid for upright vessels with even flow. Source: sedimentation-textbook; boyd-2012.

    >>> pair = Settlers(flow_l_h=1500.0, volume_l=200.0, area_m2=0.25518, vessels=2, parallel=True,
    ...     temp_c=20.0, particle_kg_m3=1050.0)
    >>> pair.minutes_each, round(pair.rise_m_h, 2)
    (16.0, 2.94)
    """

    flow_l_h: float
    volume_l: float
    area_m2: float
    vessels: int
    parallel: bool
    temp_c: float
    particle_kg_m3: float

    @property
    def flow_each_l_h(self) -> float:
        """The flow through one vessel."""
        return self.flow_l_h / self.vessels if self.parallel else self.flow_l_h

    @property
    def minutes_each(self) -> float:
        """The retention time of one vessel."""
        return retention_min(volume_l=self.volume_l, flow_l_h=self.flow_each_l_h)

    @property
    def minutes_total(self) -> float:
        """The retention time of all vessels together."""
        return retention_min(volume_l=self.volume_l * self.vessels, flow_l_h=self.flow_l_h)

    @property
    def rise_m_h(self) -> float:
        """The overflow rate of one vessel."""
        return overflow_rate_m_h(flow_l_h=self.flow_each_l_h, area_m2=self.area_m2)

    @property
    def smallest_mm(self) -> float | None:
        """The smallest particle that sinks as fast as the water rises."""
        return smallest_caught_mm(
            overflow_mm_s=self.rise_m_h / 3.6,
            particle_density_kg_m3=self.particle_kg_m3,
            water_density_kg_m3=density_kg_m3(temp_c=self.temp_c),
            kinematic_viscosity_m2_s=kinematic_viscosity_m2_s(temp_c=self.temp_c),
        )

    def needed(self, rise_m_h: float) -> int:
        """How many of these vessels side by side bring the overflow rate down to ``rise_m_h``."""
        alone = overflow_rate_m_h(flow_l_h=self.flow_l_h, area_m2=self.area_m2)
        return max(1, math.ceil(alone / rise_m_h - 1e-9))
