"""Questions put into groups as they are logged: restarts, two processes, threads, rollbacks."""

import datetime
import threading

import pytest

from kb.grouping import Grouper
from kb.matching import shapes
from kb.store import groups, open_database
from kb.store import questions as log
from kb.store.questions import Judgement, NewQuestion

NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
NONE = Judgement("none", None, urgent=False)
CLOUDY = ("why is my water cloudy", "Why is the water so cloudy?", "water is cloudy, why?")
SNAILS = ("do snails sing at night", "Do snails sing in the night?")


@pytest.fixture
def grouper():
    return Grouper()


def ask(grouper, db, text, place="site", judgement=NONE, **more):
    number, _ = grouper.log(db, NewQuestion(text, place), judgement, now=NOW, **more)
    return log.get(db, number).group


def test_questions_that_ask_the_same_share_a_group_with_the_first_ones_name(grouper, db):
    cloudy = {ask(grouper, db, text) for text in CLOUDY}
    snails = {ask(grouper, db, text) for text in SNAILS}
    assert len(cloudy) == len(snails) == 1
    assert cloudy != snails
    assert [(group.name, group.questions) for group in groups.listed(db)] == [
        (CLOUDY[0], 3),
        (SNAILS[0], 2),
    ]


def test_after_a_restart_the_groups_are_the_same(grouper, db):
    before = ask(grouper, db, CLOUDY[0])
    assert ask(Grouper(), db, CLOUDY[1]) == before


def test_two_processes_on_one_database_share_their_groups(tmp_path):
    databases = [open_database(tmp_path / "log.db") for _ in range(2)]
    groupers = [Grouper(), Grouper()]
    found = [
        ask(groupers[turn % 2], databases[turn % 2], text, place=f"place {turn}")
        for turn, text in enumerate(CLOUDY + CLOUDY)
    ]
    assert len(set(found)) == 1
    for database in databases:
        database.close()


def test_only_members_in_new_words_are_kept_in_the_index(grouper, db):
    for place in range(20):
        ask(grouper, db, CLOUDY[0], place=f"place {place}")
    assert len(grouper) == 1
    assert len(list(groups.representatives(db))) == 1


def test_a_question_put_again_stays_in_its_group(grouper, db):
    first = ask(grouper, db, CLOUDY[0])
    assert ask(grouper, db, CLOUDY[0], asked_again=True) == first
    assert groups.get(db, first).asked == 2


def test_what_is_rolled_back_leaves_no_trace_in_the_index(grouper, db):
    def broken_off():
        with grouper.batch(db):
            ask(grouper, db, CLOUDY[0])
            raise RuntimeError

    with pytest.raises(RuntimeError):
        broken_off()
    assert groups.listed(db) == ()
    snails = ask(grouper, db, SNAILS[0])
    assert ask(grouper, db, CLOUDY[1]) != snails


def test_a_merge_is_followed_at_once(grouper, db):
    cloudy, snails = ask(grouper, db, CLOUDY[0]), ask(grouper, db, SNAILS[0])
    groups.merge(db, cloudy, snails)
    assert ask(grouper, db, SNAILS[1]) == cloudy


def test_what_was_split_off_draws_its_like(grouper, db):
    other = "why is my water cloudy since friday"
    first = ask(grouper, db, CLOUDY[0])
    assert ask(grouper, db, other) == first
    new = groups.split_off(db, 2)
    assert ask(grouper, db, other, place="club evening") == new
    assert ask(grouper, db, CLOUDY[0], place="club evening") == first


def test_forgotten_words_draw_nothing_any_more(grouper, db):
    ask(grouper, db, SNAILS[0])
    log.forget(db, 1)
    assert grouper.alike(db, SNAILS[0]) == ()
    assert ask(grouper, db, SNAILS[0]) == 2


def test_the_groups_like_a_text_are_named_most_alike_first(grouper, db):
    cloudy = ask(grouper, db, CLOUDY[0])
    ask(grouper, db, SNAILS[0])
    found = grouper.alike(db, CLOUDY[2])
    assert [(one.group, one.how) for one in found] == [(cloudy, "same words")]
    assert grouper.alike(db, "how do I glue a barrel") == ()


def test_questions_of_older_databases_get_their_groups_later(grouper, db):
    for text in (*CLOUDY, *SNAILS):
        log.log(db, NewQuestion(text, "site"), NONE, now=NOW)
    assert grouper.catch_up(db, most=2) == 2
    assert grouper.catch_up(db) == 3
    assert grouper.catch_up(db) == 0
    assert [group.questions for group in groups.listed(db)] == [3, 2]


def test_another_database_in_its_place_is_read_anew(grouper, db, tmp_path):
    for text in (*SNAILS, "how do I glue a barrel", CLOUDY[0]):
        ask(grouper, db, text)
    other = open_database(tmp_path / "other.db")
    first = ask(Grouper(), other, CLOUDY[0])
    assert ask(grouper, other, CLOUDY[1]) == first
    other.close()


def test_shapes_of_an_earlier_version_are_made_anew(grouper, db):
    first = ask(grouper, db, CLOUDY[0])
    old = bytes([shapes.VERSION - 1]) + b"\x00\x00"
    db.execute("update representatives set shape = ?", [old])
    db.conn.commit()
    assert ask(Grouper(), db, CLOUDY[1]) == first


def test_many_at_once_agree_on_the_groups(tmp_path):
    open_database(tmp_path / "log.db").close()
    shared, faults = Grouper(), []

    def put(worker):
        db = open_database(tmp_path / "log.db")
        try:
            for turn, text in enumerate((*CLOUDY, *SNAILS) * 3):
                ask(shared, db, text, place=f"{worker}-{turn}")
        except Exception as error:
            faults.append(error)
        finally:
            db.close()

    workers = [threading.Thread(target=put, args=(worker,)) for worker in range(4)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    db = open_database(tmp_path / "log.db")
    assert faults == []
    assert sorted(group.questions for group in groups.listed(db)) == [24, 36]
    db.close()
