"""The engine on the example: always the same result, numbers worked out, the JSON, speed."""

import json
import os
import subprocess
import sys
import time
from pathlib import Path
from urllib.parse import parse_qsl, urlsplit

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import rules
from kb import calculators
from kb.errors import InputErrors
from rules.engine import diagnose
from rules.load import load

ROOT = Path(rules.__file__).parents[1]


def cause(found, name):
    return next(item for item in found.causes if item.id == name)


def written(found):
    return json.dumps(found.as_json(), ensure_ascii=False)


# what comes out is the same, always


@settings(deadline=None)
@given(dice=st.randoms(use_true_random=False))
def test_any_order_of_answers_gives_the_same_page_byte_for_byte(gasping, dice, look, all_well):
    pairs = list((all_well | {"oxygen": 3.2, "nitrite": "unknown"}).items())
    expected = written(look(gasping, dict(pairs)))
    dice.shuffle(pairs)
    assert written(look(gasping, dict(pairs))) == expected


SCRIPT = """
import json, sys
from pathlib import Path
from kb import calculators, cautions, sources
from rules.engine import diagnose
from rules.load import load
from rules.validate import validate
book = load(Path(sys.argv[1]), calculators=calculators.ALL, sources=sources.shipped(),
            cautions=cautions.shipped())
answers = {"oxygen": 6, "ammonia": 1, "ph": 8.1, "temperature": "79 F", "gills": "pale"}
found = diagnose(book.symptom("fish-gasping"), answers, calculators=calculators.ALL)
print(json.dumps(found.as_json()))
print(*validate(book, articles=set(), cases=50), sep="\\n")
"""


