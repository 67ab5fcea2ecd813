"""The figures of a system, each with its interval and what it rests on."""

from collections.abc import Mapping
from dataclasses import dataclass
from statistics import median

import numpy as np

from kb.book.ahead import LONGEST_DAYS, days_to_floor
from kb.book.chemistry import Array, Gas, alkalinity_of, ph_of
from kb.book.course import label_mg_l
from kb.book.draws import Draws
from kb.book.model import SUBSTANCES, Book, Dose, Estimate
from kb.science.carbonate import CO2_MG_PER_MOL
from kb.science.nitrification import CACO3_G_EQ
from kb.science.substances import BASES
from kb.units import show

NAMES: Mapping[str, str] = {
    "calcium-hydroxide": "calcium hydroxide",
    "potassium-hydroxide": "potassium hydroxide",
    "potassium-bicarbonate": "potassium bicarbonate",
    "potassium-carbonate": "potassium carbonate",
    "calcium-carbonate": "calcium carbonate",
    "sodium-bicarbonate": "sodium bicarbonate",
    "dolomite": "dolomite",
    "magnesium-hydroxide": "magnesium hydroxide",
    "hydrochloric": "hydrochloric acid",
    "phosphoric": "phosphoric acid",
    "sulphuric": "sulphuric acid",
    "citric": "citric acid",
}
LEAST_SHARE = 0.2  # of its label; a base that brings less is no base


@dataclass(frozen=True)
class Maker:
    """Makes estimates out of draws, all at one level, hour and temperature."""

    draws: Draws
    level: float
    angle: float
    k: Gas

    def one(self, name: str, label: str, values: Array, unit: str, basis: str) -> Estimate:
        """The middle of the values, and the interval that holds the share of them."""
        tail = (1 - self.level) / 2
        low, middle, high = (float(x) for x in np.quantile(values, (tail, 0.5, 1 - tail)))
        return Estimate(name, label, middle, low, high, unit, basis, self.level)


def estimates(book: Book, draws: Draws, *, level: float, angle: float, k: Gas) -> list[Estimate]:
    """All figures, the most asked for first."""
    make = Maker(draws, level=level, angle=angle, k=k)
    found = [*_loads(make), *_present(make), _floor(make)]
    doses = [entry for entry in book.entries if isinstance(entry, Dose) and entry.grams > 0]
    for substance in draws.walk.substances:
        found += _effects(make, substance, [dose for dose in doses if dose.substance == substance])
    return [*found, *_holding(make, base_of(book, draws))]


def base_of(book: Book, draws: Draws) -> str:
    """The base that advice is for: the one wished for, the last one used, or lime."""
    if book.system.base is not None:
        return book.system.base
    used = [entry.substance for entry in book.entries if isinstance(entry, Dose)]
    return next((one for one in reversed(used) if one in BASES), "calcium-hydroxide")


def shares(draws: Draws, substance: str) -> Array:
    """How much of its label each draw has a base keep; all of it for one never used."""
    if substance not in draws.walk.substances:
        return np.ones(len(draws.level))
    return np.maximum(draws.share(substance), LEAST_SHARE)


def _loads(make: Maker) -> list[Estimate]:
    draws = make.draws
    grams = draws.load_mg_l_day * draws.system.volume_l / 1000
    feed = draws.walk.usual_feed_g
    middle = float(np.median(grams))
    fed = f", at the {show(feed)} g of feed a day of late" if feed > 0 else ""
    found = [
        make.one(
            "acid-load", "Acid made a day", grams, "g/day as CaCO₃",
            f"{show(middle / CACO3_G_EQ * 1000, 0)} meq a day{fed}: what doses and top-up water "
            "had to make good, and what the alkalinity lost.",
        ),
        make.one(
            "alkalinity-use", "Alkalinity used a day", draws.load_mg_l_day, "mg/L as CaCO₃",
            f"The acid of a day spread over {show(draws.system.volume_l)} L, before any top-up.",
        ),
    ]  # fmt: skip
    if feed > 0:
        full = draws.full_per_feed * 100
        found.append(
            make.one(
                "load-per-feed", "Alkalinity used by 100 g of feed",
                grams / feed * 100, "g as CaCO₃",
                f"Nitrifying all of its ammonia would use {show(full)} g "
                f"({show(draws.system.protein_percent)} % protein).",
            )
        )  # fmt: skip
    return found


