"""Confirmed questions as wordings: each text once, moved when corrected, every change seen."""

import datetime

import pytest

from kb.errors import InputErrors, NotFound
from kb.store import open_database, wordings
from kb.store import questions as log
from kb.store.questions import Judgement, NewQuestion
from kb.store.wordings import Wording

NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
TEXT = "Why is my tank like pea soup?"


@pytest.fixture
def db(tmp_path):
    db = open_database(tmp_path / "standpipe.db")
    yield db
    db.close()


def add(db, text=TEXT, article="green-water", how="confirmed", question=None):
    return wordings.add(db, article, text, question=question, how=how, now=NOW)


def asked(db, text=TEXT):
    judgement = Judgement("possible", "green-water", urgent=False)
    return log.log(db, NewQuestion(text, "site"), judgement, now=NOW)[0]


def test_a_wording_comes_back_as_it_was_added(db):
    question = asked(db)
    number = add(db, f"  {TEXT}\n", question=question)
    assert wordings.listed(db) == (
        Wording(number, "green-water", TEXT, question, "confirmed", "2026-04-01T12:00:00+00:00"),
    )


def test_the_same_text_for_the_same_article_is_kept_once(db):
    assert add(db) == add(db, "why is MY tank like pea soup")
    assert len(wordings.listed(db)) == 1


def test_the_same_text_for_another_article_moves_and_counts_as_corrected(db):
    add(db)
    add(db, article="cloudy-water")
    assert [(one.article, one.how) for one in wordings.listed(db)] == [
        ("cloudy-water", "corrected")
    ]


def test_a_removed_wording_is_gone_and_an_unknown_one_is_named(db):
    number = add(db)
    wordings.remove(db, number)
    assert wordings.listed(db) == ()
    with pytest.raises(NotFound, match=f"no wording {number}"):
        wordings.remove(db, number)


def test_every_change_gives_a_state_not_seen_before(db):
    states = [wordings.state(db)]
    first = add(db)
    states.append(wordings.state(db))
    second = add(db, "pea soup again")
    states.append(wordings.state(db))
    add(db, article="cloudy-water")
    states.append(wordings.state(db))
    wordings.remove(db, second)
    states.append(wordings.state(db))
    add(db, "soup a third time")
    states.append(wordings.state(db))
    assert len(set(states)) == len(states)
    assert first != second


def test_adding_what_is_there_leaves_the_state_alone(db):
    add(db)
    before = wordings.state(db)
    add(db)
    assert wordings.state(db) == before


@pytest.mark.parametrize(
    ("text", "message"),
    [("", "at least one word"), (" ?! ", "at least one word"), ("a " * 2600, "5199 characters")],
)
def test_a_text_that_cannot_be_a_wording_is_refused(db, text, message):
    with pytest.raises(InputErrors, match=message):
        add(db, text)
    assert wordings.listed(db) == ()


def test_forgetting_a_question_takes_the_wording_made_of_it(db):
    question = asked(db)
    add(db, question=question)
    kept = add(db, "another one")
    log.forget(db, question)
    assert [one.id for one in wordings.listed(db)] == [kept]
    assert "pea soup" not in " ".join(db.iterdump())
