"""The sentences and the working of a dose of base."""

from math import log10

from kb.calculators.ammonia import CAREFUL_MG_L, HARM_MG_L
from kb.calculators.dosing import KIT_HALF_STEP
from kb.calculators.dosing.raise_ph_doubts import HEAP
from kb.calculators.model import Step, Values, show_plain
from kb.science.carbonate import AIR_UATM, CACO3_MG_PER_EQ, CO2_MG_PER_MOL, air_co2_mol_l
from kb.science.raising import BasePlan
from kb.science.substances import BULK_DENSITY_G_ML
from kb.units import TEASPOON_ML, show

MANY_PARTS = 20  # common-practice
NAMES = {
    "calcium-hydroxide": "calcium hydroxide (hydrated lime)",
    "potassium-hydroxide": "potassium hydroxide (caustic potash)",
    "potassium-bicarbonate": "potassium bicarbonate",
    "potassium-carbonate": "potassium carbonate (potash)",
    "calcium-carbonate": "calcium carbonate (chalk, shell grit)",
    "sodium-bicarbonate": "sodium bicarbonate (baking soda)",
    "dolomite": "dolomite",
    "magnesium-hydroxide": "magnesium hydroxide",
}
SLOW = ("calcium-carbonate", "dolomite", "magnesium-hydroxide")
IONS = {"Ca": "calcium", "K": "potassium", "Mg": "magnesium", "Na": "sodium"}


def sentences(plan: BasePlan, values: Values) -> dict[str, str]:
    """What each result means, by the name of the result with ``say`` before it."""
    ask, after = plan.ask, plan.after
    mass, rise = show(plan.mass_g), f"{show(ask.alkalinity)} to {show(plan.alkalinity)}"
    ammonia = _ammonia_sentence(plan)
    return {
        "say mass": (
            f"{ammonia if harmful(plan) else ''}{mass} g of {NAMES[ask.base]} in all for "
            f"{show(ask.volume_l)} L of water, {_parts(plan)}."
            f"{_too_soft(plan)}"
        ),
        "say teaspoons": (
            f"{mass} g is about {show(float(values['teaspoons'] or 0), 1)} level teaspoons of "
            f"5 mL; a heaped one holds {HEAP:.0f} to 3 times as much, so weigh it if you can."
        ),
        "say additions": _additions(plan),
        "say alkalinity_after": f"Alkalinity goes from {rise} mg/L as CaCO₃, and that lasts.",
        "say ph_at_once": (
            f"Poured in all at once, it would take the pH from {ask.ph:g} to "
            f"{show(after.at_once.ph, 2)} before the fish's carbon dioxide catches up"
            + (", if it dissolved at once; in truth it takes days." if ask.base in SLOW else ".")
        ),
        "say ph_settled": (
            f"pH settles near {show(after.settled.ph, 1)} once the carbon dioxide is back where "
            "the fish and the filter hold it."
        ),
        "say ph_after_aeration": (
            f"With the water aired until it holds no more carbon dioxide than the air does, pH "
            f"would reach {show(after.aerated.ph, 1)}; a stocked tank stays below that."
        ),
        **{f"say {name}_added": _added(name, plan.added_mg_l(atom)) for atom, name in IONS.items()},
        "say unionised_before": (
            f"Un-ionised ammonia now: {_ammonia(plan.unionised_mg_l(ask.ph))} mg/L as N."
        ),
        "say unionised_after": ammonia.strip(),
    }


def _parts(plan: BasePlan) -> str:
    if plan.leftover:
        return f"of which only about {show(plan.dissolved_g)} g dissolve"
    if plan.parts == 1:
        return "in one go"
    return f"in {show(plan.parts, 0)} parts of {show(plan.mass_g / plan.parts)} g"


def _too_soft(plan: BasePlan) -> str:
    if plan.ask.target_ph is None or plan.ask.alkalinity >= KIT_HALF_STEP:
        return ""
    return (
        " So little alkalinity is less than a kit can tell, and the dose hangs on it: go by a "
        "target alkalinity instead."
    )


def _additions(plan: BasePlan) -> str:
    step = f"{plan.ask.step:g}"
    if plan.parts == 1:
        return f"It can go in as one part: the pH moves by no more than {step}."
    parts = f"{show(plan.parts, 0)} parts of {show(plan.dissolved_g / plan.parts)} g"
    text = f"Give it in {parts}, and wait and test between them; none moves the pH by over {step}."
    if plan.leftover:
        text = f"Counting what dissolves, {parts} keep each step of pH within {step}."
    if plan.parts > MANY_PARTS:
        text += (
            " So many parts mean that the water has next to no buffer for this dose: give one or "
            "two, test, and work out the rest anew (common practice)."
        )
    return text


def _added(name: str, mg_l: float) -> str:
    return f"The dose adds {show(mg_l)} mg/L of {name}." if mg_l else f"The dose adds no {name}."


def harmful(plan: BasePlan) -> bool:
    """Does the dose take un-ionised ammonia over the cautious line?"""
    return plan.unionised_mg_l(plan.highest_ph) > CAREFUL_MG_L


