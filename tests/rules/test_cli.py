"""The command ``diagnose``, run as a person or another program runs it."""

import json

import pytest
from click.testing import CliRunner

from rules import load
from rules.cli import diagnose


@pytest.fixture
def run(monkeypatch, rulebook):
    """Runs the command on the example rules."""
    monkeypatch.setattr(load, "shipped", lambda *folders: rulebook)
    return lambda *arguments: CliRunner().invoke(diagnose, list(arguments))


def test_json_is_the_diagnosis(run):
    done = run("fish-gasping", "oxygen=6", "gills=brown", "nitrite=2 ppm", "--json")
    found = json.loads(done.stdout)
    assert (done.exit_code, done.stderr) == (0, "")
    assert (found["symptom"], found["causes"][0]["cause"]) == ("fish-gasping", "nitrite-poisoning")
    assert found["link"].startswith("/symptoms/fish-gasping?oxygen=6&nitrite=2&gills=brown&rules=")


def test_people_read_what_to_do_first_then_causes_then_the_next_check(run):
    text = run("fish-gasping", "ammonia=1", "ph=8.6", "temperature=30").stdout
    order = [
        "Do this first",
        "ACT NOW: Ammonia is burning the gills",
        "As far as your answers go",
        "1. Ammonia is burning the gills: possible (about 5 in 10)",
        "Something not on this list",
        "Un-ionised ammonia as N: 0.242 mg/L",
        "Check next:",
        "Take care:",
        "/symptoms/fish-gasping?ammonia=1&ph=8.6&temperature=30",
    ]
    places = [text.find(part) for part in order]
    assert -1 not in places, dict(zip(order, places, strict=True))
    assert places == sorted(places)


def test_lines_fit_a_terminal(run):
    lines = run("fish-gasping", "oxygen=6", "gills=pale").stdout.splitlines()
    assert max(len(line) for line in lines if not line.startswith("/")) <= 96


def test_every_bad_input_is_one_sentence_and_status_two(run):
    done = run("fish-gasping", "oxygen=lots", "gills=green", "shape=round")
    assert (done.exit_code, done.stdout) == (2, "")
    lines = done.stderr.splitlines()
    assert len(lines) == 3
    assert all(line.endswith(".") for line in lines)


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["fish-singing"], "There is no symptom “fish-singing”; known are fish-gasping."),
        (["fish-gasping", "oxygen"], "“oxygen” is no answer; write check=answer."),
        (["fish-gasping", "=3"], "“=3” is no answer; write check=answer."),
        (
            ["fish-gasping", "oxygen=3", "oxygen=4"],
            "“oxygen” is answered twice; give one answer.",
        ),
    ],
)
def test_what_cannot_be_read_is_named(run, arguments, sentence):
    done = run(*arguments)
    assert (done.exit_code, done.stdout, done.stderr) == (2, "", sentence + "\n")


def test_checks_are_listed_for_programs(run):
    listed = json.loads(run("fish-gasping", "--checks", "--json").stdout)
    assert [check["id"] for check in listed][:2] == ["air-and-flow", "untreated-water"]
    assert {"id", "question", "kind", "unit", "choices", "minutes", "how"} <= set(listed[0])


def test_checks_are_listed_for_people(run):
    text = run("fish-gasping", "--checks").stdout
    assert "oxygen: Dissolved oxygen in the middle of the tank (3 min" in text
    assert "a number from 0 to 30 mg/L" in text
    assert "red = Bright red; brown = Brown like chocolate" in text


def test_a_link_of_older_rules_says_so_beside_the_result(run):
    done = run("fish-gasping", "oxygen=6", "rules=00000000", "--json")
    assert done.exit_code == 0
    assert done.stderr == "The rules have changed since this link was written.\n"
    assert json.loads(done.stdout)["symptom"] == "fish-gasping"


def test_help_shows_an_example(run):
    assert "standpipe diagnose fish-gasping oxygen=3.2" in run("--help").stdout


def test_own_rules_are_read_after_the_shipped_ones(tmp_path, example_folder):
    (tmp_path / "rules" / "symptoms").mkdir(parents=True)
    (tmp_path / "rules" / "causes.toml").write_text("[[cause]]\nid = 3\n", encoding="utf-8")
    done = CliRunner().invoke(diagnose, ["fish-gasping", "--content", str(tmp_path)])
    assert done.exit_code == 2
    assert "rules/causes.toml: cause[1].id: must be a text in quotes" in done.stderr
