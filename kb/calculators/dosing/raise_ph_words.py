"""The sentences and the working of a dose of base."""

from math import log10

from kb.calculators.ammonia import CAREFUL_MG_L, HARM_MG_L
from kb.calculators.dosing import KIT_HALF_STEP
from kb.calculators.dosing.alike import BALANCE, added, aired_step, carbon_dioxide_step
from kb.calculators.dosing.raise_ph_doubts import HEAP
from kb.calculators.model import Step, show_plain
from kb.science.carbonate import CACO3_MG_PER_EQ
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


def spoons(plan: BasePlan) -> float | None:
    """The level teaspoons of a powder of known bulk density; None of any other."""
    density = BULK_DENSITY_G_ML.get(plan.ask.base)
    return None if density is None else plan.mass_g / (density * TEASPOON_ML)


def sentences(plan: BasePlan) -> dict[str, str]:
    """What each result means, by its name; nothing of one that is not there."""
    ask, after = plan.ask, plan.after
    mass, rise = show(plan.mass_g), f"{show(ask.alkalinity)} to {show(plan.alkalinity)}"
    ammonia, level = _ammonia_sentence(plan), spoons(plan)
    harmful = plan.unionised_mg_l(plan.highest_ph) > CAREFUL_MG_L
    said = {
        "mass": (
            f"{f'{ammonia} ' if harmful else ''}{mass} g of {NAMES[ask.base]} in all for "
            f"{show(ask.volume_l)} L of water, {_parts(plan)}."
            f"{_too_soft(plan)}"
        ),
        "additions": _additions(plan),
        "alkalinity_after": f"Alkalinity goes from {rise} mg/L as CaCO₃, and that lasts.",
        "ph_at_once": (
            f"Poured in all at once, it would take the pH from {ask.ph:g} to "
            f"{show(after.at_once.ph, 2)} before the fish's carbon dioxide catches up"
            + (", if it dissolved at once; in truth it takes days." if ask.base in SLOW else ".")
        ),
        "ph_settled": (
            f"The pH settles near {show(after.settled.ph, 1)} once the carbon dioxide is back "
            "where the fish and the filter hold it."
        ),
        "ph_after_aeration": (
            f"With the water aired until it holds no more carbon dioxide than the air does, pH "
            f"would reach {show(after.aerated.ph, 1)}; a stocked tank stays below that."
        ),
        **{
            f"{name}_added": added("The dose", name, plan.added_mg_l(atom))
            for atom, name in IONS.items()
        },
        "unionised_before": (
            f"Un-ionised ammonia now: {_ammonia(plan.unionised_mg_l(ask.ph))} mg/L as N."
        ),
        "unionised_after": ammonia,
    }
    if level is not None:
        said["teaspoons"] = (
            f"{mass} g is about {show(level, 1)} level teaspoons of 5 mL; a heaped one holds "
            f"{HEAP:.0f} to 3 times as much, so weigh it if you can."
        )
    return said


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


def _ammonia_sentence(plan: BasePlan) -> str:
    """Where the un-ionised ammonia stands after the dose, and what to do first."""
    if plan.ask.ammonia == 0:
        return "No ammonia was entered; test for it before any base goes in."
    after = plan.unionised_mg_l(plan.highest_ph)
    found = f"{_ammonia(after)} mg/L of un-ionised ammonia (as N) at pH {show(plan.highest_ph, 2)}"
    if plan.after.at_once.ph > plan.after.settled.ph:
        found += " if all goes in at once"
    careful = f"the cautious line of {CAREFUL_MG_L} mg/L"
    gills = f"the {HARM_MG_L} mg/L that burns gills"
    if after > HARM_MG_L:
        return f"Do not dose now: {found} is over {gills}; bring the ammonia down first."
    if after > CAREFUL_MG_L:
        return (
            f"Wait with the dose: {found} is over {careful}, though not over {gills}; bring the "
            "ammonia down first."
        )
    return f"{found} stays below {careful}; even so, bring the ammonia down first."


def _ammonia(value: float) -> str:
    return "less than 0.001" if 0 < value < 0.001 else show(value, 3)


def steps(plan: BasePlan) -> tuple[Step, ...]:
    """The working, as one would write it on paper."""
    return (*_dose_steps(plan), *_water_steps(plan))


def _dose_steps(plan: BasePlan) -> tuple[Step, ...]:
    """Carbon dioxide, the alkalinity wanted or given, grams and spoons."""
    ask, base = plan.ask, plan.base
    steps = [carbon_dioxide_step(ask, plan.now)]
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
    level = spoons(plan)
    if level is not None:
        lime = ask.base == "calcium-hydroxide"
        steps.append(
            Step(
                "level teaspoons = g ÷ (5 mL × g per mL of loose powder)",
                f"{show(plan.mass_g)} ÷ (5 × {BULK_DENSITY_G_ML[ask.base]:g})",
                show(level, 1),
                "lime-data-sheet" if lime else "potassium-bicarbonate-specification",
            )
        )
    return tuple(steps)


def _water_steps(plan: BasePlan) -> tuple[Step, ...]:
    """The three pH values, the parts, the ions and the ammonia."""
    ask, after, source = plan.ask, plan.after, "stumm-morgan-1996"
    where = f"alkalinity {show(plan.alkalinity)} mg/L"
    first = f"alkalinity {show(after.at_once_eq_l * CACO3_MG_PER_EQ)} mg/L"
    steps = [
        Step(
            f"at once: {BALANCE}, carbon as after the dose",
            f"{first}, carbon {show(after.at_once.carbon_mol_l * 1000)} mmol/L",
            f"pH {show(after.at_once.ph, 2)}",
            source,
        ),
        Step(
            f"settled: {BALANCE}, carbon dioxide as now, or of the air if that is more",
            f"{where}, {show(plan.held_mg_l)} mg/L of carbon dioxide",
            f"pH {show(after.settled.ph, 2)}",
            source,
        ),
        aired_step(BALANCE, where, after.aerated, temp_c=ask.temp_c),
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
