"""The next step: at most one, small enough whatever the book leaves open, and then a test.

Never acid, never a base on top of a dose that has not been tested, and no base without its word on
ammonia.
"""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from kb.book.ahead import days_to_floor
from kb.book.bank import co2_of
from kb.book.chemistry import Array, Gas, alkalinity_of, co2_at_once, gas_at, ph_of
from kb.book.course import SLOW, angle_of, label_mg_l
from kb.book.draws import Draws
from kb.book.enough import STALE_PH, days_since
from kb.book.estimates import NAMES, base_of, lacking_mg_l, shares
from kb.book.model import SUBSTANCES, Advice, Book, Dose, Reading
from kb.science.ammonia import ACT_MG_L, CAREFUL_MG_L, HARM_MG_L, unionised_fraction
from kb.units import show

MOST_STEP = 0.3  # pH a step, as in the calculator of bases
SURE = 0.95  # how sure a step must be to stay within MOST_STEP
NEAR = 0.05  # pH: closer than a kit can tell
HIGH = 0.3
OVER_FLOOR = 0.3
AMMONIA_DAYS = 3
HALVINGS = 18
FEWER = 4
SHORT_DAYS, LONG_DAYS = 0.6, 60
BURNS = {"calcium-hydroxide": "lime-burns", "potassium-hydroxide": "caustic-potash-burns"}
BASE_CAUTIONS = (
    "base-in-small-steps", "powder-dust", "label-and-law", "calculation-not-promise",
)  # fmt: skip
WATER_FIRST = "Feed less, add air and bring the ammonia down first."


@dataclass(frozen=True)
class _Case:
    book: Book
    draws: Draws
    base: str
    now: datetime
    angle: float
    k: Gas
    temp_c: float

    @property
    def gas(self) -> Array:
        """The logarithm of carbon dioxide now."""
        return co2_of(self.draws.state, self.draws.level, self.angle)

    @property
    def a_gram(self) -> Array:
        """The alkalinity that a gram of the base brings here, mg/L."""
        system = self.book.system
        promised = label_mg_l(SUBSTANCES[self.base], 1.0, system.volume_l, system.purity_percent)
        return promised * shares(self.draws, self.base)


def advise(
    book: Book, draws: Draws | None, *, now: datetime, temp_c: float, enough: bool
) -> Advice:
    """What to do next."""
    stale = days_since(book, "ph", now)
    if draws is None or stale is None or stale >= STALE_PH:
        return Advice("Measure pH, alkalinity and ammonia first; nothing is dosed on old readings.")
    untested = _untested(book, now)
    if untested is not None:
        return Advice(
            f"{show(untested.grams)} g of {NAMES[untested.substance]} went in after the last test: "
            "wait until it has spread, a day for chalk or dolomite and some hours for the rest, "
            "and test pH again before anything else goes in.",
            cautions=("calculation-not-promise",),
        )
    case = _Case(book, draws, base_of(book, draws), now, angle_of(now), gas_at(temp_c), temp_c)
    ph = float(np.median(draws.ph(case.angle, case.k)))
    buffer = float(np.median(draws.alkalinity))
    lacking = _lacking(case)
    if float(np.median(lacking)) <= 0 or _near(case, ph):
        return _hold(case, ph, buffer)
    return _dose(case, ph, lacking, enough=enough)


def _untested(book: Book, now: datetime) -> Dose | None:
    """The last dose, if no pH has been read since."""
    done = [entry for entry in book.entries if entry.at <= now]
    doses = [entry for entry in done if isinstance(entry, Dose) and entry.grams > 0]
    tests = [entry for entry in done if isinstance(entry, Reading) and entry.quantity == "ph"]
    return doses[-1] if doses and tests and doses[-1].at >= tests[-1].at else None


def _near(case: _Case, ph: float) -> bool:
    """Is the pH as near its target as a kit can tell?"""
    return case.book.system.target_ph is not None and ph > _target_ph(case) - NEAR


def _target_ph(case: _Case) -> float:
    system = case.book.system
    return system.floor_ph + OVER_FLOOR if system.target_ph is None else system.target_ph


def _lacking(case: _Case) -> Array:
    """The alkalinity that is lacking for the target, or for a little over the floor, mg/L."""
    known = lacking_mg_l(case.draws, angle=case.angle, k=case.k)
    if known is not None:
        return known
    return alkalinity_of(_target_ph(case), case.gas, case.k) - case.draws.alkalinity


def _hold(case: _Case, ph: float, buffer: float) -> Advice:
    """Nothing to dose: how long it lasts, and no acid if the pH is high."""
    days = days_to_floor(case.draws, angle=case.angle, k=case.k)
    low = float(np.quantile(days, 1 - SURE))
    floor = f"at least {_whole(low)} away" if low >= 1 else "perhaps less than a day away"
    text = (
        f"No base now: pH stands near {show(ph, 1)} and alkalinity near {show(buffer, 0)} mg/L, "
        f"and the floor is {floor}. "
    )
    if ph > _target_ph(case) + HIGH:
        return Advice(
            f"{text}It is above the target: leave out the base and let the feed bring it down. "
            "Acid does not go into water with fish; hard top-up water can be treated apart.",
            cautions=("acid-never-in-tank", "calculation-not-promise"),
        )
    return Advice(f"{text}Test again tomorrow.", cautions=("calculation-not-promise",))


