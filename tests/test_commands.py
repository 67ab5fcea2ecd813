"""The commands as a program runs them: output, errors and exit status."""

import json
import re

import pytest
from click.testing import CliRunner

from web.cli import main

QUESTION = "fish stopped eating since yesterday, pH 7.9, ammonia 2 ppm, water is 27C"
SETTLER = ["settler", "flow=1500 L/h", "vessel_volume=200 L", "vessel_diameter=570 mm", "vessels=2"]
COMMANDS = [
    ["calc"], ["match"], ["readings"], ["diagnose"], ["serve"], ["new"], ["validate"], ["migrate"],
    ["backup"], ["restore"], ["passphrase"], ["questions", "take-in"], ["questions", "list"],
    ["questions", "show"], ["questions", "export"], ["questions", "forget"],
    ["book", "systems"], ["book", "add"], ["book", "list"], ["book", "export"],
    ["book", "take-in"], ["book", "know"],
    ["questions", "triage"], ["questions", "reply"], ["questions", "move"], ["questions", "undo"],
    ["questions", "learn"], ["questions", "look-again"], ["questions", "places"],
    ["questions", "wordings", "list"], ["questions", "wordings", "remove"],
    ["questions", "wordings", "export"], ["questions", "group", "show"],
    ["questions", "group", "rename"], ["questions", "group", "merge"],
    ["questions", "group", "split"], ["questions", "group", "answer"],
    ["questions", "group", "draft"],
    ["questions", "groups"],
]  # fmt: skip


@pytest.fixture
def run(tmp_path):
    """Run a command with a data folder of its own."""

    def run(*words, status=0, given=None):
        environment = {"STANDPIPE_DATA": str(tmp_path / "data")}
        got = CliRunner().invoke(main, [str(word) for word in words], input=given, env=environment)
        assert got.exit_code == status, got.output
        assert "Traceback" not in got.output
        return got

    return run


def test_match_gives_article_readings_and_the_right_alarm(run):
    got = json.loads(run("match", QUESTION, "--json").stdout)
    assert got["verdict"] in ("strong", "possible")
    assert got["matches"][0]["article"] == "fish-off-feed"
    assert got["readings"] == {"ph": 7.9, "temperature_c": 27.0, "ammonia_mg_l": 2.0}
    # Emerson et al. 1975: 2 mg/L at pH 7.9 and 27 C holds 0.0986 mg/L of un-ionised ammonia as N
    assert any("0.099 mg/L" in alarm for alarm in got["alarms"])
    assert got["urgent"] is True


def test_a_batch_answers_line_by_line_in_order(run):
    lines = [json.dumps(text) for text in (QUESTION, "thanks, lovely tank", "ph drops every day")]
    got = [
        json.loads(line)
        for line in run("match", "--batch", "-", given="\n".join(lines)).stdout.splitlines()
    ]
    assert [answer["readings"].get("ph") for answer in got] == [7.9, None, None]
    assert got[1]["verdict"] == "none"
    assert got[2]["matches"][0]["article"] == "ph-keeps-falling"


def test_readings_in_a_batch_are_the_readings_alone(run):
    got = run("readings", "--batch", "-", "--json", given=json.dumps(QUESTION) + "\n").stdout
    assert json.loads(got) == {"readings": {"ph": 7.9, "temperature_c": 27.0, "ammonia_mg_l": 2.0}}


@pytest.mark.parametrize(
    ("layout", "retention", "overflow"), [("parallel", 16, 2.94), ("series", 8, 5.88)]
)
def test_two_settlers_share_time_but_only_side_by_side_the_load(run, layout, retention, overflow):
    # common practice, no source; arithmetic V/Q and Q/A
    got = json.loads(run("calc", *SETTLER, f"layout={layout}", "--json").stdout)["results"]
    assert got["retention_total"]["value"] == pytest.approx(16)
    assert got["retention_per_vessel"]["value"] == pytest.approx(retention)
    assert got["overflow_rate"]["value"] == pytest.approx(overflow, abs=0.005)


