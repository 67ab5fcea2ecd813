"""Dechlorinate: the thiosulphate for tap water, and the ammonia that chloramine leaves behind."""

from dataclasses import dataclass

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
from kb.science.chlorine import LEAST_MG, PLANNING_MG, ammonia_released_mg_l, thiosulphate_g
from kb.units import (
    CONCENTRATION,
    MASS,
    VOLUME,
    few,
    show,
)

CAREFUL_MG_L = 0.25  # common practice: one colour of a common ammonia kit


@dataclass(frozen=True)
class _Tap:
    """The new water and the system it goes into; chlorine in mg/L as Cl2."""

    volume_l: float
    chlorine: float
    chloramine: bool
    system_l: float | None

    @property
    def thiosulphate(self) -> float:
        """The pentahydrate by the planning factor, in g."""
        return thiosulphate_g(volume_l=self.volume_l, chlorine_mg_l=self.chlorine)

    @property
    def least(self) -> float:
        """The same by the low end of the range in use."""
        return thiosulphate_g(
            volume_l=self.volume_l, chlorine_mg_l=self.chlorine, mg_per_mg=LEAST_MG
        )

    @property
    def ammonia(self) -> float:
        """The ammonia left in the new water, in mg/L as N."""
        return ammonia_released_mg_l(chloramine_mg_l=self.chlorine) if self.chloramine else 0.0

    @property
    def ammonia_in_system(self) -> float | None:
        """The rise of ammonia once the new water is in the system."""
        return None if self.system_l is None else self.ammonia * self.volume_l / self.system_l


def compute(
    volume: float, chlorine: float, chloramine: str, system_volume: float | None
) -> Outcome:
    """The thiosulphate for new water, and the ammonia that is left after it."""
    tap = _Tap(volume, max(chlorine, 0.0), chloramine == "yes", system_volume)
    _refuse_system(tap)
    verdict, sentence = _verdict(tap)
    return Outcome(
        values={
            "thiosulphate": tap.thiosulphate,
            "ammonia_released": tap.ammonia,
            "ammonia_in_system": tap.ammonia_in_system,
            "verdict": verdict,
        },
        steps=_steps(tap),
        cautions=_cautions(tap),
        doubts=_doubts(tap),
        sentences={**_sentences(tap), "verdict": sentence},
    )


def _refuse_system(tap: _Tap) -> None:
    if tap.system_l is not None and tap.system_l < tap.volume_l:
        raise refuse(
            "system_volume",
            f"{show_plain(tap.system_l)} L",
            f"Water in the system: {few(tap.system_l, 4)} L cannot hold {few(tap.volume_l, 4)} L "
            "of new water; give all the water, the new water included.",
        )


def _sentences(tap: _Tap) -> dict[str, str]:
    volume, chlorine = f"{few(tap.volume_l, 4)} L", f"{few(tap.chlorine, 3)} mg/L"
    kind = "chloramine (as Cl2)" if tap.chloramine else "chlorine"
    dose = (
        f"{few(tap.thiosulphate)} g of sodium thiosulphate (the crystals, pentahydrate) takes "
        f"{chlorine} of {kind} out of {volume} of new water."
    )
    return {
        "thiosulphate": dose if tap.chlorine else "Nothing is needed: no chlorine shows.",
        "ammonia_released": (
            f"{chlorine} of chloramine leaves {few(tap.ammonia)} mg/L of ammonia (as N) in the "
            "new water."
            if tap.chloramine
            else "Free chlorine leaves no ammonia."
        ),
        "ammonia_in_system": _system_sentence(tap),
    }


def _system_sentence(tap: _Tap) -> str:
    if tap.system_l is None or tap.ammonia_in_system is None:
        return "Give the water in the whole system to see how far its ammonia rises."
    return (
        f"Mixed into {few(tap.system_l, 4)} L, the new water raises the ammonia of the system by "
        f"{few(tap.ammonia_in_system)} mg/L (as N)."
    )


def _verdict(tap: _Tap) -> tuple[str, str]:
    if tap.chlorine == 0:
        return "no chlorine", (
            "No chlorine shows. Test for total chlorine: a test for free chlorine does not see "
            "chloramine."
        )
    harm = "any chlorine that can be measured harms fish"
    if not tap.chloramine:
        return "treat", (
            f"Treat the new water before it goes in, as {harm}; strong aeration for a day or "
            "more also drives free chlorine out (common practice): test before use."
        )
    rise = tap.ammonia if tap.ammonia_in_system is None else tap.ammonia_in_system
    if rise < CAREFUL_MG_L:
        return "treat", (
            f"Treat the new water before it goes in, as {harm}; chloramine does not leave by "
            "itself. The ammonia it leaves is less than one colour of a common kit "
            f"({CAREFUL_MG_L} mg/L, common practice), and a running filter takes it up."
        )
    return "treat, mind the ammonia", (
        f"Treat the new water before it goes in, as {harm}; chloramine does not leave by itself. "
        f"The {few(rise)} mg/L of ammonia (as N) it leaves counts like any other: change less at "
        "a time, and test."
    )


