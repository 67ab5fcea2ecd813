"""Pipe: how fast water runs in it, what height that costs, and whether solids settle in it."""

from dataclasses import replace

from kb.calculators.model import (
    Calculator,
    Example,
    Number,
    Outcome,
    Result,
    Step,
    refuse,
    show_plain,
)
from kb.science.hydraulics import bore_for_velocity_m
from kb.science.pipes import LAMINAR_END, ROUGHEST, TURBULENT_START, Pipe
from kb.units import (
    COUNT,
    FLOW,
    LENGTH,
    RATIO,
    TEMPERATURE,
    VELOCITY,
    figures,
    show,
)

KEEPS_MOVING_M_S = 0.7  # junge-2020: 0.7 to 1.0 m/s keeps solids moving
SURELY_MOVING_M_S = 1.0  # junge-2020
NOISY_M_S = 1.5  # common practice: a pipe that runs by gravity sucks air and roars above
FASTEST_M_S = 10.0
SLIME_M = 0.002  # common practice: growth that narrows the bore
SLIME_ROUGHNESS_M = 0.0005  # common practice
BEND_K = 0.9  # common practice: a tight right-angled bend
EDGE = 1 + 1e-9
REGIMES = {
    "laminar": "runs smoothly, without eddies",
    "transitional": "runs now smoothly, now in eddies",
    "turbulent": "runs in eddies, as in nearly every pipe of a fish system",
}


def compute(
    flow: float,
    bore: float,
    length: float,
    fittings_k: float,
    roughness: float,
    temperature: float,
) -> Outcome:
    """The speed of the water, the height lost to friction, and whether solids settle."""
    pipe = Pipe(
        flow_l_h=flow,
        bore_m=bore,
        length_m=length,
        fittings_k=fittings_k,
        roughness_m=roughness,
        temp_c=max(temperature, 0.0),  # 32 °F must not be a hair below 0 °C
    )
    _refuse_rough(pipe)
    _refuse_fast(pipe)
    carrying = bore_for_velocity_m(flow_l_h=flow, velocity_m_s=KEEPS_MOVING_M_S)
    return Outcome(
        values={
            "velocity": pipe.velocity,
            "reynolds": pipe.reynolds,
            "head_loss": pipe.head_loss,
            "regime": pipe.regime,
            "solids_settle": "yes" if _settles(pipe) else "no",
            "bore_for_solids": carrying,
        },
        steps=_steps(pipe, carrying),
        cautions=("calculation-not-promise",),
        doubts=_doubts(pipe),
        sentences=_sentences(pipe, carrying),
    )


def _settles(pipe: Pipe) -> bool:
    return pipe.velocity * EDGE < KEEPS_MOVING_M_S


def _refuse_rough(pipe: Pipe) -> None:
    if pipe.roughness_m <= ROUGHEST * pipe.bore_m * EDGE:
        return
    given = f"{_three(pipe.roughness_m * 1000)} mm"
    raise refuse(
        "roughness",
        given,
        f"Roughness: {given} is too rough for a bore of {_three(pipe.bore_m * 1000)} mm; the "
        f"friction formula goes up to a twentieth of the bore, here "
        f"{_three(ROUGHEST * pipe.bore_m * 1000)} mm.",
    )


def _refuse_fast(pipe: Pipe) -> None:
    if pipe.velocity <= FASTEST_M_S * EDGE:
        return
    least = bore_for_velocity_m(flow_l_h=pipe.flow_l_h, velocity_m_s=FASTEST_M_S)
    given = f"{_three(pipe.flow_l_h)} L/h"
    raise refuse(
        "flow",
        given,
        f"Flow: {given} through {_three(pipe.bore_m * 1000)} mm would run at "
        f"{_three(pipe.velocity)} m/s, and no pipe here goes over {FASTEST_M_S:.0f} m/s; give less "
        f"flow or a bore of at least {_three(least * 1000)} mm.",
    )


def _sentences(pipe: Pipe, carrying: float) -> dict[str, str]:
    speed = f"{_three(pipe.velocity)} m/s"
    return {
        "velocity": (
            f"{_three(pipe.flow_l_h)} L/h runs at {speed} ({_three(pipe.velocity / 0.3048)} ft/s) "
            f"through a bore of {_three(pipe.bore_m * 1000)} mm."
        ),
        "reynolds": (
            f"{_three(pipe.reynolds)}: under {LAMINAR_END:.0f} water runs smoothly, over "
            f"{TURBULENT_START:.0f} in eddies."
        ),
        "head_loss": (
            f"{_three(pipe.length_m)} m of this pipe{_with_fittings(pipe)} costs "
            f"{_height(pipe.head_loss)} of height: so much higher the water must stand, or the "
            "pump must lift."
        ),
        "regime": f"The water {REGIMES[pipe.regime]}.",
        "solids_settle": _settle_sentence(pipe, speed, carrying),
        "bore_for_solids": (
            f"With this flow a bore of {_three(carrying * 1000)} mm or less keeps to "
            f"{KEEPS_MOVING_M_S} m/s or more and carries solids along; narrower costs more height."
        ),
    }


