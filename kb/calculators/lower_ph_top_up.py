"""Acid for top-up water: how much takes the alkalinity down, and why the pH climbs back."""

from math import ceil, floor

from kb.calculators.dosing.contradiction import contradiction
from kb.calculators.dosing.lower_ph_words import NAMES, doubts, sentences, steps, sulphate_mg_l
from kb.calculators.model import (
    Calculator,
    Choice,
    Example,
    Number,
    Outcome,
    Result,
    Step,
    Value,
    refuse,
    show_plain,
)
from kb.errors import InputErrors
from kb.science.dosing import mixed_alkalinity_mg_l
from kb.science.lowering import (
    STRONGEST,
    AcidAsk,
    AcidPlan,
    plan_acid,
    product_density_g_ml,
)
from kb.science.reach import OutOfReach
from kb.units import (
    ALKALINITY,
    CONCENTRATION,
    MASS,
    PERCENT,
    PH,
    TEMPERATURE,
    VOLUME,
    show,
)

USUAL_STRENGTH = {"hydrochloric": 31.45, "phosphoric": 85.0, "sulphuric": 96.0, "citric": 100.0}


def compute(
    top_up_volume: float,
    ph: float,
    alkalinity: float,
    temperature: float,
    acid: str,
    strength: float | None,
    target_ph: float | None,
    target_alkalinity: float | None,
    acid_volume: float | None,
    acid_mass: float | None,
    target_when: str,
    system_volume: float | None,
    system_alkalinity: float | None,
) -> Outcome:
    """The acid, and the top-up water after it at once and aerated."""
    ask = AcidAsk(
        volume_l=top_up_volume,
        ph=ph,
        alkalinity=alkalinity,
        temp_c=max(temperature, 0.0),  # 32 °F must not be a hair below 0 °C
        acid=acid,
        strength=USUAL_STRENGTH[acid] if strength is None else strength,
        target_ph=target_ph,
        target_alkalinity=target_alkalinity,
        acid_l=acid_volume,
        acid_g=acid_mass,
        aerated=target_when == "aerated",
    )
    _check(ask, system_volume, system_alkalinity)
    try:
        plan = plan_acid(ask)
    except OutOfReach as end:
        raise _refusal(ask, end) from end
    mixed = _mixed(plan, system_volume, system_alkalinity)
    mixing = _mixing_step(plan, system_volume, system_alkalinity, mixed)
    return Outcome(
        values=_values(plan, mixed),
        steps=(*steps(plan), *mixing),
        cautions=_cautions(acid, plan),
        doubts=doubts(plan),
        sentences=sentences(plan, mixed),
    )


def _check(ask: AcidAsk, system_volume: float | None, system_alkalinity: float | None) -> None:
    """Refuses a strength nobody sells, millilitres of a powder, and half a system."""
    most = STRONGEST[ask.acid]
    if ask.strength > most:
        raise refuse(
            "strength",
            show_plain(ask.strength),
            f"Strength: {show_plain(ask.strength)} % {NAMES[ask.acid]} is stronger than any sold; "
            f"give at most {show_plain(most)} %.",
        )
    if ask.acid_l is not None and product_density_g_ml(ask.acid, ask.strength) is None:
        raise refuse(
            "acid_volume",
            f"{ask.acid_l * 1000:g}",
            f"Acid by volume: {show_plain(ask.strength)} % citric acid is a powder; "
            "give its mass as acid_mass, or the strength of a solution up to 60 %.",
        )
    if (system_volume is None) != (system_alkalinity is None):
        given, missing = ("system_volume", "system_alkalinity")
        if system_volume is None:
            given, missing = missing, given
        raise refuse(missing, "", f"Give {missing} together with {given}, or leave both out.")


def _refusal(ask: AcidAsk, end: OutOfReach) -> InputErrors:
    """The refusal in one sentence: what cannot be, why, and what can."""
    if end.why in ("no-carbon", "too-much-gas"):
        return contradiction(ph=ask.ph, alkalinity=ask.alkalinity, co2_mg_l=end.co2_mg_l)
    name, label, wanted = _wish(ask)
    given = show_plain(wanted)
    if end.why == "used-up":
        text = (
            f"{given} would use up all the alkalinity and turn the water sharply acid; "
            f"{_most(ask, end.dose_g)}, to pH {_up(end.ph)} at once and "
            f"{_up(end.ph_aerated)} aerated, is the most worked out here."
        )
    elif name == "target_alkalinity":
        text = (
            f"{given} is not below the present {show_plain(ask.alkalinity)} mg/L, "
            "and acid can only lower it."
        )
    elif ask.aerated:
        text = (
            f"{given} is not below the pH {show(end.ph, 2)} that this water takes on in air "
            "without any acid, and acid can only lower it."
        )
    else:
        text = f"{given} is not below the present pH of {ask.ph:g}, and acid can only lower it."
    return refuse(name, given, f"{label}: {text}")


