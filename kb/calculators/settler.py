"""Settler: how long water stays in it, how fast it rises, and what sinks in time."""

from collections.abc import Mapping

from kb.calculators.model import (
    Calculator,
    Choice,
    Example,
    Number,
    Outcome,
    Result,
    Step,
    refuse,
    show_plain,
)
from kb.science.hydraulics import circle_area_m2, depth_m
from kb.science.solids import Settlers
from kb.science.water import density_kg_m3, kinematic_viscosity_m2_s
from kb.units import (
    COUNT,
    DENSITY,
    FLOW,
    LENGTH,
    OVERFLOW_RATE,
    TEMPERATURE,
    TIME,
    VOLUME,
    figures,
    show,
)

GENTLE_M_H = 40 / 24  # solids-encyclopaedia; settler-technical-note: 42
FASTEST_M_H = 80 / 24  # solids-encyclopaedia; settler-technical-note: 84
SHORTEST_MIN = 5.0  # common practice
SHALLOWEST_M, DEEPEST_M = 0.05, 5.0


def compute(
    flow: float,
    vessel_volume: float,
    vessel_diameter: float,
    vessels: float,
    layout: str,
    delivery: str,
    temperature: float,
    particle_density: float,
) -> Outcome:
    """Retention time, overflow rate and what is caught by one or more equal settlers."""
    count = int(vessels)
    _refuse_single(count, layout)
    settler = Settlers(
        flow_l_h=flow,
        volume_l=vessel_volume,
        area_m2=circle_area_m2(diameter_m=vessel_diameter),
        vessels=count,
        parallel=layout == "parallel",
        temp_c=max(temperature, 0.0),  # 32 °F must not be a hair below 0 °C
        particle_kg_m3=particle_density,
    )
    _refuse_shape(settler, vessel_diameter)
    pumped = delivery == "pumped"
    verdict, sentence = _verdict(settler, pumped)
    return Outcome(
        values={
            "flow_per_vessel": settler.flow_each_l_h,
            "retention_per_vessel": settler.minutes_each,
            "retention_total": settler.minutes_total,
            "overflow_rate": settler.rise_m_h,
            "overflow_rate_daily": settler.rise_m_h,
            "smallest_particle": _metres(settler.smallest_mm),
            "vessels_needed": float(settler.needed(FASTEST_M_H)),
            "verdict": verdict,
        },
        steps=_steps(settler, vessel_diameter),
        cautions=_cautions(pumped),
        doubts=_doubts(settler, pumped),
        sentences={**_sentences(settler), "verdict": sentence},
    )


def _refuse_single(count: int, layout: str) -> None:
    if layout == "single" and count > 1:
        raise refuse(
            "layout",
            layout,
            f"Layout: {count} vessels cannot be single; choose series (one after the other) "
            "or parallel (side by side, each taking its share of the flow).",
        )


def _refuse_shape(settler: Settlers, diameter_m: float) -> None:
    depth = depth_m(volume_l=settler.volume_l, area_m2=settler.area_m2)
    if SHALLOWEST_M <= depth <= DEEPEST_M:
        return
    shown = f"{show(depth * 1000, 0)} mm" if depth < 1 else f"{show(depth, 1)} m"
    raise refuse(
        "vessel_volume",
        f"{show_plain(settler.volume_l)} L",
        f"Volume of one vessel: {_four(settler.volume_l)} L in a vessel {_four(diameter_m * 1000)} "
        f"mm across would stand {shown} deep; volume and diameter must give 50 mm to 5 m.",
    )


def _metres(millimetres: float | None) -> float | None:
    return None if millimetres is None else millimetres / 1000


def _four(value: float) -> str:
    return show_plain(figures(value, 4))


def _minutes(value: float) -> str:
    if value < 120:
        return f"{show_plain(figures(value, 3))} minutes"
    return f"{show_plain(figures(value / 60, 3))} hours"


def _sentences(settler: Settlers) -> dict[str, str]:
    rise, daily = show(settler.rise_m_h, 2), show(settler.rise_m_h * 24, 0)
    return {
        "flow_per_vessel": (
            f"{_four(settler.flow_each_l_h)} L/h goes through "
            f"{'the' if settler.vessels == 1 else 'each'} vessel."
        ),
        "retention_per_vessel": (
            f"Water stays {_minutes(settler.minutes_each)} in a vessel of "
            f"{_four(settler.volume_l)} L."
        ),
        "retention_total": (
            f"{_four(settler.flow_l_h)} L/h stays {_minutes(settler.minutes_total)} in "
            f"{_words(settler)}.{_second_vessel(settler)}"
        ),
        "overflow_rate": (
            f"The water rises at {rise} m/h ({daily} m/day) in {_words(settler)}; "
            "what sinks slower than that is carried over."
        ),
        "overflow_rate_daily": (
            f"{daily} m/day; published settlers that catch 65 to 85 % of the solids run at "
            "40 to 80 m/day."
        ),
        "smallest_particle": _smallest_sentence(settler),
        "vessels_needed": (
            f"{_vessels(settler.needed(FASTEST_M_H))} like this side by side "
            f"keep the overflow rate within 80 m/day, {settler.needed(GENTLE_M_H)} within "
            "40 m/day."
        ),
    }


