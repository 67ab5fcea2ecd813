"""Taking in whole files: a look before, every question once, whole batches, little memory."""

import datetime
import functools
import json
import signal
import subprocess
import sys
import time
import tracemalloc

import pytest

from kb import intake
from kb.errors import KbError
from kb.intake import BATCH, preview, take_in_file
from kb.store import groups, open_database
from kb.store import questions as log
from kb.store.questions import Judgement
from kb.take_in import Fault, columns_in, take_in
from web import content as site_content

NONE = Judgement("none", None, urgent=False)


class Answers:
    """Judges nothing, and counts how often it was asked."""

    def __init__(self):
        self.asked = []

    def judge(self, text):
        self.asked.append(text)
        return NONE


@pytest.fixture
def answers():
    return Answers()


@pytest.fixture
def file(tmp_path):
    """1,000 questions of 40 different texts, with two broken lines among them."""
    path = tmp_path / "club.jsonl"
    lines = [
        json.dumps({"text": f"why is bed {'x' * (number % 40)} dry", "link": f"#{number}"})
        for number in range(1000)
    ]
    lines[300:300] = ["no json", "[]"]
    path.write_text("\n".join(lines))
    return path


def taken(db, path, answers, **more):
    steps = take_in_file(
        db, path, place="club", columns={}, make=lambda: answers, workers=1, **more
    )
    return list(steps)


def test_each_question_is_logged_once_and_grouped(db, file, answers):
    steps = taken(db, file, answers)
    last = steps[-1]
    assert (last.logged, last.known, last.refused) == (1000, 0, 2)
    assert [fault.line for fault in last.faults] == [301, 302]
    assert [step.read for step in steps] == [250, 500, 750, 1000, 1002]
    assert sum(group.questions for group in groups.listed(db)) == 1000
    assert groups.ungrouped(db) == ()


def test_a_text_is_matched_once_and_a_known_question_not_at_all(db, file, answers):
    taken(db, file, answers)
    assert len(answers.asked) == 40
    last = taken(db, file, answers)[-1]
    assert (last.logged, last.known, last.refused) == (0, 1000, 2)
    assert len(answers.asked) == 40


def test_the_same_line_twice_in_a_batch_is_logged_once(db, tmp_path, answers):
    path = tmp_path / "a.txt"
    path.write_text("why is it dry\nWhy is it dry?\nwhy is it dry\n")
    last = taken(db, path, answers)[-1]
    assert (last.logged, last.known) == (1, 2)


def test_processes_match_as_this_one_does(tmp_path, db, answerer):
    path = tmp_path / "a.jsonl"
    texts = ["why is my water cloudy", "fish are gasping, help", "lovely greenhouse"]
    path.write_text(
        "\n".join(
            json.dumps({"text": texts[number % 3], "link": f"#{number}"}) for number in range(400)
        )
    )
    make = functools.partial(site_content.answerer, None, tmp_path / "standpipe.db")
    steps = list(take_in_file(db, path, place="club", columns={}, make=make, workers=2))
    assert steps[-1].logged == 400
    for question in log.listed(db, limit=6):
        expected = answerer.judge(question.text)
        assert (question.verdict, question.article, question.urgent) == (
            expected.verdict,
            expected.article,
            expected.urgent,
        )
        assert expected == answerer.answer(question.text).judgement


def broken_content():
    raise KbError("articles/a.md: there is no title.")


def test_a_fault_of_the_content_is_told_and_nothing_logged(db, file):
    steps = take_in_file(db, file, place="club", columns={}, make=broken_content, workers=1)
    with pytest.raises(KbError, match="there is no title"):
        list(steps)
    assert log.counts(db)["open"] == 0


def test_what_a_process_cannot_make_is_told_by_its_first_match():
    intake._start(broken_content)
    signal.signal(signal.SIGINT, signal.default_int_handler)
    with pytest.raises(KbError, match="there is no title"):
        intake._judge(["why"])


SCRIPT = """
import sys
from pathlib import Path
from kb.intake import take_in_file
from kb.store import open_database
from kb.store.questions import Judgement

class Answers:
    def judge(self, text):
        return Judgement("none", None, urgent=False)

db = open_database(sys.argv[1])
steps = take_in_file(db, Path(sys.argv[2]), place="club", columns={}, make=Answers, workers=1)
for step in steps:
    print(step.logged, flush=True)
"""


