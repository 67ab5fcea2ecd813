"""What cannot wait: invented questions sorted by hand, and bounds on any text."""

import time
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.readings import Urgency, urgency
from kb.readings.tokens import LONGEST_TEXT
from kb.readings.urgency import by_rules

CASES = tomllib.loads((Path(__file__).parent / "urgency.toml").read_text(encoding="utf-8"))
MORE = tomllib.loads((Path(__file__).parent / "more_urgency.toml").read_text(encoding="utf-8"))
VARIED = [
    tomllib.loads((Path(__file__).parent / f"{name}_urgency.toml").read_text(encoding="utf-8"))
    for name in ("third", "fourth", "fifth", "sixth")
]
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
    assert [text for text in MORE[key] if by_rules(text).urgent != (key != "calm")] == []
    wrong = [text for text in MORE[key] if urgency(text).urgent != (key != "calm")]
    assert len(wrong) <= len(MORE[key]) / 50, wrong


@pytest.mark.parametrize("lists", VARIED)
def test_varied_words_that_no_rule_knows_are_weighed(lists):
    missed = [text for text in lists["fish"] + lists["person"] if not urgency(text).urgent]
    assert missed == []
    unruled = [text for text in lists["fish"] + lists["person"] if not by_rules(text).urgent]
    assert len(unruled) >= 5  # the rules alone know only half of most lists
    raised = [text for text in lists["calm"] if urgency(text).urgent]
    assert len(raised) <= len(lists["calm"]) * 0.12, raised


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("third floater today", FISH),
        ("they're on their last legs, hardly a flick of the tail", FISH),
        ("lye pellets stuck to wet hands, feels slippery and hot", PERSON),
        ("uncle went down in the pit to clean and doesn't come up", PERSON),
    ],
)
def test_what_is_only_weighed_says_who_is_in_danger_and_quotes_words_of_the_text(text, why):
    assert not by_rules(text).urgent
    (reason,) = urgency(text).reasons
    assert reason.endswith(why)
    assert reason.split("”")[0].strip("“") in text


@pytest.mark.parametrize(
    "text",
    [
        "In 1996 the pump burned out on a hot day and we lost the whole pond.",
        "My trout were gasping on Sunday but after cleaning the filter all is back to normal.",
        "a perch jumped out once, years ago, which net do you use?",
        "such a live wire of a presenter, and that joke sparks joy",
    ],
)
def test_old_stories_good_ends_and_sayings_are_calm(text):
    assert not urgency(text).urgent


def test_an_old_story_takes_no_alarm_of_now_away():
    assert urgency("We lost all fish in 1996. Now my trout are gasping at the top.").urgent
    assert urgency("they were gasping yesterday, fine overnight, now two are dead").urgent


def test_the_same_words_weigh_the_same_wherever_they_stand_in_a_long_text():
    calm = "I built the beds from old crates and the lettuce grows well in the clay pebbles. " * 8
    alarm = "uncle went down in the pit to clean and doesn't come up. "
    assert urgency(calm).urgent is False
    assert urgency(calm + alarm).urgent
    assert urgency(alarm + calm).urgent


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
