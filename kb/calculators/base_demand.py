"""Base demand: how much base a day keeps pH where it is, from the feed."""

from collections.abc import Mapping

from kb.calculators.model import (
    Calculator,
    Example,
    Number,
    Outcome,
    Result,
    Step,
    show_plain,
)
from kb.science.nitrification import (
    ALKALINITY_PER_N,
    CACO3_G_EQ,
    LEAST_RECOVERED,
    MOST_RECOVERED,
    FeedDay,
    base_g,
)
from kb.science.substances import BASES, BULK_DENSITY_G_ML
from kb.units import (
    ALKALINITY,
    DAYS,
    MASS_PER_DAY,
    PERCENT,
    SPOONS,
    TEASPOON_ML,
    VOLUME,
    VOLUME_PER_DAY,
    few,
    figures,
    show,
)

LONGEST_DAYS = 3650.0
HALF = 50.0  # us-epa-1975: 3.57 of 7.14 g
HEAP, HEAP_LOW, HEAP_HIGH = 2.5, 2.0, 3.0  # common practice: a heaped spoon in level ones
TRADE_G_PER_KG_FEED = 55.0  # base-per-feed-table: calcium hydroxide, planted systems
LEVEL_SPOON_G = TEASPOON_ML * BULK_DENSITY_G_ML["calcium-hydroxide"]  # lime-data-sheet
SHOWN_BASES = {
    "calcium_hydroxide": "calcium-hydroxide",
    "potassium_hydroxide": "potassium-hydroxide",
    "potassium_bicarbonate": "potassium-bicarbonate",
    "calcium_carbonate": "calcium-carbonate",
}
NAMES = {
    "calcium_hydroxide": "calcium hydroxide (hydrated lime)",
    "potassium_hydroxide": "potassium hydroxide",
    "potassium_bicarbonate": "potassium bicarbonate",
    "calcium_carbonate": "calcium carbonate (shell grit or limestone, as far as it dissolves)",
}


def compute(
    feed: float,
    protein: float,
    nitrified: float,
    recovered: float,
    top_up: float,
    top_up_alkalinity: float,
    volume: float | None,
    alkalinity: float | None,
    alkalinity_floor: float,
) -> Outcome:
    """The alkalinity that a day's feed uses up, and the bases that would make it good."""
    day = FeedDay(
        feed_g_day=feed,
        protein_percent=protein,
        nitrified_percent=max(nitrified, 0.0),
        recovered_percent=recovered,
        top_up_l_day=top_up,
        top_up_mg_l=top_up_alkalinity,
    )
    bases = {name: base_g(alkalinity_g=day.needed, base=base) for name, base in SHOWN_BASES.items()}
    days, days_sentence = _days_to_floor(day, volume, alkalinity, alkalinity_floor)
    return Outcome(
        values={
            "ammonia_nitrogen": day.ammonia,
            "alkalinity_use": day.use,
            "alkalinity_use_low": day.use_low,
            "alkalinity_use_high": day.use_high,
            "alkalinity_to_add": day.needed,
            **bases,
            "lime_teaspoons": _lime(day) / LEVEL_SPOON_G,
            "lime_heaped_teaspoons": _lime(day) / LEVEL_SPOON_G / HEAP,
            "days_to_floor": days,
        },
        steps=_steps(day, volume, alkalinity, alkalinity_floor, days),
        cautions=_cautions(day),
        doubts=_doubts(day),
        sentences={**_sentences(day, bases), "days_to_floor": days_sentence},
    )


def _lime(day: FeedDay) -> float:
    return base_g(alkalinity_g=day.needed, base="calcium-hydroxide")


