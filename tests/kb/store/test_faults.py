"""What disks, other programs and clocks do to the log: one clear sentence, and no damage."""

import datetime
import multiprocessing
import os
import resource
import signal
import sqlite3
import subprocess
import sys
import tempfile
import threading
from contextlib import closing
from pathlib import Path

import pytest

from kb.errors import KbError, StoreError
from kb.store import check_database, copy_database, database, open_database, restore_database
from kb.store import questions as log
from kb.store.questions import Judgement, NewQuestion
from web import config

ROOT = Path(__file__).parents[3]
NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
PLAIN = Judgement("none", None, urgent=False)
NOBODY = 65_534


@pytest.fixture
def path(tmp_path):
    return tmp_path / "standpipe.db"


@pytest.fixture
def db(path):
    db = open_database(path)
    yield db
    db.close()


def ask(db, text="Why is my water cloudy?", now=NOW):
    return log.log(db, NewQuestion(text, "site"), PLAIN, now=now)


def ask_much(db):
    for number in range(50):
        ask(db, f"{number} " + "x" * 4000)


def texts(path):
    with closing(sqlite3.connect(path)) as connection:
        return {row[0] for row in connection.execute("select text from questions")}


def test_a_full_disk_is_named_and_what_was_written_stays(db, path):
    """SQLite's own limit on pages gives the very error of a full disk (SQLITE_FULL)."""
    ask(db, "before")
    pages = db.execute("pragma page_count").fetchone()[0]
    db.execute(f"pragma max_page_count = {pages}")
    with pytest.raises(StoreError, match="the disk is full; nothing was written"):
        ask_much(db)
    db.execute("pragma max_page_count = 1000000")
    assert ask(db, "after")[1]
    db.close()
    check_database(path)
    assert {"before", "after"} <= texts(path)


FILL = """
import datetime, resource, signal, sys
from kb.errors import StoreError
from kb.store import open_database, questions as log
path, most = sys.argv[1], int(sys.argv[2])
db = open_database(path)
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
now = datetime.datetime(2026, 4, 1, tzinfo=datetime.UTC)
for number in range(10_000):
    text = f"question {number} " + "x" * 2000
    try:
        log.log(db, log.NewQuestion(text, "site"), log.Judgement("none", None, False), now=now)
    except StoreError as error:
        print(f"REFUSED {error}")
        break
    print(f"KEPT {number}", flush=True)
"""


def test_a_file_that_may_grow_no_further_keeps_every_acknowledged_row(path):
    """The kernel refuses to write on (setrlimit(2), RLIMIT_FSIZE), as a full disk would."""
    open_database(path).close()
    command = [sys.executable, "-c", FILL, str(path), "300000"]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, timeout=120)
    lines = done.stdout.splitlines()
    assert lines[-1].startswith(f"REFUSED {path}") or lines[-1].startswith("REFUSED The database")
    assert "the disk is full" in lines[-1]
    assert "Traceback" not in done.stderr
    kept = {line.split()[1] for line in lines if line.startswith("KEPT")}
    assert len(kept) > 5
    check_database(path)
    assert {text.split()[1] for text in texts(path)} >= kept


def test_a_copy_that_finds_the_disk_full_leaves_nothing_behind(db, tmp_path):
    ask_much(db)
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    old = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    try:
        resource.setrlimit(resource.RLIMIT_FSIZE, (50_000, before[1]))
        with pytest.raises(StoreError, match="the disk is full"):
            copy_database(db, tmp_path / "copy.db")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, old)
    assert [file.name for file in tmp_path.iterdir() if "copy" in file.name] == []


def test_a_locked_database_is_named_after_the_wait(db, path, monkeypatch):
    monkeypatch.setattr(database, "WAIT_S", 0.05)
    quick = open_database(path)
    db.execute("begin immediate")
    with pytest.raises(StoreError, match="in use by another program; try again"):
        ask(quick)
    db.rollback()
    assert ask(quick)[1]
    quick.close()


def test_a_lock_that_is_let_go_in_time_costs_only_the_wait(db, path):
    other = open_database(path)
    other.execute("begin immediate")
    threading.Timer(0.3, other.rollback).start()
    assert ask(db)[1]
    other.close()


def _try_as_nobody(path, results):
    if os.geteuid() == 0:  # root may write anywhere
        os.setgroups([])
        os.setgid(NOBODY)
        os.setuid(NOBODY)
    for act in (lambda: open_database(path), lambda: config.secret_key(path.parent)):
        try:
            act()
            results.put("nothing was refused")
        except KbError as error:
            results.put(str(error))


