"""Loading: the example as it stands, folders on top of it, and faults with their place."""

import re
import shutil

import pytest

from kb.calculators import ALL
from kb.calculators.model import Number
from kb.errors import ContentErrors, NotFound
from rules.load import load, shipped


@pytest.fixture
def own(tmp_path):
    """A keeper's folder; writes its files from keyword arguments."""

    def write(**files):
        folder = tmp_path / "own"
        for name, text in files.items():
            file = folder / f"{name.replace('__', '/').replace('_', '-')}.toml"
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8")
        return folder

    return write


def test_the_example_is_read_whole(gasping):
    assert gasping.title == "Fish are gasping at the surface"
    assert [(s.cause.id, s.how_often) for s in gasping.suspects] == [
        ("low-oxygen", "common"),
        ("nitrite-poisoning", "occasional"),
        ("ammonia-burn", "occasional"),
        ("chlorine", "rare"),
        ("gill-sickness", "occasional"),
    ]
    assert [item.id for item in gasping.evidence] == [
        "air-and-flow",
        "untreated-water",
        "oxygen",
        "nitrite",
        "gills",
        "all-or-some",
        "unionised_ammonia",
    ]
    assert [check.id for check in gasping.checks][-3:] == ["ammonia", "ph", "temperature"]


def test_an_unknown_symptom_names_the_known_ones(rulebook):
    with pytest.raises(NotFound, match="“fish-singing”; known are fish-gasping"):
        rulebook.symptom("fish-singing")


def test_the_fingerprint_is_eight_characters_and_follows_every_file(rulebook, edited):
    assert re.fullmatch("[0-9a-f]{8}", rulebook.fingerprint)
    assert edited().fingerprint == rulebook.fingerprint
    changed = edited(("causes.toml", "Restart or add air", "Restart or add more air"))
    assert changed.fingerprint != rulebook.fingerprint
    assert changed.symptom("fish-gasping").fingerprint == changed.fingerprint


def test_line_endings_do_not_change_the_fingerprint(tmp_path, known, example_folder, rulebook):
    folder = tmp_path / "copy"
    shutil.copytree(example_folder, folder)
    for file in folder.rglob("*.toml"):
        file.write_bytes(file.read_bytes().replace(b"\n", b"\r\n"))
    assert load(folder, **known).fingerprint == rulebook.fingerprint


def test_a_later_folder_replaces_by_id(example_folder, known, own):
    mine = own(
        causes='[[cause]]\nid = "chlorine"\nname = "Tap water"\nwhy = "It is raw."\n'
        'remedy = [{ title = "Let it stand", steps = ["Wait a day."] }]\n'
    )
    book = load(example_folder, mine, **known)
    (cause,) = [item for item in book.symptom("fish-gasping").causes if item.id == "chlorine"]
    assert (cause.name, cause.urgent) == ("Tap water", False)
    assert cause.path == f"{mine}/causes.toml"


def test_a_later_folder_adds_a_symptom_and_uses_shared_checks(example_folder, known, own):
    file = example_folder / "symptoms" / "fish-gasping.toml"
    text = file.read_text(encoding="utf-8").replace("fish-gasping", "fish-hiding")
    book = load(example_folder, own(symptoms__fish_hiding=text), **known)
    assert list(book.symptoms) == ["fish-gasping", "fish-hiding"]


def test_a_replaced_check_that_lost_an_answer_is_reported_where_it_is_used(
    example_folder, known, own
):
    mine = own(
        checks='[[check]]\nid = "gills"\nask = "Are the gills red?"\nminutes = 1\n'
        'answer = [{ id = "red", text = "Yes" }, { id = "other", text = "No" }]\n'
    )
    with pytest.raises(ContentErrors) as caught:
        load(example_folder, mine, **known)
    found = {(problem.path, problem.place) for problem in caught.value.problems}
    file = str(example_folder / "symptoms" / "fish-gasping.toml")
    assert found == {(file, "check[5].brown"), (file, "check[5].pale")}


