"""The filter: a bank of extended Kalman filters, weighed by how well each foretold the readings.

Each member takes the carbon dioxide level, its wandering, the noise of the pH kit, the drift of
the load and the rate at which slow bases dissolve as given; the bank lays a grid over these, and
the weight of a member is its share of the likelihood (Magill 1965: multiple models). Within a
member, alkalinity is a mass balance that is linear in all it estimates, and pH is taken as
straight about the present state (Jazwinski 1970). A reading may be false: each counts by the
probability that it is not, as in probabilistic data association (Bar-Shalom & Fortmann 1988).

The state: alkalinity (mg/L), the wandering of ln carbon dioxide, alkalinity used a gram of feed,
alkalinity used a day besides, two parts of a daily swing, the bias of the alkalinity kit,
and of each base or acid the share of what its label promises.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from math import cos, pi, sin, sqrt

import numpy as np

from kb.book.chemistry import (
    LEAST_ALKALINITY,
    LN10,
    Array,
    Ph,
    alkalinity_of,
    co2_at_once,
    gas_at,
    ln_co2,
    ph_of,
)
from kb.book.course import SLOW, SLOW_PER_DAY, UNSURE_SPOON, Course, Tick
from kb.book.model import System
from kb.science.nitrification import ALKALINITY_PER_N, AMMONIA_PER_PROTEIN

ALKALINITY, WANDER, PER_FEED, REST, SWING_COS, SWING_SIN, BIAS, FIRST_SHARE = range(8)

LEVELS_MG_L = tuple(float(x) for x in np.geomspace(1.5, 30.0, 9))
USUAL_CO2_MG_L, CO2_SPREAD = 6.0, 0.75  # common practice: 2 to 20 mg/L in stocked tanks
PH_NOISES = (0.04, 0.09, 0.18)
WANDERS = (0.08, 0.2, 0.4)  # of ln carbon dioxide
DRIFTS = (0.005, 0.02)  # of full nitrification, a square root of a day
WANDER_DAYS = 10.0
GRID_SPREAD = 0.12  # what lies between the levels of the grid
SWING = 0.15
USUAL_ALKALINITY, ALKALINITY_SPREAD = 60.0, 0.9
NET_SHARE, NET_SPREAD = 0.45, 0.29  # of full nitrification; common practice, 20 to 60 %
REST_SPREAD = 0.10  # of full nitrification at the usual feed
UNFED_DRIFT = 12.0  # mg/L a day
UNFED_USE, UNFED_SPREAD = 3.0, 4.0  # mg/L a day where no feed is written down
QUICK_SHARE, QUICK_SPREAD = 0.93, 0.11
SLOW_SHARE, SLOW_SPREAD = 0.75, 0.2
UNEVEN = 0.2  # of the load, from day to day
UNEVEN_LEAST = 0.22  # mg/L
KIT_LEAST, KIT_SHARE = 2.5, 0.05  # mg/L and share, besides the drop
BIAS_OF_STEP = 0.3
GAP_SPREAD = 40.0  # mg/L
VERY_UNSURE = 0.5  # of the alkalinity
LEAST_MEANT, MOST_MEANT = 1.0, 800.0  # mg/L
FALSE_READING, FALSE_PH, FALSE_ALKALINITY = 0.03, 0.7, 60.0
SOUR_MG_L = 1.0  # common practice: nitrification slackens where next to no buffer is left
GAS_DAYS = 0.1  # carbon dioxide is back a few hours after a dose
UNSURE_GAS = 0.4
PRUNE_EVERY, PRUNE_BELOW = 15, 9.0


@dataclass(frozen=True)
class Innovation:
    """A reading beside what the whole bank expected of it."""

    tick: Tick
    predicted: float
    spread: float
    outlier: float


@dataclass(frozen=True)
class Posterior:
    """The bank after the last entry; one row a member, the fixed things of each beside it."""

    mean: Array
    spread: Array
    weight: Array
    level: Array
    wander: Array
    noise: Array
    drift: Array
    rate: Array
    innovations: tuple[Innovation, ...]
    full_per_feed: float


@dataclass
class _Bank:
    mean: Array
    spread: Array
    log_weight: Array
    level: Array
    wander: Array
    noise: Array
    drift: Array
    rate: Array
    dosed: Array  # what a dose has just moved ln carbon dioxide by

    def keep(self, rows: Array) -> None:
        """Only those members."""
        for name in self.__dataclass_fields__:
            setattr(self, name, getattr(self, name)[rows])


def full_use_per_feed(protein_percent: float) -> float:
    """Alkalinity in g that nitrifying all ammonia of a gram of feed would use."""
    return protein_percent / 100 * AMMONIA_PER_PROTEIN * ALKALINITY_PER_N


def run(system: System, walk: Course) -> Posterior:
    """The bank after all ticks of a course."""
    full = full_use_per_feed(system.protein_percent)
    bank = _begin(system, walk, full)
    found = []
    before = 0.0
    for number, tick in enumerate(walk.ticks):
        if number:
            _forward(bank, system, walk, number, tick.day - before, full)
        before = tick.day
        innovation = _take(bank, walk, tick)
        if innovation is not None:
            found.append(innovation)
        if number % PRUNE_EVERY == PRUNE_EVERY - 1:
            bank.keep(bank.log_weight > bank.log_weight.max() - PRUNE_BELOW)
    _forward(bank, system, walk, len(walk.ticks), walk.end - before, full)
    weight = np.exp(bank.log_weight - bank.log_weight.max())
    return Posterior(
        mean=bank.mean,
        spread=bank.spread,
        weight=weight / weight.sum(),
        level=bank.level,
        wander=bank.wander,
        noise=bank.noise,
        drift=bank.drift * full,
        rate=bank.rate,
        innovations=tuple(found),
        full_per_feed=full,
    )


def _members(walk: Course) -> Iterator[tuple[float, float, float, float, int]]:
    rates = range(len(SLOW_PER_DAY)) if SLOW & set(walk.substances) else range(1)
    return product(LEVELS_MG_L, PH_NOISES, WANDERS, DRIFTS, rates)


def _begin(system: System, walk: Course, full: float) -> _Bank:
    grid = np.array(list(_members(walk)))
    level = np.array([ln_co2(mg_l) for mg_l in grid[:, 0]])
    members, states = len(grid), FIRST_SHARE + len(walk.substances)
    mean, spread = np.zeros((members, states)), np.zeros((members, states, states))
    usual = walk.usual_feed_g * full * 1000 / system.volume_l
    wander = grid[:, 2]
    first = _first_alkalinity(walk, level)
    mean[:, ALKALINITY] = first
    spread[:, ALKALINITY, ALKALINITY] = first**2
    spread[:, WANDER, WANDER] = wander**2 + GRID_SPREAD**2
    mean[:, PER_FEED] = NET_SHARE * full
    spread[:, PER_FEED, PER_FEED] = (NET_SPREAD * full) ** 2
    mean[:, REST] = 0.0 if usual > 0 else UNFED_USE
    spread[:, REST, REST] = (REST_SPREAD * usual + 0.1) ** 2 if usual > 0 else UNFED_SPREAD**2
    spread[:, SWING_COS, SWING_COS] = spread[:, SWING_SIN, SWING_SIN] = SWING**2
    spread[:, BIAS, BIAS] = (BIAS_OF_STEP * max(walk.alkalinity_step, 3.0)) ** 2
    for number, substance in enumerate(walk.substances):
        slow = substance in SLOW
        place = FIRST_SHARE + number
        mean[:, place] = SLOW_SHARE if slow else QUICK_SHARE
        spread[:, place, place] = (SLOW_SPREAD if slow else QUICK_SPREAD) ** 2
    about = (level - ln_co2(USUAL_CO2_MG_L)) / CO2_SPREAD
    buffer = np.log(first / USUAL_ALKALINITY) / ALKALINITY_SPREAD
    return _Bank(
        mean=mean,
        spread=spread,
        log_weight=-(about**2) / 2 - buffer**2 / 2,
        level=level,
        wander=wander,
        noise=grid[:, 1],
        drift=grid[:, 3],
        rate=grid[:, 4].astype(int),
        dosed=np.zeros(members),
    )


def _first_alkalinity(walk: Course, level: Array) -> Array:
    """Where each member starts: at what the first pH means with its carbon dioxide, or as read."""
    first = next(tick for tick in walk.ticks if tick.kind in ("ph", "alkalinity"))
    if first.kind == "alkalinity":
        return np.full(len(level), max(first.value, 4 * LEAST_ALKALINITY))
    found = alkalinity_of(first.value, level, gas_at(first.temp_c))
    return np.clip(found, LEAST_MEANT, MOST_MEANT)


def _forward(
    bank: _Bank, system: System, walk: Course, number: int, days: float, full: float
) -> None:
    """On to the next tick: feed and the rest use alkalinity, slow bases bring it, gas wanders."""
    if days <= 0:
        return
    per_feed = walk.feed_g[number] * 1000 / system.volume_l
    pull = np.zeros((len(bank.level), bank.mean.shape[1]))
    buffer = bank.mean[:, ALKALINITY]
    pull[:, PER_FEED] = -per_feed * buffer / (buffer + SOUR_MG_L)
    pull[:, REST] = -days
    pull[:, FIRST_SHARE:] = walk.slow[number][bank.rate]
    if walk.gap[number]:
        _forget(bank)
        pull[:] = 0.0
    mean, spread = bank.mean, bank.spread
    change = np.einsum("bn,bn->b", pull, mean)
    mean[:, ALKALINITY] = np.maximum(mean[:, ALKALINITY] + change, LEAST_ALKALINITY)
    moved = np.einsum("bij,bj->bi", spread, pull)
    own = np.einsum("bi,bi->b", moved, pull)
    spread[:, ALKALINITY, :] += moved
    spread[:, :, ALKALINITY] += moved
    load = np.abs(mean[:, PER_FEED]) * per_feed + np.abs(mean[:, REST]) * days
    unsure = walk.unsure_g2[number] * (mean[:, PER_FEED] * 1000 / system.volume_l) ** 2
    uneven = (UNEVEN * load) ** 2 / max(days, 1e-3) + UNEVEN_LEAST**2 * days
    spread[:, ALKALINITY, ALKALINITY] += own + unsure + uneven
    kept = np.exp(-days / WANDER_DAYS)
    mean[:, WANDER] *= kept
    spread[:, WANDER, :] *= kept
    spread[:, :, WANDER] *= kept
    spread[:, WANDER, WANDER] += bank.wander**2 * (1 - kept**2)
    spread[:, PER_FEED, PER_FEED] += (bank.drift * full) ** 2 * days
    if not walk.feed_known:
        spread[:, REST, REST] += (bank.drift * UNFED_DRIFT) ** 2 * days
    bank.dosed *= np.exp(-days / GAS_DAYS)


def _forget(bank: _Bank) -> None:
    """What is left of the alkalinity when nobody knows what was dosed: about as it was, perhaps."""
    own = bank.spread[:, ALKALINITY, ALKALINITY] + GAP_SPREAD**2
    bank.spread[:, ALKALINITY, :] = bank.spread[:, :, ALKALINITY] = 0.0
    bank.spread[:, ALKALINITY, ALKALINITY] = own


def _take(bank: _Bank, walk: Course, tick: Tick) -> Innovation | None:
    """What a tick does to the bank."""
    if tick.kind == "ph":
        return _read_ph(bank, walk, tick)
    if tick.kind == "alkalinity":
        return _read_alkalinity(bank, walk, tick)
    if tick.kind == "dose":
        _dose(bank, tick)
    elif tick.kind == "added":
        bank.mean[:, ALKALINITY] += tick.value
        bank.spread[:, ALKALINITY, ALKALINITY] += tick.spread**2
    else:
        kept = 1 - tick.value
        bank.mean[:, ALKALINITY] = bank.mean[:, ALKALINITY] * kept + tick.other * tick.value
        bank.spread[:, ALKALINITY, :] *= kept
        bank.spread[:, :, ALKALINITY] *= kept
        bank.spread[:, ALKALINITY, ALKALINITY] += tick.spread**2
    return None


def _dose(bank: _Bank, tick: Tick) -> None:
    place = FIRST_SHARE + tick.which
    before = bank.mean[:, ALKALINITY].copy()
    added = bank.mean[:, place] * tick.value
    gas = bank.level + bank.mean[:, WANDER] + bank.dosed
    k = gas_at(tick.temp_c)
    bank.dosed += co2_at_once(before, gas, k, added=added, carbon_per_eq=tick.other) - gas
    bank.mean[:, ALKALINITY] = np.maximum(before + added, LEAST_ALKALINITY)
    moved = bank.spread[:, :, place] * tick.value
    own = moved[:, place] * tick.value
    bank.spread[:, ALKALINITY, :] += moved
    bank.spread[:, :, ALKALINITY] += moved
    bank.spread[:, ALKALINITY, ALKALINITY] += own + (UNSURE_SPOON * tick.value) ** 2


def co2_of(mean: Array, level: Array, angle: float) -> Array:
    """The logarithm of carbon dioxide at an hour of the day."""
    swing = mean[:, SWING_COS] * cos(angle) + mean[:, SWING_SIN] * sin(angle)
    found: Array = level + mean[:, WANDER] + swing
    return found


def _read_ph(bank: _Bank, walk: Course, tick: Tick) -> Innovation:
    gas = co2_of(bank.mean, bank.level, tick.angle) + bank.dosed
    expected = _expected_ph(bank, tick, gas)
    across, along = cos(tick.angle), sin(tick.angle)
    spread = bank.spread
    swing = spread[:, :, SWING_COS] * across + spread[:, :, SWING_SIN] * along
    by_gas = (spread[:, :, WANDER] + swing) * expected.by_co2[:, None]
    moved = spread[:, :, ALKALINITY] * expected.by_alkalinity[:, None] + by_gas
    of_gas = moved[:, WANDER] + moved[:, SWING_COS] * across + moved[:, SWING_SIN] * along
    own = moved[:, ALKALINITY] * expected.by_alkalinity + of_gas * expected.by_co2
    unsure = (UNSURE_GAS * bank.dosed / LN10) ** 2
    noise = bank.noise**2 + walk.ph_step**2 / 12 + unsure
    return _update(bank, tick, expected.value, moved, own + noise, FALSE_PH)


def _expected_ph(bank: _Bank, tick: Tick, gas: Array) -> Ph:
    """The pH expected and its slopes: straight about the mean, or about what the reading means.

    The second where the mean is very unsure; an iterated filter would end up there.
    """
    mean, k = bank.mean[:, ALKALINITY], gas_at(tick.temp_c)
    unsure = bank.spread[:, ALKALINITY, ALKALINITY] > (VERY_UNSURE * mean) ** 2
    if not unsure.any():
        return ph_of(mean, gas, k)
    meant = np.clip(alkalinity_of(tick.value, gas, k), LEAST_MEANT, MOST_MEANT)
    point = np.where(unsure, meant, mean)
    found = ph_of(point, gas, k)
    return found._replace(value=found.value + found.by_alkalinity * (mean - point))


def _read_alkalinity(bank: _Bank, walk: Course, tick: Tick) -> Innovation:
    expected = bank.mean[:, ALKALINITY] + bank.mean[:, BIAS]
    moved = bank.spread[:, :, ALKALINITY] + bank.spread[:, :, BIAS]
    own = moved[:, ALKALINITY] + moved[:, BIAS]
    kit = KIT_LEAST + KIT_SHARE * np.maximum(expected, 0.0)
    noise = kit**2 + walk.alkalinity_step**2 / 12
    return _update(bank, tick, expected, moved, own + noise, FALSE_ALKALINITY)


def _update(
    bank: _Bank, tick: Tick, expected: Array, moved: Array, total: Array, wide: float
) -> Innovation:
    """Take a reading in, by how probable it is that it is a true one."""
    off = tick.value - expected
    true = (1 - FALSE_READING) * np.exp(-(off**2) / total / 2) / np.sqrt(2 * pi * total)
    broad = total + wide**2
    false = FALSE_READING * np.exp(-(off**2) / broad / 2) / np.sqrt(2 * pi * broad)
    share = true / (true + false)
    prior = np.exp(bank.log_weight - bank.log_weight.max())
    prior /= prior.sum()
    middle = float(prior @ expected)
    width = sqrt(float(prior @ (total + (expected - middle) ** 2)))
    outlier = 1 - float(prior @ true) / float(prior @ (true + false))
    gain = moved / total[:, None]
    bank.mean += gain * (share * off)[:, None]
    least = LEAST_ALKALINITY
    bank.mean[:, ALKALINITY] = np.maximum(bank.mean[:, ALKALINITY], least)
    factor = share * total - share * (1 - share) * off**2
    bank.spread -= (gain * factor[:, None])[:, :, None] * gain[:, None, :]
    bank.log_weight += np.log(true + false)
    return Innovation(tick, middle, width, outlier)
