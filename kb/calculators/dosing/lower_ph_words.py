"""The sentences, the working and the doubts of acid in top-up water."""

from dataclasses import replace
from math import log10

from kb.calculators.dosing import KIT_HALF_STEP, METER_ERROR, STRENGTH_LOSS, UNSURE_PH
from kb.calculators.model import Step, show_plain
from kb.science.carbonate import (
    AIR_UATM,
    CACO3_MG_PER_EQ,
    CO2_MG_PER_MOL,
    air_co2_mol_l,
)
from kb.science.lowering import AcidAsk, AcidOutOfReach, AcidPlan, plan_acid
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
    """What each result means, by the name of the result with ``say`` before it."""
    ask, after = plan.ask, plan.after
    product = f"{show_plain(ask.strength)} % {NAMES[ask.acid]}"
    where = f"for {show(ask.volume_l)} L of top-up water, in a container with no fish in it"
    change = f"from {show(ask.alkalinity)} to {show(plan.alkalinity)} mg/L as CaCO₃"
    return {
        "say acid_volume": f"{amount(plan)} of {product} {where}.",
        "say acid_mass": f"{amount(plan)} of {product} {where}; acid into water.",
        "say alkalinity_after": f"The acid takes the top-up's alkalinity {change}.",
        "say ph_at_once": (
            f"Right after mixing the top-up reads about pH {show(after.at_once.ph, 1)}, mostly "
            "from the carbon dioxide that the acid sets free."
        ),
        "say ph_after_aeration": _bounce(plan),
        "say phosphorus_added": _added("phosphorus", plan.added_mg_l("P")),
        "say chloride_added": _added("chloride", plan.added_mg_l("Cl")),
        "say sulphate_added": _added("sulphate", sulphate_mg_l(plan)),
        "say system_alkalinity_after": (
            f"Poured into the system, the top-up brings its alkalinity to {show(mixed or 0.0)} "
            "mg/L as CaCO₃."
        ),
    }


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


def _added(name: str, mg_l: float) -> str:
    return f"The acid adds {show(mg_l)} mg/L of {name}." if mg_l else f"The acid adds no {name}."


def steps(plan: AcidPlan) -> tuple[Step, ...]:
    """The working, as one would write it on paper."""
    return (*_acid_steps(plan), *_ph_steps(plan), *_ion_steps(plan))


def _acid_steps(plan: AcidPlan) -> tuple[Step, ...]:
    ask = plan.ask
    pk = -log10(plan.now.constants.carbonic[0])
    removed = plan.mol_l * -plan.acid.alkalinity * CACO3_MG_PER_EQ
    found = [
        Step(
            "carbon dioxide now = 0.8794 × alkalinity × 10^(pK₁ − pH), below pH 8.3",
            f"0.8794 × {show(ask.alkalinity)} × 10^({show(pk, 3)} − {ask.ph:g})",
            f"{show(plan.now.co2_mol_l * CO2_MG_PER_MOL)} mg/L",
            "plummer-busenberg-1982",
        ),
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
    air = air_co2_mol_l(temp_c=plan.ask.temp_c) * CO2_MG_PER_MOL
    balance = "pH at which alkalinity = HCO₃ + 2 CO₃ + OH − H"
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
        Step(
            f"aired: {balance}, carbon dioxide of the air ({AIR_UATM:.0f} µatm)",
            f"{where}, {show(air)} mg/L of carbon dioxide",
            f"pH {show(after.aerated.ph, 2)}",
            "stumm-morgan-1996",
        ),
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
    return (*_reading_doubts(plan), *_strength_doubts(plan), *_chemistry_doubts(plan))


def _reading_doubts(plan: AcidPlan) -> tuple[str, ...]:
    ask = plan.ask
    low, high = max(0.0, ask.alkalinity - KIT_HALF_STEP), ask.alkalinity + KIT_HALF_STEP
    kit = f"at {show(high)} {_answer(replace(ask, alkalinity=high))}."
    if low < ask.alkalinity:
        kit = f"at {show(low)} {_answer(replace(ask, alkalinity=low))}; {kit}"
    acid_lower = _answer(replace(ask, ph=ask.ph - METER_ERROR))
    acid_higher = _answer(replace(ask, ph=ask.ph + METER_ERROR))
    return (
        f"If the pH is really {METER_ERROR} lower, {acid_lower}; if {METER_ERROR} higher, "
        f"{acid_higher}.",
        f"If the alkalinity is off by half a drop of a common kit, {KIT_HALF_STEP:.0f} mg/L: {kit}",
    )


def _answer(ask: AcidAsk) -> str:
    """What another reading would make of it: the amount for a target, else where it ends."""
    try:
        plan = plan_acid(ask)
    except AcidOutOfReach as end:
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
        "Pairs that calcium and magnesium form with bicarbonate are left out; in hard water that "
        "may shift the pH by up to 0.04 at once and 0.08 in air (phreeqc)."
    )
    return tuple(said)