def _days_to_floor(
    day: FeedDay, volume: float | None, alkalinity: float | None, floor: float
) -> tuple[float | None, str]:
    """The days, and what to say of them or why there are none."""
    if volume is None or alkalinity is None:
        return None, (
            "Give the volume of the system and its alkalinity (KH) to see how long it lasts."
        )
    now = f"{show_plain(figures(alkalinity, 3))} mg/L (as CaCO3)"
    if alkalinity <= floor:
        return 0.0, (
            f"The alkalinity of {now} is already at or under the floor of {show_plain(floor)}."
        )
    if day.needed == 0:
        return None, "Nothing has to be added, so the alkalinity does not fall to the floor."
    days = (alkalinity - floor) * volume / 1000 / day.needed
    if days > LONGEST_DAYS:
        return None, "So little is used up that the alkalinity lasts for years."
    return days, (
        f"Without any base, {now} falls to the floor of {show_plain(floor)} mg/L "
        f"in about {few(days)} days."
    )


def _sentences(day: FeedDay, bases: Mapping[str, float]) -> dict[str, str]:
    spoons = _lime(day) / LEVEL_SPOON_G
    feed = _feed(day)
    return {
        **{name: _base_sentence(name, grams) for name, grams in bases.items()},
        "ammonia_nitrogen": f"{feed} gives about {few(day.ammonia)} g of ammonia nitrogen.",
        "alkalinity_use": (
            f"{feed} uses up about {few(day.use)} g of alkalinity (as CaCO3), if plants and "
            f"denitrifying bacteria give {show_plain(day.recovered_percent)} % back; it may be "
            f"anything from {few(day.use_low)} to {few(day.use_high)} g."
        ),
        "alkalinity_use_low": (
            f"{few(day.use_low)} g a day, if {show_plain(MOST_RECOVERED)} % comes back."
        ),
        "alkalinity_use_high": f"{few(day.use_high)} g a day, if nothing comes back.",
        "alkalinity_to_add": _needed_sentence(day),
        "lime_teaspoons": f"About {few(spoons)} level 5 mL spoons of hydrated lime a day.",
        "lime_heaped_teaspoons": (
            f"About {few(spoons / HEAP_HIGH)} to {few(spoons / HEAP_LOW)} heaped 5 mL spoons of "
            "hydrated lime a day (a heaped spoon taken as 2 to 3 level ones, common practice)."
        )
        if spoons
        else "No hydrated lime is needed.",
    }


def _feed(day: FeedDay) -> str:
    return f"{few(day.feed_g_day, 4)} g of feed a day ({show_plain(day.protein_percent)} % protein)"


def _needed_sentence(day: FeedDay) -> str:
    if day.use == 0:
        return "Nothing has to be added: nothing is nitrified."
    if day.needed == 0:
        return "Nothing has to be added: the top-up water brings as much alkalinity as is used up."
    given = (
        f", {few(day.from_top_up)} g of which the top-up water brings" if day.top_up_l_day else ""
    )
    return (
        f"{few(day.use)} g a day is used up{given}; base has to bring {few(day.needed)} g "
        "(as CaCO3)."
    )


def _base_sentence(name: str, grams: float) -> str:
    if grams == 0:
        return f"No {NAMES[name].split(' (')[0]} is needed: nothing has to be made good."
    return f"About {few(grams)} g a day of {NAMES[name]} makes good what is used up."


def _cautions(day: FeedDay) -> tuple[str, ...]:
    if day.needed == 0:
        return ("calculation-not-promise",)
    return (
        "never-raise-ph-with-ammonia",
        "lime-burns",
        "caustic-potash-burns",
        "base-in-small-steps",
        "label-and-law",
        "calculation-not-promise",
    )


def _doubts(day: FeedDay) -> tuple[str, ...]:
    trade = day.feed_g_day / 1000 * TRADE_G_PER_KG_FEED
    doubts = [
        "How much plants and denitrifying bacteria give back is hardly ever measured: start at "
        "half of the amount, test pH and KH the next day, and let the tests decide.",
        f"A trade table for planted systems asks for 55 g of hydrated lime a kg of feed: "
        f"{few(trade)} g a day here.",
        "The 7.14 g for each gram of nitrogen is what the bacteria use; on paper the ammonia that "
        "fish give off brings half of that with it, which handbooks leave out (stumm-morgan-1996).",
        "Give one of the bases or parts of two, not all of them; the masses are for pure powder, "
        "so look at the label.",
        "A 5 mL spoon is seldom 5 mL (3 to 7 mL in households): weigh once what yours holds.",
    ]
    if day.recovered_percent > HALF:
        doubts.insert(
            0,
            "On paper, nitrate that is taken up or denitrified gives back half of what nitrifying "
            "it used; more comes back only if plants take up ammonium or stone dissolves.",
        )
    return tuple(doubts)


