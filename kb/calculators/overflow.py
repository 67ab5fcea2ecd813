"""Overflow: what an upright pipe takes before the tank runs over."""

from dataclasses import dataclass

from kb.calculators.model import (
    Calculator,
    Example,
    Number,
    Outcome,
    Result,
    Step,
    show_plain,
)
from kb.science.hydraulics import circle_area_m2
from kb.science.overflow_pipe import USBR_SHARE, changeover_m, overflow_l_h, ruled_by_rim
from kb.units import FLOW, LENGTH, US_GALLON_L, figures, show

SAFE_SHARE = 0.5  # common practice
READ_TO_M = 0.003  # common practice: a water line is hardly read better than 3 mm
SHALLOWEST_M = 0.005  # common practice: thinner than this the skin of the water holds it back
WAVERING = (0.7, 1.5)  # of the changeover; common practice


@dataclass(frozen=True)
class _Standpipe:
    """An open upright pipe with water over its lip, in metres."""

    bore: float
    head: float

    @property
    def capacity(self) -> float:
        """What it takes, in L/h."""
        return overflow_l_h(bore_m=self.bore, water_over_lip_m=self.head)

    @property
    def changeover(self) -> float:
        """The water over the lip at which the mouth drowns."""
        return changeover_m(bore_m=self.bore)

    @property
    def by_rim(self) -> bool:
        """Does the rim rule the flow?"""
        return ruled_by_rim(bore_m=self.bore, head_m=self.head)

    def at(self, *, more_head: float = 0.0, more_bore: float = 0.0) -> "_Standpipe":
        """The same pipe a little different, never less than a tenth of a millimetre."""
        return _Standpipe(
            max(self.bore + more_bore, 0.0001),
            max(self.head + more_head, 0.0001),
        )


def compute(bore: float, water_over_lip: float) -> Outcome:
    """The flow the pipe takes, half of it, and what rules it."""
    pipe = _Standpipe(bore, water_over_lip)
    control = "rim" if pipe.by_rim else "mouth"
    return Outcome(
        values={
            "capacity": pipe.capacity,
            "safe_capacity": pipe.capacity * SAFE_SHARE,
            "control": control,
        },
        steps=_steps(pipe),
        cautions=("second-overflow", "calculation-not-promise"),
        doubts=_doubts(pipe),
        sentences=_sentences(pipe),
    )


def _sentences(pipe: _Standpipe) -> dict[str, str]:
    place = f"a bore of {_mm(pipe.bore)} mm with {_mm(pipe.head)} mm of water over its lip"
    change = f"{_mm(pipe.changeover)} mm"
    return {
        "capacity": f"On paper {place} takes {_flow(pipe.capacity)}.",
        "safe_capacity": (
            f"Count on {_flow(pipe.capacity * SAFE_SHARE)}, half of it (common practice): slime, "
            "leaves and whirling air take the rest. For more, take a wider pipe."
        ),
        "control": (
            f"The water falls over the rim; from {change} over the lip the mouth would drown."
            if pipe.by_rim
            else f"The mouth is drowned, as it is from {change} over the lip: twice the "
            "water over it now brings only 1.4 times the flow."
        ),
    }


def _doubts(pipe: _Standpipe) -> tuple[str, ...]:
    lower, higher = (pipe.at(more_head=off).capacity for off in (-READ_TO_M, READ_TO_M))
    narrow = pipe.at(more_bore=-0.1 * pipe.bore).capacity
    doubts = [
        f"A water line read 3 mm off makes it {_two(lower)} to {_two(higher)} L/h.",
        f"Slime that takes a tenth of the bore leaves {_two(narrow)} L/h.",
        "The sum is for an open upright pipe that falls freely: a screen, a cap, a long level run "
        "or air trapped below takes less; a whirl sucks in air and makes the flow surge.",
        f"Where the mouth begins to drown, sources differ: 0.36 of the bore "
        f"({_mm(pipe.changeover)} mm here), or {USBR_SHARE} by a rule for vertical pipes "
        f"({_mm(USBR_SHARE * pipe.bore)} mm).",
    ]
    if WAVERING[0] < pipe.head / pipe.changeover < WAVERING[1]:
        doubts.append(
            "This is near that depth: the pipe may gulp, filling and sucking air by turns."
        )
    if pipe.head < SHALLOWEST_M:
        doubts.append(
            "So thin a sheet of water clings to the rim and may take less (common practice)."
        )
    return tuple(doubts)


