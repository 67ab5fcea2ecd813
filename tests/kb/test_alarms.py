"""What readings alone call for: limits from the sources named in kb/alarms.toml."""

import pytest

from kb import cautions, sources
from kb.alarms import alarms
from kb.calculators import ALL
from kb.readings import read


@pytest.mark.parametrize(
    ("text", "name", "danger"),
    [
        # FAO Fisheries and Aquaculture Technical Paper 589, table 7.1: Nile tilapia, 14-36 °C.
        ("water is 37 C", "heat", True),
        ("water is 36 C", "", False),
        # The limits of pH and of total ammonia are common practice, no source.
        ("pH 9.2", "high-ph", False),
        ("pH 9.9", "high-ph", True),
        ("pH 8.8", "", False),
        ("pH 5.5", "low-ph", False),
        ("pH 4.2", "low-ph", True),
        ("ammonia 2 ppm", "total-ammonia", False),
        ("ammonia 8 ppm", "total-ammonia", True),
    ],
)
def test_a_reading_past_its_limit_raises_its_alarm(text, name, danger):
    found = [(alarm.id, alarm.danger) for alarm in alarms(read(text), ALL)]
    assert found == ([(name, danger)] if name else [])


@pytest.mark.parametrize("text", ["water is 37 C", "pH 9.9", "pH 4.2", "ammonia 8 ppm"])
def test_an_alarm_names_sources_and_cautions_that_there_are(text):
    (alarm,) = alarms(read(text), ALL)
    assert alarm.first
    assert set(alarm.sources) <= set(sources.shipped())
    assert set(alarm.cautions) <= set(cautions.shipped())