def _steps(
    day: FeedDay,
    volume: float | None,
    alkalinity: float | None,
    floor: float,
    days: float | None,
) -> tuple[Step, ...]:
    back = show_plain(day.recovered_percent)
    steps = [
        Step(
            "ammonia nitrogen = feed × protein × 0.092",
            f"{few(day.feed_g_day, 4)} × {show_plain(day.protein_percent)} % × 0.092",
            f"{show(day.ammonia)} g/day",
            "ksu-2021",
        ),
        Step(
            "alkalinity used = nitrogen × nitrified × 7.14 × (1 − given back)",
            f"{show(day.ammonia)} × {show_plain(day.nitrified_percent)} % "
            f"× {show(ALKALINITY_PER_N, 3)} × (1 − {back} %)",
            f"{show(day.use)} g/day as CaCO3",
            "us-epa-1975",
        ),
        _range_step(day),
        Step(
            "to add = alkalinity used − top-up × its alkalinity / 1000, not under 0",
            f"{show(day.use)} − {few(day.top_up_l_day, 4)} × {few(day.top_up_mg_l, 4)} / 1000",
            f"{show(day.needed)} g/day as CaCO3",
        ),
        *(_base_step(day, base) for base in SHOWN_BASES.values()),
        Step(
            "level spoons = grams of lime / (5 mL × 0.475 g/mL)",
            f"{show(_lime(day))} / {show(LEVEL_SPOON_G, 3)}",
            show(_lime(day) / LEVEL_SPOON_G),
            "lime-data-sheet",
        ),
    ]
    if days and volume is not None and alkalinity is not None:
        steps.append(_days_step(day, volume, alkalinity, floor, days))
    return tuple(steps)


def _range_step(day: FeedDay) -> Step:
    return Step(
        "range: 80 % given back and 7.07 a gram with growing bacteria, to nothing given back",
        f"{show(day.turned)} × 7.07 × 0.2 to {show(day.turned)} × {show(ALKALINITY_PER_N, 3)}",
        f"{show(day.use_low)} to {show(day.use_high)} g/day as CaCO3",
        "ebeling-2006",
    )


def _base_step(day: FeedDay, base: str) -> Step:
    equivalent = BASES[base].equivalent_g
    return Step(
        f"{base.replace('-', ' ')} = to add / {show(CACO3_G_EQ, 2)} × {show(equivalent, 2)}",
        f"{show(day.needed)} / {show(CACO3_G_EQ, 2)} × {show(equivalent, 2)}",
        f"{show(base_g(alkalinity_g=day.needed, base=base))} g/day",
        "iupac-atomic-weights",
    )


def _days_step(day: FeedDay, volume: float, alkalinity: float, floor: float, days: float) -> Step:
    return Step(
        "days = (alkalinity − floor) × volume / 1000 / to add",
        f"({few(alkalinity, 4)} − {show_plain(floor)}) × {few(volume, 4)} / 1000 "
        f"/ {show(day.needed)}",
        f"{show(days)} days",
    )