def _ammonia_sentence(plan: BasePlan) -> str:
    after = plan.unionised_mg_l(plan.highest_ph)
    found = f"{_ammonia(after)} mg/L of un-ionised ammonia (as N) at pH {show(plan.highest_ph, 2)}"
    if plan.after.at_once.ph > plan.after.settled.ph:
        found += " if all goes in at once"
    if after > HARM_MG_L:
        return f"Do not dose now: {found} is enough to burn gills. "
    if after > CAREFUL_MG_L:
        return f"Wait with the dose: {found} is over the cautious line of {CAREFUL_MG_L} mg/L. "
    if plan.ask.ammonia == 0:
        return "No ammonia was entered; test for it before any base goes in. "
    return f"{found} stays under the cautious line of {CAREFUL_MG_L} mg/L. "


def _ammonia(value: float) -> str:
    return "less than 0.001" if 0 < value < 0.001 else show(value, 3)


def steps(plan: BasePlan) -> tuple[Step, ...]:
    """The working, as one would write it on paper."""
    return (*_dose_steps(plan), *_water_steps(plan))


def _dose_steps(plan: BasePlan) -> tuple[Step, ...]:
    """Carbon dioxide, the alkalinity wanted or given, grams and spoons."""
    ask, base = plan.ask, plan.base
    pk = -log10(plan.now.constants.carbonic[0])
    steps = [
        Step(
            "carbon dioxide now = 0.8794 × alkalinity × 10^(pK₁ − pH), below pH 8.3",
            f"0.8794 × {show(ask.alkalinity)} × 10^({show(pk, 3)} − {ask.ph:g})",
            f"{show(plan.co2_mg_l)} mg/L",
            "plummer-busenberg-1982",
        )
    ]
    if ask.target_ph is not None:
        later = -log10(plan.after.settled.constants.carbonic[0])
        steps.append(
            Step(
                "alkalinity that holds the target with this carbon dioxide = "
                "CO₂ ÷ 0.8794 × 10^(pH − pK₁)",
                f"{show(plan.held_mg_l)} ÷ 0.8794 × 10^({ask.target_ph:g} − {show(later, 3)})",
                f"{show(plan.alkalinity)} mg/L as CaCO₃",
                "plummer-busenberg-1982",
            )
        )
    rise = plan.alkalinity - ask.alkalinity
    volume, share = show(ask.volume_l), show_plain(ask.purity / 100)
    weight = show(base.equivalent_g, 2)
    grams = "rise × litres ÷ 1000 ÷ 50.04 × g per equivalent ÷ purity"
    steps.append(
        Step(
            f"dissolved product = {grams}",
            f"{show(rise)} × {volume} ÷ 1000 ÷ 50.04 × {weight} ÷ {share}",
            f"{show(plan.dissolved_g)} g",
            "iupac-atomic-weights",
        )
    )
    density = BULK_DENSITY_G_ML.get(ask.base)
    if density is not None:
        lime = ask.base == "calcium-hydroxide"
        steps.append(
            Step(
                "level teaspoons = g ÷ (5 mL × g per mL of loose powder)",
                f"{show(plan.mass_g)} ÷ (5 × {density:g})",
                show(plan.mass_g / (density * TEASPOON_ML), 1),
                "lime-data-sheet" if lime else "potassium-bicarbonate-specification",
            )
        )
    return tuple(steps)


def _water_steps(plan: BasePlan) -> tuple[Step, ...]:
    """The three pH values, the parts, the ions and the ammonia."""
    ask, after, source = plan.ask, plan.after, "stumm-morgan-1996"
    where = f"alkalinity {show(plan.alkalinity)} mg/L"
    first = f"alkalinity {show(after.at_once_eq_l * CACO3_MG_PER_EQ)} mg/L"
    air = air_co2_mol_l(temp_c=ask.temp_c)
    balance = "pH at which alkalinity = HCO₃ + 2 CO₃ + OH − H"
    steps = [
        Step(
            f"at once: {balance}, carbon as after the dose",
            f"{first}, carbon {show(after.at_once.carbon_mol_l * 1000)} mmol/L",
            f"pH {show(after.at_once.ph, 2)}",
            source,
        ),
        Step(
            f"settled: {balance}, carbon dioxide as now, or of the air if that is more",
            f"{where}, {show(plan.held_mg_l)} mg/L of carbon dioxide",
            f"pH {show(after.settled.ph, 2)}",
            source,
        ),
        Step(
            f"aired: {balance}, carbon dioxide of the air ({AIR_UATM:.0f} µatm)",
            f"{where}, {show(air * CO2_MG_PER_MOL)} mg/L of carbon dioxide",
            f"pH {show(after.aerated.ph, 2)}",
            source,
        ),
        Step(
            "parts = dose ÷ the largest dose that keeps to the step, rounded up",
            f"{show(plan.mass_g)} g, step {ask.step:g} pH",
            f"{plan.parts}",
            "stumm-morgan-1996",
        ),
    ]
    for atom, name in IONS.items():
        if plan.added_mg_l(atom):
            steps.append(
                Step(
                    f"{name} added = mmol/L dissolved × mg per mmol",
                    f"{show(plan.mol_l * 1000)} × {show(plan.base.mg_per_mol(atom) / 1000)}",
                    f"{show(plan.added_mg_l(atom))} mg/L",
                    "iupac-atomic-weights",
                )
            )
    if ask.ammonia:
        steps.append(
            Step(
                "un-ionised ammonia = total as N ÷ (1 + 10^(pKa − pH))",
                f"{show(ask.ammonia)} mg/L at pH {show(plan.highest_ph, 2)}",
                f"{_ammonia(plan.unionised_mg_l(plan.highest_ph))} mg/L as N",
                "emerson-1975",
            )
        )
    return tuple(steps)
