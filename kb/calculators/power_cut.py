"""Power cut: how many minutes of oxygen the fish have once pump and air stand still."""

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
from kb.science.oxygen import saturation_mg_l
from kb.science.power_cut import AFTER_FEED, AT_MOST, TROUT, minutes_left, resting_use_mg_kg_h
from kb.units import (
    CONCENTRATION,
    MASS,
    OXYGEN_USE,
    TEMPERATURE,
    TIME,
    VOLUME,
    few,
    figures,
    show,
)

NOBODY_THERE_MIN = 60.0  # common practice: sooner than a person wakes, comes and finds the fault
SAME_DAY_MIN = 240.0  # common practice
LONGEST_MIN = 2880.0  # two days: what comes in by the surface decides, not what was there
TROUT_MG_L = 6.0  # fao-589: cold-water fish want 6 to 8 mg/L
MEASURED = (18.0, 38.0)  # tilapia-oxygen-2022
MOST_KG_L = 0.5
FILTER_SHARE = 1.5  # common practice: bacteria and muck may use half as much again


@dataclass(frozen=True)
class _Cut:
    """Fish in still water; how much oxygen they use is worked out unless it is given."""

    volume: float
    biomass: float
    temp_c: float
    oxygen: float
    critical: float
    given_use: float | None
    trout: bool

    @property
    def resting(self) -> float:
        """The use of unfed, resting fish, in mg O2/kg/h."""
        return resting_use_mg_kg_h(temp_c=self.temp_c) * (TROUT if self.trout else 1.0)

    @property
    def use(self) -> float:
        """The use that is counted on."""
        return self.resting * AFTER_FEED if self.given_use is None else self.given_use

    @property
    def high_use(self) -> float:
        """The use of fish flat out, or the figure given."""
        return self.resting * AT_MOST if self.given_use is None else self.given_use

    def minutes(
        self, use: float, *, oxygen: float | None = None, critical: float | None = None
    ) -> float:
        """How long the oxygen lasts at that use."""
        return minutes_left(
            volume_l=self.volume,
            biomass_kg=self.biomass,
            oxygen_mg_l=self.oxygen if oxygen is None else oxygen,
            critical_mg_l=self.critical if critical is None else critical,
            use_mg_kg_h=use,
        )

    @property
    def shortest(self) -> float:
        """The minutes that fish flat out have, or fish of the use given."""
        return self.minutes(self.high_use)

    @property
    def ends(self) -> tuple[float, float] | None:
        """The minutes of fish flat out and at rest; None when the use itself was given."""
        if self.given_use is not None:
            return None
        return self.shortest, self.minutes(self.resting)


def compute(
    volume: float,
    biomass: float,
    temperature: float,
    oxygen: float,
    critical: float,
    use: float | None,
    trout_family: str,
) -> Outcome:
    """The minutes until the oxygen is down to the critical level, with their range."""
    cut = _Cut(
        volume=volume,
        biomass=biomass / 1000,
        temp_c=min(max(temperature, 0.0), 40.0),  # 104 °F must not be a hair above 40 °C
        oxygen=max(oxygen, 0.0),
        critical=critical,
        given_use=use,
        trout=trout_family == "yes",
    )
    _refuse_crowd(cut)
    verdict, sentence = _verdict(cut)
    worst, best = cut.ends or (None, None)
    return Outcome(
        values={
            "minutes": cut.minutes(cut.use),
            "minutes_low": worst,
            "minutes_high": best,
            "use_counted": cut.use,
            "verdict": verdict,
        },
        steps=_steps(cut),
        cautions=(
            "generator-outdoors",
            "mains-and-water",
            "sludge-gas",
            "calculation-not-promise",
        ),
        doubts=_doubts(cut),
        sentences={"verdict": sentence, **_sentences(cut)},
    )


def _refuse_crowd(cut: _Cut) -> None:
    if cut.biomass <= cut.volume * MOST_KG_L:
        return
    given = f"{few(cut.biomass, 3)} kg"
    raise refuse(
        "biomass",
        given,
        f"Fish: {given} in {few(cut.volume, 3)} L is more than can live in it; half a kilogram a "
        f"litre is the most, here {few(cut.volume * MOST_KG_L, 3)} kg.",
    )


def _verdict(cut: _Cut) -> tuple[str, str]:
    if cut.oxygen <= cut.critical:
        return "air now", (
            f"{few(cut.oxygen, 3)} mg/L is at or under {few(cut.critical, 3)} mg/L already: the "
            "fish need air now, power cut or not."
        )
    least = f"{_time(cut.shortest)} at the worst" if cut.ends else f"About {_time(cut.shortest)}"
    if cut.shortest < NOBODY_THERE_MIN:
        return "automatic air", (
            f"{least} is too short to count on anybody: have air that starts by itself, such as a "
            "battery air pump that switches over."
        )
    if cut.shortest < SAME_DAY_MIN:
        return "alarm and battery", (
            f"{least} is enough if an alarm reaches somebody near: keep a battery air pump ready "
            "and charged."
        )
    return "some hours", (
        f"{least}: time to act by hand if the cut is noticed, so keep an alarm for the night and "
        "a battery air pump."
    )


