"""Heat: what it takes to warm the water, and to hold it warm through walls and cover."""

from dataclasses import dataclass

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
from kb.science.heat import (
    HEAT_KJ_L_K,
    RAFFERTY_LATENT_KJ_KG,
    conduction_w,
    evaporation_w,
    heating_kwh,
    mean_power_w,
)
from kb.units import (
    AREA,
    ENERGY,
    HEAT_PASSED,
    POWER,
    TEMPERATURE,
    TIME,
    VOLUME,
    few,
    show,
)

GENTLE_C_H = 1.0  # common practice: fish are warmed about a degree an hour
FOAM_U = 0.6  # from memory: 50 mm of foam of 0.035 W/m/K, with still air outside
COLDER_C = 5.0
U_OFF = 0.3  # common practice: how far such figures are trusted
STRONG_W = 2000.0  # common practice: what one household socket should carry all day
EVAPORATED_L_DAY = 10.0
LOSS_INPUTS = (("surface", "surface"), ("air", "air temperature"), ("insulation", "insulation"))


@dataclass(frozen=True)
class _Warming:
    """Water to be warmed, and what its walls pass where that is known."""

    volume: float
    now: float
    target: float
    hours: float
    surface: float | None
    air: float | None
    insulation: float | None

    @property
    def rise(self) -> float:
        """The degrees to go."""
        return self.target - self.now

    @property
    def energy(self) -> float:
        """The energy for it, in kWh."""
        return heating_kwh(volume_l=self.volume, rise_c=self.rise)

    @property
    def power(self) -> float:
        """The mean power for it, in W."""
        return mean_power_w(energy_kwh=self.energy, hours=self.hours)

    def hold(self, *, colder: float = 0.0, insulation: float | None = None) -> float | None:
        """The power that makes good what walls and cover lose; None when too little is known."""
        passed = self.insulation if insulation is None else insulation
        if self.surface is None or self.air is None or passed is None:
            return None
        return conduction_w(
            surface_m2=self.surface,
            u_w_m2_k=passed,
            water_c=self.target,
            air_c=self.air - colder,
        )


def compute(
    volume: float,
    temperature: float,
    target: float,
    hours: float,
    surface: float | None,
    air: float | None,
    insulation: float | None,
) -> Outcome:
    """The energy and power to warm the water, and the power to hold it."""
    if target < temperature:
        raise refuse(
            "target",
            f"{_degrees(target)} °C",
            f"Temperature wanted: {_degrees(target)} °C is below the {_degrees(temperature)} °C "
            "there now, and this sum is for warming; to cool, shade the tank, air it at night or "
            "add cooler water.",
        )
    warming = _Warming(volume, temperature, target, hours / 60, surface, air, insulation)
    return Outcome(
        values={
            "energy": warming.energy,
            "power": warming.power,
            "hold_power": warming.hold(),
        },
        steps=_steps(warming),
        cautions=(
            "heater-under-water",
            "mains-and-water",
            "tingle-in-water",
            "heater-cold-correction",
            "calculation-not-promise",
        ),
        doubts=_doubts(warming),
        sentences=_sentences(warming),
    )


def _sentences(warming: _Warming) -> dict[str, str]:
    if warming.rise == 0:
        energy = f"The water is at {_degrees(warming.target)} °C already: nothing to warm."
    else:
        energy = (
            f"Warming {few(warming.volume, 3)} L from {_degrees(warming.now)} to "
            f"{_degrees(warming.target)} °C takes {few(warming.energy, 3)} kWh, losses not counted."
        )
    return {
        "energy": energy,
        "power": f"{_power_sentence(warming)}{_haste(warming)}",
        "hold_power": _hold_sentence(warming),
    }


def _power_sentence(warming: _Warming) -> str:
    if warming.rise == 0:
        return "No power is needed to warm it, only to hold it."
    text = (
        f"{_watts(warming.power)} going all the time does that in {few(warming.hours, 3)} hours, "
        "losses not counted"
    )
    held = warming.hold()
    if not held:
        return f"{text}."
    return (
        f"{text}; with what walls and cover lose, have a heater of about "
        f"{_watts(warming.power + held)} or more."
    )


def _haste(warming: _Warming) -> str:
    pace = warming.rise / warming.hours
    if pace <= GENTLE_C_H * (1 + 1e-9):
        return ""
    return (
        f" That is {few(pace, 3)} °C an hour, faster than the degree an hour that fish take well "
        f"(common practice): with fish in it, take {few(warming.rise / GENTLE_C_H, 3)} hours or "
        "more."
    )


def _hold_sentence(warming: _Warming) -> str:
    held = warming.hold()
    if held is None:
        given = (warming.surface, warming.air, warming.insulation)
        missing = [
            label for (_, label), value in zip(LOSS_INPUTS, given, strict=True) if value is None
        ]
        return f"To see what holding it takes, give the {_listed(missing)} as well."
    if held == 0:
        return (
            f"Air of {_degrees(warming.air or 0.0)} °C is as warm as the water wanted: walls and "
            "cover lose nothing, evaporation still cools it."
        )
    return (
        f"Holding {_degrees(warming.target)} °C in air of {_degrees(warming.air or 0.0)} °C takes "
        f"{_watts(held)} all the time ({few(held * 0.024, 3)} kWh a day) for what goes through "
        "walls and cover alone; evaporation comes on top."
    )


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _doubts(warming: _Warming) -> tuple[str, ...]:
    lost = evaporation_w(evaporation_l_day=EVAPORATED_L_DAY)
    handbook = evaporation_w(evaporation_l_day=EVAPORATED_L_DAY, latent_kj_kg=RAFFERTY_LATENT_KJ_KG)
    doubts = [
        f"Evaporation is not in it and is usually the largest loss: every 10 L a day that "
        f"evaporates takes about {few(lost, 3)} W more ({few(handbook, 3)} W by a handbook's "
        "round figure). A cover saves most of it.",
        "Beds, pipes and falling water lose heat as well, and the sun and pumps give some; watch "
        "for a day what it really takes.",
    ]
    doubts += _hold_doubts(warming)
    held = warming.hold() or 0.0
    if warming.power + held > STRONG_W:
        doubts.append(
            "Over 2 kW all day is more than one household socket should carry (common practice): "
            "take more time, insulate, or ask an electrician."
        )
    return tuple(doubts)


