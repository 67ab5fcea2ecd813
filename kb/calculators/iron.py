"""Iron: how much of a chelate the plants get, and whether it holds at the water's pH."""

from kb.calculators.model import (
    Calculator,
    Choice,
    Example,
    Number,
    Outcome,
    Result,
    Step,
    show_plain,
)
from kb.science.iron import CHELATES, product_g, suits
from kb.units import (
    CONCENTRATION,
    MASS,
    PERCENT,
    PH,
    VOLUME,
    few,
    show,
)

INTERVAL_WEEKS = 3  # uvi-aquaponics: 2 mg/L every three weeks
USUAL_TARGET_MG_L = 2.0  # uvi-aquaponics
STRICT, GENEROUS = "a chelate maker's page", "an agronomy page after Norvell (1972)"


def compute(
    volume: float,
    target: float,
    present: float,
    iron_content: float,
    chelate: str,
    ph: float,
) -> Outcome:
    """The mass of the product, and whether that chelate suits the pH."""
    rise = max(0.0, target - present)
    mass = product_g(
        volume_l=volume, target_mg_l=target, present_mg_l=present, iron_percent=iron_content
    )
    verdict, sentence = _verdict(chelate, ph)
    none = (
        f"No iron is to be added: {few(present, 3)} mg/L is at or over the target of "
        f"{few(target, 3)} mg/L."
    )
    return Outcome(
        values={"mass": mass, "iron_added": rise, "verdict": verdict},
        steps=(
            Step(
                "product = (target − present, not under 0) × volume / 1000 / iron in the product",
                f"{few(rise, 4)} × {few(volume, 4)} / 1000 / {few(iron_content, 4)} %",
                f"{show(mass)} g",
                "uvi-aquaponics",
            ),
            _limits_step(chelate, ph),
        ),
        cautions=("powder-dust", "label-and-law", "calculation-not-promise"),
        doubts=_doubts(chelate, target, volume, rise, iron_content),
        sentences={
            "mass": (
                _mass_sentence(volume, target, present, iron_content, chelate) if rise else none
            ),
            "iron_added": f"The dose adds {few(rise, 3)} mg/L of iron." if rise else none,
            "verdict": sentence,
        },
    )


def _mass_sentence(
    volume: float, target: float, present: float, iron_content: float, chelate: str
) -> str:
    mass = _mass(volume, target - present, iron_content)
    return (
        f"{few(mass, 3)} g of iron {chelate} with {few(iron_content, 3)} % iron brings "
        f"{few(volume, 4)} L from {few(present, 3)} to {few(target, 3)} mg/L of iron."
    )


def _verdict(chelate: str, ph: float) -> tuple[str, str]:
    limit = CHELATES[chelate]
    strict, generous = show_plain(limit.strict), show_plain(limit.generous)
    verdict = suits(chelate=chelate, ph=ph)
    where = f"{chelate} at pH {show_plain(ph)}"
    if verdict == "fits":
        return verdict, (
            f"{where} fits: {STRICT} trusts it to pH {strict}, {GENEROUS} to pH {generous}."
        )
    if verdict == "borderline":
        return verdict, (
            f"{where} is borderline: {STRICT} trusts it only to pH {strict}, {GENEROUS} to "
            f"pH {generous}. {_other(ph)}"
        )
    return verdict, (
        f"{where} is unsuited: {STRICT} trusts it to pH {strict}, {GENEROUS} to pH {generous}; "
        f"above that the iron falls out of the water. {_other(ph)}"
    )


def _other(ph: float) -> str:
    better = next((name for name in CHELATES if suits(chelate=name, ph=ph) == "fits"), None)
    if better is None:
        return "No common chelate holds there by both: bring the pH down first."
    return f"{better} holds there by both."


def _limits_step(chelate: str, ph: float) -> Step:
    limit = CHELATES[chelate]
    return Step(
        f"{chelate} holds its iron up to pH {show_plain(limit.strict)} by one source, "
        f"{show_plain(limit.generous)} by the other",
        f"pH {show_plain(ph)}",
        suits(chelate=chelate, ph=ph),
        "iron-chelate-maker" if ph <= limit.strict else "norvell-1972",
    )