def _settle_sentence(pipe: Pipe, speed: str, carrying: float) -> str:
    if _settles(pipe):
        return (
            f"Solids will settle in this pipe: the water runs at {speed}, and "
            f"{KEEPS_MOVING_M_S} m/s or more keeps them moving. A bore of "
            f"{_three(carrying * 1000)} mm or less would, or rinse the pipe often."
        )
    if pipe.velocity * EDGE < SURELY_MOVING_M_S:
        return (
            f"At {speed} solids should be carried along; the guide is {KEEPS_MOVING_M_S} to "
            f"{SURELY_MOVING_M_S} m/s."
        )
    return f"At {speed} solids are carried along."


def _with_fittings(pipe: Pipe) -> str:
    return f" with fittings of K {_three(pipe.fittings_k)}" if pipe.fittings_k else ""


def _height(metres: float) -> str:
    inches = metres / 0.0254
    other = f"{_two(inches)} in" if inches < 24 else f"{_two(inches / 12)} ft"
    if metres < 0.001:
        return "less than 1 mm"
    if metres < 1:
        return f"{_two(metres * 1000)} mm ({other})"
    return f"{_three(metres)} m ({other})"


def _doubts(pipe: Pipe) -> tuple[str, ...]:
    doubts = [
        f"Guides for carrying solids run from {KEEPS_MOVING_M_S} to {SURELY_MOVING_M_S} m/s in one "
        "and the same textbook; fine solids may still settle in dips, heavy ones anywhere.",
        f"A bore 1 mm less makes the loss {_height(_narrowed(pipe, 0.001).head_loss)}.",
        _slime_doubt(pipe),
    ]
    if pipe.fittings_k == 0:
        doubts.append(
            f"No fittings are counted: each tight bend (K about {BEND_K}, common practice) costs "
            f"{_height(BEND_K * pipe.speed_head)} more, and so does the outlet."
        )
    if pipe.regime == "transitional":
        doubts.append(
            f"Between {LAMINAR_END:.0f} and {TURBULENT_START:.0f} the flow flips between two "
            f"states: the loss lies anywhere from {_height(pipe.laminar_head_loss)} to "
            f"{_height(pipe.head_loss)}; the higher one is shown."
        )
    if pipe.velocity > NOISY_M_S:
        doubts.append(
            f"Over {NOISY_M_S} m/s a pipe that runs by gravity sucks air and roars (common "
            "practice): go a size up."
        )
    return tuple(doubts)


def _narrowed(pipe: Pipe, less_m: float, rougher_m: float = 0.0) -> Pipe:
    bore = max(pipe.bore_m - less_m, 0.5 * pipe.bore_m)
    rough = min(max(pipe.roughness_m, rougher_m), ROUGHEST * bore)
    return replace(pipe, bore_m=bore, roughness_m=rough)


def _slime_doubt(pipe: Pipe) -> str:
    slimy = _narrowed(pipe, SLIME_M, SLIME_ROUGHNESS_M)
    return (
        f"Slime that takes {_three((pipe.bore_m - slimy.bore_m) * 1000)} mm of the bore and "
        f"roughens it (common practice) makes the loss {_height(slimy.head_loss)}."
    )


def _steps(pipe: Pipe, carrying: float) -> tuple[Step, ...]:
    bore, speed = show(pipe.bore_m), show(pipe.velocity)
    return (
        Step(
            "speed = flow / 3 600 000 / (π / 4 × bore²)",
            f"{_four(pipe.flow_l_h)} / 3 600 000 / (π / 4 × {bore}²)",
            f"{speed} m/s",
        ),
        Step(
            "Reynolds number = speed × bore / viscosity",
            f"{speed} × {bore} / {pipe.viscosity * 1e6:.3f}e-6",
            _four(pipe.reynolds),
            "patek-2009",
        ),
        _friction_step(pipe),
        Step(
            "height lost = (f × length / bore + K) × speed² / (2 × 9.807)",
            f"({show(pipe.friction, 4)} × {_four(pipe.length_m)} / {bore} + "
            f"{_four(pipe.fittings_k)}) × {speed}² / 19.61",
            f"{show(pipe.head_loss)} m",
            "moody-1944",
        ),
        Step(
            "bore that runs at 0.7 m/s = √(4 / π × flow / 3 600 000 / 0.7)",
            f"√(4 / π × {_four(pipe.flow_l_h)} / 3 600 000 / 0.7)",
            f"{show(carrying * 1000)} mm",
            "junge-2020",
        ),
    )