def _hold_doubts(warming: _Warming) -> list[str]:
    passed = warming.insulation
    held, colder = warming.hold(), warming.hold(colder=COLDER_C)
    if held is None or colder is None or passed is None:
        return []
    low = warming.hold(insulation=passed * (1 - U_OFF)) or 0.0
    high = warming.hold(insulation=passed * (1 + U_OFF)) or 0.0
    doubts = [f"Air {COLDER_C:.0f} °C colder makes it {_watts(colder)} to hold."]
    if held:
        doubts.append(
            "What a wall passes is hardly known better than a third either way (common practice): "
            f"{few(low, 3)} to {_watts(high)} to hold."
        )
    foam = warming.hold(insulation=FOAM_U)
    if held and foam is not None and passed > 2 * FOAM_U:
        doubts.append(
            f"With 50 mm of foam all round (about {FOAM_U} W/m²/K, figure from memory) it would "
            f"be {_watts(foam)}."
        )
    return doubts


def _steps(warming: _Warming) -> tuple[Step, ...]:
    steps = [
        Step(
            f"energy = {HEAT_KJ_L_K} kJ/L/°C × volume × rise / 3600",
            f"{HEAT_KJ_L_K} × {few(warming.volume, 4)} × ({_degrees(warming.target)} − "
            f"{_degrees(warming.now)}) / 3600",
            f"{show(warming.energy)} kWh",
            "teos-10",
        ),
        Step(
            "power = energy × 1000 / hours",
            f"{show(warming.energy)} × 1000 / {few(warming.hours, 4)}",
            f"{show(warming.power)} W",
        ),
    ]
    held = warming.hold()
    if held is not None:
        steps.append(
            Step(
                "to hold = surface × heat passed × (water − air), not under 0",
                f"{few(warming.surface or 0.0, 4)} × {few(warming.insulation or 0.0, 4)} × "
                f"({_degrees(warming.target)} − {_degrees(warming.air or 0.0)})",
                f"{show(held)} W",
            )
        )
    return tuple(steps)


def _degrees(value: float) -> str:
    return show_plain(round(value, 1) + 0.0).replace("-", "−")


def _watts(value: float) -> str:
    return f"{few(value, 3)} W" if value >= 1 or value == 0 else "less than 1 W"


HEAT = Calculator(
    id="heat",
    title="Heating the water",
    question="What heater do I need?",
    inputs=(
        Number(
            "volume", "Water in the whole system", VOLUME, "L", minimum=1, maximum=1_000_000,
            usual=(20, 50_000), help="All of it is warmed, not the fish tank alone.",
        ),
        Number(
            "temperature", "Water temperature now", TEMPERATURE, "°C", minimum=0, maximum=45,
            usual=(3, 32),
        ),
        Number(
            "target", "Temperature wanted", TEMPERATURE, "°C", minimum=0, maximum=45,
            usual=(10, 32), help="What suits your fish; check before you heat.",
        ),
        Number(
            "hours", "Time for it", TIME, "h", minimum=0.1, maximum=1000, default=24,
            usual=(2, 200), help="Fish take about a degree an hour (common practice).",
        ),
        Number(
            "surface", "Surface of walls, bottom and cover", AREA, "m²", minimum=0.01,
            maximum=10_000, optional=True, usual=(0.3, 200), help="All that passes heat.",
        ),
        Number(
            "air", "Air temperature", TEMPERATURE, "°C", minimum=-40, maximum=50, optional=True,
            usual=(-20, 40), help="The coldest night to be held against.",
        ),
        Number(
            "insulation", "Heat its walls pass", HEAT_PASSED, "W/m²/K", minimum=0.05, maximum=30,
            optional=True, usual=(0.2, 12),
            help="From memory: bare tank 5 to 10, 25 mm of foam 1.2, 50 mm of foam 0.6.",
        ),
    ),
    results=(
        Result("energy", "Energy to warm it", ENERGY, "kWh", figures=3, main=True),
        Result("power", "Power to warm it", POWER, "W", figures=3, main=True),
        Result("hold_power", "Power to hold it", POWER, "W", figures=3, main=True),
    ),
    compute=compute,
    sources=("teos-10", "rafferty-heat", "common-practice"),
    articles=("heat-and-cold", "electrics-near-water"),
    examples=(
        Example(
            title="1000 L by 5 °C in a day",
            given={"volume": "1000 L", "temperature": "20 °C", "target": "25 °C"},
            expect={"energy": 5.814, "power": 242.2},
            source="teos-10",
            tolerance=0.01,
        ),
        Example(
            title="Holding a greenhouse tank at 26 °C on a 12 °C night",
            given={
                "volume": "264.172 gal", "temperature": "75.2 F", "target": "26 °C",
                "surface": "4 m2", "air": "12 °C", "insulation": 3,
            },
            expect={"energy": 2.326, "hold_power": 168},
            source="teos-10",
            tolerance=0.01,
        ),
    ),
)  # fmt: skip