def test_a_check_and_a_cause_used_once_may_stand_in_the_symptom_file(edited):
    book = edited(
        (
            "symptoms/fish-gasping.toml",
            '[[cause]]\nuse = "gill-sickness"\n',
            '[[cause]]\nid = "fright"\nname = "A fright"\nwhy = "Something chased them."\n'
            'remedy = [{ title = "Calm", steps = ["Cover the tank."] }]\n',
        ),
        (
            "symptoms/fish-gasping.toml",
            'likely = ["nitrite-poisoning", "ammonia-burn", "chlorine", "gill-sickness"], because'
            ' = "The',
            'likely = ["nitrite-poisoning", "ammonia-burn"], because = "The',
        ),
        (
            "symptoms/fish-gasping.toml",
            'red = { unlikely = ["nitrite-poisoning", "ammonia-burn", "chlorine", "gill-sickness"]',
            'red = { unlikely = ["nitrite-poisoning"]',
        ),
        (
            "symptoms/fish-gasping.toml",
            '"chlorine", "gill-sickness"], because = "Hurt',
            '"chlorine"], because = "Hurt',
        ),
        (
            "symptoms/fish-gasping.toml",
            '[[check]]\nuse = "all-or-some"\nall = { unlikely = ["gill-sickness"], '
            'because = "An illness seldom takes all at once." }\n'
            'some = { likely = ["gill-sickness"], unlikely = ["low-oxygen", "chlorine"], because = '
            '"Water that harms, harms all." }\n',
            '[[check]]\nid = "shadow"\nask = "Do they flee?"\nminutes = 1\nurgent = true\n'
            'answer = [{ id = "yes", text = "Yes", likely = ["fright"] },'
            ' { id = "no", text = "No", unlikely = ["fright"] }]\n',
        ),
    )
    symptom = book.symptom("fish-gasping")
    (shadow,) = [item for item in symptom.evidence if item.id == "shadow"]
    assert shadow.urgent
    assert [saying.words for saying in shadow.sayings] == [
        {"fright": "likely"},
        {"fright": "unlikely"},
    ]
    assert "fright" in [cause.id for cause in symptom.causes]


def test_a_file_of_another_name_is_not_passed_over(example_folder, known, own):
    with pytest.raises(ContentErrors, match=r"check\.toml: file: is not read here"):
        load(example_folder, own(check=""), **known)


def test_a_folder_that_is_not_there_is_named(tmp_path, known):
    with pytest.raises(ContentErrors, match="no-such-place: folder: is no folder"):
        load(tmp_path / "no-such-place", **known)


def test_faults_of_all_files_come_together_with_their_places(edited):
    with pytest.raises(ContentErrors) as caught:
        edited(
            ("causes.toml", 'article = "low-oxygen"', 'articel = "low-oxygen"'),
            ("checks.toml", 'reading = "oxygen"', 'reading = "air"'),
            ("symptoms/fish-gasping.toml", 'title = "Fish are gasping at the surface"', ""),
        )
    places = {problem.path.rsplit("/", 1)[1] for problem in caught.value.problems}
    assert places == {"causes.toml", "checks.toml", "fish-gasping.toml"}


def test_broken_toml_is_reported_with_its_line(edited):
    with pytest.raises(ContentErrors, match=r"fish-gasping\.toml: TOML: .*line 2"):
        edited(("symptoms/fish-gasping.toml", 'id = "fish-gasping"', "id = fish"))


def test_shipped_readings_are_what_calculators_take_under_the_same_name():
    readings = shipped().readings
    shared = {"volume", "flow", "temperature", "ph", "alkalinity", "ammonia", "nitrite", "nitrate"}
    assert shared | {"oxygen", "feed", "salinity"} <= set(readings)
    for calculator in ALL.values():
        for item in calculator.inputs:
            if item.name in readings and isinstance(item, Number):
                reading = readings[item.name]
                assert (item.kind, item.unit) == (reading.kind, reading.unit), calculator.id