def _dose(case: _Case, ph: float, lacking: Array, *, enough: bool) -> Advice:
    """One step of base, or the reason to wait with it."""
    draws = case.draws
    grams = min(float(np.median(np.maximum(lacking, 0.0) / case.a_gram)), _largest_step(case))
    settled = _settled(case, grams)
    highest = np.maximum(settled, _at_once(case, grams))
    after = float(np.median(settled))
    total = _ammonia(case)
    now_mg_l = after_mg_l = None
    if total is not None:
        now_mg_l = total * unionised_fraction(ph=ph, temp_c=case.temp_c)
        top = float(np.quantile(highest, SURE))
        after_mg_l = total * unionised_fraction(ph=top, temp_c=case.temp_c)
    wait = _why_wait(total, now_mg_l, after_mg_l)
    cautions = _cautions(case.base, total)
    if wait:
        return Advice(
            wait, substance=case.base, unionised_now=now_mg_l, unionised_after=after_mg_l,
            cautions=cautions,
        )  # fmt: skip
    lasts = float(np.median(case.a_gram * grams / np.maximum(draws.net_mg_l_day, 1e-3)))
    text = (
        f"One step: {_rounded(grams)} g of {NAMES[case.base]}, stirred into a bucket of system "
        f"water and poured in slowly. pH should settle near {show(after, 1)}, from {show(ph, 1)}"
        f"{_how_slow(case.base)}; that much is used up {_days(lasts)}. Then test pH "
        f"before anything else goes in, {_when(case.base)}. {_of_ammonia(total, after_mg_l)}"
    )
    if lasts < 1:
        text += (
            " The feed uses up more in a day than one step brings: expect to repeat it, testing "
            "each time."
        )
    if not enough:
        text += " The book does not say enough yet, so the step is kept small."
    return Advice(
        text, case.base, float(_rounded(grams)), after, now_mg_l, after_mg_l, cautions,
    )  # fmt: skip


def _settled(case: _Case, grams: float) -> Array:
    """The pH once the carbon dioxide is back."""
    rise = case.a_gram * grams
    return ph_of(case.draws.alkalinity + rise, case.gas, case.k).value


def _at_once(case: _Case, grams: float) -> Array:
    """The pH right after mixing; of a slow base nothing has dissolved by then."""
    if case.base in SLOW:
        return case.draws.ph(case.angle, case.k)
    rise = case.a_gram * grams
    base = SUBSTANCES[case.base]
    gas = co2_at_once(
        case.draws.alkalinity, case.gas, case.k, added=rise,
        carbon_per_eq=base.carbon / base.alkalinity,
    )  # fmt: skip
    return ph_of(case.draws.alkalinity + rise, gas, case.k).value


def _largest_step(case: _Case) -> float:
    """The grams with which pH moves by no more than MOST_STEP, in SURE of all draws."""
    case = replace(case, draws=case.draws.fewer(FEWER))
    start = case.draws.ph(case.angle, case.k)

    def rise(grams: float) -> float:
        highest = np.maximum(_settled(case, grams), _at_once(case, grams))
        return float(np.quantile(highest - start, SURE))

    low, high = 0.0, float(np.median(200.0 / case.a_gram))
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if rise(middle) <= MOST_STEP else (low, middle)
    return low


def _ammonia(case: _Case) -> float | None:
    read = [
        entry.value
        for entry in case.book.entries
        if isinstance(entry, Reading)
        and entry.quantity == "ammonia"
        and timedelta(0) <= case.now - entry.at <= timedelta(days=AMMONIA_DAYS)
    ]
    return read[-1] if read else None


def _why_wait(total: float | None, now: float | None, after: float | None) -> str:
    if total is None or now is None or after is None:
        return ""
    amounts = (
        f"un-ionised ammonia (as N) is {show(now, 3)} mg/L now and would be {show(after, 3)} mg/L "
        "after the next step"
    )
    gills, careful = f"the {HARM_MG_L} mg/L that burns gills", f"the cautious {CAREFUL_MG_L} mg/L"
    if after > HARM_MG_L:
        return f"Do not dose now: {amounts}, over {gills}. {WATER_FIRST}"
    if after > CAREFUL_MG_L:
        return f"Wait with the base: {amounts}, over {careful}. {WATER_FIRST}"
    if total > ACT_MG_L:
        return f"Wait with the base: {show(total)} mg/L of total ammonia is too much. {WATER_FIRST}"
    return ""


def _of_ammonia(total: float | None, after: float | None) -> str:
    if total is None or after is None:
        return "Test ammonia first: with ammonia in the water, a rise in pH burns gills."
    if total == 0:
        return "Ammonia tested at nought."
    return f"Un-ionised ammonia would then be at most {show(after, 3)} mg/L."


def _cautions(base: str, total: float | None) -> tuple[str, ...]:
    first = () if total == 0 else ("never-raise-ph-with-ammonia",)
    burns = (BURNS[base],) if base in BURNS else ()
    return (*first, *burns, *BASE_CAUTIONS)


def _rounded(grams: float) -> str:
    """Two figures, downwards."""
    if grams <= 0:
        return "0"
    size = 10.0 ** (np.floor(np.log10(grams)) - 1)
    return f"{np.floor(grams / size) * size:.12g}"


def _how_slow(base: str) -> str:
    return ", over days to weeks as it dissolves" if base in SLOW else ""


def _when(base: str) -> str:
    return "no sooner than tomorrow" if base in SLOW else "some hours later at the earliest"


def _days(days: float) -> str:
    if days < SHORT_DAYS:
        return "within hours"
    return f"in about {_whole(days)}" if days < LONG_DAYS else "only after months"


def _whole(days: float) -> str:
    return "1 day" if days < 1.5 else f"{show(days, 0)} days"