def _cautions(tap: _Tap) -> tuple[str, ...]:
    ammonia = ("never-raise-ph-with-ammonia",) if tap.ammonia else ()
    return (
        "dechlorinator-label",
        "water-change-match",
        *ammonia,
        "label-and-law",
        "calculation-not-promise",
    )


def _steps(tap: _Tap) -> tuple[Step, ...]:
    volume, chlorine = few(tap.volume_l, 4), few(tap.chlorine, 4)
    steps = [
        Step(
            "thiosulphate = volume × chlorine × 7.0 / 1000",
            f"{volume} × {chlorine} × {PLANNING_MG} / 1000",
            f"{show(tap.thiosulphate)} g",
            "thiosulphate-note",
        )
    ]
    if tap.chloramine:
        steps.append(
            Step(
                "ammonia (as N) = chloramine (as Cl2) × 14.007 / 70.90",
                f"{chlorine} × 14.007 / 70.90",
                f"{show(tap.ammonia)} mg/L",
                "iupac-atomic-weights",
            )
        )
    if tap.chloramine and tap.system_l is not None and tap.ammonia_in_system is not None:
        steps.append(
            Step(
                "in the system = ammonia × new water / all the water",
                f"{show(tap.ammonia)} × {volume} / {few(tap.system_l, 4)}",
                f"{show(tap.ammonia_in_system)} mg/L",
            )
        )
    return tuple(steps)


def _doubts(tap: _Tap) -> tuple[str, ...]:
    general = ("What the supplier doses changes with season and distance: test each time, or ask.",)
    if tap.chlorine == 0:
        return general
    doubts = (
        "For a product that is sold as a dechlorinator, its label comes first; the grams are for "
        "pure crystals.",
        f"Factors in use run from 2 to 7 mg a mg of chlorine, {few(tap.least)} to "
        f"{few(tap.thiosulphate)} g here: a field guide found 1.9 at pH 7, a support note of an "
        "instrument maker takes 7.0, the most it can take. Start with 7 and test.",
        "Thiosulphate uses some oxygen: keep the air running.",
        *general,
    )
    if tap.chloramine:
        return doubts
    turned = _Tap(tap.volume_l, tap.chlorine, True, tap.system_l)
    return (
        *doubts,
        "If it is chloramine after all (ask the supplier), the new water ends with "
        f"{few(turned.ammonia)} mg/L of ammonia (as N).",
    )


INPUTS = (
    Number(
        "volume", "New water", VOLUME, "L", minimum=0.1, maximum=10_000_000, usual=(5, 20_000),
        help="Only the water that is added; a bought dechlorinator may ask for all of it.",
    ),
    Number(
        "chlorine", "Total chlorine", CONCENTRATION, "mg/L", minimum=0, maximum=20, usual=(0, 5),
        help="As Cl2, from a strip or the water supplier; chloramine counts in.",
    ),
    Choice(
        "chloramine", "Chloramine", (("no", "no, free chlorine"), ("yes", "yes, chloramine")),
        help="The water supplier says which.",
    ),
    Number(
        "system_volume", "Water in the system", VOLUME, "L", minimum=1, maximum=10_000_000,
        optional=True, usual=(50, 100_000), help="All of it, the new water included.",
    ),
)  # fmt: skip
DECHLORINATE = Calculator(
    id="dechlorinate",
    title="Taking chlorine out",
    question="How much thiosulphate makes my tap water safe, and does chloramine leave ammonia?",
    inputs=INPUTS,
    results=(
        Result("thiosulphate", "Thiosulphate (pentahydrate)", MASS, "g", figures=2, main=True),
        Result(
            "ammonia_released", "Ammonia left in the new water, as N", CONCENTRATION, "mg/L",
            figures=2, main=True,
        ),
        Result(
            "ammonia_in_system", "Rise of ammonia in the system, as N", CONCENTRATION, "mg/L",
            figures=2,
        ),
        Result("verdict", "Verdict", None, main=True),
    ),
    compute=compute,
    sources=(
        "thiosulphate-note",
        "dechlorination-field-guide",
        "iupac-atomic-weights",
        "merck-vet-manual",
        "common-practice",
    ),
    articles=("chlorine-and-chloramine", "top-up-routine"),
    examples=(
        Example(
            title="A barrel of tap water with free chlorine",
            given={"volume": "200 L", "chlorine": "2 mg/L", "chloramine": "no"},
            expect={"thiosulphate": 2.8, "ammonia_released": 0, "verdict": "treat"},
            source="thiosulphate-note",
        ),
        Example(
            title="A tenth of the water changed with chloraminated tap water",
            given={
                "volume": "100 L", "chlorine": "3 mg/L", "chloramine": "yes",
                "system_volume": "1000 L",
            },
            expect={
                "thiosulphate": 2.1, "ammonia_released": 0.593, "ammonia_in_system": 0.0593,
            },
            source="iupac-atomic-weights",
            tolerance=0.005,
        ),
        Example(
            title="Half of the water changed at once",
            given={
                "volume": "500 L", "chlorine": "2 mg/L", "chloramine": "yes",
                "system_volume": "1000 L",
            },
            expect={"ammonia_in_system": 0.1976},
            source="iupac-atomic-weights",
            tolerance=0.005,
        ),
    ),
)  # fmt: skip
