"""The bank's belief as some thousand equally likely systems, so that any figure has its interval.

The draws use a fixed seed: the same book gives the same figures.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kb.book.bank import (
    ALKALINITY,
    BIAS,
    FIRST_SHARE,
    KIT_LEAST,
    KIT_SHARE,
    PER_FEED,
    REST,
    UNEVEN,
    UNEVEN_LEAST,
    WANDER,
    WANDER_DAYS,
    Posterior,
    co2_of,
)
from kb.book.chemistry import LEAST_ALKALINITY, Array, Gas, alkalinity_of, ph_of
from kb.book.course import SLOW_PER_DAY, Course
from kb.book.model import System

SEED = 5
DRAWS = 4000
LONGEST_DAYS = 365.0
ROUNDS = 12
SOUR_MG_L = 3.0  # common practice: nitrification slackens where next to no buffer is left


@dataclass(frozen=True)
class Draws:
    """Equally likely systems, a row each; ``slow_left`` is mg/L yet to come of slow bases."""

    state: Array
    level: Array
    wander: Array
    noise: Array
    drift: Array
    rate_per_day: Array
    slow_left: Array
    system: System
    walk: Course
    full_per_feed: float

    @property
    def alkalinity(self) -> Array:
        """The alkalinity now, mg/L."""
        return np.maximum(self.state[:, ALKALINITY], LEAST_ALKALINITY)

    @property
    def load_mg_l_day(self) -> Array:
        """The alkalinity used a day at the usual feed, before any dose or top-up."""
        per_feed = self.walk.usual_feed_g * 1000 / self.system.volume_l
        found: Array = self.state[:, PER_FEED] * per_feed + self.state[:, REST]
        return found

    @property
    def net_mg_l_day(self) -> Array:
        """What is used a day less what the usual top-up brings."""
        return self.load_mg_l_day - self.walk.top_up_mg_l_day

    def share(self, substance: str) -> Array:
        """How much of its label's promise a base or acid keeps."""
        found: Array = self.state[:, FIRST_SHARE + self.walk.substances.index(substance)]
        return found

    def co2(self, angle: float, days: float = 0.0) -> Array:
        """The logarithm of carbon dioxide at an hour, the wandering having partly died away."""
        kept = float(np.exp(-days / WANDER_DAYS))
        found = co2_of(self.state, self.level, angle)
        return found - self.state[:, WANDER] * (1 - kept)

    def ph(self, angle: float, k: Gas) -> Array:
        """The pH now."""
        return ph_of(self.alkalinity, self.co2(angle), k).value

    def days_to(self, floor_mg_l: Array) -> Array:
        """The days until the alkalinity is down to a floor when nothing more is dosed."""
        over = self.alkalinity - floor_mg_l
        net = np.maximum(self.net_mg_l_day, 1e-6)
        days = np.clip(over / net, 0.0, LONGEST_DAYS)
        for _ in range(ROUNDS):
            brought = self.slow_left * -np.expm1(-self.rate_per_day * days)
            days = np.clip((over + brought) / net, 0.0, LONGEST_DAYS)
        return days

    def floor_alkalinity(self, angle: float, k: Gas) -> Array:
        """The alkalinity at which pH or alkalinity is at its floor, whichever comes first."""
        at_ph = alkalinity_of(self.system.floor_ph, self.co2(angle, WANDER_DAYS / 2), k)
        return np.maximum(at_ph, self.system.floor_alkalinity)

    def ahead(
        self, days: float, angle: float, k: Gas, doses: Sequence[tuple[float, str, float]]
    ) -> tuple[Array, Array]:
        """What kits would read of pH and alkalinity; doses as (day from now, id, mg/L)."""
        chance = np.random.default_rng(SEED + 1)
        plain = chance.standard_normal((5, len(self.level)))
        load = self.load_mg_l_day
        per_feed = self.walk.usual_feed_g * 1000 / self.system.volume_l
        drift = self.drift * per_feed * np.sqrt(days**3 / 3) * plain[0]
        uneven = np.sqrt(((UNEVEN * load) ** 2 + UNEVEN_LEAST**2) * days) * plain[1]
        slow = self.slow_left * -np.expm1(-self.rate_per_day * days)
        given = self._given(days, doses)
        used = self.net_mg_l_day * days + drift + uneven
        left = self.alkalinity - used + slow + given
        alkalinity = np.maximum(SOUR_MG_L * np.logaddexp(0.0, left / SOUR_MG_L), LEAST_ALKALINITY)
        spread = self.wander * np.sqrt(1 - np.exp(-2 * days / WANDER_DAYS))
        co2 = self.co2(angle, days) + spread * plain[2]
        step = self.walk.ph_step**2 / 12
        ph = ph_of(alkalinity, co2, k).value + np.sqrt(self.noise**2 + step) * plain[3]
        kit = np.hypot(KIT_LEAST + KIT_SHARE * alkalinity, self.walk.alkalinity_step / 12**0.5)
        read = alkalinity + self.state[:, BIAS] + kit * plain[4]
        return ph, np.maximum(read, 0.0)

    def _given(self, days: float, doses: Sequence[tuple[float, str, float]]) -> Array:
        """The alkalinity that planned doses bring by then; what they do to the gas is over."""
        total = np.zeros(len(self.level))
        for day, substance, mg_l in doses:
            if 0 <= day < days:
                known = substance in self.walk.substances
                total += mg_l * (self.share(substance) if known else 1.0)
        return total


def draw(system: System, walk: Course, belief: Posterior, count: int = DRAWS) -> Draws:
    """So many draws from the bank, the members taken by their weight."""
    chance = np.random.default_rng(SEED)
    running = np.cumsum(belief.weight)
    places = (np.arange(count) + chance.random()) / count
    rows = np.searchsorted(running, places * running[-1] * (1 - 1e-12))
    used, inverse = np.unique(rows, return_inverse=True)
    roots = np.stack([_root(belief.spread[row]) for row in used])
    plain = chance.standard_normal((count, belief.mean.shape[1]))
    state = belief.mean[rows] + np.einsum("dij,dj->di", roots[inverse], plain)
    left = np.zeros(count)
    for number in range(len(walk.substances)):
        left += walk.slow_left[belief.rate[rows], number] * state[:, FIRST_SHARE + number]
    return Draws(
        state=state,
        level=belief.level[rows],
        wander=belief.wander[rows],
        noise=belief.noise[rows],
        drift=belief.drift[rows],
        rate_per_day=np.array(SLOW_PER_DAY)[belief.rate[rows]],
        slow_left=left,
        system=system,
        walk=walk,
        full_per_feed=belief.full_per_feed,
    )


def _root(spread: Array) -> Array:
    """A matrix whose square is the covariance, whatever rounding has done to it."""
    values, vectors = np.linalg.eigh((spread + spread.T) / 2)
    found: Array = vectors * np.sqrt(np.maximum(values, 0.0))
    return found
