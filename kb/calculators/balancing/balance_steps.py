"""The working of the balance, each term of it a line."""

from kb.calculators.balancing.balance_plan import NITROGEN_IN_NH3, TAN_LIMIT_MG_L, Plan
from kb.calculators.balancing.shared import few
from kb.calculators.model import Step, show_plain
from kb.science.nitrification import ALKALINITY_PER_N, OXYGEN_PER_N


def steps(plan: Plan) -> tuple[Step, ...]:
    """All of the working, from the feed's nitrogen to the most feed."""
    return (
        *_feed_steps(plan),
        *_filter_steps(plan),
        *_tan_steps(plan),
        *_oxygen_steps(plan),
        *_nitrate_steps(plan),
        *_limit_steps(plan),
    )


def _feed_steps(plan: Plan) -> tuple[Step, ...]:
    loop = plan.loop
    return (
        Step(
            "nitrogen of the feed = feed × protein × 0.16",
            f"{few(plan.feed, 4)} × {show_plain(plan.protein)} % × 0.16",
            f"{few(loop.feed_nitrogen)} g/day",
            "ksu-2021",
        ),
        Step(
            "of that, ammonia of the fish = feed × protein × 0.092",
            f"{few(plan.feed, 4)} × {show_plain(plan.protein)} % × 0.092",
            f"{few(loop.excreted)} g/day; {few(loop.kept)} g stays in the fish, "
            f"{few(loop.urea)} g is urea and the like",
            "ksu-2021",
        ),
        Step(
            "of that, solids = a fifth; the settler takes its share, the rest rots to ammonia",
            f"{few(loop.feed_nitrogen)} × 0.20 × {few(plan.solids_removed * 100)} % settled",
            f"{few(loop.settled)} g/day leaves as sludge, {few(loop.rotted)} g rots",
            "ksu-2021",
        ),
        Step(
            "ammonia for the filter = ammonia of the fish + ammonia of rotting solids",
            f"{few(loop.excreted)} + {few(loop.rotted)}",
            f"{few(loop.ammonia)} g N/day",
        ),
    )


def _filter_steps(plan: Plan) -> tuple[Step, ...]:
    return (
        Step(
            "rate of the filter at 1 mg/L TAN = rate at 20 °C × factor of temperature, NH3 to N",
            f"{few(plan.rate)} × {plan.theta}^({few(plan.temp_c)} − 20) × {NITROGEN_IN_NH3:.4f}",
            f"{few(plan.rate_here)} g N/m²/day",
            "temperature-nitrification-2007",
        ),
        Step(
            "rate at other TAN = that × TAN^0.7, at most 2 g NH3 (or the rate given)",
            f"{few(plan.rate_here)} × TAN^0.7",
            f"at most {few(plan.top_rate)} g N/m²/day",
            "rusten-2006",
        ),
        Step(
            "TAN allowed = the lesser of 1 mg/L and the un-ionised line / un-ionised share",
            f"{few(TAN_LIMIT_MG_L)} and {few(plan.unionised_line)} / {few(plan.fraction)}",
            f"{few(plan.tan_limit)} mg/L",
            "ksu-2021",
        ),
    )


def _tan_steps(plan: Plan) -> tuple[Step, ...]:
    loop = plan.loop
    if loop.filter_tan is None or loop.tank_tan is None:
        most = plan.surface * plan.top_rate
        return (
            Step(
                "what the filter takes up at best = surface × highest rate",
                f"{few(plan.surface)} × {few(plan.top_rate)}",
                f"{few(most)} g N/day, less than the {few(loop.ammonia)} there are",
                "fao-589",
            ),
        )
    return (
        Step(
            "TAN in the filter = (ammonia / surface / rate at 1 mg/L)^(1 / 0.7)",
            f"({few(loop.ammonia)} / {few(plan.surface)} / {few(plan.rate_here)})^1.43",
            f"{few(loop.filter_tan)} mg/L",
            "rusten-2006",
        ),
        Step(
            "TAN in the tank = TAN in the filter + ammonia × 1000 / (24 × flow)",
            f"{few(loop.filter_tan)} + {few(loop.ammonia)} × 1000 / (24 × {few(plan.flow, 4)})",
            f"{few(loop.tank_tan)} mg/L",
        ),
        Step(
            "un-ionised = TAN in the tank × un-ionised share",
            f"{few(loop.tank_tan)} × {few(plan.fraction)}",
            f"{few(loop.tank_tan * plan.fraction)} mg/L",
            "emerson-1975",
        ),
    )


