"""Raise pH: how much of a base a system takes, what it does at once, later and with full air."""

from math import floor

from kb.calculators.ammonia import NITROGEN_SHARE
from kb.calculators.dosing.contradiction import contradiction
from kb.calculators.dosing.raise_ph_doubts import doubts
from kb.calculators.dosing.raise_ph_words import IONS, NAMES, sentences, spoons, steps
from kb.calculators.model import (
    Calculator,
    Choice,
    Example,
    Number,
    Outcome,
    Result,
    Value,
    refuse,
    show_plain,
)
from kb.errors import InputErrors
from kb.science.raising import MOST_ALKALINITY, BaseAsk, BasePlan, plan_base
from kb.science.reach import OutOfReach
from kb.science.substances import BULK_DENSITY_G_ML
from kb.units import (
    ALKALINITY,
    CONCENTRATION,
    COUNT,
    MASS,
    PERCENT,
    PH,
    SPOONS,
    TEMPERATURE,
    VOLUME,
    show,
)

BURNS = {"calcium-hydroxide": "lime-burns", "potassium-hydroxide": "caustic-potash-burns"}


def compute(
    volume: float,
    ph: float,
    alkalinity: float,
    temperature: float,
    base: str,
    purity: float,
    target_ph: float | None,
    target_alkalinity: float | None,
    dose: float | None,
    calcium: float | None,
    ammonia: float,
    ammonia_as: str,
    max_ph_step: float,
) -> Outcome:
    """The dose, its parts, and the water after it at once, settled and fully aerated."""
    ask = BaseAsk(
        volume_l=volume,
        ph=ph,
        alkalinity=alkalinity,
        temp_c=max(temperature, 0.0),  # 32 °F must not be a hair below 0 °C
        base=base,
        purity=purity,
        target_ph=target_ph,
        target_alkalinity=target_alkalinity,
        dose_g=dose,
        calcium=calcium or 0.0,
        ammonia=ammonia * NITROGEN_SHARE[ammonia_as],
        step=max_ph_step,
    )
    try:
        plan = plan_base(ask)
    except OutOfReach as end:
        raise _refusal(ask, end) from end
    return Outcome(
        values=_values(plan),
        steps=steps(plan),
        cautions=_cautions(plan),
        doubts=doubts(plan),
        sentences=sentences(plan),
    )


def _refusal(ask: BaseAsk, end: OutOfReach) -> InputErrors:
    """The refusal in one sentence: what cannot be, why, and what can."""
    if end.why in ("no-carbon", "too-much-gas"):
        return contradiction(ph=ask.ph, alkalinity=ask.alkalinity, co2_mg_l=end.co2_mg_l)
    name, label, wanted, present = _wish(ask)
    given = show_plain(wanted)
    if end.why == "not-above":
        text = f"{given} is not above the present {present}, and a base can only raise it."
    elif end.why == "saturated":
        text = (
            f"{given} is out of reach, because {NAMES[ask.base]} stops dissolving once the water "
            f"is saturated, here at pH {_down(end.ph)} and {floor(end.alkalinity)} mg/L of "
            "alkalinity; choose less, or another base."
        )
    else:
        unit = " g" if name == "dose" else ""
        gas = f"{show(end.co2_mg_l)} mg/L of carbon dioxide"
        text = (
            f"{given}{unit} would take the alkalinity past {MOST_ALKALINITY:.0f} mg/L, beyond "
            f"any use; with {gas} in the water, {_down_g(end.dose_g)} g and pH {_down(end.ph)} "
            "are the most, and stronger aeration does more than base."
        )
    return refuse(name, given, f"{label}: {text}")


def _down(ph: float) -> str:
    return f"{floor(ph * 100) / 100:.2f}"


def _down_g(grams: float) -> str:
    return f"{floor(grams * 10) / 10:.1f}"


def _wish(ask: BaseAsk) -> tuple[str, str, float, str]:
    if ask.target_ph is not None:
        return "target_ph", "Target pH", ask.target_ph, f"pH of {ask.ph:g}"
    if ask.target_alkalinity is not None:
        present = f"alkalinity of {show_plain(ask.alkalinity)} mg/L"
        return "target_alkalinity", "Target alkalinity", ask.target_alkalinity, present
    return "dose", "Dose", ask.dose_g or 0.0, ""


def _values(plan: BasePlan) -> dict[str, Value]:
    after = plan.after
    return {
        "mass": plan.mass_g,
        "teaspoons": spoons(plan),
        "additions": float(plan.parts),
        "alkalinity_after": plan.alkalinity,
        "ph_at_once": after.at_once.ph,
        "ph_settled": after.settled.ph,
        "ph_after_aeration": after.aerated.ph,
        **{f"{name}_added": plan.added_mg_l(atom) for atom, name in IONS.items()},
        "unionised_before": plan.unionised_mg_l(plan.ask.ph),
        "unionised_after": plan.unionised_mg_l(plan.highest_ph),
    }


def _cautions(plan: BasePlan) -> tuple[str, ...]:
    first = ("never-raise-ph-with-ammonia",) if plan.ask.ammonia > 0 else ()
    burns = (BURNS[plan.ask.base],) if plan.ask.base in BURNS else ()
    rest = ("base-in-small-steps", "powder-dust", "label-and-law", "calculation-not-promise")
    return (*first, *burns, *rest)


