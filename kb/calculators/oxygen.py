"""Oxygen: how much the water can hold, and how near a reading comes to it."""

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
from kb.science.oxygen import pressure_at_altitude_kpa, saturation_mg_l
from kb.units import CONCENTRATION, LENGTH, PERCENT, PRESSURE, SALINITY, TEMPERATURE, show

DEATHS_MG_L = 2.0  # ifas-fa27: gulping and deaths
DISTRESS_MG_L = 4.0  # ifas-fa27: distress below; add air at once
HARM_MG_L = 5.0  # ifas-fa27
TROUT_MG_L = 6.0  # fao-589: cold-water fish want 6 to 8
TOO_FULL_PERCENT = 110.0  # common practice
NO_READING = "Give an oxygen reading to have it held against this."
BUBBLES_PERCENT = 136.0  # machova-2017: gas bubbles in the gills of trout


def compute(
    temperature: float,
    salinity: float,
    altitude: float | None,
    pressure: float | None,
    oxygen: float | None,
) -> Outcome:
    """The oxygen of water in balance with the air, and a reading held against it."""
    if altitude is not None and pressure is not None:
        raise refuse(
            "pressure",
            f"{show_plain(pressure)} kPa",
            "Air pressure: give the altitude or the air pressure, not both "
            f"(altitude {show_plain(round(altitude))} m was given too).",
        )
    temperature = min(max(temperature, 0.0), 40.0)  # 104 °F must not be a hair above 40 °C
    oxygen = None if oxygen is None else max(oxygen, 0.0)
    kpa = pressure_at_altitude_kpa(altitude_m=altitude or 0.0) if pressure is None else pressure
    full = saturation_mg_l(temp_c=temperature, salinity_g_kg=salinity, pressure_kpa=kpa)
    percent = None if oxygen is None else oxygen / full * 100
    verdict, sentence = _verdict(oxygen, percent, full)
    return Outcome(
        values={
            "saturation": full,
            "pressure": kpa,
            "percent_saturation": percent,
            "verdict": verdict,
        },
        sentences={
            "saturation": _saturation_sentence(temperature, salinity, kpa, full),
            "pressure": _pressure_sentence(altitude, pressure, kpa),
            "percent_saturation": _percent_sentence(oxygen, percent, full),
            "verdict": sentence,
        },
        steps=_steps(temperature, salinity, altitude, pressure, kpa, full, oxygen),
        cautions=_cautions(verdict),
        doubts=_doubts(temperature, salinity, kpa, full, pressure),
    )


def _saturation_sentence(temperature: float, salinity: float, kpa: float, full: float) -> str:
    return (
        f"Water at {show_plain(round(temperature, 1))} °C{_salt(salinity)} and "
        f"{show(kpa, 1)} kPa of air pressure holds at most {show(full, 2)} mg/L "
        "of oxygen from the air."
    )


def _verdict(oxygen: float | None, percent: float | None, full: float) -> tuple[str | None, str]:
    if oxygen is None or percent is None:
        return None, NO_READING
    amount = f"{show_plain(oxygen)} mg/L of oxygen"
    word, text = _word(oxygen, percent)
    if full < HARM_MG_L and oxygen < HARM_MG_L:
        text += f" Air alone cannot bring it over {show(full, 1)} mg/L here: cool the water."
    return word, f"{amount} {text}"


def _word(oxygen: float, percent: float) -> tuple[str, str]:
    if oxygen < DEATHS_MG_L:
        return "deadly", "kills: fish gulp at the surface. More air now, and stop feeding."
    if oxygen < DISTRESS_MG_L:
        return "distress", "distresses fish. Add air at once and stop feeding."
    if oxygen < HARM_MG_L:
        return "low", "harms fish in the long run. Add air, feed less, look for what uses it."
    if percent > TOO_FULL_PERCENT:
        return "too full", (
            f"is {show(percent, 0)} % of what air gives, more than {TOO_FULL_PERCENT:.0f} % "
            "(common practice): look at fins, eyes and gills for gas bubbles, which were seen in "
            f"trout at {BUBBLES_PERCENT:.0f} %."
        )
    if oxygen < TROUT_MG_L:
        return "enough", (
            f"is enough for warm-water fish; trout and their kin want {TROUT_MG_L:.0f} mg/L."
        )
    return "enough", "is enough for warm-water fish and for trout."


def _cautions(verdict: str | None) -> tuple[str, ...]:
    if verdict == "too full":
        return ("gas-bubbles-exception", "calculation-not-promise")
    if verdict in ("deadly", "distress", "low"):
        return ("mains-and-water", "calculation-not-promise")
    return ("calculation-not-promise",)


def _salt(salinity: float) -> str:
    return f", {show_plain(salinity)} g/kg of salt" if salinity else ""


def _pressure_sentence(altitude: float | None, pressure: float | None, kpa: float) -> str:
    if pressure is not None:
        return f"The air pressure given is {show(kpa, 1)} kPa."
    where = f"{show_plain(round(altitude))} m above the sea" if altitude else "sea level"
    return f"Air at {where} presses with {show(kpa, 1)} kPa on a day of average weather."


def _percent_sentence(oxygen: float | None, percent: float | None, full: float) -> str:
    if oxygen is None or percent is None:
        return NO_READING
    return (
        f"{show_plain(oxygen)} mg/L is {show(percent, 0)} % of the {show(full, 2)} mg/L "
        "that air would give this water."
    )


