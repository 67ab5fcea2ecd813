"""The commands of recordings, materials, upkeep and forgetting, as a program runs them."""

import json
import re

import pytest
from click.testing import CliRunner

from web.cli import main

COMMANDS = [
    ["runsheet", name]
    for name in (
        "list", "plan", "put", "show", "move", "rename", "take-off", "order", "publish",
        "texts", "replies", "remove",
    )
] + [
    ["materials", name] for name in ("list", "show", "put", "remove", "import", "export")
] + [["upkeep"], ["questions", "forget"], ["questions", "drop-names"]]  # fmt: skip


@pytest.fixture
def run(tmp_path):
    """Run a command with a data folder of its own."""

    def run(*words, status=0, given=None):
        environment = {"STANDPIPE_DATA": str(tmp_path / "data"), "STANDPIPE_CONTENT": ""}
        got = CliRunner().invoke(main, [str(word) for word in words], input=given, env=environment)
        assert got.exit_code == status, got.output
        assert "Traceback" not in got.output
        return got

    return run


def ask(run, tmp_path, *rows, place="club"):
    """Log questions, each a text, perhaps with who asked and a link."""
    file = tmp_path / f"{place}.jsonl"
    file.write_text("\n".join(json.dumps(row) for row in rows))
    run("questions", "take-in", file)


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_every_command_has_help_with_an_example(run, words):
    example = re.sub(r"\s+", " ", run(*words, "--help").stdout.split("Example:")[1])
    assert "standpipe " + " ".join(words) in example


def test_a_recording_goes_from_plan_to_replies(run, tmp_path):
    ask(run, tmp_path, {"text": "When is the plant sale?", "asked_by": "finch_3",
                        "link": "https://example.org/q/1"})  # fmt: skip
    run("runsheet", "plan", "April", "--day", "2026-04-05")
    run("runsheet", "put", 1, "--question", 1)
    run("runsheet", "put", 1, "--article", "lowering-ph")
    run("runsheet", "rename", 1, "The plant sale")
    run("runsheet", "order", 1)
    run("runsheet", "move", 1, "--by", -5)
    shown = json.loads(run("runsheet", "show", 1, "--json").stdout)
    assert [line["title"] for line in shown["lines"]] == [
        "The plant sale", "How do I bring pH down safely?",
    ]  # fmt: skip
    link = "https://example.org/7"
    run("runsheet", "publish", 1, "--link", link, "--day", "2026-04-06", "1=1:15", "2=0:12:34")
    run("runsheet", "publish", 1, "--link", link, "--day", "2026-04-06", "1=1:20")
    (text,) = json.loads(run("runsheet", "texts", 1, "--json").stdout)
    assert "0:00:00 Start\n0:01:20 The plant sale\n0:12:34 How do I bring" in text["text"]
    got = json.loads(run("runsheet", "replies", 1, "--json").stdout)
    assert got["thanks"] == ["finch_3"]
    assert got["replies"][0]["text"].startswith("Hi finch_3,")
    assert "from 1 minute 20 seconds on" in got["replies"][0]["text"]
    marked = json.loads(run("runsheet", "replies", 1, "--mark", 1, "--json").stdout)
    assert marked["replies"][0]["state"] == "replied"
    again = run("runsheet", "replies", 1, "--mark", 1, status=2)
    assert "No reply of recording 1 waits for question 1" in again.stderr
    run("runsheet", "take-off", 1)
    assert "nobody left a name" in run("runsheet", "replies", 1).stdout
    run("runsheet", "remove", 1)
    assert run("runsheet", "list").stdout == ""


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["plan", " "], "The title has 0 characters"),
        (["plan", "April", "--day", "soon"], "is no date"),
        (["put", "1"], "Give one of --article"),
        (["put", "1", "--article", "iron", "--topic", "x"], "Give one of --article"),
        (["put", "1", "--article", "nothing"], "There is no article “nothing”"),
        (["put", "1", "--topic", "x"], "There is no recording 1"),
        (["put", "1", "--question", "9"], "There is no question 9"),
        (["put", "1", "--group", "9"], "There is no recording 1"),
        (["show", "1"], "There is no recording 1"),
        (["move", "1", "--by", "1"], "There is no item 1"),
        (["rename", "1", "x"], "There is no item 1"),
        (["take-off", "1"], "There is no item 1"),
        (["order", "1"], "There is no recording 1"),
        (["publish", "1", "--link", "x"], "There is no recording 1"),
        (["texts", "1", "--place", "nowhere"], "is no place for recordings"),
        (["replies", "1"], "There is no recording 1"),
        (["remove", "1"], "There is no recording 1"),
    ],
)
def test_bad_input_is_one_clear_sentence_and_status_2(run, words, said):
    got = run("runsheet", *words, status=2)
    assert said in got.stderr
    assert got.stdout == ""


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--link", "ftp://example.org"], "begins with http:// or https://"),
        (["--link", "https://example.org", "1"], "is no ITEM=H:MM:SS"),
        (["--link", "https://example.org", "7=0:01"], "the items of this sheet are 1"),
        (["--link", "https://example.org", "1=soon"], "cannot start at “soon”"),
        (["--link", "https://example.org", "--place", "x"], "is no place for recordings"),
    ],
)
def test_what_cannot_be_published_is_named_and_nothing_is_stored(run, words, said):
    run("runsheet", "plan", "April")
    run("runsheet", "put", 1, "--topic", "Hello")
    assert said in run("runsheet", "publish", 1, *words, status=2).stderr
    assert json.loads(run("runsheet", "list", "--json").stdout)[0]["link"] is None


