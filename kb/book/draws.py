"""The bank's belief as some thousand equally likely systems, so that any figure has its interval.

The draws use a fixed seed: the same book gives the same figures.
"""

from dataclasses import dataclass, replace

import numpy as np

from kb.book.bank import (
    ALKALINITY,
    FIRST_SHARE,
    PER_FEED,
    REST,
    WANDER,
    WANDER_DAYS,
    Posterior,
    co2_of,
)
from kb.book.chemistry import LEAST_ALKALINITY, Array, Gas, ph_of
from kb.book.course import SLOW_PER_DAY, Course
from kb.book.model import System

SEED = 5
DRAWS = 3000


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

    def fewer(self, every: int) -> "Draws":
        """Every so many of them, for a question that is asked over and over."""
        rows = {
            name: getattr(self, name)[::every]
            for name in ("state", "level", "wander", "noise", "drift", "rate_per_day", "slow_left")
        }
        return replace(self, **rows)

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