def test_diagnose_names_the_cause_and_what_to_do_first(run):
    got = json.loads(
        run("diagnose", "fish-off-feed", "ph=7.9", "ammonia=2", "temperature=81F", "--json").stdout
    )
    assert got["causes"][0]["cause"] == "ammonia-burn"
    assert got["first"]
    assert got["derived"]["unionised_ammonia"]["value"] == pytest.approx(0.1, rel=0.05)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["calc", "nothing", "a=1"], "There is no calculator “nothing”"),
        (["calc", "ammonia", "ph=27"], "outside what can be worked with, 4 to 11"),
        (["calc", "ammonia", "ph"], "write name=value"),
        (["calc", "ammonia", "ammonia=2 parsec", "ph=7", "temperature=20"], "not a unit of"),
        (["match"], "Give either a TEXT"),
        (["match", "x" * 6000], "send at most 5000"),
        (["diagnose", "nothing"], "There is no symptom “nothing”"),
        (["diagnose", "fish-off-feed", "ph=blue"], "is not a number"),
        (["questions", "show", "5"], "There is no question 5"),
        (["validate", "--content", "/nowhere"], "There is no content folder"),
        (["restore", "/nowhere.db"], "There is no file"),
        (["backup", "copy.db"], "There is no question log"),
    ],
)
def test_bad_input_is_one_clear_sentence_and_status_2(run, words, said):
    got = run(*words, status=2)
    assert said in got.stderr
    assert got.stdout == ""


def test_bad_input_in_json_names_every_value(run):
    got = run("calc", "ammonia", "ph=27", "--json", status=2)
    assert [error["input"] for error in json.loads(got.stdout)["errors"]] == [
        "ammonia", "ph", "temperature",
    ]  # fmt: skip


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_every_command_has_help_with_an_example(run, words):
    assert "standpipe " + " ".join(words) in re.sub(
        r"\s+", " ", run(*words, "--help").stdout.split("Example:")[1]
    )


def test_calculators_are_listed_and_described(run):
    assert "settler" in run("calc").stdout
    assert "exactly one of" in run("calc", "raise-ph").stdout


def test_a_file_taken_in_twice_is_logged_once(run, tmp_path):
    file = tmp_path / "club.csv"
    file.write_text(
        "Comment,Author,URL,Date\n"
        "Why is my water cloudy?,finch_3,https://example.org/1,2026-03-01\n"
        '"Two lines,\nbut one question about pH",finch_4,https://example.org/2,2026-03-01 10:00\n'
        ",finch_5,https://example.org/3,2026-03-02\n"
        "When did it happen?,finch_6,https://example.org/4,last week\n"
    )
    columns = "--map", "text=Comment,asked_by=Author,link=URL,asked_at=Date"
    first = run("questions", "take-in", file, *columns, "--json", status=1)
    second = run("questions", "take-in", file, *columns, "--json", status=1)
    reasons = [
        {"line": 5, "reason": "has no text."},
        {"line": 6, "reason": "“last week” is no date; write it like 2026-03-31 18:05."},
    ]
    assert json.loads(first.stdout) == {"logged": 2, "known": 0, "refused": reasons}
    assert json.loads(second.stdout) == {"logged": 0, "known": 2, "refused": reasons}


MBOX = """From finch Sun Mar  1 10:00:00 2026
From: Finch Three <finch@example.org>
Subject: pH
Message-ID: <1@example.org>
Date: Sun, 01 Mar 2026 10:00:00 +0000

Why does it fall?
> an older letter

From wren Sun Mar  1 11:00:00 2026
From: wren@example.org
Subject: Cloudy
Message-ID: <2@example.org>

Milk white since Friday.
"""


@pytest.mark.parametrize(
    ("name", "content", "texts"),
    [
        ("a.txt", "Is it cloudy?\nWhy does pH fall?\n", ["Is it cloudy?", "Why does pH fall?"]),
        ("b.txt", "Is it\ncloudy?\n\nDoes pH fall?\n", ["Does pH fall?", "Is it\ncloudy?"]),
        ("c.jsonl", '{"text": "Cloudy?"}\n"Green?"\n', ["Cloudy?", "Green?"]),
        ("d.mbox", MBOX, ["Cloudy\nMilk white since Friday.", "pH\nWhy does it fall?"]),
    ],
)  # fmt: skip
def test_each_kind_of_file_is_read(run, tmp_path, name, content, texts):
    (tmp_path / name).write_text(content)
    run("questions", "take-in", tmp_path / name)
    rows = json.loads(run("questions", "list", "--json").stdout)
    assert sorted(row["text"] for row in rows) == texts


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("a.csv", b"Question\nhello\n", "there is no column “text”; it has Question"),
        ("b.doc", b"hello", "say what it is with --format"),
        ("c.txt", b"one\nfish \xff\n", "line 2 is not UTF-8"),
    ],
)
def test_a_file_that_cannot_be_read_is_refused_whole(run, tmp_path, name, content, said):
    (tmp_path / name).write_bytes(content)
    assert said in run("questions", "take-in", tmp_path / name, status=2).stderr
    assert json.loads(run("questions", "list", "--json").stdout) == []