def _steps(pipe: _Standpipe) -> tuple[Step, ...]:
    bore, head = f"{pipe.bore:.4g}", f"{pipe.head:.4g}"
    return (
        Step(
            "mouth drowns at 0.6 × (bore / 4) / 0.414 = 0.36 × bore",
            f"0.6 × ({bore} / 4) / 0.414",
            f"{show(pipe.changeover * 1000)} mm",
            "riser-outlet-note",
        ),
        Step(
            "over the rim = 0.414 × √(2 × 9.807) × π × bore × head^1.5 × 3 600 000",
            f"0.414 × √(2 × 9.807) × π × {bore} × {head}^1.5 × 3 600 000",
            f"{_four(pipe.capacity)} L/h",
            "riser-outlet-note",
        )
        if pipe.by_rim
        else Step(
            "through the mouth = 0.6 × area × √(2 × 9.807 × head) × 3 600 000",
            f"0.6 × {show(circle_area_m2(diameter_m=pipe.bore), 6)} × √(2 × 9.807 × {head}) "
            "× 3 600 000",
            f"{_four(pipe.capacity)} L/h",
            "riser-outlet-note",
        ),
        Step(
            "to count on = half",
            f"{_four(pipe.capacity)} / 2",
            f"{_four(pipe.capacity * SAFE_SHARE)} L/h",
            "common-practice",
        ),
    )


def _flow(flow: float) -> str:
    return f"about {_three(flow)} L/h ({_three(flow / US_GALLON_L)} US gal/h)"


def _two(value: float) -> str:
    return "less than 0.1" if value < 0.1 else show_plain(figures(value, 2))


def _three(value: float) -> str:
    return "less than 0.1" if value < 0.1 else show_plain(figures(value, 3))


def _four(value: float) -> str:
    return show_plain(figures(value, 4))


def _mm(metres: float) -> str:
    return show_plain(figures(metres * 1000, 3))


OVERFLOW = Calculator(
    id="overflow",
    title="Overflow pipe",
    question="How much water can my overflow pipe take?",
    inputs=(
        Number(
            "bore", "Inside diameter of the pipe", LENGTH, "mm", minimum=10, maximum=500,
            usual=(20, 160), help="At its narrowest; pipes are sold by outside or trade size.",
        ),
        Number(
            "water_over_lip", "Water over its lip", LENGTH, "mm", minimum=1, maximum=1000,
            usual=(3, 150), help="How high the water may stand over the rim before harm is done.",
        ),
    ),
    results=(
        Result("capacity", "Most it takes on paper", FLOW, "L/h", figures=3, main=True),
        Result("safe_capacity", "Flow to count on", FLOW, "L/h", figures=3, main=True),
        Result("control", "Ruled by", None),
    ),
    compute=compute,
    sources=("riser-outlet-note", "usbr-vertical-pipe", "common-practice"),
    articles=("pipe-size", "power-cut"),
    examples=(
        Example(
            title="A 50 mm bore with 10 mm over the lip",
            given={"bore": "50 mm", "water_over_lip": "10 mm"},
            expect={"capacity": 1036.81, "safe_capacity": 518.4, "control": "rim"},
            source="riser-outlet-note",
            tolerance=0.002,
        ),
        Example(
            title="The same pipe with its mouth drowned",
            given={"bore": "50 mm", "water_over_lip": "40 mm"},
            expect={"capacity": 3756.55, "control": "mouth"},
            source="riser-outlet-note",
            tolerance=0.002,
        ),
    ),
)  # fmt: skip
