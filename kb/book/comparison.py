"""What the book finds beside what feed and textbook lead one to expect, in plain sentences."""

from collections.abc import Iterator

import numpy as np

from kb.book.chemistry import Array
from kb.book.draws import Draws
from kb.book.estimates import NAMES
from kb.science.carbonate import CO2_MG_PER_MOL
from kb.units import few, show

BANDS = (
    (0.0, "so it makes alkalinity on balance: hard water or doses that are not written down, "
     "or shell and limestone that dissolve, bring more than the feed uses"),
    (0.2, "less than planted systems usually show: plants and denitrifying bacteria give much "
     "back, or hard top-up water, dissolving stone or doses not written down hide a part"),
    (0.6, "which is usual for systems with plants (20 to 60 %, common practice): plants and "
     "denitrifying bacteria give the rest back"),
    (0.9, "more than planted systems usually show: few or young plants, or nitrate that leaves "
     "with water changes instead of being taken up"),
    (1.1, "so nearly all of its nitrogen ends as nitrate and hardly anything comes back"),
    (float("inf"), "more than this feed can explain: feed that is not written down, a higher "
     "protein than entered, decaying sludge, or less water than entered"),
)  # fmt: skip
FULL_PROMISE = 1.0
MOST_BANDS = 2
MUCH_CO2_MG_L = 20.0  # common practice: stocked tanks hold 2 to 20 mg/L
WHOLE = (0.05, 0.5, 0.95)


def compare(draws: Draws) -> tuple[str, ...]:
    """The sentences; what cannot be compared is not spoken of."""
    return (*_feed(draws), *_top_up(draws), *_bases(draws), *_gas(draws))


def _feed(draws: Draws) -> Iterator[str]:
    feed = draws.walk.usual_feed_g
    if feed <= 0:
        yield "No feed is written down, so the acid cannot be held against what feed would make."
        return
    full = draws.full_per_feed * feed * 1000 / draws.system.volume_l
    low, middle, high = _ends(draws.load_mg_l_day / full)
    grams = draws.full_per_feed * feed
    found = (
        f"Nitrifying all the ammonia of {show(feed)} g of feed a day would use {show(grams)} g of "
        f"alkalinity; this system uses about {_percent(middle)} % of that "
        f"({_percent(low)} to {_percent(high)} %)"
    )
    first, last = _band(low), _band(high)
    if last - first > MOST_BANDS:
        yield f"{found}, too wide a range yet to say why."
        return
    yield f"{found}, {BANDS[_band(middle)][1]}."


def _band(share: float) -> int:
    return next(number for number, (end, _) in enumerate(BANDS) if share <= end)


def _percent(share: float) -> str:
    return show(100 * share, 0)


def _top_up(draws: Draws) -> Iterator[str]:
    brought = draws.walk.top_up_mg_l_day
    if brought <= 0:
        return
    grams = brought * draws.system.volume_l / 1000
    load = float(np.median(draws.load_mg_l_day))
    text = f"The top-up water brings about {few(grams)} g of alkalinity a day"
    if load <= 0:
        yield f"{text}."
    elif brought >= load:
        yield f"{text}, as much as is used or more: without any base, alkalinity will rise."
    else:
        yield f"{text}, {_percent(brought / load)} % of what is used."


def _bases(draws: Draws) -> Iterator[str]:
    for substance in draws.walk.substances:
        low, middle, high = _ends(draws.share(substance))
        name = NAMES[substance].capitalize()
        if high < FULL_PROMISE:
            yield (
                f"{name} has brought about {_percent(middle)} % of what its label promises "
                f"({_percent(low)} to {_percent(high)} %): damp or old powder, spoons that hold "
                "less, or some of it never dissolves."
            )
        elif low > FULL_PROMISE:
            yield (
                f"{name} has brought more than its label promises ({_percent(low)} to "
                f"{_percent(high)} %): heaped spoons, a second dose not written down, or less "
                "water than entered."
            )


def _gas(draws: Draws) -> Iterator[str]:
    if draws.walk.count("alkalinity") == 0:
        return
    low, middle, _high = _ends(np.exp(draws.level) * CO2_MG_PER_MOL)
    if low > MUCH_CO2_MG_L:
        yield (
            f"The water holds about {few(middle)} mg/L of carbon dioxide, more than stocked tanks "
            "usually do (common practice): more air would raise pH without any base."
        )


def _ends(values: Array) -> tuple[float, float, float]:
    low, middle, high = (float(each) for each in np.quantile(values, WHOLE))
    return low, middle, high
