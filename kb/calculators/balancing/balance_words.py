"""What the balance says of its results."""

from kb.calculators.balancing.balance_plan import Plan
from kb.calculators.balancing.shared import degrees, few
from kb.calculators.model import show_plain

BINDS = {
    "ammonia": "the filter: its surface takes up no more ammonia at the allowed level",
    "turnover": "the flow: it brings the ammonia to the filter no faster",
    "oxygen": "the oxygen: fish and bacteria use all that is supplied",
    "plants": "the plants: with more feed nitrate rises and never stops",
}
HELPS = {
    "ammonia": "More surface, or warmer water, raises it.",
    "turnover": "More flow between tank and filter raises it.",
    "oxygen": "More aeration raises it.",
    "plants": "More plants raise it; so do water changes, which are not counted here.",
}


def sentences(plan: Plan) -> dict[str, str]:
    """Every result in plain words."""
    return {
        **_ammonia(plan),
        **_oxygen(plan),
        **_nitrate_and_alkalinity(plan),
        **_feed(plan),
        **_each_limit(plan),
    }


def _ammonia(plan: Plan) -> dict[str, str]:
    loop = plan.loop
    tan = loop.tank_tan
    where = f"at pH {show_plain(plan.ph)} and {degrees(plan.temp_c)}"
    limit = (
        f"{few(plan.tan_limit)} mg/L of total ammonia (as N) is the most that is allowed {where}."
    )
    if tan is None:
        rise = loop.left_over * 1000 / plan.volume
        never = (
            f"Ammonia does not settle: the filter takes up {few(loop.nitrified)} of "
            f"{few(loop.ammonia)} g a day at best, so total ammonia climbs by {few(rise)} mg/L "
            "(as N) every day. Feed less."
        )
        return {"tan_steady": never, "unionised_steady": never, "tan_limit": limit}
    side = "within" if tan <= plan.tan_limit * (1 + 1e-9) else "over"
    return {
        "tan_steady": (
            f"Total ammonia settles at about {few(tan, 2)} mg/L (as N), {side} the "
            f"{few(plan.tan_limit, 2)} mg/L that is allowed {where}."
        ),
        "unionised_steady": (
            f"{few(tan * plan.fraction, 2)} mg/L of it is un-ionised (as N); "
            "0.02 is the cautious line, 0.05 burns gills."
        ),
        "tan_limit": limit,
    }


def _oxygen(plan: Plan) -> dict[str, str]:
    loop = plan.loop
    use = (
        f"Fish ({few(loop.oxygen_fish)} g) and nitrifying bacteria "
        f"({few(loop.oxygen_use - loop.oxygen_fish)} g) use about {few(loop.oxygen_use)} g "
        "of oxygen a day."
    )
    margin = loop.oxygen_margin
    if margin is None:
        said = "Give the oxygen that aeration brings in a day to see whether it suffices."
    elif margin < 0:
        said = f"{few(-margin)} g of oxygen a day are missing: add air or feed less."
    else:
        said = f"{few(margin)} g of oxygen a day are left over."
    return {"oxygen_use": use, "oxygen_margin": said}


def _nitrate_and_alkalinity(plan: Plan) -> dict[str, str]:
    loop = plan.loop
    trend = loop.nitrate_trend
    if abs(trend) < 0.005:
        nitrate = "Nitrate (as NO3) stays about where it is."
    elif trend > 0:
        nitrate = f"Nitrate (as NO3) rises by about {few(trend, 2)} mg/L a day."
    else:
        nitrate = (
            f"Nitrate (as NO3) falls by about {few(-trend, 2)} mg/L a day until the plants have "
            "used it up; then they go hungry."
        )
    return {
        "nitrate_trend": nitrate,
        "alkalinity_use": (
            f"About {few(loop.alkalinity_use, 2)} g of alkalinity (as CaCO3) is used up a day, "
            "after what plants and denitrifying bacteria give back."
        ),
        "alkalinity_to_add": (
            f"Base has to bring about {few(plan.alkalinity_to_add, 2)} g a day (as CaCO3)"
            + (f"; the top-up brings {few(plan.from_top_up, 2)} g." if plan.from_top_up else ".")
        ),
    }


def _feed(plan: Plan) -> dict[str, str]:
    loop = plan.loop
    binds = BINDS[loop.limit]
    most = f"{few(loop.feed_max)} g of feed a day"
    side = "The feed is within it." if plan.feed <= loop.feed_max else "The feed is over it."
    return {
        "feed_max": f"The system carries at most about {most}. What binds first is {binds}.",
        "limit": f"At {most}, what binds first is {binds}. {HELPS[loop.limit]} {side}",
    }


def _each_limit(plan: Plan) -> dict[str, str]:
    loop = plan.loop
    oxygen, plants = loop.feed_by_oxygen, loop.feed_by_plants
    return {
        "feed_by_filter": f"{few(loop.feed_by_filter)} g a day by the filter's surface alone.",
        "feed_by_turnover": f"{few(loop.feed_by_turnover)} g a day by the flow alone, if the "
        "filter took up all that reaches it.",
        "feed_by_ammonia": f"{few(loop.feed_by_ammonia)} g a day by filter and flow together.",
        "feed_by_oxygen": "Not reckoned with: no oxygen supply was given."
        if oxygen is None
        else f"{few(oxygen)} g a day by the oxygen.",
        "feed_by_plants": _plants_limit(plan)
        if plants is None
        else f"{few(plants)} g a day by the plants.",
    }


def _plants_limit(plan: Plan) -> str:
    if plan.plant_area == 0:
        return "There are no plants: nitrate has to leave with water changes."
    return "The plants take up more than the filter could ever make of nitrate."
