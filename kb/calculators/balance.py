"""Balance: where ammonia, oxygen, nitrate and alkalinity settle, and the most feed it carries."""

from collections.abc import Mapping

from kb.calculators.balancing.balance_doubts import doubts
from kb.calculators.balancing.balance_plan import Plan
from kb.calculators.balancing.balance_steps import steps
from kb.calculators.balancing.balance_words import sentences
from kb.calculators.balancing.shared import FEED, PROTEIN
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
from kb.science.biofilter import DESIGN_RATE, HIGHEST_RATE, LOWEST_RATE
from kb.units import (
    ALKALINITY,
    AREA,
    AREAL_RATE,
    CHANGE_PER_DAY,
    CONCENTRATION,
    FLOW,
    MASS_PER_DAY,
    PERCENT,
    PH,
    TEMPERATURE,
    VOLUME,
    VOLUME_PER_DAY,
)

SMALLEST_AREA_M2 = 0.01  # one seedling


def compute(
    volume: float,
    flow: float,
    feed: float,
    protein: float,
    temperature: float,
    ph: float,
    biofilter_surface: float,
    biofilter_rate: float,
    plant_area: float,
    crop: str,
    oxygen_supply: float | None,
    top_up: float,
    top_up_alkalinity: float,
    solids_removed: float,
    denitrified: float,
) -> Outcome:
    """The steady state of tank, settler, filter and plants, and what limits the feed."""
    _refuse_a_speck(plant_area)
    plan = Plan(
        volume=volume,
        flow=flow,
        feed=feed,
        protein=protein,
        temp_c=temperature,
        ph=ph,
        surface=biofilter_surface,
        rate=biofilter_rate,
        plant_area=plant_area,
        crop=crop,
        oxygen_supply=oxygen_supply,
        top_up=top_up,
        top_up_alkalinity=top_up_alkalinity,
        solids_removed=solids_removed / 100,
        denitrified=denitrified / 100,
    )
    return _outcome(plan)


def _outcome(plan: Plan) -> Outcome:
    return Outcome(
        values=_values(plan),
        steps=steps(plan),
        cautions=_cautions(plan),
        doubts=doubts(plan),
        sentences=sentences(plan),
    )


def _refuse_a_speck(plant_area: float) -> None:
    if 0 < plant_area < SMALLEST_AREA_M2:
        raise refuse(
            "plant_area",
            show_plain(plant_area),
            f"Planted area: {plant_area:g} m² is too little to reckon with; give 0 for no plants, "
            "or 0.01 to 1000000 m².",
        )


def _values(plan: Plan) -> Mapping[str, Value]:
    loop = plan.loop
    tan = loop.tank_tan
    return {
        "tan_steady": tan,
        "unionised_steady": None if tan is None else tan * plan.fraction,
        "tan_limit": plan.tan_limit,
        "oxygen_use": loop.oxygen_use,
        "oxygen_margin": loop.oxygen_margin,
        "nitrate_trend": loop.nitrate_trend,
        "alkalinity_use": loop.alkalinity_use,
        "alkalinity_to_add": plan.alkalinity_to_add,
        "feed_max": loop.feed_max,
        "limit": loop.limit,
        "feed_by_filter": loop.feed_by_filter,
        "feed_by_turnover": loop.feed_by_turnover,
        "feed_by_ammonia": loop.feed_by_ammonia,
        "feed_by_oxygen": loop.feed_by_oxygen,
        "feed_by_plants": loop.feed_by_plants,
    }


def _cautions(plan: Plan) -> tuple[str, ...]:
    tan = plan.loop.tank_tan
    if tan is None or tan > plan.tan_limit * (1 + 1e-9):
        return ("never-raise-ph-with-ammonia", "water-change-match", "calculation-not-promise")
    base = ("base-in-small-steps",) if plan.alkalinity_to_add > 0 else ()
    return (*base, "calculation-not-promise")