def _friction_step(pipe: Pipe) -> Step:
    if pipe.regime == "laminar":
        return Step(
            f"friction factor f = 64 / Reynolds number, up to {LAMINAR_END:.0f}",
            f"64 / {_four(pipe.reynolds)}",
            show(pipe.friction, 4),
            "avila-2011",
        )
    return Step(
        "friction factor f: 1/√f = −2 log(roughness / 3.7 bore + 2.51 / (Reynolds number × √f))",
        f"roughness {_three(pipe.roughness_m * 1000)} mm, bore {_three(pipe.bore_m * 1000)} mm, "
        f"Reynolds number {_four(pipe.reynolds)}",
        show(pipe.friction, 4),
        "colebrook-1939",
    )


def _two(value: float) -> str:
    return _rounded(value, 2)


def _three(value: float) -> str:
    return _rounded(value, 3)


def _four(value: float) -> str:
    return _rounded(value, 4)


def _rounded(value: float, count: int) -> str:
    return show(value) if 0 < value < 0.001 else show_plain(figures(value, count))


PIPE = Calculator(
    id="pipe",
    title="Water in a pipe",
    question="What pipe size do I need, and do solids settle in it?",
    inputs=(
        Number(
            "flow", "Flow", FLOW, "L/h", minimum=1, maximum=1_000_000, usual=(50, 50_000),
            help="What this pipe carries.",
        ),
        Number(
            "bore", "Inside diameter", LENGTH, "mm", minimum=3, maximum=1000, usual=(10, 200),
            help="Inside; pipes are sold by their outside or a trade size.",
        ),
        Number(
            "length", "Length", LENGTH, "m", minimum=0.01, maximum=10_000, usual=(0.1, 200),
        ),
        Number(
            "fittings_k", "Sum of K of the fittings", RATIO, "", minimum=0, maximum=1000,
            default=0, usual=(0, 30),
            help="Common practice: tight bend 0.9, tee turned through 1.8, entrance 0.5, outlet 1.",
        ),
        Number(
            "roughness", "Roughness", LENGTH, "mm", minimum=0, maximum=10, default=0.0015,
            usual=(0, 1), help="Smooth plastic 0.0015; slimy pipes 0.1 to 1 (common practice).",
        ),
        Number(
            "temperature", "Water temperature", TEMPERATURE, "°C", minimum=0, maximum=45,
            default=20, usual=(5, 35),
        ),
    ),
    results=(
        Result("velocity", "Speed", VELOCITY, "m/s", 2, main=True),
        Result("reynolds", "Reynolds number", COUNT, "", 0),
        Result("head_loss", "Height lost", LENGTH, "m", figures=3, main=True),
        Result("regime", "Kind of flow", None),
        Result("solids_settle", "Solids settle", None, main=True),
        Result("bore_for_solids", "Widest bore that carries solids", LENGTH, "mm", 0),
    ),
    compute=compute,
    sources=(
        "moody-1944",
        "colebrook-1939",
        "avila-2011",
        "junge-2020",
        "kell-1975",
        "patek-2009",
        "common-practice",
    ),
    articles=("pipe-size", "flow-has-dropped"),
    examples=(
        Example(
            title="1500 L/h through 5 m of 25 mm bore",
            given={"flow": "1500 L/h", "bore": "25 mm", "length": "5 m"},
            expect={
                "velocity": 0.8488, "reynolds": 21140, "head_loss": 0.1886,
                "regime": "turbulent", "solids_settle": "no", "bore_for_solids": 27.53,
            },
            source="moody-1944",
            tolerance=0.01,
        ),
        Example(
            title="The same flow in a 40 mm bore: solids settle",
            given={"flow": "1500 L/h", "bore": "40 mm", "length": "6 m"},
            expect={"velocity": 0.3316, "head_loss": 0.0242, "solids_settle": "yes"},
            source="junge-2020",
            tolerance=0.02,
        ),
        Example(
            title="3000 L/h through 10 m of 32 mm bore with fittings of K 3",
            given={"flow": "3000 L/h", "bore": "32 mm", "length": "10 m", "fittings_k": 3},
            expect={"head_loss": 0.5593, "regime": "turbulent"},
            source="moody-1944",
            tolerance=0.01,
        ),
    ),
)  # fmt: skip