def _smallest_sentence(settler: Settlers) -> str:
    if settler.smallest_mm is None:
        return "Even solids of 10 mm sink slower than the water rises here."
    return (
        f"Solids from {show(settler.smallest_mm, 2)} mm up sink in time at "
        f"{show_plain(round(settler.temp_c, 1))} °C, if they weigh "
        f"{_four(settler.particle_kg_m3)} kg/m³ and the flow is even."
    )


def _words(settler: Settlers) -> str:
    volume = f"of {_four(settler.volume_l)} L"
    if settler.vessels == 1:
        return f"one vessel {volume}"
    return (
        f"{settler.vessels} vessels {volume} {'side by side' if settler.parallel else 'in series'}"
    )


def _vessels(count: int) -> str:
    return "1 vessel" if count == 1 else f"{count} vessels"


def _second_vessel(settler: Settlers) -> str:
    if settler.vessels == 1:
        return (
            " A second one would double that time either way, but only side by side would it "
            "halve the overflow rate."
        )
    share = "halves" if settler.vessels == 2 else f"divides by {settler.vessels}"
    return (
        f" Series and side by side give the same total time, but only side by side {share} "
        "the overflow rate."
    )


def _verdict(settler: Settlers, pumped: bool) -> tuple[str, str]:
    daily = f"{show(settler.rise_m_h * 24, 0)} m/day"
    slack = 1 + 1e-9
    if settler.rise_m_h <= GENTLE_M_H * slack:
        word, text = "good", f"{daily} is gentle: at or under 40 m/day a settler works well."
    elif settler.rise_m_h <= FASTEST_M_H * slack:
        word, text = "workable", f"{daily} is within the usual 40 to 80 m/day."
    else:
        word = "overloaded"
        text = (
            f"{daily} is over 80 m/day: much of the fine solids goes straight through. Have "
            f"{_vessels(settler.needed(FASTEST_M_H))} side by side, a wider vessel, or less flow."
        )
    if settler.minutes_each < SHORTEST_MIN:
        word = "overloaded"
        text += f" {_minutes(settler.minutes_each).capitalize()} in a vessel is very short."
    if pumped:
        text += " A pump before the settler grinds the solids finer: let water run to it by itself."
    return word, text


def _cautions(pumped: bool) -> tuple[str, ...]:
    power = ("mains-and-water",) if pumped else ()
    return (*power, "calculation-not-promise")


def _doubts(settler: Settlers, pumped: bool) -> tuple[str, ...]:
    doubts = [
        "The sums take even flow for granted; a strong jet, a short way from inlet to outlet or "
        "sludge in the vessel leaves less time and a faster rise.",
        f"Sources differ: 40 to 80 m/day. {_vessels(settler.needed(GENTLE_M_H))} of these side "
        f"by side reach 40 m/day, {settler.needed(FASTEST_M_H)} reach 80 m/day.",
        "A handbook of hatcheries wants 15 minutes to 2 hours of retention, a growers' manual "
        "30 minutes where the settler is the only solids filter.",
    ]
    if pumped:
        doubts.append("Pumped solids are finer than fresh ones; expect to catch fewer of them.")
    return tuple(doubts)


def _steps(settler: Settlers, diameter_m: float) -> tuple[Step, ...]:
    flow, each = _four(settler.flow_l_h), _four(settler.flow_each_l_h)
    return (
        Step(
            "flow of one vessel = flow / vessels side by side",
            f"{flow} / {settler.vessels if settler.parallel else 1}",
            f"{each} L/h",
            "sedimentation-textbook",
        ),
        Step(
            "time in one vessel = volume / flow × 60",
            f"{_four(settler.volume_l)} / {each} × 60",
            f"{show(settler.minutes_each)} min",
            "boyd-2012",
        ),
        Step(
            "time in all = all volumes / flow × 60",
            f"{settler.vessels} × {_four(settler.volume_l)} / {flow} × 60",
            f"{show(settler.minutes_total)} min",
            "boyd-2012",
        ),
        Step(
            "area = π / 4 × diameter²",
            f"π / 4 × {_four(diameter_m)}²",
            f"{show(settler.area_m2)} m²",
        ),
        Step(
            "overflow rate = flow of one vessel / 1000 / area",
            f"{each} / 1000 / {show(settler.area_m2)}",
            f"{show(settler.rise_m_h)} m/h = {show(settler.rise_m_h * 24)} m/day",
            "sedimentation-textbook",
        ),
        _smallest_step(settler),
        Step(
            "vessels side by side = overflow rate of one with all the flow / 3.33 m/h, rounded up",
            f"{show(settler.flow_l_h / 1000 / settler.area_m2)} / {show(FASTEST_M_H)}",
            f"{settler.needed(FASTEST_M_H)}",
            "solids-encyclopaedia",
        ),
    )