def _wish(ask: AcidAsk) -> tuple[str, str, float]:
    if ask.target_ph is not None:
        return "target_ph", "Target pH", ask.target_ph
    if ask.target_alkalinity is not None:
        return "target_alkalinity", "Target alkalinity", ask.target_alkalinity
    if ask.acid_l is not None:
        return "acid_volume", "Acid by volume", ask.acid_l * 1000
    return "acid_mass", "Acid by mass", ask.acid_g or 0.0


def _most(ask: AcidAsk, grams: float) -> str:
    density = product_density_g_ml(ask.acid, ask.strength)
    if density is None:
        return f"{_floor(grams)} g"
    return f"{_floor(grams / density)} mL ({_floor(grams)} g)"


def _floor(value: float) -> str:
    return f"{floor(value * 100) / 100:g}"


def _up(ph: float) -> str:
    return f"{ceil(ph * 100) / 100:.2f}"


def _values(plan: AcidPlan, mixed: float | None) -> dict[str, Value]:
    return {
        "acid_volume": plan.product_l,
        "acid_mass": plan.mass_g,
        "alkalinity_after": plan.alkalinity,
        "ph_at_once": plan.after.at_once.ph,
        "ph_after_aeration": plan.after.aerated.ph,
        "phosphorus_added": plan.added_mg_l("P"),
        "chloride_added": plan.added_mg_l("Cl"),
        "sulphate_added": sulphate_mg_l(plan),
        "system_alkalinity_after": mixed,
    }


def _mixed(
    plan: AcidPlan, system_volume: float | None, system_alkalinity: float | None
) -> float | None:
    if system_volume is None or system_alkalinity is None:
        return None
    return mixed_alkalinity_mg_l(
        first_mg_l=system_alkalinity,
        first_l=system_volume,
        second_mg_l=plan.alkalinity,
        second_l=plan.ask.volume_l,
    )


def _mixing_step(
    plan: AcidPlan,
    system_volume: float | None,
    system_alkalinity: float | None,
    mixed: float | None,
) -> tuple[Step, ...]:
    if system_volume is None or system_alkalinity is None or mixed is None:
        return ()
    system, top_up = show(system_volume), show(plan.ask.volume_l)
    return (
        Step(
            "system after = (system × its litres + top-up × its litres) ÷ all litres",
            f"({show(system_alkalinity)} × {system} + {show(plan.alkalinity)} × {top_up}) ÷ "
            f"({system} + {top_up})",
            f"{show(mixed)} mg/L as CaCO₃",
            "stumm-morgan-1996",
        ),
    )


def _cautions(acid: str, plan: AcidPlan) -> tuple[str, ...]:
    own: tuple[str, ...] = ("acid-fumes",) if acid == "hydrochloric" else ()
    if plan.density_g_ml is None:
        own = ("powder-dust",)
    return (
        "acid-never-in-tank", "acid-into-water", "acid-and-chlorine", *own, "label-and-law",
        "calculation-not-promise",
    )  # fmt: skip