INPUTS = (
    Number(
        "volume", "Water in the whole system", VOLUME, "L", minimum=10, maximum=10_000_000,
        usual=(50, 100_000), help="All of it: fish tank, sump, filter and beds.",
    ),
    Number(
        "flow", "Flow through the fish tank", FLOW, "L/h", minimum=1, maximum=1_000_000,
        usual=(50, 100_000), help="What goes from the tank to the filter and back.",
    ),
    FEED,
    PROTEIN,
    Number(
        "temperature", "Water temperature", TEMPERATURE, "°C", minimum=4, maximum=36,
        usual=(12, 32),
    ),
    Number("ph", "pH", PH, "pH", minimum=5, maximum=9.5, usual=(6, 8)),
    Number(
        "biofilter_surface", "Surface of the biofilter", AREA, "m²", minimum=0.1,
        maximum=1_000_000, usual=(1, 50_000),
        help="Litres of media / 1000 × m² of a m³; media beds count too.",
    ),
    Number(
        "biofilter_rate", "Ammonia taken up by a m² at 20 °C and 1 mg/L (as NH3)", AREAL_RATE,
        "g/m²/day", minimum=0.05, maximum=5, usual=(LOWEST_RATE, HIGHEST_RATE),
        default=DESIGN_RATE, help="0.57 is on the safe side.",
    ),
    Number(
        "plant_area", "Planted area", AREA, "m²", minimum=0, maximum=1_000_000,
        usual=(0, 5000), help="Where plants really grow; 0 for none.",
    ),
    Choice(
        "crop", "Crop",
        (
            ("leafy", "leafy: lettuce, chard, herbs"),
            ("fruiting", "fruiting: tomato, cucumber, pepper"),
            ("mixed", "some of both"),
        ),
        default="leafy",
    ),
    Number(
        "oxygen_supply", "Oxygen that aeration brings", MASS_PER_DAY, "g/day", minimum=1,
        maximum=10_000_000, usual=(10, 100_000), optional=True,
        help="What really dissolves, from the maker's figures in field conditions.",
    ),
    Number(
        "top_up", "Top-up water a day", VOLUME_PER_DAY, "L/day", minimum=0, maximum=1_000_000,
        default=0, help="For what evaporates and goes with the sludge.",
    ),
    Number(
        "top_up_alkalinity", "Alkalinity of the top-up", ALKALINITY, "mg/L as CaCO₃", minimum=0,
        maximum=1000, default=0, usual=(0, 400), help="KH of the tap, well or rain water.",
    ),
    Number(
        "solids_removed", "Solids taken out before they rot", PERCENT, "%", minimum=0,
        maximum=100, default=100, help="By the settler, emptied daily; what stays gives ammonia.",
    ),
    Number(
        "denitrified", "Nitrate lost as gas", PERCENT, "%", minimum=0, maximum=80, default=0,
        help="In still corners and sludge; hardly ever measured, so 0.",
    ),
)  # fmt: skip
RESULTS = (
    Result("tan_steady", "Total ammonia, settled (as N)", CONCENTRATION, "mg/L", figures=2,
           main=True),
    Result("unionised_steady", "Un-ionised ammonia (as N)", CONCENTRATION, "mg/L", figures=2),
    Result("tan_limit", "Total ammonia allowed (as N)", CONCENTRATION, "mg/L", figures=2),
    Result("oxygen_use", "Oxygen used", MASS_PER_DAY, "g/day", figures=3),
    Result("oxygen_margin", "Oxygen left over", MASS_PER_DAY, "g/day", figures=3),
    Result("nitrate_trend", "Change of nitrate (as NO3)", CHANGE_PER_DAY, "mg/L per day",
           figures=2),
    Result("alkalinity_use", "Alkalinity used up", MASS_PER_DAY, "g/day", figures=2),
    Result("alkalinity_to_add", "Alkalinity to add", MASS_PER_DAY, "g/day", figures=2),
    Result("feed_max", "Most feed", MASS_PER_DAY, "g/day", figures=2, main=True),
    Result("limit", "What binds first", None, main=True),
    Result("feed_by_filter", "Feed by the filter's surface", MASS_PER_DAY, "g/day", figures=2),
    Result("feed_by_turnover", "Feed by the flow", MASS_PER_DAY, "g/day", figures=2),
    Result("feed_by_ammonia", "Feed by filter and flow", MASS_PER_DAY, "g/day", figures=2),
    Result("feed_by_oxygen", "Feed by the oxygen", MASS_PER_DAY, "g/day", figures=2),
    Result("feed_by_plants", "Feed by the plants", MASS_PER_DAY, "g/day", figures=2),
)  # fmt: skip
SCHOOL: Mapping[str, str | float] = {
    "volume": "2000 L", "flow": "2000 L/h", "feed": "200 g", "protein": 32, "temperature": "20 C",
    "ph": 7.0, "biofilter_surface": "13.2 m2", "plant_area": "4 m2", "crop": "leafy",
}  # fmt: skip
BALANCE = Calculator(
    id="balance",
    title="Balance of the whole system",
    question="Do my fish, filter, air and plants fit together, and how much feed can they carry?",
    inputs=INPUTS,
    results=RESULTS,
    compute=compute,
    sources=(
        "ksu-2021",
        "timmons-ebeling-2013",
        "fao-589",
        "rakocy-2007",
        "rusten-2006",
        "temperature-nitrification-2007",
        "farmer-to-farmer",
        "emerson-1975",
        "ifas-fa16",
        "us-epa-1975",
        "stumm-morgan-1996",
        "base-per-feed-table",
        "solids-encyclopaedia",
        "iupac-atomic-weights",
        "common-practice",
    ),
    articles=("feed-to-plant-ratio", "biofilter-size", "stocking-density"),
    examples=(
        Example(
            title="A worked example of a small system: 200 g of feed, 4 m² of lettuce, 13.2 m²",
            given={**SCHOOL, "oxygen_supply": "200 g"},
            expect={"feed_by_filter": 200, "limit": "plants"},
            source="fao-589",
            tolerance=0.06,
        ),
        Example(
            title="The same without plants: nitrate rises by 13 mg/L a day in 2000 L",
            given={**SCHOOL, "plant_area": 0},
            expect={"nitrate_trend": 13.03, "alkalinity_use": 42.04},
            source="us-epa-1975",
            tolerance=0.002,
        ),
    ),
)
