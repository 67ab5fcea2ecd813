"""What comes: the draws walked on day by day, each with its own luck, dosed by plan or by habit."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from math import ceil, exp

import numpy as np

from kb.book.bank import (
    BIAS,
    KIT_LEAST,
    KIT_SHARE,
    PER_FEED,
    REST,
    UNEVEN,
    UNEVEN_LEAST,
    WANDER,
    WANDER_DAYS,
)
from kb.book.chemistry import LEAST_ALKALINITY, Array, Gas, ph_of
from kb.book.course import SLOW, Course, dose_mg_l
from kb.book.draws import SEED, Draws
from kb.book.model import Book, Dose, Reading

LONGEST_DAYS = 365.0
DAILY_FOR, WEEKLY_STEP = 28, 7.0
CROSSED = 0.995
SOUR_MG_L = 3.0  # common practice: nitrification slackens where next to no buffer is left
PH_OF_FLOOR = 50.0  # mg/L of alkalinity that count like one pH when a floor is looked for
FLICKER = 0.05  # pH, from one hour to the next; common practice
HABIT_DAYS = 30
TESTED_HOURS = 3.0
HABIT_SHARE = 0.9
JUST_DOSED_DAYS = 0.5


@dataclass(frozen=True)
class Coming:
    """A planned dose: days from now, the substance, and mg/L of alkalinity by its label."""

    day: float
    substance: str
    mg_l: float


@dataclass(frozen=True)
class Habit:
    """How a keeper doses: below which pH, on what share of such days, and what.

    ``shown`` is the pH that has just been read, if it has.
    """

    below_ph: float
    share: float
    doses: tuple[Coming, ...]
    dosed_today: bool
    shown: float | None


@dataclass
class Walking:
    """The draws on their way: alkalinity, what is undissolved, gas, load a gram of feed."""

    alkalinity: Array
    undissolved: Array
    wander: Array
    per_feed: Array
    day: float = 0.0


def habit_of(book: Book, walk: Course, now: datetime) -> Habit | None:
    """The habit that the last month of a book shows; None without doses."""
    recent = [entry for entry in book.entries if 0 <= (now - entry.at).days < HABIT_DAYS]
    doses = [entry for entry in recent if isinstance(entry, Dose) and entry.grams > 0]
    tests = [each for each in recent if isinstance(each, Reading) and each.quantity == "ph"]
    if not doses or not tests:
        return None
    before = []
    for dose in doses:
        same = [test for test in tests if 0 <= _hours(dose.at, test.at) <= TESTED_HOURS]
        before += [same[-1].value] if same else []
    below = float(np.quantile(before, HABIT_SHARE)) if before else 14.0
    dosed = {dose.at.date() for dose in doses}
    first = {test.at.date(): test.value for test in reversed(tests)}
    due = [day for day, value in first.items() if value <= below]
    return Habit(
        below_ph=below,
        share=min(1.0, len(dosed) / max(1, len(due))),
        doses=tuple(
            Coming(0.0, dose.substance, dose_mg_l(dose, book.system.volume_l)) for dose in doses
        ),
        dosed_today=_hours(now, doses[-1].at) < 24 * JUST_DOSED_DAYS,
        shown=tests[-1].value if _hours(now, tests[-1].at) <= TESTED_HOURS else None,
    )


def kits_in(
    draws: Draws,
    days: float,
    *,
    angle: float,
    k: Gas,
    doses: Sequence[Coming],
    habit: Habit | None,
) -> tuple[Array, Array]:
    """What the kits read of pH and alkalinity in so many days."""
    chance = np.random.default_rng(SEED + 1)
    count = max(1, ceil(days))
    going = _start(draws)
    for _ in _march(draws, going, [days / count] * count, chance, doses, habit, angle, k):
        pass
    noise = np.hypot(np.hypot(draws.noise, draws.walk.ph_step / 12**0.5), FLICKER)
    ph = _ph(draws, going, angle, k) + noise * chance.standard_normal(len(noise))
    kit = np.hypot(
        KIT_LEAST + KIT_SHARE * going.alkalinity, draws.walk.alkalinity_step / 12**0.5
    ) * chance.standard_normal(len(noise))
    return ph, np.maximum(going.alkalinity + draws.state[:, BIAS] + kit, 0.0)


def days_to_floor(draws: Draws, *, angle: float, k: Gas) -> Array:
    """The days until pH or alkalinity is down at its floor when nothing more is dosed."""
    system = draws.system
    going = _start(draws)

    def over() -> Array:
        ph = _ph(draws, going, angle, k) - system.floor_ph
        return np.minimum(ph, (going.alkalinity - system.floor_alkalinity) / PH_OF_FLOOR)

    left = over()
    days = np.where(left <= 0, 0.0, LONGEST_DAYS)
    later = int((LONGEST_DAYS - DAILY_FOR) / WEEKLY_STEP)
    steps = [1.0] * DAILY_FOR + [WEEKLY_STEP] * later
    chance = np.random.default_rng(SEED + 2)
    before = 0.0
    for _ in _march(draws, going, steps, chance, (), None, angle, k):
        now = over()
        crossing = (days >= LONGEST_DAYS) & (now <= 0)
        part = left / np.maximum(left - now, 1e-9)
        days = np.where(crossing, before + part * (going.day - before), days)
        left, before = now, going.day
        if (days < LONGEST_DAYS).mean() > CROSSED:
            break
    return days


def _hours(later: datetime, earlier: datetime) -> float:
    return (later - earlier).total_seconds() / 3600


def _start(draws: Draws) -> Walking:
    state = draws.state
    return Walking(
        alkalinity=draws.alkalinity.copy(),
        undissolved=draws.slow_left.copy(),
        wander=state[:, WANDER].copy(),
        per_feed=state[:, PER_FEED].copy(),
    )


def _ph(draws: Draws, going: Walking, angle: float, k: Gas) -> Array:
    gas = draws.co2(angle) - draws.state[:, WANDER] + going.wander
    return ph_of(going.alkalinity, gas, k).value


def _march(
    draws: Draws,
    going: Walking,
    steps: Sequence[float],
    chance: np.random.Generator,
    doses: Sequence[Coming],
    habit: Habit | None,
    angle: float,
    k: Gas,
) -> Iterator[None]:
    for number, step in enumerate(steps):
        for dose in doses:
            if going.day <= dose.day < going.day + step:
                _give(draws, going, dose, np.ones(len(going.alkalinity)))
        if habit is not None and not (number == 0 and habit.dosed_today):
            _by_habit(draws, going, habit, chance, angle, k)
        _one_step(draws, going, step, chance)
        yield


def _by_habit(
    draws: Draws,
    going: Walking,
    habit: Habit,
    chance: np.random.Generator,
    angle: float,
    k: Gas,
) -> None:
    """Each draw's keeper tests, and doses where the kit shows less than usual."""
    count = len(going.alkalinity)
    noise = np.hypot(draws.noise, draws.walk.ph_step / 12**0.5)
    read = _ph(draws, going, angle, k) + noise * chance.standard_normal(count)
    if going.day == 0 and habit.shown is not None:
        read[:] = habit.shown
    due = (read <= habit.below_ph) & (chance.random(count) < habit.share)
    which = chance.integers(len(habit.doses), size=count)
    for number, dose in enumerate(habit.doses):
        _give(draws, going, dose, (due & (which == number)).astype(np.float64))