def test_the_hash_seed_of_the_interpreter_changes_nothing(example_folder):
    outputs = set()
    for seed in ("1", "4242"):
        done = subprocess.run(
            [sys.executable, "-c", SCRIPT, str(example_folder)],
            env=os.environ | {"PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)},
            capture_output=True,
            text=True,
            check=True,
        )
        outputs.add(done.stdout)
    assert len(outputs) == 1
    assert '"symptom": "fish-gasping"' in outputs.pop()


def test_the_link_brings_the_same_page_back(gasping, look):
    found = look(gasping, oxygen="6.1 ppm", temperature="83.3 F", ammonia=0.37, ph=8.05)
    again = dict(parse_qsl(urlsplit(found.link).query))
    assert written(look(gasping, again)) == written(found)


def test_the_link_is_in_file_order(gasping, look):
    found = look(gasping, temperature=26, nitrite="unknown", oxygen=3.2, air_and_flow="running")
    assert found.link == (
        "/symptoms/fish-gasping?air-and-flow=running&oxygen=3.2&nitrite=unknown&temperature=26"
        f"&rules={gasping.fingerprint}"
    )


CHECK_IDS = st.sampled_from(
    (
        *("air-and-flow", "untreated-water", "oxygen", "nitrite", "gills", "all-or-some"),
        *("ammonia", "ph", "temperature", "rules"),
    )
)
ANY_ANSWER = st.one_of(
    st.text(max_size=12),
    st.floats(),
    st.integers(),
    st.booleans(),
    st.none(),
    st.sampled_from(["unknown", "cant-measure", "yes", "no", "brown", "all", "running", "UNKNOWN"]),
    st.floats(min_value=0, max_value=14).map(str),
    st.floats(min_value=0, max_value=100).map(lambda number: f"{number:.3f} F"),
)


@settings(max_examples=300, deadline=None)
@given(answers=st.dictionaries(CHECK_IDS, ANY_ANSWER))
def test_any_answers_give_a_result_or_input_errors(gasping, answers, look):
    try:
        found = look(gasping, answers)
    except InputErrors as error:
        found = None
        refused = {problem.input for problem in error.problems}
    if found is None:
        assert refused
        assert refused <= set(answers)
        return
    assert 2 <= len(found.shown) <= 4
    json.dumps(found.as_json(), allow_nan=False)


# numbers worked out


def test_unionised_ammonia_is_worked_out_from_three_checks(gasping, look):
    # SRAC 463 (Durborow, Crosby & Brunson 1997), table 1: 24.22 % at pH 8.6 and 30 C
    found = look(gasping, ammonia=1, ph=8.6, temperature=30)
    value = found.derived["unionised_ammonia"]
    assert value.value == pytest.approx(0.2422, abs=0.0001)
    assert (value.unit, value.answer.id) == ("mg/L", "harmful")
    assert all(step.formula and step.value for step in value.steps)
    assert value.steps


def test_the_same_ammonia_is_harmless_at_low_ph(gasping, look):
    # SRAC 463, table 1: 0.80 % at pH 7.0 and 30 C
    found = look(gasping, ammonia=1, ph=7, temperature=30)
    value = found.derived["unionised_ammonia"]
    assert value.value == pytest.approx(0.0080, abs=0.0001)
    assert value.answer.id == "safe"
    assert "ammonia-burn" not in [alarm.cause for alarm in found.alarms]


def test_what_a_calculator_cannot_work_with_is_said_and_not_guessed(edited, look):
    reading = 'name = "Water temperature"\nkind = "temperature"\nunit = "°C"\nminimum = 0'
    book = edited(("readings.toml", reading, reading.replace("= 0", "= -40")))
    found = look(book.symptom("fish-gasping"), ammonia=1, ph=8, temperature=-30)
    value = found.derived["unionised_ammonia"]
    assert value.value is None
    assert "30" in value.problem
    assert any("could not be checked" in note for note in found.unchecked)


@pytest.mark.parametrize(
    ("oxygen", "answer"), [(1.999, "very-low"), (2, "low"), (4.999, "low"), (5, "enough")]
)
def test_an_edge_belongs_to_the_band_above_it(gasping, oxygen, answer, look):
    found = look(gasping, oxygen=oxygen)
    spoken_for = {"very-low": 8, "low": 2, "enough": 0.125}[answer]
    rising = cause(found, "low-oxygen").share > 0.3077
    assert rising == (spoken_for > 1)
    assert bool(found.alarms and found.alarms[0].cause == "low-oxygen") == (spoken_for > 1)


def test_the_json_has_the_keys_of_the_contract(gasping, look):
    found = look(gasping, oxygen=6, ammonia=1, ph=8.6, temperature=30).as_json()
    assert {
        "symptom", "first", "causes", "next", "derived", "cautions", "link"
    } <= set(found)  # fmt: skip
    assert {
        "cause", "label", "likelihood", "share", "for", "against", "missing", "remedies", "article"
    } <= set(found["causes"][0])  # fmt: skip
    assert {"title", "steps", "cautions"} <= set(found["causes"][0]["remedies"][0])
    assert {"check", "question", "minutes", "why", "choices", "unit"} <= set(found["next"][0])
    assert found["derived"]["unionised_ammonia"]["value"] == pytest.approx(0.2422, abs=1e-4)
    assert found["derived"]["unionised_ammonia"]["unit"] == "mg/L"


def test_wrong_answers_are_refused_all_at_once(gasping, look):
    with pytest.raises(InputErrors) as caught:
        look(gasping, oxygen="lots", gills="green", colour="red")
    assert {problem.input for problem in caught.value.problems} == {"oxygen", "gills", "colour"}


# speed


def test_a_step_takes_less_than_twenty_milliseconds_for_16_causes_and_20_checks(tmp_path, known):
    symptom = load(_large(tmp_path), **known).symptom("large")
    assert (len(symptom.causes), len(symptom.checks)) == (16, 20)
    answers = {f"check-{number}": "b" for number in range(0, 20, 2)}
    times = []
    for _ in range(15):
        start = time.perf_counter()
        diagnose(symptom, answers, calculators=calculators.ALL).as_json()
        times.append(time.perf_counter() - start)
    assert min(times) < 0.020


def _large(folder: Path) -> Path:
    causes = [f"cause-{number}" for number in range(16)]
    text = ['[symptom]\nid = "large"\ntitle = "t"\nsummary = "s"\ndo_first = ["Wait."]\n']
    for place, name in enumerate(causes):
        remedy = 'remedy = [{ title = "Do", steps = ["Do it."] }]'
        urgent = f"urgent = {str(place < 3).lower()}"
        head = f'[[cause]]\nid = "{name}"\nname = "{name}"\nwhy = "w"'
        text.append(f'{head}\n{urgent}\nhow_often = "common"\n{remedy}\n')
    answers = ", ".join(f'{{ id = "{id}", text = "{id}" }}' for id in "abcd")
    for place in range(20):
        words = "\n".join(
            f'{id} = {{ likely = ["{causes[(place + shift) % 16]}"], '
            f'unlikely = ["{causes[(place + shift + 5) % 16]}"] }}'
            for shift, id in enumerate("abcd")
        )
        head = f'[[check]]\nid = "check-{place}"\nask = "Is it?"\nminutes = 2'
        text.append(f"{head}\nanswer = [{answers}]\n{words}\n")
    (folder / "symptoms").mkdir()
    (folder / "symptoms" / "large.toml").write_text("\n".join(text), encoding="utf-8")
    return folder
