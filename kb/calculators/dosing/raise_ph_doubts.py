"""How far a dose of base may be off: each figure comes from working the dose out again."""

from dataclasses import replace

from kb.calculators.dosing import METER_ERROR, STRENGTH_LOSS, UNSURE_PH
from kb.calculators.dosing.alike import reading_doubts
from kb.science.carbonate import CO2_MG_PER_MOL, air_co2_mol_l, settle
from kb.science.dosing import saturation
from kb.science.raising import BaseAsk, BasePlan, plan_base
from kb.science.reach import OutOfReach
from kb.science.substances import BULK_DENSITY_G_ML, lime_solubility_g_l
from kb.units import show

MUCH_CO2_MG_L = 40.0  # common-practice: more is seldom true of water with living fish in it
HEAP = 2.0  # common-practice: a heaped spoon holds at least twice a level one


def doubts(plan: BasePlan) -> tuple[str, ...]:
    """All that makes this answer less sure, the weightiest first."""
    readings = reading_doubts(plan.ask, _answer)
    return (*readings, *_carbon_dioxide(plan), *_powder(plan), *_chemistry(plan))


def _answer(ask: BaseAsk) -> str:
    """What another reading would make of the dose: the grams for a target, else the settled pH."""
    try:
        plan = plan_base(ask)
    except OutOfReach as end:
        return "no base is needed" if end.why == "not-above" else "no dose can be worked out"
    if ask.dose_g is not None:
        return f"pH settles at {show(plan.settled_ph, 2)}"
    if ask.target_ph is not None:
        return f"it takes {show(plan.mass_g)} g"
    return f"it takes {show(plan.mass_g)} g and settles at {show(plan.settled_ph, 2)}"


def _carbon_dioxide(plan: BasePlan) -> tuple[str, ...]:
    ask = plan.ask
    air = air_co2_mol_l(temp_c=ask.temp_c)
    aired = settle(plan.water, co2_mol_l=air).ph
    said = []
    if plan.co2_mg_l > MUCH_CO2_MG_L:
        said.append(
            f"The readings mean {show(plan.co2_mg_l, 0)} mg/L of carbon dioxide, a lot for water "
            "with fish in it (common practice). Other acids or a false reading may be behind it: "
            "air a cupful for an hour, test both again, and dose a small part first."
        )
    if plan.now.co2_mol_l < 0.9 * air:
        said.append(
            f"The readings mean {show(plan.co2_mg_l, 2)} mg/L of carbon dioxide, less than the "
            f"{show(air * CO2_MG_PER_MOL, 2)} mg/L that air alone gives, which no tank keeps for "
            "long. The settled pH is worked out with that of the air; test both again."
        )
    if ask.target_ph is not None and ask.target_ph <= aired:
        said.append(
            f"Full aeration alone would bring this water to pH {show(aired, 1)} without any base, "
            "by driving carbon dioxide off; more air is the first thing to try."
        )
    known: list[float] = []
    if plan.after.at_once.ph > UNSURE_PH:
        ends = (_at_once(replace(ask, ph=ask.ph + by)) for by in (-METER_ERROR, METER_ERROR))
        known = sorted(ph for ph in ends if ph is not None)
    if known:
        said.append(
            f"Above pH {UNSURE_PH} the pH at once hangs on small errors: a pH reading "
            f"{METER_ERROR} off makes it {' or '.join(show(ph, 2) for ph in known)}."
        )
    return tuple(said)


def _at_once(ask: BaseAsk) -> float | None:
    try:
        return plan_base(ask).after.at_once.ph
    except OutOfReach:
        return None


def _powder(plan: BasePlan) -> tuple[str, ...]:
    ask = plan.ask
    said = []
    if ask.dose_g is None:
        more = plan.mass_g / (1 - STRENGTH_LOSS / 100)
        said.append(
            f"If the powder is {STRENGTH_LOSS:.0f} % weaker than entered, it takes {show(more)} g."
        )
    else:
        weaker = _answer(replace(ask, purity=ask.purity * (1 - STRENGTH_LOSS / 100)))
        said.append(f"If the powder is {STRENGTH_LOSS:.0f} % weaker than entered, {weaker}.")
    if ask.base in BULK_DENSITY_G_ML:
        dose = replace(ask, dose_g=HEAP * plan.mass_g, target_ph=None, target_alkalinity=None)
        said.append(
            f"If every spoon is heaped (twice as much or more, common practice), {_answer(dose)}."
        )
    if ask.base == "calcium-hydroxide":
        litres = plan.dissolved_g * ask.purity / 100 / lime_solubility_g_l(temp_c=ask.temp_c)
        said.append(
            f"It takes {show(litres)} L of water to dissolve that much lime; in a smaller bucket "
            "it stays a milk that must be stirred while it is poured (solubility-lime)."
        )
    return tuple(said)


def _chemistry(plan: BasePlan) -> tuple[str, ...]:
    ask = plan.ask
    said = []
    if plan.base.mineral:
        said.append(_slow(plan))
    if ask.base == "magnesium-hydroxide":
        said.append("Magnesium hydroxide dissolves slowly, over hours to days (common practice).")
    calcium = plan.after.water.calcium_mol_l
    if calcium and not plan.base.mineral:
        over = saturation(plan.after.water, "calcite", co2_mol_l=plan.held)
        if over > 0:
            said.append(
                "With this much calcium the settled water is over-saturated with chalk; some may "
                "cloud out, and pH and alkalinity then end lower."
            )
    said.append(
        "The sum keeps within 0.03 pH of PHREEQC (phreeqc); real water, with its humus, phosphate "
        "and unread calcium, may well be 0.1 to 0.2 off."
    )
    if not ask.ammonia:
        said.append("Ammonia was taken as none. Test it first: a rise in pH makes it harmful.")
    return tuple(said)


def _slow(plan: BasePlan) -> str:
    text = (
        "It dissolves over days to weeks, and slower the nearer the water is to saturation "
        "(common practice)"
    )
    if plan.leftover:
        text = (
            f"Only about {show(plan.dissolved_g)} g of the {show(plan.mass_g)} g dissolve "
            "before the water is saturated; " + text[0].lower() + text[1:]
        )
    if not plan.ask.calcium:
        text += "; calcium already in the water, not entered here, makes it stop sooner"
    return text + "."