@pytest.mark.parametrize("stop", [signal.SIGKILL, signal.SIGINT])
def test_broken_off_and_taken_in_again_nothing_is_lost_or_doubled(tmp_path, stop, answers):
    path, store = tmp_path / "a.jsonl", tmp_path / "log.db"
    total = 2500
    path.write_text(
        "\n".join(
            json.dumps({"text": f"bed {number} is dry", "link": f"#{number}"})
            for number in range(total)
        )
    )
    process = subprocess.Popen(
        [sys.executable, "-c", SCRIPT, str(store), str(path)],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    with process:
        said = [int(process.stdout.readline()) for _ in range(3)][-1]
        time.sleep(0.03)
        process.send_signal(stop)
        process.stdout.read()
    db = open_database(store)
    before = log.counts(db)["open"]
    assert said <= before < total
    assert before % BATCH == 0
    assert sum(group.questions for group in groups.listed(db, limit=total)) == before
    last = taken(db, path, answers)[-1]
    assert (last.logged, last.known) == (total - before, before)
    assert log.counts(db)["open"] == total
    assert sum(group.questions for group in groups.listed(db, limit=total)) == total
    db.close()


def test_a_preview_shows_what_would_be_taken_and_logs_nothing(db, file):
    found = preview(file, place="club", columns={}, most=5)
    assert (found.questions, found.refused) == (1000, 2)
    assert [question.link for question in found.first] == ["#0", "#1", "#2", "#3", "#4"]
    assert found.faults == (
        Fault(301, "is no JSON."),
        Fault(302, "must be a JSON object or a text in quotes."),
    )
    assert log.counts(db)["open"] == 0


def test_faults_beyond_a_thousand_are_counted_only(db, tmp_path, answers):
    path = tmp_path / "a.jsonl"
    path.write_text("broken\n" * 3000)
    last = taken(db, path, answers)[-1]
    assert (last.refused, len(last.faults)) == (3000, 1000)


@pytest.mark.parametrize(
    ("name", "content", "names"),
    [
        ("a.csv", "Comment,Author\nhello,finch_3\n", ("Comment", "Author")),
        ("a.jsonl", '{"a": 1, "b": 2}\n"x"\n{"b": 1, "c": 3}\n', ("a", "b", "c")),
        ("a.txt", "Comment,Author\n", ()),
        ("a.csv", "", ()),
    ],
)
def test_the_columns_of_a_file_can_be_chosen_from(tmp_path, name, content, names):
    (tmp_path / name).write_text(content)
    assert columns_in(tmp_path / name) == names


@pytest.mark.parametrize("ending", ["csv", "jsonl", "txt", "mbox"])
def test_a_large_file_is_never_held_in_memory(tmp_path, ending):
    path = tmp_path / f"a.{ending}"
    words = "why is my water so cloudy after the rain " * 20
    line = {
        "csv": f'"{words}"\n',
        "jsonl": f'"{words}"\n',
        "txt": f"{words}\n",
        "mbox": f"From a\nSubject: b\n\n{words}\n\n",
    }[ending]
    count = 3_000_000 // len(line)
    with path.open("w") as file:
        file.write("text\n" if ending == "csv" else "")
        for _ in range(count):
            file.write(line)
    tracemalloc.start()
    found = sum(not isinstance(one, Fault) for one in take_in(path, place="x", columns={}))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert found == count
    assert peak < 1_500_000


@pytest.mark.parametrize("ending", ["csv", "jsonl", "txt"])
def test_a_line_without_end_is_one_fault_and_the_next_is_kept(tmp_path, ending):
    path = tmp_path / f"a.{ending}"
    head = "text\n" if ending == "csv" else ""
    last = '"why"\n' if ending == "jsonl" else "why\n"
    path.write_text(f"{head}{'x' * 3_000_000}\n{last}")
    fault, question = take_in(path, place="x", columns={})
    assert isinstance(fault, Fault)
    assert fault.line == 1 + bool(head)
    assert question.text == "why"


def test_a_character_cut_off_at_the_end_is_named(tmp_path):
    (tmp_path / "a.txt").write_bytes(b"one\ntwo \xc3")
    with pytest.raises(KbError, match="line 2 is not UTF-8"):
        take_in(tmp_path / "a.txt", place="x", columns={})


def test_dates_of_asking_make_the_dates_of_the_group(db, tmp_path, answers):
    path = tmp_path / "a.jsonl"
    path.write_text(
        '{"text": "why is it dry", "asked_at": "2026-01-05"}\n'
        '{"text": "why is it dry", "asked_at": "2026-02-07", "asked_by": "finch_3"}\n'
    )
    taken(db, path, answers)
    (group,) = groups.listed(db)
    assert (group.first_at[:10], group.last_at[:10]) == ("2026-01-05", "2026-02-07")
    assert datetime.datetime.fromisoformat(group.first_at).tzinfo is not None
