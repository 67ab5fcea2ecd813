"""The sentences, the working and the doubts of acid in top-up water."""

from dataclasses import replace

from kb.calculators.dosing import STRENGTH_LOSS, UNSURE_PH
from kb.calculators.dosing.alike import (
    BALANCE,
    added,
    aired_step,
    carbon_dioxide_step,
    reading_doubts,
)
from kb.calculators.model import Step, show_plain
from kb.science.carbonate import CACO3_MG_PER_EQ
from kb.science.lowering import AcidAsk, AcidPlan, plan_acid
from kb.science.reach import OutOfReach
from kb.units import show

NAMES = {
    "hydrochloric": "hydrochloric acid (muriatic acid)",
    "phosphoric": "phosphoric acid",
    "sulphuric": "sulphuric acid",
    "citric": "citric acid",
}
SMALL_BUFFER = 20.0  # common-practice, mg/L
IONS = {"P": "phosphorus", "Cl": "chloride"}
SULPHATE_MG_PER_MMOL = 96.056  # iupac-atomic-weights


def sulphate_mg_l(plan: AcidPlan) -> float:
    """The sulphate that the acid adds, as SO4."""
    return plan.mol_l * plan.acid.sulphate * SULPHATE_MG_PER_MMOL * 1000


def amount(plan: AcidPlan) -> str:
    """The acid as one measures it out: millilitres with grams, or grams of a powder."""
    if plan.product_l is None:
        return f"{show(plan.mass_g)} g"
    return f"{show(plan.product_l * 1000)} mL ({show(plan.mass_g)} g)"


def sentences(plan: AcidPlan, mixed: float | None) -> dict[str, str]:
    """What each result means, by its name; nothing of one that is not there."""
    ask, after = plan.ask, plan.after
    product = f"{show_plain(ask.strength)} % {NAMES[ask.acid]}"
    where = f"for {show(ask.volume_l)} L of top-up water, in a container with no fish in it"
    change = f"from {show(ask.alkalinity)} to {show(plan.alkalinity)} mg/L as CaCO₃"
    said = {
        "acid_mass": f"{amount(plan)} of {product} {where}; acid into water.",
        "alkalinity_after": f"The acid takes the top-up's alkalinity {change}.",
        "ph_at_once": (
            f"Right after mixing the top-up reads about pH {show(after.at_once.ph, 1)}, mostly "
            "from the carbon dioxide that the acid sets free."
        ),
        "ph_after_aeration": _bounce(plan),
        "phosphorus_added": added("The acid", "phosphorus", plan.added_mg_l("P")),
        "chloride_added": added("The acid", "chloride", plan.added_mg_l("Cl")),
        "sulphate_added": added("The acid", "sulphate", sulphate_mg_l(plan)),
    }
    if plan.product_l is not None:
        said["acid_volume"] = f"{amount(plan)} of {product} {where}."
    if mixed is not None:
        said["system_alkalinity_after"] = (
            f"Poured into the system, the top-up brings its alkalinity to {show(mixed)} "
            "mg/L as CaCO₃."
        )
    return said


def _bounce(plan: AcidPlan) -> str:
    first, later = (show(state.ph, 1) for state in (plan.after.at_once, plan.after.aerated))
    lasts = "only the alkalinity that is gone stays gone"
    if plan.acid.citrate:
        lasts = "and once bacteria have eaten the citrate the alkalinity is back too"
    if plan.after.aerated.ph <= plan.after.at_once.ph:
        return f"The top-up reads pH {first} at first and drifts to {later} in air; {lasts}."
    return (
        f"The top-up reads pH {first} at first and climbs back to {later} as the carbon dioxide "
        f"leaves; {lasts}."
    )


def steps(plan: AcidPlan) -> tuple[Step, ...]:
    """The working, as one would write it on paper."""
    return (*_acid_steps(plan), *_ph_steps(plan), *_ion_steps(plan))


def _acid_steps(plan: AcidPlan) -> tuple[Step, ...]:
    ask = plan.ask
    removed = plan.mol_l * -plan.acid.alkalinity * CACO3_MG_PER_EQ
    found = [
        carbon_dioxide_step(ask, plan.now),
        Step(
            "product = alkalinity taken × litres ÷ 1000 ÷ 50.04 × g per equivalent ÷ strength",
            f"{show(removed)} × {show(ask.volume_l)} ÷ 1000 ÷ 50.04 × "
            f"{show(plan.acid.equivalent_g, 2)} ÷ {show_plain(ask.strength / 100)}",
            f"{show(plan.mass_g)} g",
            "iupac-atomic-weights",
        ),
    ]
    if plan.density_g_ml is not None and plan.product_l is not None:
        found.append(
            Step(
                "volume = mass ÷ density",
                f"{show(plan.mass_g)} ÷ {show(plan.density_g_ml, 3)}",
                f"{show(plan.product_l * 1000)} mL",
                _density_source(ask.acid),
            )
        )
    return tuple(found)


