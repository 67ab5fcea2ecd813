"""How sure the balance is: the same sum again with other figures that have a source."""

from kb.calculators.balancing.balance_plan import UNIONISED_HARM_MG_L, Plan
from kb.calculators.balancing.shared import few
from kb.science.biofilter import HIGHEST_RATE, LOWEST_RATE, STEEPER_THETA
from kb.science.nitrification import ALKALINITY_PER_N
from kb.science.plants import FEED_PER_M2, RAFT_FEED_PER_M2

SOUR_PH, FULL_PH = 6.7, 7.3  # rusten-2006: half the rate at 6.7
LEAST_SETTLED = 0.65  # solids-encyclopaedia: 65 to 85 % at 40 to 80 m/day
LOW_OXYGEN_PER_FEED = 0.25  # common practice
TRADE_G_PER_KG_FEED = 70.0  # base-per-feed-table: calcium carbonate, planted systems


def doubts(plan: Plan) -> tuple[str, ...]:
    """The doubts, those that move the answer most first."""
    return (
        _rate_doubt(plan),
        *_temperature_doubt(plan),
        *_ph_doubt(plan),
        *_plant_doubt(plan),
        _oxygen_doubt(plan),
        *_solids_doubt(plan),
        *_line_doubt(plan),
        _alkalinity_doubt(plan),
        _turnover_doubt(plan),
        "It is a mean over the day in well-mixed water with a grown-in filter and no water let "
        "out; after a meal ammonia and oxygen use stand well above the mean. Believe your tests.",
    )


def _outcome(plan: Plan) -> str:
    loop = plan.loop
    tan = "ammonia that never settles" if loop.tank_tan is None else f"{few(loop.tank_tan, 2)} mg/L"
    return f"{tan}, at most {few(loop.feed_max)} g of feed ({loop.limit})"


def _rate_doubt(plan: Plan) -> str:
    slow = plan.but(rate=min(LOWEST_RATE, plan.rate))
    fast = plan.but(rate=max(HIGHEST_RATE, plan.rate))
    return (
        f"The filter's rate is the weakest figure: at {few(slow.rate)} g a m² (as NH3) it comes to "
        f"{_outcome(slow)}; at {few(fast.rate)} g to {_outcome(fast)}. FAO 589 names 0.2 to 2."
    )


def _temperature_doubt(plan: Plan) -> tuple[str, ...]:
    if abs(plan.temp_c - 20) < 0.5:
        return ()
    steeper = _outcome(plan.but(theta=STEEPER_THETA))
    return (f"With the steeper temperature factor of 1.09 (Rusten 2006): {steeper}.",)


def _ph_doubt(plan: Plan) -> tuple[str, ...]:
    if plan.ph >= FULL_PH:
        return ()
    share = max(0.5, 1 - 0.5 * (FULL_PH - plan.ph) / (FULL_PH - SOUR_PH))
    slower = _outcome(plan.but(rate=plan.rate * share))
    return (
        f"Bacteria work at half speed at pH 6.7 against 7.3 (Rusten 2006); if the rate does not "
        f"allow for that already, at this pH it is {slower}.",
    )


def _plant_doubt(plan: Plan) -> tuple[str, ...]:
    if plan.plant_area == 0:
        return ()
    low, high = FEED_PER_M2[plan.crop]
    ends = (plan.but(feed_per_m2=low), plan.but(feed_per_m2=max(high, RAFT_FEED_PER_M2[1])))
    poor, rich = (few(each.loop.nitrate_trend, 2) for each in ends)
    return (
        f"What plants take up is reckoned from feed ratios: at FAO 589's {few(low)} g a m² nitrate "
        f"changes by {poor} mg/L a day, at the raft guide's {few(ends[1].ratio)} g (Rakocy 2007) "
        f"by {rich}. Young plants and winter count for little.",
    )


def _oxygen_doubt(plan: Plan) -> str:
    low = plan.but(oxygen_per_feed=LOW_OXYGEN_PER_FEED).loop
    return (
        "The oxygen of the fish is 0.25 to 0.5 of the feed (common practice); at the low end all "
        f"use {few(low.oxygen_use)} g a day. Rotting solids use more, and are not counted."
    )


def _solids_doubt(plan: Plan) -> tuple[str, ...]:
    if plan.solids_removed <= LEAST_SETTLED:
        return ()
    left = _outcome(plan.but(solids_removed=LEAST_SETTLED))
    return (
        f"If the settler takes 65 % of the solids (published settlers take 65 to 85 %) and the "
        f"rest rots in the system: {left}.",
    )


def _line_doubt(plan: Plan) -> tuple[str, ...]:
    laxer = plan.but(unionised_line=UNIONISED_HARM_MG_L)
    if laxer.tan_limit == plan.tan_limit:
        return ()
    return (
        f"At the harm line of 0.05 mg/L un-ionised instead of the cautious 0.02 the system would "
        f"carry {few(laxer.loop.feed_max)} g ({laxer.loop.limit}).",
    )


def _alkalinity_doubt(plan: Plan) -> str:
    loop = plan.loop
    own = max(0.0, loop.alkalinity_use - loop.nitrified * ALKALINITY_PER_N / 2)
    trade = plan.feed / 1000 * TRADE_G_PER_KG_FEED
    return (
        "Handbooks count 7.14 g of alkalinity for each gram of nitrogen and leave out the 3.57 g "
        f"that ammonia brings as fish give it off (with it, {few(own, 2)} g a day); a trade table "
        f"for planted systems asks for {few(trade, 2)} g a day as CaCO3."
    )


def _turnover_doubt(plan: Plan) -> str:
    return (
        f"The flow moves all the water {few(plan.turnovers, 2)} times an hour; FAO 589 wants once "
        "at low stocking and twice at high."
    )
