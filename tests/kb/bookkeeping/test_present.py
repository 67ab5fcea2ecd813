"""How a system is now: last values, what they call for, what they fill in, and what they are."""

import datetime
from dataclasses import replace

import pytest

from kb.bookkeeping import limits, present, times
from kb.bookkeeping.limits import UNIONISED, Limit, Point
from kb.calculators import ALL
from kb.store.book import Entry, System

NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
TANK = System("Greenhouse", 1500, fish_tank_l=900, protein_percent=35, target_ph=6.8)


def ago(days=0.0, hours=0.0):
    return NOW - datetime.timedelta(days=days, hours=hours)


def reading(quantity, value, at=NOW, written=""):
    return Entry("reading", quantity, at, value, written=written)


def latest(*entries):
    return {entry.quantity: entry for entry in entries}


def test_last_values_say_what_was_written_and_when():
    found = present.last_values(
        latest(reading("ph", 7.1, ago(1), "7,1"), reading("alkalinity", 89.2, ago(6))), now=NOW
    )
    assert [(one.text, one.when, one.old) for one in found.values()] == [
        ("7,1", times.spoken(ago(1), now=NOW), False),
        ("89 mg/L as CaCO₃", "6 days ago", True),
    ]


def test_the_readings_of_a_day_are_those_of_the_json_contract():
    known = latest(
        reading("ph", 7.9), reading("ammonia", 2, ago(hours=20)), reading("oxygen", 6, ago(2))
    )
    found = present.readings(known, now=NOW)
    assert found.as_json() == {"ph": 7.9, "ammonia_mg_l": 2}


def test_alarms_come_from_readings_of_three_days_and_no_older():
    # Emerson et al. 1975: 2 mg/L at pH 7.9 and 27 °C holds 0.0986 mg/L of un-ionised ammonia
    fresh = latest(reading("ph", 7.9), reading("ammonia", 2, ago(2)), reading("temperature", 27))
    assert "0.099 mg/L" in present.alarms_now(fresh, ALL, now=NOW)[0].sentence
    old = {name: replace(entry, at=ago(4)) for name, entry in fresh.items()}
    assert present.alarms_now(old, ALL, now=NOW) == ()


def test_oxygen_is_shown_as_a_share_of_what_air_gives():
    found = latest(reading("oxygen", 4.55), reading("temperature", 20))
    # Benson & Krause 1984: 9.09 mg/L at 20 °C
    assert "50 %" in present.saturation(found, ALL, now=NOW)
    assert present.saturation(latest(reading("oxygen", 5)), ALL, now=NOW) == ""


@pytest.mark.parametrize(
    ("calculator", "filled"),
    [
        ("ammonia", {"ph": "6.9", "temperature": "24", "ammonia": "0.5", "ammonia_as": "N"}),
        ("raise-ph", {"volume": "1500", "alkalinity": "45", "target_ph": "6.8"}),
        ("base-demand", {"feed": "120", "protein": "35", "volume": "1500"}),
        ("turnover", {"volume": "900"}),
        ("lower-ph-top-up", {"system_volume": "1500", "system_alkalinity": "45"}),
        ("dechlorinate", {"system_volume": "1500"}),
        ("pipe", {"temperature": "24"}),
    ],
)
def test_calculators_are_filled_with_what_is_theirs(calculator, filled):
    known = latest(
        reading("ph", 6.9), reading("temperature", 24), reading("ammonia", 0.5),
        reading("alkalinity", 45),
    )  # fmt: skip
    found = present.filled_in(TANK, known, 120.0, ALL[calculator], now=NOW)
    assert filled.items() <= found.items()
    assert set(found) <= {item.name for item in ALL[calculator].inputs}


def test_what_is_filled_in_can_always_be_worked_with():
    known = latest(
        *(reading(name, 5.0) for name in ("alkalinity", "ammonia", "nitrite", "nitrate", "oxygen")),
        reading("ph", 6.9), reading("temperature", 24),
    )  # fmt: skip
    for calculator in ALL.values():
        found = present.filled_in(TANK, known, 120.0, calculator, now=NOW)
        for name, value in found.items():
            item = calculator.input(name)
            options = getattr(item, "ids", None)
            if options:
                assert value in options
            else:
                assert item.minimum <= float(value) <= item.maximum


def test_feed_a_day_is_that_of_the_last_seven():
    fed = [Entry("feed", "feed", ago(day), 70.0) for day in (0.5, 1, 2, 9)]
    assert present.feed_a_day(fed, now=NOW) == 30.0
    assert present.feed_a_day([], now=NOW) is None


def test_unionised_ammonia_is_worked_out_where_ph_and_temperature_are_near():
    entries = [
        reading("ph", 7.9, ago(3)), reading("temperature", 27, ago(3, 2)),
        reading("ammonia", 2, ago(3, 1)), reading("ammonia", 2, ago(1)),
    ]  # fmt: skip
    (point,) = limits.unionised(entries)
    assert point == Point(ago(3, 1), pytest.approx(0.0986, abs=5e-4))  # Emerson et al. 1975


def test_each_limit_has_its_source_and_ones_own_floor_comes_first(library):
    assert limits.limits_of("ph", replace(TANK, floor_ph=6.4))[0].source == "set for this system"
    for name in ("ph", "ammonia", "nitrite", "oxygen", UNIONISED):
        (limit,) = limits.limits_of(name, TANK)
        assert limit.source in library.sources
    assert limits.limits_of("nitrate", TANK) == ()


def test_a_sentence_says_what_a_picture_shows():
    points = [Point(ago(5 - day), value) for day, value in enumerate((6.9, 6.4, 7.0, 6.8, 6.6))]
    said = limits.sentence("pH", "pH", 1, points, [Limit(6.5, False, "floor", "here")])
    assert said == (
        "pH: 5 values from 27 Mar 2026 to 31 Mar 2026, lowest 6.4 on 28 Mar 2026, highest 7.0 on "
        "29 Mar 2026; half of them from 6.6 to 6.9; the last is 6.6. 1 of them is below 6.5."
    )


@pytest.mark.parametrize(
    ("at", "said"),
    [
        (ago(hours=1), "today"),
        (ago(1), "yesterday"),
        (ago(5), "5 days ago"),
        (ago(40), "2026-02-20"),
    ],
)
def test_times_are_said_as_people_say_them(at, said):
    assert times.spoken(at, now=NOW).startswith(said)