def _oxygen_steps(plan: Plan) -> tuple[Step, ...]:
    loop = plan.loop
    use = Step(
        "oxygen used = feed × 0.5 + nitrified × 4.57",
        f"{few(plan.feed, 4)} × {plan.oxygen_per_feed} + {few(loop.nitrified)} × {OXYGEN_PER_N}",
        f"{few(loop.oxygen_use)} g/day",
        "timmons-ebeling-2013",
    )
    if loop.oxygen_margin is None or plan.oxygen_supply is None:
        return (use,)
    margin = Step(
        "oxygen left = supply − oxygen used",
        f"{few(plan.oxygen_supply)} − {few(loop.oxygen_use)}",
        f"{few(loop.oxygen_margin)} g/day",
    )
    return (use, margin)


def _nitrate_steps(plan: Plan) -> tuple[Step, ...]:
    loop = plan.loop
    half = ALKALINITY_PER_N / 2
    return (
        Step(
            "nitrogen that the plants can take up = area × feed a m² × 32 % × 0.092",
            f"{few(plan.plant_area)} × {few(plan.ratio)} × 0.32 × 0.092",
            f"{few(loop.plant_nitrogen)} g/day",
            "fao-589",
        ),
        Step(
            "nitrate = (nitrified − denitrified − plants) × 4.427 × 1000 / volume",
            f"({few(loop.nitrified)} − {few(loop.denitrified_nitrogen)} − "
            f"{few(loop.plant_nitrogen)}) × 4427 / {few(plan.volume, 4)}",
            f"{few(loop.nitrate_trend)} mg/L a day as NO3",
            "iupac-atomic-weights",
        ),
        Step(
            "alkalinity used = nitrified × 7.14 − (denitrified + taken up by plants) × 3.57",
            f"{few(loop.nitrified)} × {few(ALKALINITY_PER_N, 4)} − "
            f"({few(loop.denitrified_nitrogen)} + {few(loop.plant_uptake)}) × {few(half, 4)}",
            f"{few(loop.alkalinity_use)} g/day as CaCO3",
            "us-epa-1975",
        ),
        Step(
            "to add = alkalinity used − top-up × its alkalinity / 1000, not under 0",
            f"{few(loop.alkalinity_use)} − {few(plan.top_up)} × {few(plan.top_up_alkalinity)} "
            "/ 1000",
            f"{few(plan.alkalinity_to_add)} g/day as CaCO3",
        ),
    )


def _limit_steps(plan: Plan) -> tuple[Step, ...]:
    loop = plan.loop
    per_feed = few(loop.ammonia_per_feed, 4)
    found = [
        Step(
            "feed by flow alone = TAN allowed × flow × 24 / 1000 / ammonia of a gram of feed",
            f"{few(plan.tan_limit)} × {few(plan.flow, 4)} × 24 / 1000 / {per_feed}",
            f"{few(loop.feed_by_turnover)} g/day",
        ),
        Step(
            "feed by surface alone = surface × rate at the TAN allowed / ammonia of a gram of feed",
            f"{few(plan.surface)} × {few(plan.rate_here)} × {few(plan.tan_limit)}^0.7 / {per_feed}",
            f"{few(loop.feed_by_filter)} g/day",
            "rusten-2006",
        ),
        Step(
            "feed by both = where the TAN of the tank just reaches what is allowed",
            f"found between 0 and the lesser of the two; {per_feed} g of ammonia for a g of feed",
            f"{few(loop.feed_by_ammonia)} g/day",
        ),
    ]
    if loop.feed_by_oxygen is not None and plan.oxygen_supply is not None:
        found.append(_oxygen_limit_step(plan, plan.oxygen_supply, loop.feed_by_oxygen))
    if loop.feed_by_plants is not None:
        found.append(_plants_limit_step(plan, loop.feed_by_plants))
    limits = "; ".join(f"{name} {few(feed)}" for name, feed in loop.limits.items())
    found.append(
        Step("most feed = the least of these", limits, f"{few(loop.feed_max)} g/day: {loop.limit}")
    )
    return tuple(found)


def _oxygen_limit_step(plan: Plan, supply: float, feed: float) -> Step:
    per_feed = few(plan.loop.ammonia_per_feed, 4)
    return Step(
        "feed by oxygen = supply / (0.5 + ammonia of a gram of feed × 4.57)",
        f"{few(supply)} / ({plan.oxygen_per_feed} + {per_feed} × {OXYGEN_PER_N})",
        f"{few(feed)} g/day",
        "common-practice",
    )


def _plants_limit_step(plan: Plan, feed: float) -> Step:
    loop = plan.loop
    return Step(
        "feed by plants = nitrogen they take up / (1 − denitrified) / ammonia of a gram of feed",
        f"{few(loop.plant_nitrogen)} / (1 − {few(plan.denitrified)}) / "
        f"{few(loop.ammonia_per_feed, 4)}",
        f"{few(feed)} g/day",
        "fao-589",
    )