@pytest.mark.parametrize("there_already", [False, True])
def test_a_folder_that_may_only_be_read_is_named(there_already):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "standpipe.db"
        if there_already:
            db = open_database(path)
            ask(db)
            db.close()
            path.chmod(0o444)
        path.parent.chmod(0o555)
        context = multiprocessing.get_context("fork")
        results = context.Queue()
        worker = context.Process(target=_try_as_nobody, args=(path, results))
        worker.start()
        first, second = results.get(timeout=60), results.get(timeout=60)
        worker.join(60)
        path.parent.chmod(0o755)
    assert "cannot be written to" in first or "cannot be opened" in first
    assert second.endswith("secret.key cannot be used: Permission denied.")


def test_a_clock_set_back_changes_no_order_of_numbers_and_loses_nothing(db, path):
    first = ask(db, "asked today")[0]
    second = ask(db, "asked with the clock a year back", NOW - datetime.timedelta(days=365))[0]
    third = ask(db, "asked after it was put right", NOW + datetime.timedelta(minutes=1))[0]
    assert first < second < third
    assert [question.id for question in log.all_questions(db)] == [first, second, third]
    assert [question.id for question in log.listed(db)] == [third, first, second]


def _open_at_once(path, start, results):
    start.wait()
    try:
        db = open_database(path)
        log.log(db, NewQuestion(f"from {os.getpid()}", "site"), PLAIN, now=NOW)
        db.close()
        results.put(None)
    except Exception as error:
        results.put(repr(error))


def test_programs_that_make_the_database_at_the_same_moment_agree(path):
    context = multiprocessing.get_context("fork")
    start, results = context.Event(), context.Queue()
    workers = [context.Process(target=_open_at_once, args=(path, start, results)) for _ in range(6)]
    for worker in workers:
        worker.start()
    start.set()
    assert [results.get(timeout=60) for _ in workers] == [None] * len(workers)
    for worker in workers:
        worker.join(60)
    check_database(path)
    assert len(texts(path)) == len(workers)


def test_a_copy_taken_while_others_write_is_one_moment_of_the_log(db, path, tmp_path):
    """Pairs are written together; a copy that held half of one would show it."""
    stop = threading.Event()

    def write():
        other = open_database(path)
        number = 0
        while not stop.is_set():
            number += 1
            with database.writing(other):
                ask(other, f"left {number}")
                ask(other, f"right {number}")
        other.close()

    writer = threading.Thread(target=write)
    writer.start()
    try:
        for number in range(5):
            copy_database(db, tmp_path / f"copy-{number}.db")
    finally:
        stop.set()
        writer.join()
    for number in range(5):
        copy = tmp_path / f"copy-{number}.db"
        check_database(copy)
        found = texts(copy)
        assert {text for text in found if text.startswith("left")} == {
            text.replace("right", "left") for text in found if text.startswith("right")
        }


@pytest.mark.parametrize("offset", [0, 20, 100, 4096, 8192])
def test_a_damaged_backup_is_refused_and_the_log_left_alone(db, path, tmp_path, offset):
    for number in range(40):
        ask(db, f"{number} " + "x" * 1000)
    copy = tmp_path / "copy.db"
    copy_database(db, copy)
    db.close()
    damaged = bytearray(copy.read_bytes())
    damaged[offset : offset + 90] = b"\xa5" * 90
    copy.write_bytes(damaged)
    before = path.read_bytes()
    with pytest.raises(StoreError, match=r"damaged|not a Standpipe"):
        restore_database(copy, path)
    assert path.read_bytes() == before


def test_a_cut_off_backup_is_refused(db, path, tmp_path):
    for number in range(40):
        ask(db, f"{number} " + "x" * 1000)
    copy = tmp_path / "copy.db"
    copy_database(db, copy)
    copy.write_bytes(copy.read_bytes()[:-8192])
    with pytest.raises(StoreError, match="damaged"):
        restore_database(copy, path)
    assert ask(db, "still here")[1]


def test_what_a_killed_copy_left_behind_is_in_nobodys_way(db, path, tmp_path):
    ask(db)
    for name in ("copy.db.part", "copy.db.part-journal", "standpipe.db.part-wal"):
        (tmp_path / name).write_bytes(b"left behind" * 100)
    copy_database(db, tmp_path / "copy.db")
    db.close()
    restore_database(tmp_path / "copy.db", path)
    assert texts(path) == {"Why is my water cloudy?"}
    assert [file.name for file in tmp_path.iterdir() if ".part" in file.name] == []


def test_the_old_log_of_a_replaced_database_never_touches_the_new_one(db, path, tmp_path):
    """A write-ahead log is not tied to its file: left behind, it would be written into the next."""
    ask(db, "in the copy")
    copy_database(db, tmp_path / "copy.db")
    ask(db, "after the copy")
    with pytest.raises(StoreError, match="in use; stop the site first"):
        restore_database(tmp_path / "copy.db", path)
    assert texts(path) == {"in the copy", "after the copy"}
    db.close()
    restore_database(tmp_path / "copy.db", path)
    assert texts(path) == {"in the copy"}
    assert texts(path.with_name("standpipe.db.before-restore")) == {"in the copy", "after the copy"}