def _density_source(acid: str) -> str:
    named = {"hydrochloric": "hcl-density-table", "citric": "common-practice"}
    return named.get(acid, "acid-density-table")


def _ph_steps(plan: AcidPlan) -> tuple[Step, ...]:
    after = plan.after
    where = f"alkalinity {show(plan.alkalinity)} mg/L"
    balance = BALANCE
    if plan.acid.phosphate:
        balance += " + HPO₄ − H₃PO₄"
    if plan.acid.citrate:
        balance += " + citrate"
    return (
        Step(
            f"at once: {balance}, carbon as before",
            f"{where}, carbon {show(after.at_once.carbon_mol_l * 1000)} mmol/L",
            f"pH {show(after.at_once.ph, 2)}",
            "stumm-morgan-1996",
        ),
        aired_step(balance, where, after.aerated, temp_c=plan.ask.temp_c),
    )


def _ion_steps(plan: AcidPlan) -> tuple[Step, ...]:
    added = [(name, plan.added_mg_l(atom)) for atom, name in IONS.items()]
    added.append(("sulphate", sulphate_mg_l(plan)))
    return tuple(
        Step(
            f"{name} added = mmol/L of acid × mg per mmol",
            f"{show(plan.mol_l * 1000)} × {show(value / plan.mol_l / 1000, 2)}",
            f"{show(value)} mg/L",
            "iupac-atomic-weights",
        )
        for name, value in added
        if value > 0
    )


def doubts(plan: AcidPlan) -> tuple[str, ...]:
    """All that makes this answer less sure; each figure comes from working it out again."""
    return (*reading_doubts(plan.ask, _answer), *_strength_doubts(plan), *_chemistry_doubts(plan))


def _answer(ask: AcidAsk) -> str:
    """What another reading would make of it: the amount for a target, else where it ends."""
    try:
        plan = plan_acid(ask)
    except OutOfReach as end:
        if end.why == "used-up":
            return "the acid is more than the water can take"
        return "no acid is needed" if end.why == "not-below" else "no amount can be worked out"
    end_ph = f"pH {show(plan.after.at_once.ph, 2)} at once"
    if ask.acid_g is None and ask.acid_l is None:
        return f"it takes {amount(plan)}, to {end_ph}"
    return f"it ends at {show(plan.alkalinity)} mg/L, {end_ph}"


def _strength_doubts(plan: AcidPlan) -> tuple[str, ...]:
    ask = plan.ask
    share = 1 - STRENGTH_LOSS / 100
    if ask.acid_g is None and ask.acid_l is None:
        weaker = f"it takes {show(plan.mass_g / share)} g"
    else:
        weaker = _answer(replace(ask, strength=ask.strength * share))
    said = [f"If the acid is {STRENGTH_LOSS:.0f} % weaker than entered, {weaker}."]
    if plan.density_g_ml is not None:
        said.append(
            "The density is drawn between the points of a table and may be 2 % off; weighing is "
            "surer than measuring the volume."
        )
    if plan.product_l is not None and plan.product_l > 0.01 * ask.volume_l:
        said.append("So much weak acid also adds water of its own, which is left out here.")
    return tuple(said)


def _chemistry_doubts(plan: AcidPlan) -> tuple[str, ...]:
    ask, after = plan.ask, plan.after
    said = []
    if after.at_once.ph > UNSURE_PH:
        said.append(
            f"Above pH {UNSURE_PH} the pH at once hangs on small errors of the readings; go by "
            "the alkalinity."
        )
    if plan.alkalinity < SMALL_BUFFER:
        dose = replace(
            ask, acid_g=1.1 * plan.mass_g, acid_l=None, target_ph=None, target_alkalinity=None
        )
        said.append(f"Hardly any buffer is left: with a tenth more acid, {_answer(dose)}.")
    if ask.acid == "citric":
        said.append(
            "Bacteria eat citrate within days, and the alkalinity then comes back to "
            f"{show(ask.alkalinity)} mg/L (common practice): the effect does not last."
        )
        said.append(
            "Alkalinity after citric acid is what a titration to pH 4.5 would read, citrate "
            "included."
        )
    if ask.acid == "phosphoric":
        said.append(
            "In hard water some phosphate may fall out with calcium, and it feeds algae "
            "(common practice)."
        )
    said.append(
        "The calcium of hard water is not asked for; what it binds may shift the pH by up to 0.04 "
        "at once and 0.08 in air (phreeqc)."
    )
    return tuple(said)
