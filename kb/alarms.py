"""What readings mean when put through the calculators: alarms, each a sentence with its number."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from kb.calculators.model import Calculator, Report
from kb.errors import InputErrors
from kb.fields import Problems, read_table
from kb.readings import Readings
from kb.units import show

COLDEST_LIKELY_C = 15.0
WARMEST_LIKELY_C = 30.0
INPUT_OF_READING: Mapping[str, str] = {
    "ph": "ph",
    "temperature_c": "temperature",
    "ammonia_mg_l": "ammonia",
    "nitrite_mg_l": "nitrite",
    "nitrate_mg_l": "nitrate",
    "alkalinity_mg_l_caco3": "alkalinity",
    "oxygen_mg_l": "oxygen",
    "flow_l_h": "flow",
    "volume_l": "volume",
    "feed_g_day": "feed",
}
_LOW_IS_WORSE = frozenset({"oxygen_mg_l", "alkalinity_mg_l_caco3"})


@dataclass(frozen=True)
class Alarm:
    """One danger: the sentence, what to do first, and where the number can be looked into."""

    id: str
    sentence: str
    danger: bool
    first: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]
    article: str
    report: Report | None = None


@dataclass(frozen=True)
class _Rule:
    first: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]
    article: str
    limit: float
    urgent_limit: float


def alarms(readings: Readings, calculators: Mapping[str, Calculator]) -> tuple[Alarm, ...]:
    """The alarms that these readings call for, the gravest first."""
    found = [
        *_ammonia(readings, calculators["ammonia"]),
        *_oxygen(readings, calculators["oxygen"]),
        *_nitrite(readings),
        *_low_ph(readings),
        *_high_ph(readings),
        *_heat(readings),
    ]
    return tuple(sorted(found, key=lambda alarm: not alarm.danger))


def limit_of(name: str) -> tuple[float, tuple[str, ...]]:
    """The line at which an alarm of that name begins, and the sources that draw it."""
    rule = _rules()[name]
    return rule.limit, rule.sources


def inputs_from(readings: Readings, calculator: Calculator) -> dict[str, str]:
    """The inputs of a calculator that the readings fill in, as texts for a link."""
    wanted = {item.name for item in calculator.inputs}
    given = {}
    for reading, name in INPUT_OF_READING.items():
        value = single(readings, reading)
        if name in wanted and value is not None:
            given[name] = f"{value:g}"
    form = readings.forms.get("ammonia")
    if "ammonia" in given and form and "ammonia_as" in wanted:
        given["ammonia_as"] = form
    return given


def single(readings: Readings, name: str) -> float | None:
    """One number for a reading; a range gives its worse end."""
    return readings.single(name, worse="low" if name in _LOW_IS_WORSE else "high")


def _ammonia(readings: Readings, calculator: Calculator) -> Iterator[Alarm]:
    given = inputs_from(readings, calculator)
    if float(given.get("ammonia", 0)) <= 0:
        return
    if "ph" in given and "temperature" in given:
        yield from _unionised(given, calculator)
    elif "ph" in given:
        yield from _unionised_between(given, calculator)
    elif float(given["ammonia"]) > _rules()["total-ammonia"].limit:
        limit = show(_rules()["total-ammonia"].limit, 0)
        yield _alarm(
            "total-ammonia",
            f"Total ammonia of {given['ammonia']} mg/L is above {limit} mg/L, the level to act at; "
            "pH and temperature decide how much of it can do harm.",
            danger=float(given["ammonia"]) > _rules()["total-ammonia"].urgent_limit,
        )


def _unionised(given: Mapping[str, str], calculator: Calculator) -> Iterator[Alarm]:
    report = _run(calculator, given)
    if report is None or report.results["verdict"].value == "safe":
        return
    yield _alarm(
        "unionised-ammonia",
        f"{report.results['unionised_ammonia'].reading} {report.results['verdict'].reading}",
        danger=report.results["verdict"].value == "danger",
        report=report,
    )


def _unionised_between(given: Mapping[str, str], calculator: Calculator) -> Iterator[Alarm]:
    cold, warm = (
        _run(calculator, {**given, "temperature": str(temp)})
        for temp in (COLDEST_LIKELY_C, WARMEST_LIKELY_C)
    )
    if cold is None or warm is None or warm.results["verdict"].value == "safe":
        return
    low, high = (report.results["unionised_ammonia"].value for report in (cold, warm))
    yield _alarm(
        "unionised-ammonia",
        f"Ammonia of {given['ammonia']} mg/L at pH {given['ph']} holds {_two(low)} mg/L of "
        f"un-ionised ammonia (as N) at {COLDEST_LIKELY_C:g} °C and {_two(high)} mg/L at "
        f"{WARMEST_LIKELY_C:g} °C; gill damage is said to begin near 0.05 mg/L. "
        "Measure the temperature to know.",
        danger=cold.results["verdict"].value == "danger",
    )


def _oxygen(readings: Readings, calculator: Calculator) -> Iterator[Alarm]:
    rule = _rules()["oxygen"]
    oxygen = single(readings, "oxygen_mg_l")
    if oxygen is None or oxygen >= rule.limit:
        return
    given = inputs_from(readings, calculator)
    report = _run(calculator, given) if "temperature" in given else None
    share = report.results["percent_saturation"].text if report else ""
    yield _alarm(
        "oxygen",
        f"Oxygen of {oxygen:g} mg/L{f' ({share} of saturation)' if share else ''} is below "
        f"{rule.limit:g} mg/L, where it begins to harm; below {rule.urgent_limit:g} mg/L fish are "
        "in distress.",
        danger=oxygen < rule.urgent_limit,
        report=report,
    )


def _nitrite(readings: Readings) -> Iterator[Alarm]:
    rule = _rules()["nitrite"]
    nitrite = single(readings, "nitrite_mg_l")
    if nitrite is not None and nitrite > rule.limit:
        yield _alarm(
            "nitrite",
            f"Nitrite of {nitrite:g} mg/L is above {rule.limit:g} mg/L, the level to act at; it "
            "stops the blood from carrying oxygen.",
            danger=nitrite > rule.urgent_limit,
        )


def _low_ph(readings: Readings) -> Iterator[Alarm]:
    rule = _rules()["low-ph"]
    ph = readings.single("ph", worse="low")
    if ph is not None and ph < rule.limit:
        yield _alarm(
            "low-ph",
            f"pH {ph:g} is below {rule.limit:g}, where the filter bacteria slow down and "
            "ammonia may rise.",
            danger=ph < rule.urgent_limit,
        )


def _high_ph(readings: Readings) -> Iterator[Alarm]:
    rule = _rules()["high-ph"]
    ph = readings.single("ph")
    if ph is not None and ph > rule.limit:
        yield _alarm(
            "high-ph",
            f"pH {ph:g} is above {rule.limit:g}, where much of any ammonia is un-ionised and gills "
            "and skin suffer.",
            danger=ph > rule.urgent_limit,
        )


def _heat(readings: Readings) -> Iterator[Alarm]:
    limit = _rules()["heat"].limit
    temperature = readings.single("temperature_c")
    if temperature is not None and temperature > limit:
        yield _alarm(
            "heat",
            f"Water of {temperature:g} °C is above {limit:g} °C, the most that Nile tilapia live "
            "with; most other fish bear less.",
            danger=True,
        )


def _alarm(name: str, sentence: str, *, danger: bool, report: Report | None = None) -> Alarm:
    rule = _rules()[name]
    return Alarm(
        id=name,
        sentence=sentence.strip(),
        danger=danger,
        first=rule.first,
        cautions=rule.cautions,
        sources=rule.sources,
        article=rule.article,
        report=report,
    )


def _run(calculator: Calculator, given: Mapping[str, str]) -> Report | None:
    try:
        return calculator.run(given)
    except InputErrors:
        return None  # a reading outside the calculator's range raises no alarm of a made-up size


def _two(value: object) -> str:
    return f"{value:.2g}" if isinstance(value, float) else str(value)


@cache
def _rules() -> Mapping[str, _Rule]:
    problems = Problems()
    table = read_table(files("kb") / "alarms.toml", path="kb/alarms.toml", problems=problems)
    found = {}
    for key in table.rest():
        fields = table.table(key)
        limit = fields.number("limit", optional=True) or 0.0
        found[key] = _Rule(
            first=fields.texts("first", required=True),
            cautions=fields.texts("cautions"),
            sources=fields.texts("sources", required=True),
            article=fields.slug("article"),
            limit=limit,
            urgent_limit=fields.number("urgent_limit", optional=True) or limit,
        )
        fields.finish()
    problems.raise_any()
    return found