INPUTS = (
    Number(
        "feed", "Feed a day", MASS_PER_DAY, "g/day", minimum=1, maximum=1_000_000,
        usual=(10, 20_000), help="What the fish really eat.",
    ),
    Number(
        "protein", "Protein of the feed", PERCENT, "%", minimum=10, maximum=70, usual=(25, 50),
        default=32, help="From the bag.",
    ),
    Number(
        "nitrified", "Share nitrified", PERCENT, "%", minimum=0, maximum=100, default=100,
        help="Less where plants take up much ammonium.",
    ),
    Number(
        "recovered", "Alkalinity given back", PERCENT, "%", minimum=LEAST_RECOVERED,
        maximum=MOST_RECOVERED, default=50, help="By plants and denitrifying bacteria; a guess.",
    ),
    Number(
        "top_up", "Top-up water a day", VOLUME_PER_DAY, "L/day", minimum=0, maximum=1_000_000,
        default=0,
    ),
    Number(
        "top_up_alkalinity", "Alkalinity of the top-up", ALKALINITY, "mg/L as CaCO₃", minimum=0,
        maximum=1000, default=0, usual=(0, 400), help="KH of the tap, well or rain water.",
    ),
    Number(
        "volume", "Water in the whole system", VOLUME, "L", minimum=10, maximum=10_000_000,
        optional=True,
    ),
    Number(
        "alkalinity", "Alkalinity of the system", ALKALINITY, "mg/L as CaCO₃", minimum=0,
        maximum=1000, optional=True, usual=(0, 400), help="KH today.",
    ),
    Number(
        "alkalinity_floor", "Lowest alkalinity wanted", ALKALINITY, "mg/L as CaCO₃", minimum=0,
        maximum=300, default=30,
    ),
)  # fmt: skip
RESULTS = (
    Result("ammonia_nitrogen", "Ammonia nitrogen from the feed", MASS_PER_DAY, "g/day"),
    Result("alkalinity_use", "Alkalinity used up", MASS_PER_DAY, "g/day", main=True),
    Result("alkalinity_use_low", "Alkalinity used up, low", MASS_PER_DAY, "g/day"),
    Result("alkalinity_use_high", "Alkalinity used up, high", MASS_PER_DAY, "g/day"),
    Result("alkalinity_to_add", "Alkalinity to add", MASS_PER_DAY, "g/day"),
    Result("calcium_hydroxide", "Calcium hydroxide", MASS_PER_DAY, "g/day", main=True),
    Result("potassium_hydroxide", "or potassium hydroxide", MASS_PER_DAY, "g/day"),
    Result("potassium_bicarbonate", "or potassium bicarbonate", MASS_PER_DAY, "g/day"),
    Result("calcium_carbonate", "or calcium carbonate", MASS_PER_DAY, "g/day"),
    Result("lime_teaspoons", "Hydrated lime, level", SPOONS, "level teaspoons", 1),
    Result(
        "lime_heaped_teaspoons", "Hydrated lime, heaped", SPOONS, "heaped teaspoons", 1, main=True
    ),
    Result("days_to_floor", "Days until the floor", DAYS, "days", 1),
)
SCHOOL: Mapping[str, str | float] = {"feed": "275 g", "protein": 32}
BASE_DEMAND = Calculator(
    id="base-demand",
    title="Base for the day's feed",
    question="How much base a day keeps the pH from falling?",
    inputs=INPUTS,
    results=RESULTS,
    compute=compute,
    sources=(
        "stumm-morgan-1996",
        "ksu-2021",
        "timmons-ebeling-2013",
        "us-epa-1975",
        "ebeling-2006",
        "iupac-atomic-weights",
        "base-per-feed-table",
        "lime-data-sheet",
        "metric-spoons",
        "common-practice",
    ),
    articles=("ph-keeps-falling", "raising-ph", "record-keeping"),
    examples=(
        Example(
            title="Nothing given back: 275 g of 32 % feed a day",
            given={**SCHOOL, "recovered": 0},
            expect={"ammonia_nitrogen": 8.096, "alkalinity_use": 57.8, "calcium_hydroxide": 42.83},
            source="us-epa-1975",
            tolerance=0.005,
        ),
        Example(
            title="A manual's figures: 2 kg of 32 % feed give 58.9 g of ammonia nitrogen",
            given={"feed": "2 kg", "protein": 32},
            expect={"ammonia_nitrogen": 58.9},
            source="ksu-2021",
            tolerance=0.002,
        ),
        Example(
            title="A well-planted greenhouse with 1000 L at 4 dKH",
            given={**SCHOOL, "recovered": 70, "volume": "1000 L", "alkalinity": "4 dKH"},
            expect={"alkalinity_use": 17.35, "calcium_hydroxide": 12.85, "days_to_floor": 2.39},
            source="us-epa-1975",
            tolerance=0.005,
        ),
    ),
)
