"""What cannot wait: invented questions sorted by hand, and bounds on any text."""

import time
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.readings import Urgency, urgency
from kb.readings.tokens import LONGEST_TEXT

CASES = tomllib.loads((Path(__file__).parent / "urgency.toml").read_text(encoding="utf-8"))
MORE = tomllib.loads((Path(__file__).parent / "more_urgency.toml").read_text(encoding="utf-8"))
FISH = "fish may be dying now"
PERSON = "a person may be in danger"


@pytest.mark.parametrize("text", CASES["fish"])
def test_fish_that_may_be_dying_are_urgent(text):
    found = urgency(text)
    assert found.urgent
    assert any(reason.endswith(FISH) for reason in found.reasons)


@pytest.mark.parametrize("text", CASES["person"])
def test_a_person_in_danger_is_urgent(text):
    found = urgency(text)
    assert found.urgent
    assert any(reason.endswith(PERSON) for reason in found.reasons)


@pytest.mark.parametrize("text", CASES["calm"])
def test_what_can_wait_is_not_urgent(text):
    assert urgency(text) == Urgency(False, ())


@pytest.mark.parametrize("key", MORE)
def test_further_questions_are_sorted_as_by_hand(key):
    assert [text for text in MORE[key] if urgency(text).urgent != (key != "calm")] == []


def test_a_tank_without_fish_is_told_apart():
    assert urgency("Fishless cycle, ammonia 8 ppm. Is that bad?") == Urgency(False, (), True)


def test_a_reason_quotes_the_words():
    found = urgency("Hello there. All my tilapia are gasping at the surface.")
    assert found.reasons == (f"“tilapia are gasping at the”: {FISH}",)


@given(st.text(max_size=300))
def test_any_text_is_judged_and_has_reasons_only_when_urgent(text):
    found = urgency(text)
    assert found.urgent == bool(found.reasons)


def test_a_calm_sentence_before_takes_no_alarm_away():
    pronouns = ("they", "every morning another one")  # these may mean what stood before
    alarms = [
        text for text in CASES["fish"] + CASES["person"] if not text.lower().startswith(pronouns)
    ]
    pairs = [f"{calm}.\n{alarm}" for alarm in alarms for calm in CASES["calm"]]
    assert [text for text in pairs if not urgency(text).urgent] == []


@pytest.mark.parametrize(
    "piece",
    ["ammonia black ", "fish dead ", "tank leaking ", "pump stopped, ", "acid in my eye ", "one ",
     "gills fast mouths open ", "how do you stop fish dying "],
)  # fmt: skip
def test_an_endless_text_is_judged_in_bounded_time(piece):
    whole = (piece * LONGEST_TEXT)[:LONGEST_TEXT]
    start = time.process_time()
    urgency(whole)
    assert time.process_time() - start < 4.0  # 0.05 to 0.5 s measured; room for a busy machine
