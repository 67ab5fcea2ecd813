"""Turnover: how often an hour the fish tank's water is replaced, and the flow that wants."""

from kb.calculators.model import (
    Calculator,
    Example,
    Number,
    Outcome,
    Result,
    Step,
    show_plain,
)
from kb.science.hydraulics import turnovers_per_h
from kb.units import (
    FLOW,
    PER_HOUR,
    US_GALLON_L,
    VOLUME,
    figures,
    show,
)

FEW_FISH_PER_H = 1.0  # fao-589, second-hand: low stocking
MANY_FISH_PER_H = 2.0  # fao-589, second-hand: high stocking
LESS_FLOW = 0.8  # common practice: a clogged screen or a pump that lifts higher than thought
EDGE = 1 + 1e-9


def compute(volume: float, flow: float) -> Outcome:
    """The turnovers an hour, and the flow for one and for two of them."""
    turnovers = turnovers_per_h(volume_l=volume, flow_l_h=flow)
    low, high = volume * FEW_FISH_PER_H, volume * MANY_FISH_PER_H
    return Outcome(
        values={"turnovers_per_hour": turnovers, "flow_low": low, "flow_high": high},
        steps=_steps(volume, flow, turnovers, low, high),
        cautions=("mains-and-water", "calculation-not-promise"),
        doubts=_doubts(volume, flow, turnovers),
        sentences={
            "turnovers_per_hour": (
                f"{_three(flow)} L/h replaces the {_three(volume)} L of the fish tank "
                f"{_times(turnovers)} an hour, every {_every(turnovers)}: "
                f"{_against(turnovers)}."
            ),
            "flow_low": (f"{_flow(low)} replaces the tank once an hour, the guide for few fish."),
            "flow_high": (
                f"{_flow(high)} replaces the tank twice an hour, the guide for many fish."
            ),
        },
    )


def _against(turnovers: float) -> str:
    if turnovers * EDGE < FEW_FISH_PER_H:
        return "less than the guide of once an hour for few fish"
    if turnovers * EDGE < MANY_FISH_PER_H:
        return "enough for few fish, less than the guide of twice an hour for many"
    if turnovers <= MANY_FISH_PER_H * EDGE:
        return "the guide for many fish"
    return "more than the guide of twice an hour for many fish"


def _every(turnovers: float) -> str:
    minutes = 60 / turnovers
    if minutes < 1:
        return f"{_three(minutes * 60)} seconds"
    if minutes < 120:
        return f"{_three(minutes)} minutes"
    return f"{_three(minutes / 60)} hours"


def _times(turnovers: float) -> str:
    words = {"1": "once", "2": "twice"}
    return words.get(_three(turnovers), f"{_three(turnovers)} times")


def _flow(flow: float) -> str:
    return f"{_three(flow)} L/h ({_three(flow / US_GALLON_L)} US gal/h)"


def _three(value: float) -> str:
    return show(value) if value < 0.001 else show_plain(figures(value, 3))


def _doubts(volume: float, flow: float, turnovers: float) -> tuple[str, ...]:
    less = turnovers_per_h(volume_l=volume, flow_l_h=flow * LESS_FLOW)
    doubts = [
        "The guide of once to twice an hour comes from FAO paper 589, read second-hand; it says "
        "“low” and “high” stocking without a number of fish.",
        "What the water carries away decides, not the count: oxygen and ammonia tests tell "
        "whether the flow is enough.",
        f"With a fifth less flow, as from a half-blocked screen (common practice), it is "
        f"{_times(less)} an hour.",
        "A pump that runs part of the hour moves its flow times the share of the time it runs.",
    ]
    if turnovers > MANY_FISH_PER_H * EDGE:
        doubts.append(
            "Much flow costs power and leaves solids less time to settle: see how the settler "
            "takes it."
        )
    return tuple(doubts)


def _steps(
    volume: float, flow: float, turnovers: float, low: float, high: float
) -> tuple[Step, ...]:
    tank = _three(volume)
    return (
        Step(
            "turnovers = flow / volume",
            f"{_three(flow)} / {tank}",
            f"{show(turnovers)} an hour",
        ),
        Step(
            "flow for few fish = volume × 1 an hour", f"{tank} × 1", f"{_three(low)} L/h", "fao-589"
        ),
        Step(
            "flow for many fish = volume × 2 an hour",
            f"{tank} × 2",
            f"{_three(high)} L/h",
            "fao-589",
        ),
    )


TURNOVER = Calculator(
    id="turnover",
    title="Turnover",
    question="How much flow does my fish tank need?",
    inputs=(
        Number(
            "volume", "Fish tank", VOLUME, "L", minimum=10, maximum=1_000_000,
            usual=(50, 20_000), help="Water in the fish tank alone, not in beds and pipes.",
        ),
        Number(
            "flow", "Flow", FLOW, "L/h", minimum=1, maximum=10_000_000, usual=(50, 50_000),
            help="What really comes back to the tank: time a bucket, do not read the pump's box.",
        ),
    ),
    results=(
        Result("turnovers_per_hour", "Turnovers", PER_HOUR, "1/h", figures=3, main=True),
        Result("flow_low", "Flow for few fish", FLOW, "L/h", figures=3, main=True),
        Result("flow_high", "Flow for many fish", FLOW, "L/h", figures=3, main=True),
    ),
    compute=compute,
    sources=("fao-589", "common-practice"),
    articles=("turnover-rate", "flow-has-dropped"),
    examples=(
        Example(
            title="1000 L turned over once an hour",
            given={"volume": "1000 L", "flow": "1000 L/h"},
            expect={"turnovers_per_hour": 1, "flow_low": 1000, "flow_high": 2000},
            source="fao-589",
        ),
        Example(
            title="A school greenhouse's tank, its flow timed with a bucket",
            given={"volume": "264.172 gal", "flow": "25 L/min"},
            expect={"turnovers_per_hour": 1.5, "flow_low": 1000, "flow_high": 2000},
            source="fao-589",
        ),
    ),
)  # fmt: skip