def _steps(
    temperature: float,
    salinity: float,
    altitude: float | None,
    pressure: float | None,
    kpa: float,
    full: float,
    oxygen: float | None,
) -> tuple[Step, ...]:
    fresh = saturation_mg_l(temp_c=temperature)
    salted = saturation_mg_l(temp_c=temperature, salinity_g_kg=salinity)
    steps = [
        Step(
            "fresh water at 101.325 kPa, formula of Benson and Krause",
            f"{show_plain(round(temperature, 1))} °C",
            f"{show(fresh, 3)} mg/L",
            "benson-krause-1984",
        ),
        Step(
            "× factor for salt",
            f"{show(fresh, 3)} × {show(salted / fresh, 4)} ({show_plain(salinity)} g/kg)",
            f"{show(salted, 3)} mg/L",
            "benson-krause-1984",
        ),
        Step(
            "× factor for air pressure",
            f"{show(salted, 3)} × {show(full / salted, 4)} ({show(kpa, 2)} kPa)",
            f"{show(full, 3)} mg/L",
            "benson-krause-1984",
        ),
    ]
    if pressure is None:
        steps.insert(0, _pressure_step(altitude or 0.0, kpa))
    if oxygen is not None:
        steps.append(_percent_step(oxygen, full))
    return tuple(steps)


def _pressure_step(altitude: float, kpa: float) -> Step:
    return Step(
        "pressure = 101.325 × (1 − 0.0000225577 × altitude)^5.25588",
        f"101.325 × (1 − 0.0000225577 × {show_plain(round(altitude))})^5.25588",
        f"{show(kpa, 2)} kPa",
        "icao-atmosphere",
    )


def _percent_step(oxygen: float, full: float) -> Step:
    return Step(
        "percent = reading / saturation × 100",
        f"{show_plain(oxygen)} / {show(full, 3)} × 100",
        f"{show(oxygen / full * 100, 1)} %",
    )


def _doubts(
    temperature: float, salinity: float, kpa: float, full: float, pressure: float | None
) -> tuple[str, ...]:
    warmer = min(40.0, temperature + 1)
    off = saturation_mg_l(temp_c=warmer, salinity_g_kg=salinity, pressure_kpa=kpa) - full
    doubts = [f"Water one degree warmer holds {show(-off, 2)} mg/L less."] if off else []
    if pressure is None:
        doubts.append(f"Weather moves air pressure by some 3 %, so by {show(full * 0.03, 1)} mg/L.")
    else:
        doubts.append(
            "Weather reports give pressure reduced to sea level; away from the sea give the "
            "altitude instead."
        )
    doubts.append(
        "Oxygen is lowest just before daybreak, and a meter is no better than its last calibration."
    )
    return tuple(doubts)


INPUTS = (
    Number(
        "temperature", "Water temperature", TEMPERATURE, "°C", minimum=0, maximum=40, usual=(5, 35),
    ),
    Number(
        "salinity", "Salinity", SALINITY, "g/kg", minimum=0, maximum=40, default=0,
        help="Leave at 0 unless salt was added.",
    ),
    Number(
        "altitude", "Altitude", LENGTH, "m", minimum=-430, maximum=5000, optional=True,
        help="Above the sea; sea level when neither altitude nor air pressure is given.",
    ),
    Number(
        "pressure", "Air pressure", PRESSURE, "kPa", minimum=51, maximum=111, optional=True,
        help="As it is on the spot, not reduced to sea level; instead of the altitude.",
    ),
    Number(
        "oxygen", "Oxygen reading", CONCENTRATION, "mg/L", minimum=0, maximum=40, usual=(1, 20),
        optional=True, help="Dissolved oxygen from a meter or kit.",
    ),
)  # fmt: skip
OXYGEN = Calculator(
    id="oxygen",
    title="Oxygen in the water",
    question="How much oxygen can my water hold, and is my reading enough?",
    inputs=INPUTS,
    results=(
        Result("saturation", "Oxygen at saturation", CONCENTRATION, "mg/L", 2, main=True),
        Result("pressure", "Air pressure", PRESSURE, "kPa", 1),
        Result("percent_saturation", "Share of saturation", PERCENT, "%", 0, main=True),
        Result("verdict", "Verdict", None, main=True),
    ),
    compute=compute,
    sources=(
        "benson-krause-1984",
        "icao-atmosphere",
        "ifas-fa27",
        "fao-589",
        "machova-2017",
        "common-practice",
    ),
    articles=("low-oxygen", "fish-gasping", "fish-off-feed"),
    examples=(
        Example(
            title="Sea level, 20 °C",
            given={"temperature": "20 °C"},
            expect={"saturation": 9.09, "pressure": 101.325},
            source="benson-krause-1984",
            tolerance=0.001,
        ),
        Example(
            title="A warm tank on a high plain, read before sunrise",
            given={"temperature": "82.4 F", "altitude": "1000 m", "oxygen": "4.4 mg/L"},
            expect={
                "saturation": 6.91,
                "pressure": 89.87,
                "percent_saturation": 63.7,
                "verdict": "low",
            },
            source="benson-krause-1984",
            tolerance=0.002,
        ),
        Example(
            title="A clear sign of too much gas",
            given={"temperature": "10 °C", "oxygen": "15.4 mg/L"},
            expect={"percent_saturation": 136, "verdict": "too full"},
            source="machova-2017",
            tolerance=0.01,
        ),
    ),
)