def _give(draws: Draws, going: Walking, dose: Coming, to: Array) -> None:
    known = dose.substance in draws.walk.substances
    brought = dose.mg_l * to * (draws.share(dose.substance) if known else 1.0)
    if dose.substance in SLOW:
        going.undissolved += brought
    else:
        going.alkalinity += brought


def _one_step(draws: Draws, going: Walking, step: float, chance: np.random.Generator) -> None:
    """Feed, rest, top-up, water changes, what dissolves, and the luck of these days."""
    walk = draws.walk
    luck = chance.standard_normal((3, len(going.alkalinity)))
    fed = walk.usual_feed_g * 1000 / draws.system.volume_l
    load = going.per_feed * fed + draws.state[:, REST]
    uneven = np.sqrt(((UNEVEN * load) ** 2 + UNEVEN_LEAST**2) * step) * luck[0]
    slow = going.undissolved * -np.expm1(-draws.rate_per_day * step)
    going.undissolved -= slow
    left = going.alkalinity - load * step - uneven + slow + walk.top_up_mg_l_day * step
    left += walk.changed_a_day * step * (walk.changed_mg_l - going.alkalinity)
    soft = SOUR_MG_L * np.logaddexp(0.0, left / SOUR_MG_L)
    going.alkalinity = np.maximum(soft, LEAST_ALKALINITY)
    kept = exp(-step / WANDER_DAYS)
    going.wander = going.wander * kept + draws.wander * (1 - kept**2) ** 0.5 * luck[1]
    going.per_feed = going.per_feed + draws.drift * step**0.5 * luck[2]
    going.day += step