def _doubts(
    chelate: str, target: float, volume: float, rise: float, iron_content: float
) -> tuple[str, ...]:
    doubts = [
        f"The measure of {show_plain(USUAL_TARGET_MG_L)} mg/L every {INTERVAL_WEEKS} weeks comes "
        "from one university farm; new yellow leaves with green veins say more than the "
        "calendar.",
        "The label's share of iron decides: one point of a percent more makes it "
        f"{few(_mass(volume, rise, iron_content + 1))} g.",
        "Hobby iron kits often miss iron that sits in a chelate (common practice).",
    ]
    if target > 2 * USUAL_TARGET_MG_L:
        doubts.insert(
            0,
            f"{few(target, 3)} mg/L is more than twice the usual "
            f"{show_plain(USUAL_TARGET_MG_L)} mg/L.",
        )
    if chelate == "EDDHA":
        doubts.append("EDDHA colours the water red for some days (common practice); it fades.")
    return tuple(doubts)


def _mass(volume: float, rise: float, iron_content: float) -> float:
    return product_g(volume_l=volume, target_mg_l=rise, present_mg_l=0, iron_percent=iron_content)


INPUTS = (
    Number(
        "volume", "Water in the system", VOLUME, "L", minimum=1, maximum=10_000_000,
        usual=(50, 100_000), help="All of it: fish tank, sump, filter and beds.",
    ),
    Number(
        "target", "Iron wanted", CONCENTRATION, "mg/L", minimum=0.05, maximum=10, usual=(0.5, 4),
        default=2,
    ),
    Number(
        "present", "Iron in the water", CONCENTRATION, "mg/L", minimum=0, maximum=50,
        usual=(0, 4), default=0, help="From a test; leave at 0 if you have none.",
    ),
    Number(
        "iron_content", "Iron in the product", PERCENT, "%", minimum=0.1, maximum=25,
        usual=(4, 14), help="From the label, as Fe.",
    ),
    Choice(
        "chelate", "Chelate", tuple((name, f"iron {name}") for name in CHELATES),
        help="What holds the iron; the label says which.",
    ),
    Number("ph", "pH of the water", PH, "pH", minimum=4, maximum=10, usual=(5.5, 8.5)),
)  # fmt: skip
IRON = Calculator(
    id="iron",
    title="Iron for the plants",
    question="How much iron do I add, and does my chelate suit the pH?",
    inputs=INPUTS,
    results=(
        Result("mass", "Product to add", MASS, "g", main=True),
        Result("iron_added", "Iron added", CONCENTRATION, "mg/L"),
        Result("verdict", "Chelate at this pH", None, main=True),
    ),
    compute=compute,
    sources=("uvi-aquaponics", "iron-chelate-maker", "norvell-1972", "common-practice"),
    articles=("iron", "yellow-leaves"),
    examples=(
        Example(
            title="2 mg/L for 1000 L from a chelate with 6 % iron",
            given={"volume": "1000 L", "iron_content": 6, "chelate": "DTPA", "ph": 6.8},
            expect={"mass": 33.33, "verdict": "fits"},
            source="uvi-aquaponics",
            tolerance=0.002,
        ),
        Example(
            title="Half a milligram is there already, and the pH is high",
            given={
                "volume": "1500 L", "present": "0.5 mg/L", "iron_content": 11, "chelate": "DTPA",
                "ph": 7.3,
            },
            expect={"mass": 20.45, "iron_added": 1.5, "verdict": "borderline"},
            source="iron-chelate-maker",
            tolerance=0.002,
        ),
        Example(
            title="EDTA in hard water",
            given={"volume": "300 gal", "iron_content": 13, "chelate": "EDTA", "ph": 7.6},
            expect={"mass": 17.47, "verdict": "unsuited"},
            source="norvell-1972",
            tolerance=0.002,
        ),
    ),
)  # fmt: skip
