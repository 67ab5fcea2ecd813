"""How a system is now, out of its book: last values, what they mean, and what they fill in."""

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from kb.alarms import Alarm, alarms, inputs_from
from kb.bookkeeping.quantities import FEED, QUANTITIES, READINGS
from kb.bookkeeping.times import spoken
from kb.calculators.model import Calculator
from kb.readings import Reading, Readings
from kb.store.book import Entry, System
from kb.units import figures, show

ALARM_AGE = datetime.timedelta(days=3)
PRESENT_AGE = datetime.timedelta(days=1)
FEED_DAYS = 7
FIGURES = 4  # more than any test kit gives
NAMES: Mapping[str, str] = {
    "ph": "ph",
    "temperature": "temperature_c",
    "ammonia": "ammonia_mg_l",
    "nitrite": "nitrite_mg_l",
    "nitrate": "nitrate_mg_l",
    "alkalinity": "alkalinity_mg_l_caco3",
    "oxygen": "oxygen_mg_l",
}
"""Our readings by the names of the JSON contract."""


@dataclass(frozen=True)
class Last:
    """The last value of a quantity, as it was written, and when that was."""

    quantity: str
    label: str
    text: str
    when: str
    at: datetime.datetime
    old: bool


def last_values(latest: Mapping[str, Entry], *, now: datetime.datetime) -> dict[str, Last]:
    """The last value of each quantity that has one, in the order of the form."""
    return {
        name: Last(
            name,
            item.label,
            text_of(latest[name]),
            spoken(latest[name].at, now=now),
            latest[name].at,
            now - latest[name].at > ALARM_AGE,
        )
        for name, item in QUANTITIES.items()
        if name in latest
    }


def text_of(entry: Entry) -> str:
    """What an entry says, as it was written, else in its base unit."""
    if entry.written:
        return entry.written
    if entry.value is None:
        return entry.note
    item = QUANTITIES[entry.quantity]
    unit = "" if item.units.base in ("", "pH") else f" {item.units.base}"
    return f"{show(entry.value, item.digits)}{unit}"


def line_of(entry: Entry) -> str:
    """An entry in a few words: pH 7.1, dose 2 tsp of calcium-hydroxide."""
    if entry.value is None:
        return f"remark “{entry.note[:60]}”"
    label = QUANTITIES[entry.quantity].label
    label = label if label[:2] == "pH" else label[0].lower() + label[1:]
    of = f" of {entry.substance.replace('-', ' ')}" if entry.substance else ""
    return f"{label} {text_of(entry)}{of}"


def readings(
    latest: Mapping[str, Entry], *, now: datetime.datetime, age: datetime.timedelta = PRESENT_AGE
) -> Readings:
    """The last readings that are no older than ``age``, as they would be read out of a question."""
    found = [
        Reading(NAMES[name], figures(value, FIGURES), 0, 0, text_of(latest[name]))
        for name in READINGS
        if name in NAMES
        and name in latest
        and (value := latest[name].value) is not None
        and now - latest[name].at <= age
    ]
    return Readings(tuple(found), {"ammonia": "N", "nitrite": "N", "nitrate": "NO3"})


def alarms_now(
    latest: Mapping[str, Entry],
    calculators: Mapping[str, Calculator],
    *,
    now: datetime.datetime,
) -> tuple[Alarm, ...]:
    """What the readings of the last three days call for, the gravest first."""
    return alarms(readings(latest, now=now, age=ALARM_AGE), calculators)


def saturation(
    latest: Mapping[str, Entry],
    calculators: Mapping[str, Calculator],
    *,
    now: datetime.datetime,
) -> str:
    """What share of its oxygen the water holds, as a sentence; nothing if that is not known."""
    given = inputs_from(readings(latest, now=now, age=ALARM_AGE), calculators["oxygen"])
    if not {"oxygen", "temperature"} <= set(given):
        return ""
    share = calculators["oxygen"].run(given).results["percent_saturation"]
    return share.reading


def filled_in(
    system: System,
    latest: Mapping[str, Entry],
    feed_a_day: float | None,
    calculator: Calculator,
    *,
    now: datetime.datetime,
) -> dict[str, str]:
    """The inputs of a calculator that the book knows, as texts for its link."""
    given = inputs_from(readings(latest, now=now, age=ALARM_AGE), calculator)
    known = {
        "volume": system.volume_l,
        "system_volume": system.volume_l,
        "feed": feed_a_day if feed_a_day is not None else system.feed_g_day,
        "protein": system.protein_percent,
        "temperature": system.temp_c,
        "target_ph": system.target_ph,
        "top_up_alkalinity": system.top_up_alkalinity,
        "alkalinity_floor": system.floor_alkalinity,
        "purity": system.purity_percent,
    }
    if calculator.id == "turnover":
        known["volume"] = system.fish_tank_l
    if calculator.id in _NOT_THE_SYSTEM:
        known = {name: known[name] for name in ("system_volume", "temperature")}
        given = {"system_alkalinity": given["alkalinity"]} if "alkalinity" in given else {}
    wanted = {item.name for item in calculator.inputs}
    if "nitrite" in given and "nitrite_as" in wanted:
        given["nitrite_as"] = "N"
    for name, value in known.items():
        if name in wanted and value is not None:
            given.setdefault(name, f"{figures(value, FIGURES):g}")
    if "system_alkalinity" in given and "system_alkalinity" not in wanted:
        del given["system_alkalinity"]
    return given


_NOT_THE_SYSTEM = frozenset({"lower-ph-top-up", "dechlorinate"})  # their water is the new one


def feed_a_day(entries: Iterable[Entry], *, now: datetime.datetime) -> float | None:
    """The feed a day over the last seven days; None when none was written down."""
    since = now - datetime.timedelta(days=FEED_DAYS)
    given = [one for one in entries if one.kind == FEED and since <= one.at <= now]
    total = sum(one.value or 0.0 for one in given)
    return total / FEED_DAYS if given else None