def _sentences(cut: _Cut) -> dict[str, str]:
    fish = f"{few(cut.biomass, 3)} kg of fish in {few(cut.volume, 3)} L"
    at_worst = at_best = "No range is worked out, because the use itself was given."
    reach = ""
    if cut.ends:
        worst, best = (_time(end) for end in cut.ends)
        at_worst = f"{worst}, if the fish swim flat out or are small and just fed."
        at_best = f"{best}, if they rest with empty stomachs."
        reach = f", anything from {worst} to {best}"
    return {
        "minutes": (
            f"{fish} bring {few(cut.oxygen, 3)} mg/L of oxygen down to {few(cut.critical, 3)} "
            f"mg/L in about {_time(cut.minutes(cut.use))}{reach}."
            if cut.oxygen > cut.critical
            else f"{fish} have none left: {few(cut.oxygen, 3)} mg/L is not over the "
            f"{few(cut.critical, 3)} mg/L it should not fall below."
        ),
        "minutes_low": at_worst,
        "minutes_high": at_best,
        "use_counted": _use_sentence(cut),
    }


def _use_sentence(cut: _Cut) -> str:
    if cut.given_use is not None:
        return f"{few(cut.use, 3)} mg of oxygen a kg of fish and hour, as you gave."
    return (
        f"{few(cut.use, 2)} mg of oxygen a kg of fish and hour at {_degrees(cut.temp_c)} °C is "
        f"twice what they use at rest, as after a meal; {few(cut.resting, 2)} to "
        f"{few(cut.high_use, 2)} are likely."
    )


def _doubts(cut: _Cut) -> tuple[str, ...]:
    return (
        *_use_doubts(cut),
        f"Oxygen that comes in through the surface is left out, so the time errs short; what the "
        f"filter and muck use is left out too: with half as much again it is "
        f"{_time(cut.minutes(cut.use * FILTER_SHARE))} (common practice).",
        "A meter 0.5 mg/L off (common practice) makes it "
        f"{_time(cut.minutes(cut.use, oxygen=cut.oxygen - 0.5))} to "
        f"{_time(cut.minutes(cut.use, oxygen=cut.oxygen + 0.5))}.",
        f"Down to 4 mg/L, where distress begins, it is "
        f"{_time(cut.minutes(cut.use, critical=4.0))}; down to 2 mg/L, where fish die, "
        f"{_time(cut.minutes(cut.use, critical=2.0))} (IFAS FA27).",
        "A pipe that drains the tank once the pump stands leaves less water: try it out while you "
        "stand by.",
        "Once the power is back, let the first water out of a filter that stood still run to waste "
        "(common practice): it may be foul.",
        *_reading_doubts(cut),
    )


def _use_doubts(cut: _Cut) -> tuple[str, ...]:
    if cut.given_use is not None:
        return (
            "Fish use up to twice as much one to six hours after a meal: then it is "
            f"{_time(cut.minutes(cut.use * AFTER_FEED))}.",
        )
    doubts = [
        "How much oxygen fish use is measured on Nile tilapia at rest (80 mg/kg/h at 18 °C, 255 "
        "at 38 °C) and flat out (240 at 18 °C, 374 at 30 °C); other kinds and sizes differ, small "
        "fish use more a kg.",
        "A meal may double it one to six hours later, so twice the rest is counted; southern "
        "catfish at 27.5 °C peaked at 208 to 379 mg/kg/h after a meal.",
    ]
    if not MEASURED[0] <= cut.temp_c <= MEASURED[1]:
        doubts.append(
            f"{_degrees(cut.temp_c)} °C lies outside the 18 to 38 °C that were measured; the line "
            "is only drawn on."
        )
    if cut.trout:
        doubts.append(
            "Trout are counted at twice the use of tilapia, from memory of a published relation "
            "for hatcheries (Liao 1971) that was not read again: a rough guide only."
        )
    return tuple(doubts)


def _reading_doubts(cut: _Cut) -> tuple[str, ...]:
    doubts = []
    full = saturation_mg_l(temp_c=cut.temp_c)
    if cut.oxygen > full:
        doubts.append(
            f"Air alone gives water of {_degrees(cut.temp_c)} °C only {show(full, 1)} mg/L at sea "
            "level: at night there will be less than was read."
        )
    if cut.trout and cut.critical < TROUT_MG_L:
        doubts.append(
            f"Trout want {TROUT_MG_L:.0f} mg/L or more: down to that it is "
            f"{_time(cut.minutes(cut.use, critical=TROUT_MG_L))}."
        )
    return tuple(doubts)