def _present(make: Maker) -> list[Estimate]:
    draws = make.draws
    co2 = np.exp(draws.co2(make.angle)) * CO2_MG_PER_MOL
    return [
        make.one(
            "alkalinity-now", "Alkalinity now", draws.alkalinity, "mg/L as CaCO₃",
            "The mass balance of the whole book, held against every reading.",
        ),
        make.one(
            "ph-now", "pH now", draws.ph(make.angle, make.k), "",
            "From the alkalinity and the carbon dioxide, held against every reading.",
        ),
        make.one(
            "co2-now", "Carbon dioxide now", co2, "mg/L",
            "What pH and alkalinity together mean; without alkalinity readings hardly known.",
        ),
    ]  # fmt: skip


def _floor(make: Maker) -> Estimate:
    draws = make.draws
    days = days_to_floor(draws, angle=make.angle, k=make.k)
    system = draws.system
    more = f"; {LONGEST_DAYS:.0f} stands for a year or more" if days.max() >= LONGEST_DAYS else ""
    return make.one(
        "days-to-floor", "Days to the floor if nothing is dosed", days, "days",
        f"Until pH {show(system.floor_ph, 1)} or {show(system.floor_alkalinity, 0)} mg/L of "
        f"alkalinity, whichever comes first, fed and topped up as usual{more}.",
    )  # fmt: skip


def _effects(make: Maker, substance: str, doses: list[Dose]) -> list[Estimate]:
    """What a gram has done here, beside what its label promises; and how long a dose holds."""
    draws, name = make.draws, NAMES[substance]
    if not doses:
        return []
    purity = doses[-1].purity_percent
    promised = label_mg_l(SUBSTANCES[substance], 1.0, draws.system.volume_l, purity)
    rise = promised * draws.share(substance)
    slope = ph_of(draws.alkalinity, draws.co2(make.angle), make.k).by_alkalinity
    usual = median(dose.grams for dose in doses)
    lasts = np.clip(rise * usual / np.maximum(draws.net_mg_l_day, 1e-6), 0.0, LONGEST_DAYS)
    times = f"{len(doses)} dose" + ("s" if len(doses) > 1 else "")
    found = [
        make.one(
            f"effectiveness-{substance}", f"Share of its promise that {name} keeps",
            draws.share(substance) * 100, "%",
            f"From {times}, against what counting atoms promises.",
        ),
        make.one(
            f"alkalinity-per-gram-{substance}", f"Alkalinity by a gram of {name}", rise, "mg/L",
            f"By its label {show(promised)} mg/L a gram; {times} in the book.",
        ),
        make.one(
            f"ph-per-gram-{substance}", f"pH by a gram of {name}", rise * slope, "pH",
            "Settled, from where the water stands now; the higher the alkalinity, the less.",
        ),
    ]  # fmt: skip
    if promised > 0:
        found.append(
            make.one(
                f"dose-lasts-{substance}", f"{show(usual)} g of {name} last", lasts, "days",
                "Until the feed has used up what the usual dose brought.",
            )
        )  # fmt: skip
    return found


def _holding(make: Maker, base: str) -> list[Estimate]:
    """The daily dose that keeps things where they are, and what is lacking to the target."""
    draws, system = make.draws, make.draws.system
    a_gram = label_mg_l(SUBSTANCES[base], 1.0, system.volume_l, system.purity_percent) * shares(
        draws, base
    )
    name = NAMES[base].capitalize()
    found = [
        make.one(
            "holding-dose", f"{name} a day to hold pH where it is",
            np.maximum(draws.net_mg_l_day, 0.0) / a_gram, "g/day",
            "What is used a day less what the top-up brings, at what a gram has done here.",
        )
    ]  # fmt: skip
    lacking = lacking_mg_l(draws, angle=make.angle, k=make.k)
    if lacking is not None and float(np.median(lacking)) > 0:
        found.append(
            make.one(
                "target-dose", f"{name} that is lacking to the target",
                np.maximum(lacking, 0.0) / a_gram, "g",
                "In all, not in one go: a step at a time with a test after each.",
            )
        )  # fmt: skip
    return found


def lacking_mg_l(draws: Draws, *, angle: float, k: Gas) -> Array | None:
    """The alkalinity that is lacking for the target that the system has; None without one."""
    system = draws.system
    if system.target_ph is not None:
        return alkalinity_of(system.target_ph, draws.co2(angle), k) - draws.alkalinity
    if system.target_alkalinity is not None:
        return system.target_alkalinity - draws.alkalinity
    return None