def _smallest_step(settler: Settlers) -> Step:
    smallest = settler.smallest_mm
    return Step(
        "size that sinks as fast as the water rises, after Ferguson and Church",
        f"{show(settler.rise_m_h / 3.6)} mm/s, particle {_four(settler.particle_kg_m3)} kg/m³, "
        f"water {show(density_kg_m3(temp_c=settler.temp_c), 1)} kg/m³ and "
        f"{show(kinematic_viscosity_m2_s(temp_c=settler.temp_c) * 1e6)} mm²/s",
        "over 10 mm" if smallest is None else f"{show(smallest)} mm",
        "ferguson-church-2004",
    )


INPUTS = (
    Number(
        "flow", "Flow", FLOW, "L/h", minimum=1, maximum=1_000_000, usual=(100, 50_000),
        help="What really arrives at the settler: time a bucket, do not read the pump's box.",
    ),
    Number(
        "vessel_volume", "Volume of one vessel", VOLUME, "L", minimum=1, maximum=100_000,
        usual=(20, 5000), help="Up to the water line.",
    ),
    Number(
        "vessel_diameter", "Inside diameter of one vessel", LENGTH, "mm", minimum=50,
        maximum=10_000, usual=(200, 3000), help="At the water line.",
    ),
    Number("vessels", "Vessels", COUNT, "", minimum=1, maximum=50, default=1),
    Choice(
        "layout", "Layout",
        (
            ("single", "one vessel"),
            ("series", "one after the other"),
            ("parallel", "side by side, sharing the flow"),
        ),
        default="single",
    ),
    Choice(
        "delivery", "Water comes", (("gravity", "by gravity"), ("pumped", "from a pump")),
        default="gravity",
    ),
    Number(
        "temperature", "Water temperature", TEMPERATURE, "°C", minimum=0, maximum=45,
        usual=(5, 35), default=20,
    ),
    Number(
        "particle_density", "Density of the solids", DENSITY, "kg/m³", minimum=1005,
        maximum=2700, usual=(1010, 1200), default=1050,
        help="Fish solids 1050 to 1190 kg/m³; the light end is the cautious one.",
    ),
)  # fmt: skip
TWO_DRUMS: Mapping[str, str | float] = {
    "flow": "1500 L/h", "vessel_volume": "200 L", "vessel_diameter": "570 mm", "vessels": 2,
}  # fmt: skip
SETTLER = Calculator(
    id="settler",
    title="Settler",
    question="Is my settler big enough, and does a second one help?",
    inputs=INPUTS,
    results=(
        Result("flow_per_vessel", "Flow of one vessel", FLOW, "L/h"),
        Result("retention_per_vessel", "Time in one vessel", TIME, "min", 1),
        Result("retention_total", "Time in all vessels", TIME, "min", 1, main=True),
        Result("overflow_rate", "Overflow rate", OVERFLOW_RATE, "m/h", 2, main=True),
        Result("overflow_rate_daily", "Overflow rate, by the day", OVERFLOW_RATE, "m/day", 0),
        Result("smallest_particle", "Smallest solids caught", LENGTH, "mm", 2),
        Result("vessels_needed", "Vessels needed side by side", COUNT, "", 0),
        Result("verdict", "Verdict", None, main=True),
    ),
    compute=compute,
    sources=(
        "boyd-2012",
        "sedimentation-textbook",
        "ferguson-church-2004",
        "kell-1975",
        "patek-2009",
        "solids-encyclopaedia",
        "settler-technical-note",
        "was-solids-abstract",
        "junge-2020",
        "piper-1982",
        "ksu-2021",
        "common-practice",
    ),
    articles=("retention-time", "second-settler", "settler-inlet", "settler-for-a-low-tank"),
    examples=(
        Example(
            title="1500 L/h split over two 200 L drums",
            given={**TWO_DRUMS, "layout": "parallel"},
            expect={
                "flow_per_vessel": 750,
                "retention_per_vessel": 16,
                "retention_total": 16,
                "overflow_rate": 2.94,
                "overflow_rate_daily": 70.5,
                "vessels_needed": 2,
                "verdict": "workable",
            },
            source="common-practice",
        ),
        Example(
            title="The same two drums one after the other",
            given={**TWO_DRUMS, "layout": "series"},
            expect={
                "flow_per_vessel": 1500,
                "retention_per_vessel": 8,
                "retention_total": 16,
                "overflow_rate": 5.88,
                "verdict": "overloaded",
            },
            source="sedimentation-textbook",
        ),
        Example(
            title="A tested settler fed with fresh solids from a centre drain",
            given={"flow": "340 L/min", "vessel_volume": "1500 L", "vessel_diameter": "1525.6 mm"},
            expect={"overflow_rate": 11.16, "overflow_rate_daily": 268},
            source="davidson-summerfelt-2005",
        ),
    ),
)
