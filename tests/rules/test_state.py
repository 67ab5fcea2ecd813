"""Answers: read strictly with their units, written back as a link, listed for other programs."""

from urllib.parse import parse_qsl, urlsplit

import pytest

from kb.errors import InputErrors
from rules.state import checks_json, link, old_rules, plain, prefill, read_answers


def refused(symptom, **answers):
    with pytest.raises(InputErrors) as caught:
        read_answers(symptom, {key.replace("_", "-"): value for key, value in answers.items()})
    return caught.value.problems


def test_choices_and_numbers_are_read_in_file_order(gasping):
    raw = {"temperature": "25", "nitrite": "0.5 ppm", "gills": "Brown", "air-and-flow": "running"}
    assert list(read_answers(gasping, raw).items()) == [
        ("air-and-flow", "running"),
        ("nitrite", 0.5),
        ("gills", "brown"),
        ("temperature", 25.0),
    ]


@pytest.mark.parametrize(
    ("raw", "expected"),
    [
        ("77 F", 25.0),
        ("77F", 25.0),
        ("298.15 K", 25.0),
        ("25 °C", 25.0),
        (25, 25.0),
        ("25,5", 25.5),
    ],
)
def test_units_are_taken_as_everywhere(gasping, raw, expected):
    # 77 F = 25 C = 298.15 K: the definitions of the scales (NIST SP 811, B.8)
    assert read_answers(gasping, {"temperature": raw}) == {"temperature": expected}


@pytest.mark.parametrize("word", ["unknown", "cant-measure", "Unknown"])
def test_every_check_may_be_left_open(gasping, word):
    raw = {check.id: word for check in gasping.checks}
    assert set(read_answers(gasping, raw).values()) == {word.lower()}


def test_nothing_typed_is_no_answer(gasping):
    assert read_answers(gasping, {"oxygen": "", "gills": "  ", "ph": None, "rules": "x"}) == {}


def test_every_bad_answer_is_named_with_what_is_allowed(gasping):
    problems = refused(gasping, oxygen="-3", gills="blue", tank="round", temperature="30 mg/L")
    assert {problem.input: (problem.given, problem.message) for problem in problems} == {
        "tank": (
            "round",
            "There is no check “tank” under fish-gasping; known are air-and-flow, untreated-water,"
            " oxygen, nitrite, gills, all-or-some, ammonia, ph, temperature.",
        ),
        "oxygen": (
            "-3",
            "oxygen: “-3” is out of bounds; give a number in mg/L from 0 to 30,"
            " or unknown or cant-measure.",
        ),
        "gills": (
            "blue",
            "gills: “blue” is no answer of this check; choose one of red, brown, pale, unknown,"
            " cant-measure.",
        ),
        "temperature": (
            "30 mg/L",
            "temperature: “mg/L” is not a unit of temperature; use °C, °F, K; give a number in °C"
            " from 0 to 40, or unknown or cant-measure.",
        ),
    }


@pytest.mark.parametrize("given", [True, float("nan"), float("inf"), "1e999", "9" * 400, "low", []])
def test_what_is_no_number_is_refused(gasping, given):
    (problem,) = refused(gasping, oxygen=given)
    assert problem.input == "oxygen"
    assert "from 0 to 30" in problem.message


def test_bounds_are_allowed_themselves(gasping):
    assert read_answers(gasping, {"oxygen": "30", "temperature": "104 F", "ph": 3}) == {
        "oxygen": 30.0,
        "ph": 3.0,
        "temperature": 40.0,
    }


def test_what_a_link_carries_is_read_back_as_the_very_same_numbers(gasping):
    once = read_answers(gasping, {"temperature": "83.33333333 F", "oxygen": 1 / 3, "ph": "7.8"})
    again = dict(parse_qsl(urlsplit(link(gasping, once)).query))
    assert read_answers(gasping, again) == once
    assert once["oxygen"] == 0.333333


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (7.0, "7"),
        (1_000_000.0, "1000000"),
        (0.000012, "0.000012"),
        (1 / 3, "0.333333"),
        ("unknown", "unknown"),
        (-0.5, "-0.5"),
    ],
)
def test_answers_are_written_plainly(value, text):
    assert plain(value) == text


def test_a_link_without_answers_carries_the_rules_alone(gasping):
    assert link(gasping, {}) == f"/symptoms/fish-gasping?rules={gasping.fingerprint}"


def test_a_link_of_other_rules_is_told_from_one_of_these(gasping):
    assert old_rules(gasping, {"rules": "00000000"})
    assert not old_rules(gasping, {"rules": gasping.fingerprint})
    assert not old_rules(gasping, {})


def test_every_check_is_listed_with_all_one_needs_to_answer_it(gasping):
    listed = {check["id"]: check for check in checks_json(gasping)}
    assert list(listed) == [check.id for check in gasping.checks]
    assert listed["gills"] == {
        "check": "gills",
        "id": "gills",
        "question": "Lift one fish with wet hands. What colour are the gills?",
        "kind": "choice",
        "unit": "",
        "minimum": None,
        "maximum": None,
        "choices": ["red", "brown", "pale"],
        "choice_texts": {
            "red": "Bright red",
            "brown": "Brown like chocolate",
            "pale": "Pale, swollen or slimy",
        },
        "minutes": 6,
        "wait_minutes": 0,
        "how": "",
        "tool": "",
    }
    oxygen = listed["oxygen"]
    assert (oxygen["kind"], oxygen["unit"], oxygen["choices"]) == ("number", "mg/L", [])
    assert oxygen["tool"] == "Oxygen meter or oxygen test kit"
    assert listed["ammonia"]["kind"] == "number"


def test_readings_of_a_text_become_answers(gasping):
    readings = {
        "ph": 7.9,
        "temperature_c": 27.0,
        "oxygen_mg_l": 3.0,
        "volume_l": 900,
        "fish_count": 9,
    }
    assert prefill(gasping, readings) == {"oxygen": 3.0, "ph": 7.9, "temperature": 27.0}


def test_a_reading_out_of_bounds_is_not_taken_over(gasping):
    assert prefill(gasping, {"temperature_c": 79.0}) == {}


def test_a_reading_goes_to_the_check_named_like_it_and_not_to_another_water(edited):
    tap = '[[check]]\nid = "tap-nitrite"\nask = "Nitrite of the tap water"\n'
    tap += 'reading = "nitrite"\nminutes = 5\n\n[[check]]\nuse = "gills"'
    symptom = edited(
        ("symptoms/fish-gasping.toml", '[[check]]\nuse = "gills"', tap),
    ).symptom("fish-gasping")
    assert prefill(symptom, {"nitrite_mg_l": 2.0}) == {"nitrite": 2.0}