def test_groups_stand_commonest_first_and_can_be_picked_by_answer(run, tmp_path):
    (tmp_path / "club.txt").write_text(
        "do snails sing at night\nwhy is my water cloudy\nWhy is the water so cloudy?\n"
        "my water is cloudy. Why?\n"
    )
    run("questions", "take-in", tmp_path / "club.txt")
    found = json.loads(run("questions", "groups", "--json").stdout)
    assert [(group["name"], group["open"]) for group in found] == [
        ("why is my water cloudy", 3),
        ("do snails sing at night", 1),
    ]
    assert found[0]["places"] == ["club"]
    unanswered = json.loads(run("questions", "groups", "--unanswered", "--json").stdout)
    assert [group["name"] for group in unanswered] == ["do snails sing at night"]
    assert "3 times" in run("questions", "groups").stdout
    shown = json.loads(run("questions", "show", 1, "--json").stdout)
    assert shown["group"] == found[1]["id"]


def test_export_leaves_people_out_unless_asked(run, tmp_path):
    (tmp_path / "a.jsonl").write_text(
        '{"text": "=SUM(A1) cloudy", "asked_by": "finch_3", "link": "https://example.org/1"}\n'
    )
    run("questions", "take-in", tmp_path / "a.jsonl")
    assert "finch_3" not in run("questions", "export").stdout
    assert "finch_3" in run("questions", "export", "--with-people").stdout
    assert "'=SUM(A1)" in run("questions", "export", "--format", "csv").stdout


def test_forgetting_removes_the_words_everywhere(run, tmp_path):
    (tmp_path / "a.jsonl").write_text('{"text": "cloudy", "asked_by": "finch_3"}\n')
    run("questions", "take-in", tmp_path / "a.jsonl")
    run("questions", "forget", 1)
    assert "finch_3" not in run("questions", "show", 1).stdout


def test_backup_and_restore_bring_the_log_back(run, tmp_path):
    (tmp_path / "a.txt").write_text("Why is it cloudy?\n")
    run("questions", "take-in", tmp_path / "a.txt")
    run("backup", tmp_path / "copy.db")
    run("questions", "forget", 1)
    run("restore", tmp_path / "copy.db")
    assert "cloudy" in run("questions", "show", 1).stdout


def test_a_folder_of_ones_own_extends_and_replaces(run, tmp_path, library):
    own = tmp_path / "site"
    run("new", own)
    shipped = library.article("cloudy-water")
    text = (files_of("articles") / "cloudy-water.md").read_text()
    text = text.replace(f'title = "{shipped.title}"', 'title = "Our cloudy water"')
    (own / "articles" / "cloudy-water.md").write_text(text)
    got = json.loads(run("match", "--content", own, "my water is cloudy", "--json").stdout)
    assert "Our cloudy water" in [match["title"] for match in got["matches"]]


def test_a_broken_article_is_named_with_file_and_place(run, tmp_path):
    own = tmp_path / "site"
    run("new", own)
    (own / "articles" / "mine.md").write_text("+++\ntitle = Mine\n+++\n\n## Short answer\n")
    got = run("validate", "--content", own, status=1)
    assert "mine.md: TOML: cannot be read: Invalid value" in got.stdout
    assert "line 2" in got.stdout


def test_new_never_writes_into_a_folder_in_use(run, tmp_path):
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "precious.txt").write_text("keep")
    assert "not empty" in run("new", tmp_path / "full", status=2).stderr
    assert [file.name for file in (tmp_path / "full").iterdir()] == ["precious.txt"]


def files_of(package):
    from importlib.resources import files

    return files(package)