INPUTS = (
    Number(
        "volume", "Water in the system", VOLUME, "L", minimum=1, maximum=1_000_000,
        usual=(50, 50_000), help="All of it: fish tank, sump, filter and beds.",
    ),
    Number("ph", "pH now", PH, "pH", minimum=4, maximum=10, usual=(5, 8.5)),
    Number(
        "alkalinity", "Alkalinity now", ALKALINITY, "mg/L as CaCO₃", minimum=0,
        maximum=MOST_ALKALINITY, usual=(5, 300), help="Carbonate hardness, KH; 1 dKH is 17.8 mg/L.",
    ),
    Number(
        "temperature", "Water temperature", TEMPERATURE, "°C", minimum=0, maximum=40,
        usual=(8, 34),
    ),
    Choice("base", "Base", tuple(NAMES.items()), help="Take calcium and potassium in turns."),
    Number(
        "purity", "Purity", PERCENT, "%", minimum=10, maximum=100, default=100, usual=(80, 100),
        help="From the label; potassium hydroxide flakes are often 85 to 90 %.",
    ),
    Number(
        "target_ph", "Target pH", PH, "pH", minimum=4, maximum=9.5, usual=(6, 7.6), optional=True,
        help="Where the pH is to settle.",
    ),
    Number(
        "target_alkalinity", "Target alkalinity", ALKALINITY, "mg/L as CaCO₃", minimum=1,
        maximum=MOST_ALKALINITY, usual=(20, 150), optional=True,
    ),
    Number(
        "dose", "Dose", MASS, "g", minimum=0.001, maximum=1_000_000, optional=True,
        help="What would this much do? Lime and potassium bicarbonate also in level spoons (tsp).",
        spoons=("base", BULK_DENSITY_G_ML),
    ),
    Number(
        "calcium", "Calcium in the water", CONCENTRATION, "mg/L", minimum=0, maximum=1000,
        usual=(5, 150), optional=True, help="If known, as Ca; it limits how much chalk dissolves.",
    ),
    Number(
        "ammonia", "Total ammonia", CONCENTRATION, "mg/L", minimum=0, maximum=200, default=0,
        usual=(0, 4), help="Test it first.",
    ),
    Choice(
        "ammonia_as", "The kit reads as",
        (("N", "nitrogen (NH3-N, TAN)"), ("NH3", "ammonia (NH3)"), ("NH4", "ammonium (NH4)")),
        default="N",
    ),
    Number(
        "max_ph_step", "Largest pH step of one part", PH, "pH", minimum=0.05, maximum=2,
        default=0.3, usual=(0.1, 0.5),
    ),
)  # fmt: skip
RAISE_PH = Calculator(
    id="raise-ph",
    title="Raise pH with a base",
    question="How much lime, potash or chalk brings my pH up, and what does it do to ammonia?",
    inputs=INPUTS,
    results=(
        Result("mass", "Weigh out", MASS, "g", main=True),
        Result("teaspoons", "Level teaspoons", SPOONS, "level teaspoons", 1),
        Result("additions", "Parts", COUNT, "", 0, main=True),
        Result("alkalinity_after", "Alkalinity after", ALKALINITY, "mg/L as CaCO₃"),
        Result("ph_at_once", "pH at once", PH, "pH", 2),
        Result("ph_settled", "pH settled", PH, "pH", 2, main=True),
        Result("ph_after_aeration", "pH after full aeration", PH, "pH", 2),
        Result("calcium_added", "Calcium added", CONCENTRATION, "mg/L"),
        Result("potassium_added", "Potassium added", CONCENTRATION, "mg/L"),
        Result("magnesium_added", "Magnesium added", CONCENTRATION, "mg/L"),
        Result("sodium_added", "Sodium added", CONCENTRATION, "mg/L"),
        Result("unionised_before", "Un-ionised ammonia now, as N", CONCENTRATION, "mg/L", 3),
        Result("unionised_after", "Un-ionised ammonia after, as N", CONCENTRATION, "mg/L", 3),
    ),
    compute=compute,
    one_of=(("target_ph", "target_alkalinity", "dose"),),
    sources=(
        "plummer-busenberg-1982",
        "davies-1962",
        "malmberg-maryott-1956",
        "stumm-morgan-1996",
        "phreeqc",
        "iupac-atomic-weights",
        "emerson-1975",
        "ifas-fa16",
        "lime-data-sheet",
        "potassium-bicarbonate-specification",
        "solubility-lime",
        "common-practice",
    ),
    articles=("raising-ph", "hydroxide-or-carbonate", "ph-keeps-falling"),
    examples=(
        Example(
            title="Hydrated lime in a thousand litres of soft, sour water",
            given={
                "volume": "1000 L", "ph": 6.2, "alkalinity": 40, "temperature": 25,
                "base": "calcium-hydroxide", "dose": "18.52 g",
            },
            expect={"alkalinity_after": 65, "ph_at_once": 6.667, "ph_after_aeration": 8.28},
            source="phreeqc",
            tolerance=0.005,
        ),
        Example(
            title="Potassium bicarbonate in the same greenhouse",
            given={
                "volume": "1000 L", "ph": 6.4, "alkalinity": 30, "temperature": 25,
                "base": "potassium-bicarbonate", "target_alkalinity": 55,
            },
            expect={"mass": 50.0, "ph_at_once": 6.659, "ph_after_aeration": 8.21},
            source="phreeqc",
            tolerance=0.005,
        ),
        Example(
            title="A wanted pH, with ammonia in the water",
            given={
                "volume": "1000 L", "ph": 6.2, "alkalinity": "20 mg/L", "temperature": "24 C",
                "base": "potassium-hydroxide", "purity": 90, "target_ph": 6.5, "ammonia": 1,
            },
            expect={"ph_settled": 6.5},
            source="stumm-morgan-1996",
            tolerance=0.001,
        ),
    ),
)  # fmt: skip
