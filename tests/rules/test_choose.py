"""Which check is asked next, and when asking ends."""

import random

from rules.choose import CLEAR_ENOUGH, NOTHING_LEFT
from rules.model import Check
from rules.situation import situation


def test_the_first_look_comes_first_and_needs_no_tool(gasping, look):
    found = look(gasping)
    assert [(item.check.id, item.phase) for item in found.next] == [
        ("air-and-flow", "first-look"),
        ("untreated-water", "first-look"),
    ]


def test_urgent_measurements_follow_the_first_look(gasping, look):
    found = look(gasping, air_and_flow="running", untreated_water="no")
    assert found.phase == "urgent-measurement"
    assert found.next[0].check.id == "oxygen"
    assert {item.check.id for item in found.next} == {
        "oxygen",
        "nitrite",
        "ammonia",
        "ph",
        "temperature",
    }


def test_the_checks_of_one_derived_number_are_asked_together(gasping, look):
    found = look(gasping, air_and_flow="running", untreated_water="no", ph=7.4)
    together = [item.check.id for item in found.next if item.together == "unionised_ammonia"]
    assert together == ["ammonia", "temperature"]


def test_no_search_question_is_asked_while_a_danger_is_unlooked_at(gasping, look):
    dice = random.Random(7)
    choices = {
        check.id: [answer.id for answer in check.answers] or [0.1, 1.5, 6.0, 8.2]
        for check in gasping.checks
    }
    choices |= {"oxygen": [1.0, 3.0, 7.0], "nitrite": [0, 0.5, 2], "ph": [6.5, 7.5, 8.5]}
    searched = 0
    for _ in range(40):
        answers = {}
        while (found := look(gasping, answers)).next:
            searching = found.phase in ("search", "clear-a-danger")
            searched += searching
            urgent = [item.id for item in _pending(gasping, found)]
            assert not (searching and urgent), answers
            asked = found.next[0].check.id
            answers[asked] = dice.choice([*choices[asked], "unknown"])
        assert found.stop in (CLEAR_ENOUGH, NOTHING_LEFT)
    assert searched > 10


def _pending(symptom, found):
    """Urgent evidence that is open and quick, or names an urgent cause believed in at 0.03."""
    shares = {item.id: item.share for item in found.causes}
    open_ids = {check.id for check in found.open}
    for item in symptom.evidence:
        ids = {check.id for check in item.checks}
        if (
            not item.urgent
            or not ids & open_ids
            or any(found.answers.get(id) in ("unknown", "cant-measure") for id in ids)
        ):
            continue
        quick = item.derived is None and item.checks[0].minutes <= 2
        worth = any(cause.urgent and shares[cause.id] >= 0.0301 for cause in symptom.causes
                    if cause.id in item.named)  # fmt: skip
        if quick or worth:
            yield item


def test_a_search_says_which_two_causes_it_tells_apart(gasping, look, all_unknown):
    answers = all_unknown | {"gills": "", "all-or-some": ""}
    found = look(gasping, answers)
    assert found.phase == "search"
    assert found.next[0].check.id == "all-or-some"
    assert found.next[0].why.startswith("Tells apart “")
    assert " and “" in found.next[0].why


def test_a_missing_tool_leaves_out_every_check_that_needs_it(edited, look):
    book = edited(
        ("checks.toml", 'tool = "nitrite-kit"', 'tool = "ammonia-kit"'),
    )
    found = look(book.symptom("fish-gasping"), ammonia="cant-measure")
    asked = {check.id for check in found.open}
    assert not asked & {"nitrite", "ammonia", "ph", "temperature"}
    assert "oxygen" in asked


def test_one_unknown_input_closes_the_derived_number(gasping, look):
    found = look(gasping, ph="unknown")
    assert not {check.id for check in found.open} & {"ammonia", "temperature"}
    assert found.derived == {}


def test_all_unknown_gives_the_starting_parts_and_ends(gasping, look, all_unknown):
    found = look(gasping, all_unknown)
    assert {item.id: item.share for item in found.causes} == {
        "low-oxygen": 0.3077,
        "nitrite-poisoning": 0.1538,
        "ammonia-burn": 0.1538,
        "gill-sickness": 0.1538,
        "chlorine": 0.0769,
    }
    assert (found.next, found.stop, found.alarms) == ((), NOTHING_LEFT, ())


def test_it_stops_when_one_cause_is_clear_and_no_danger_is_open(gasping, look, all_well):
    answers = all_well | {"nitrite": 3, "gills": "brown"}
    del answers["all-or-some"]
    found = look(gasping, answers)
    assert (found.causes[0].id, found.next, found.stop) == ("nitrite-poisoning", (), CLEAR_ENOUGH)


def test_the_reader_may_go_on_after_the_stop(gasping, look, all_well):
    answers = all_well | {"nitrite": 3, "gills": "brown"}
    del answers["all-or-some"]
    found = look(gasping, answers)
    assert [check.id for check in found.open] == ["all-or-some"]


def test_waiting_costs_a_twentieth_of_its_time():
    # minutes + wait_minutes / 20 + 1
    assert Check("jar", "Does it settle?", 2, wait_minutes=1440).cost == 75
    assert Check("jar", "Does it settle?", 2).cost == 3


def test_a_derived_number_costs_what_its_open_checks_cost(gasping):
    derived = gasping.evidence[-1]
    whole = situation(gasping, {}, {})
    assert whole.cost(derived) == (6 + 1) + (3 + 1) + (1 + 1)
    assert situation(gasping, {"ph": 7.0}, {}).cost(derived) == (6 + 1) + (1 + 1)


def test_a_danger_that_is_still_open_is_cleared_before_the_end(gasping, look, all_unknown):
    answers = all_unknown | {"air-and-flow": "stopped", "gills": ""}
    found = look(gasping, answers)
    assert found.causes[0].id == "low-oxygen"
    assert (found.phase, [item.check.id for item in found.next]) == ("clear-a-danger", ["gills"])
    assert found.next[0].why == (
        "Could show or clear a danger: “Nitrite is blocking the blood”, "
        "“Ammonia is burning the gills”, “Chlorine or chloramine from the tap”."
    )  # chlorine: 1/13 x 1/9 against 11/3 x 1/13 in all, 0.0303, just above 0.03


def test_what_could_only_strengthen_the_first_cause_is_not_asked_for(edited, look, all_unknown):
    slow = ("symptoms/fish-gasping.toml", 'use = "nitrite"\nurgent = true', 'use = "nitrite"')
    symptom = edited(slow).symptom("fish-gasping")
    found = look(symptom, all_unknown | {"gills": "brown", "oxygen": 8, "nitrite": ""})
    assert (found.causes[0].id, found.next) == ("nitrite-poisoning", ())
    assert (found.stop, [check.id for check in found.open]) == (CLEAR_ENOUGH, ["nitrite"])
