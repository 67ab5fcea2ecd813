"""Friction in full round pipes: what height it costs to push water through."""

import math
from dataclasses import dataclass
from functools import cached_property

from .hydraulics import velocity_m_s
from .solids import GRAVITY_M_S2
from .water import kinematic_viscosity_m2_s

LAMINAR_END = 2040.0  # avila-2011: above it, turbulence outlives its decay
TURBULENT_START = 4000.0  # colebrook-1939, as engineers draw it
ROUGHEST = 0.05  # of the bore; moody-1944 draws no further
MOST_ROUNDS = 60
CLOSE_ENOUGH = 1e-12


def friction_factor(*, reynolds: float, relative_roughness: float) -> float:
    """The friction factor of Darcy: 64/Re in smooth-running flow, else by Colebrook's formula.

    Between 2040 and 4000 the turbulent value is given, which is the higher one.
    Valid for Re above 0 and a roughness of 0 to 0.05 of the bore.
    Source: colebrook-1939, solved by repetition to 1e-12; avila-2011.

    >>> round(friction_factor(reynolds=21140.0, relative_roughness=6e-5), 4)
    0.0257
    """
    _check(reynolds, relative_roughness)
    if reynolds <= LAMINAR_END:
        return 64 / reynolds
    rough, thick = relative_roughness / 3.7, 2.51 / reynolds
    inverse_root = 5.0  # each round brings it at least four times nearer
    for _ in range(MOST_ROUNDS):
        before, inverse_root = inverse_root, -2 * math.log10(rough + thick * inverse_root)
        if abs(inverse_root - before) <= CLOSE_ENOUGH * inverse_root:
            break
    return 1 / inverse_root**2


def head_loss_m(
    *, velocity_m_s: float, bore_m: float, length_m: float, friction: float, fittings_k: float = 0.0
) -> float:
    """The height of water lost to friction in pipe and fittings, (f L/D + K) v²/2g.

    Valid for a full pipe. Source: moody-1944 (equation of Darcy and Weisbach).

    >>> round(head_loss_m(velocity_m_s=0.8488, bore_m=0.025, length_m=5.0, friction=0.0257), 2)
    0.19
    """
    speed_head = velocity_m_s**2 / (2 * GRAVITY_M_S2)
    return (friction * length_m / bore_m + fittings_k) * speed_head


@dataclass(frozen=True)
class Pipe:
    """A full round pipe with water running through it."""

    flow_l_h: float
    bore_m: float
    length_m: float
    fittings_k: float
    roughness_m: float
    temp_c: float

    @property
    def velocity(self) -> float:
        """The mean speed of the water, in m/s."""
        return velocity_m_s(flow_l_h=self.flow_l_h, bore_m=self.bore_m)

    @property
    def speed_head(self) -> float:
        """The height that falling water needs to reach this speed, v²/2g, in m."""
        return self.velocity**2 / (2 * GRAVITY_M_S2)

    @property
    def viscosity(self) -> float:
        """The kinematic viscosity of the water, in m²/s."""
        return kinematic_viscosity_m2_s(temp_c=self.temp_c)

    @property
    def reynolds(self) -> float:
        """The Reynolds number, v D/ν."""
        return self.velocity * self.bore_m / self.viscosity

    @cached_property
    def friction(self) -> float:
        """The friction factor of Darcy."""
        return friction_factor(
            reynolds=self.reynolds, relative_roughness=self.roughness_m / self.bore_m
        )

    @property
    def regime(self) -> str:
        """How the water runs: laminar, transitional or turbulent."""
        if self.reynolds <= LAMINAR_END:
            return "laminar"
        return "transitional" if self.reynolds < TURBULENT_START else "turbulent"

    @property
    def head_loss(self) -> float:
        """The height lost, in m."""
        return self._loss(self.friction)

    @property
    def laminar_head_loss(self) -> float:
        """The height that would be lost if the water ran without eddies, in m."""
        return self._loss(64 / self.reynolds)

    def _loss(self, friction: float) -> float:
        return head_loss_m(
            velocity_m_s=self.velocity,
            bore_m=self.bore_m,
            length_m=self.length_m,
            friction=friction,
            fittings_k=self.fittings_k,
        )


def _check(reynolds: float, relative_roughness: float) -> None:
    if not reynolds > 0 or not math.isfinite(reynolds):
        raise ValueError(f"reynolds is {reynolds}; it must be above 0.")
    if not 0 <= relative_roughness <= ROUGHEST * (1 + 1e-9):
        raise ValueError(
            f"relative_roughness is {relative_roughness}; it must be from 0 to {ROUGHEST}."
        )