def test_a_person_is_forgotten_by_name_and_place(run, tmp_path):
    ask(run, tmp_path, {"text": "cloudy", "asked_by": "finch_3"},
        {"text": "thanks finch_3, and why is mine green?", "asked_by": "wren"})  # fmt: skip
    ask(run, tmp_path, {"text": "green", "asked_by": "Finch_3"}, place="letters")
    got = run("questions", "forget", "--person", "FINCH_3", "--place", "club", "--json")
    assert json.loads(got.stdout) == {"forgotten": [1], "still_named_in": [2]}
    said = run("questions", "forget", "--person", "finch_3").stdout
    assert "words of 1 question are gone" in said
    assert "Others wrote the name in 1 question or the replies to them: 2." in said
    assert "Finch_3" not in run("questions", "export", "--with-people").stdout


def test_a_person_is_forgotten_by_link(run, tmp_path):
    ask(run, tmp_path, {"text": "cloudy", "link": "https://example.org/1"},
        {"text": "green", "link": "https://example.org/2"})  # fmt: skip
    run("questions", "forget", "--link", "https://example.org/1")
    log = run("questions", "export", "--with-people").stdout
    assert "example.org/1" not in log
    assert "example.org/2" in log


@pytest.mark.parametrize(
    "words", [[], ["1", "--person", "x"], ["--place", "club"], ["1", "--place", "club"]]
)
def test_forgetting_wants_to_know_whom(run, words):
    assert "Give either a NUMBER" in run("questions", "forget", *words, status=2).stderr


def test_old_names_are_dropped_by_command(run, tmp_path):
    ask(run, tmp_path, {"text": "cloudy", "asked_by": "finch_3", "asked_at": "2020-01-01"},
        {"text": "green", "asked_by": "wren"})  # fmt: skip
    assert "of 1 question are gone" in run("questions", "drop-names", "--months", 24).stdout
    log = run("questions", "export", "--with-people").stdout
    assert "finch_3" not in log
    assert "cloudy" in log
    assert "wren" in log


def test_materials_are_put_shown_exported_and_taken_in(run, tmp_path):
    run("materials", "put", "hydrochloric acid", "--alias", "muriatic acid", "--remark", "Mine.",
        "--link", "DE", "Baumarkt", "https://example.org/de",
        "--earning-link", "", "Club", "https://example.org/club")  # fmt: skip
    shown = run("materials", "show", "Hydrochloric Acid").stdout
    assert "anywhere: Club: https://example.org/club (a link that earns the keeper money)" in shown
    assert "lowering-ph" in shown
    before = json.loads(run("materials", "list", "--json").stdout)
    for form in ("csv", "toml"):
        file = tmp_path / f"materials.{form}"
        file.write_text(run("materials", "export", "--format", form).stdout)
        run("materials", "remove", "hydrochloric acid")
        assert run("materials", "import", file).stdout == "1 taken in.\n"
        assert json.loads(run("materials", "list", "--json").stdout) == before


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["show", "nothing"], "There is no material “nothing”"),
        (["remove", "nothing"], "There is no material “nothing”"),
        (["put", "acid", "--link", "XX", "a", "https://e.org"], "“XX” is no country"),
        (["put", "acid", "--article", "nothing"], "which does not exist"),
    ],
)
def test_bad_materials_are_one_clear_sentence(run, words, said):
    assert said in run("materials", *words, status=2).stderr


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("a.doc", b"x", "must end in .csv or .toml"),
        ("a.csv", b"\xff", "is not UTF-8 text (byte 0)"),
        ("a.csv", b"colour\nred\n", "there is colour"),
    ],
)
def test_a_bad_list_of_materials_is_refused_whole(run, tmp_path, name, content, said):
    (tmp_path / name).write_bytes(content)
    assert said in run("materials", "import", tmp_path / name, status=2).stderr
    assert json.loads(run("materials", "list", "--json").stdout) == []


def test_upkeep_checks_outside_links_only_when_told(run, tmp_path):
    ask(run, tmp_path, {"text": "Why do the young leaves of my lettuce go yellow?"})
    run("materials", "put", "acid", "--link", "DE", "Shop", "http://127.0.0.1:9/shop")
    shown = run("upkeep", "--quick").stdout
    assert "127.0.0.1" not in shown
    assert "  yellow-leaves: 1 (0)" in shown
    report = json.loads(run("upkeep", "--json", "--check-links", status=1).stdout)
    (broken,) = report["broken"]  # no link to another site is shipped
    assert broken["place"] == "material “acid”"
    assert "not public" in broken["reason"]
    assert report["competing"]
    assert report["asked"][0]["now"] == 1