INPUTS = (
    Number(
        "top_up_volume", "Top-up water", VOLUME, "L", minimum=0.1, maximum=1_000_000,
        usual=(5, 5_000), help="In a container of its own, never the tank.",
    ),
    Number("ph", "pH of the top-up", PH, "pH", minimum=4.5, maximum=10, usual=(6.5, 8.8)),
    Number(
        "alkalinity", "Alkalinity of the top-up", ALKALINITY, "mg/L as CaCO₃", minimum=0,
        maximum=1000, usual=(20, 400), help="Carbonate hardness, KH; 1 dKH is 17.8 mg/L.",
    ),
    Number(
        "temperature", "Water temperature", TEMPERATURE, "°C", minimum=0, maximum=40,
        usual=(4, 32),
    ),
    Choice("acid", "Acid", tuple(NAMES.items())),
    Number(
        "strength", "Strength", PERCENT, "%", minimum=1, maximum=100, usual=(10, 100),
        optional=True,
        help="By weight, from the label. Left out: hydrochloric 31.45, phosphoric 85, sulphuric "
        "96, citric 100 (powder).",
    ),
    Number(
        "target_ph", "Target pH", PH, "pH", minimum=4.5, maximum=9.5, usual=(5.8, 8),
        optional=True,
    ),
    Number(
        "target_alkalinity", "Target alkalinity", ALKALINITY, "mg/L as CaCO₃", minimum=0,
        maximum=1000, usual=(20, 100), optional=True, help="The surer target of the two.",
    ),
    Number(
        "acid_volume", "Acid by volume", VOLUME, "mL", minimum=0.001, maximum=1_000_000,
        optional=True, help="What would this much do?",
    ),
    Number(
        "acid_mass", "Acid by mass", MASS, "g", minimum=0.001, maximum=1_000_000, optional=True,
        help="What would this much do?",
    ),
    Choice(
        "target_when", "Target pH counts",
        (("at-once", "right after mixing"), ("aerated", "after full aeration")),
        default="at-once",
    ),
    Number(
        "system_volume", "Water in the system before the top-up", VOLUME, "L", minimum=1,
        maximum=1_000_000, usual=(50, 50_000), optional=True,
    ),
    Number(
        "system_alkalinity", "Alkalinity of the system", ALKALINITY, "mg/L as CaCO₃", minimum=0,
        maximum=1000, usual=(5, 300), optional=True,
    ),
)  # fmt: skip
LOWER_PH_TOP_UP = Calculator(
    id="lower-ph-top-up",
    title="Acid for top-up water",
    question="How much acid takes my hard top-up water down, and where does its pH end?",
    inputs=INPUTS,
    results=(
        Result("acid_volume", "Acid by volume", VOLUME, "mL"),
        Result("acid_mass", "Acid", MASS, "g", main=True),
        Result("alkalinity_after", "Alkalinity after", ALKALINITY, "mg/L as CaCO₃", main=True),
        Result("ph_at_once", "pH at once", PH, "pH", 2),
        Result("ph_after_aeration", "pH after full aeration", PH, "pH", 2, main=True),
        Result("phosphorus_added", "Phosphorus added", CONCENTRATION, "mg/L"),
        Result("chloride_added", "Chloride added", CONCENTRATION, "mg/L"),
        Result("sulphate_added", "Sulphate added", CONCENTRATION, "mg/L"),
        Result("system_alkalinity_after", "System alkalinity after", ALKALINITY, "mg/L as CaCO₃"),
    ),
    compute=compute,
    one_of=(("target_ph", "target_alkalinity", "acid_volume", "acid_mass"),),
    sources=(
        "plummer-busenberg-1982",
        "davies-1962",
        "malmberg-maryott-1956",
        "stumm-morgan-1996",
        "phreeqc",
        "benezeth-1997",
        "iupac-atomic-weights",
        "hcl-density-table",
        "acid-density-table",
        "acid-data-sheets",
        "common-practice",
    ),
    articles=("lowering-ph", "hard-tap-water", "ph-bounces-back"),
    examples=(
        Example(
            title="Half the alkalinity out of a barrel of tap water",
            given={
                "top_up_volume": "100 L", "ph": 7.8, "alkalinity": 100, "temperature": 25,
                "acid": "hydrochloric", "target_alkalinity": 50,
            },
            expect={"acid_volume": 10.02, "ph_at_once": 6.305, "ph_after_aeration": 8.167},
            source="phreeqc",
            tolerance=0.005,
        ),
        Example(
            title="Phosphoric acid, by weight",
            given={
                "top_up_volume": "1000 L", "ph": 7.9, "alkalinity": 120, "temperature": 24,
                "acid": "phosphoric", "acid_mass": "57.65 g",
            },
            expect={"alkalinity_after": 95, "ph_at_once": 6.735, "ph_after_aeration": 8.31},
            source="phreeqc",
            tolerance=0.005,
        ),
        Example(
            title="Sulphuric acid, and what the top-up does to the system",
            given={
                "top_up_volume": "200 L", "ph": 7.9, "alkalinity": 150, "temperature": 22,
                "acid": "sulphuric", "target_alkalinity": 40, "system_volume": "300 L",
                "system_alkalinity": 150,
            },
            expect={"system_alkalinity_after": 106},
            source="stumm-morgan-1996",
            tolerance=0.001,
        ),
    ),
)  # fmt: skip
