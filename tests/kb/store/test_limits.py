"""What keeps one address from filling the log, across restarts and clocks set back."""

import datetime

import pytest

from kb.store import limits, open_database

NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
HOUR = 3600.0


@pytest.fixture
def path(tmp_path):
    return tmp_path / "standpipe.db"


@pytest.fixture
def db(path):
    db = open_database(path)
    yield db
    db.close()


def take(db, *, who="a", what="question", after=0.0, most=3):
    moment = NOW + datetime.timedelta(seconds=after)
    return limits.take(db, what, who, most=most, within_s=HOUR, now=moment)


def test_so_many_pass_and_the_next_is_told_how_long_to_wait(db):
    assert [take(db, after=n) for n in (0, 10, 20)] == [0, 0, 0]
    assert take(db, after=600) == pytest.approx(HOUR - 600)


def test_a_refusal_is_not_counted_against_anyone(db):
    for n in range(3):
        take(db, after=n)
    for n in range(100):
        take(db, after=10 + n)
    assert db.table("limits").count == 3
    assert take(db, after=HOUR + 1) == 0


def test_others_and_other_doings_are_counted_apart(db):
    for n in range(3):
        take(db, after=n)
    assert take(db, who="b", after=5) == 0
    assert take(db, what="login", after=5) == 0


def test_a_restart_forgives_nothing(db, path):
    for n in range(3):
        take(db, after=n)
    db.close()
    again = open_database(path)
    assert take(again, after=10) > 0
    again.close()


def test_old_stamps_are_deleted_on_the_way(db):
    take(db)
    take(db, who="b", after=limits.LONGEST_S + 5)
    assert [row["who"] for row in db.table("limits").rows] == ["b"]


def test_a_clock_set_back_locks_nobody_out(db):
    for n in range(3):
        take(db, after=n)
    assert take(db, after=-30 * 86_400) == 0


def test_a_window_longer_than_stamps_are_kept_is_a_mistake(db):
    with pytest.raises(ValueError, match="90000"):
        limits.take(db, "question", "a", most=1, within_s=90_000.0, now=NOW)