def _steps(cut: _Cut) -> tuple[Step, ...]:
    spare = cut.volume * max(0.0, cut.oxygen - cut.critical)
    steps = [
        Step(
            "oxygen to spare = volume × (oxygen − critical), not under 0",
            f"{few(cut.volume, 4)} × ({few(cut.oxygen, 4)} − {few(cut.critical, 4)})",
            f"{few(spare, 4)} mg",
        ),
        Step(
            "minutes = oxygen to spare / (use × fish) × 60",
            f"{few(spare, 4)} / ({few(cut.use, 4)} × {few(cut.biomass, 4)}) × 60",
            f"{few(cut.minutes(cut.use), 4)} min",
        ),
    ]
    if cut.given_use is None:
        steps.insert(0, _use_step(cut))
        steps.append(
            Step(
                "range: three times the use at rest, and just that",
                f"{few(spare, 4)} / ({few(cut.high_use, 4)} or {few(cut.resting, 4)} × "
                f"{few(cut.biomass, 4)}) × 60",
                f"{few(cut.shortest, 4)} to {few(cut.minutes(cut.resting), 4)} min",
                "tilapia-oxygen-2022",
            )
        )
    return tuple(steps)


def _use_step(cut: _Cut) -> Step:
    twice = " × 2 for trout (from memory)" if cut.trout else ""
    return Step(
        f"use = 2 after a meal × 79.8 at rest × 1.79^((temperature − 18) / 10){twice}",
        f"2 × 79.8 × 1.79^(({_degrees(cut.temp_c)} − 18) / 10){' × 2' if cut.trout else ''}",
        f"{show(cut.use)} mg/kg/h",
        "tilapia-oxygen-2022",
    )


def _time(minutes: float) -> str:
    if minutes == 0:
        return "no time at all"
    if minutes < 1:
        return "less than a minute"
    if minutes < 120:
        count = show_plain(figures(minutes, 2))
        return f"{count} minute{'' if count == '1' else 's'}"
    if minutes <= LONGEST_MIN:
        return f"{show_plain(figures(minutes / 60, 2))} hours"
    return "more than two days"


def _degrees(value: float) -> str:
    return show_plain(round(value, 1))


POWER_CUT = Calculator(
    id="power-cut",
    title="Power cut",
    question="How long do my fish last in a power cut?",
    inputs=(
        Number(
            "volume", "Water the fish are in", VOLUME, "L", minimum=1, maximum=10_000_000,
            usual=(50, 50_000), help="The fish tank alone: once the pump stands, no other counts.",
        ),
        Number(
            "biomass", "Fish", MASS, "kg", minimum=0.001, maximum=1_000_000, usual=(0.1, 2000),
            help="All of them together: number times weight of one.",
        ),
        Number(
            "temperature", "Water temperature", TEMPERATURE, "°C", minimum=0, maximum=40,
            usual=(8, 34),
        ),
        Number(
            "oxygen", "Oxygen when the power goes", CONCENTRATION, "mg/L", minimum=0, maximum=40,
            usual=(2, 14), help="As at the worst hour: after feeding, or just before daybreak.",
        ),
        Number(
            "critical", "Oxygen not to fall below", CONCENTRATION, "mg/L", minimum=0, maximum=20,
            default=3, usual=(2, 6), help="Warm-water fish 3; fish die below 2, trout want 6.",
        ),
        Number(
            "use", "Oxygen the fish use", OXYGEN_USE, "mg/kg/h", minimum=1, maximum=5000,
            optional=True, usual=(50, 1000), help="Leave empty to take it from the temperature.",
        ),
        Choice(
            "trout_family", "Trout or salmon in the tank", (("no", "no"), ("yes", "yes")),
            default="no", help="They use about twice as much at the same temperature.",
        ),
    ),
    results=(
        Result("minutes", "Time left", TIME, "min", 0, main=True),
        Result("minutes_low", "Time left at the worst", TIME, "min", 0),
        Result("minutes_high", "Time left at the best", TIME, "min", 0),
        Result("use_counted", "Oxygen use counted on", OXYGEN_USE, "mg/kg/h", 0),
        Result("verdict", "Verdict", None, main=True),
    ),
    compute=compute,
    sources=(
        "tilapia-oxygen-2022",
        "fisheries-e-course",
        "fu-2005",
        "liao-1971",
        "benson-krause-1984",
        "ifas-fa27",
        "fao-589",
        "common-practice",
    ),
    articles=("power-cut", "low-oxygen", "sudden-fish-deaths"),
    examples=(
        Example(
            title="20 kg in 1000 L that use 250 mg/kg/h",
            given={
                "volume": "1000 L", "biomass": "20 kg", "temperature": "24 °C",
                "oxygen": "7 mg/L", "use": 250,
            },
            expect={"minutes": 48, "verdict": "automatic air"},
            source="common-practice",
        ),
        Example(
            title="Tilapia at 18 °C, where their use was measured",
            given={"volume": "1000 L", "biomass": "22 lb", "temperature": "64.4 F", "oxygen": 8},
            expect={"use_counted": 159.6, "minutes_high": 376.7, "minutes_low": 125.6},
            source="tilapia-oxygen-2022",
        ),
    ),
)  # fmt: skip
