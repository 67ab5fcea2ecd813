"""Forgetting a person whole, and old questions that lose their names."""

import datetime

import pytest

from kb.errors import InputErrors
from kb.store import groups, open_database, people, recordings, replies, wordings
from kb.store import questions as log
from kb.store.questions import Judgement, NewQuestion

NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
LINK = "https://example.org/profile/finch_3"
NONE = Judgement("none", None, urgent=False)


def ask(db, text, place="club", asked_by=None, link=None, at=NOW):
    return log.log(db, NewQuestion(text, place, asked_by, link, at), NONE, now=at)[0]


def dump(db):
    return "\n".join(db.iterdump()).casefold()


@pytest.fixture
def finch(db):
    """A question with everything that can hang on it."""
    number = ask(db, "My peculiar newts cough", asked_by="Finch_3", link=LINK)
    groups.assign(db, number, text="My peculiar newts cough", article=None, at=NOW.isoformat())
    wordings.add(db, "iron", "My peculiar newts cough", question=number, how="confirmed", now=NOW)
    sheet = recordings.plan(db, "April", planned_for=None, now=NOW)
    recordings.add_question(db, sheet, number, article=None)
    replies.send(db, number, f"Hi Finch_3, see {LINK}", article=None, now=NOW)
    return number


def test_nothing_of_a_forgotten_person_is_left_in_any_table(db, finch):
    assert "finch" in dump(db)
    assert people.forget_person(db, name="finch_3") == (finch,)
    for trace in ("finch", "newts", "example.org"):
        assert trace not in dump(db)
    assert log.counts(db)["replied"] == 1
    assert [asker.question.asked_by for asker in recordings.askers(db, 1)] == [None]


def test_nothing_is_left_in_the_files_bytes_either(tmp_path):
    path = tmp_path / "standpipe.db"
    db = open_database(path)
    for turn in range(50):
        ask(db, f"newts {turn} " + "cough " * 200, asked_by="Finch_3", link=f"{LINK}/{turn}")
    people.forget_person(db, name="Finch_3")
    everything = b"".join(file.read_bytes() for file in tmp_path.iterdir())
    assert b"Finch_3" not in everything
    assert b"newts" not in everything
    db.close()


def test_a_name_is_found_in_large_and_small_letters_of_any_script(db):
    numbers = [ask(db, "a", asked_by="Żabka  Ólsen"), ask(db, "b", asked_by="żabka ólsen")]
    ask(db, "c", asked_by="żabka")
    assert people.questions_of(db, name=" ŻABKA ÓLSEN") == tuple(numbers)


def test_place_and_link_narrow_the_search(db):
    here = ask(db, "a", asked_by="wren")
    there = ask(db, "b", "letters", asked_by="wren", link=LINK)
    assert people.questions_of(db, name="wren", place="club") == (here,)
    assert people.questions_of(db, link=f" {LINK} ") == (there,)
    assert people.questions_of(db, name="wren", link=LINK) == (there,)
    assert people.questions_of(db, name="finch", link=LINK) == ()


@pytest.mark.parametrize("given", [{}, {"name": " "}, {"place": "club"}])
def test_a_person_must_be_named(db, given):
    with pytest.raises(InputErrors, match="Say who it is"):
        people.questions_of(db, **given)


def test_others_who_wrote_the_name_are_pointed_out(db, finch):
    other = ask(db, "I agree with finch_3!", asked_by="wren")
    ask(db, "finch_33 is someone else", asked_by="heron")
    people.forget_person(db, name="finch_3")
    assert people.mentions(db, "Finch_3") == (other,)
    assert people.mentions(db, " ") == ()
    odd = ask(db, "so says Żabka % Ólsen", asked_by="wren")
    assert people.mentions(db, "żabka  % ólsen") == (odd,)
    assert people.mentions(db, "żabka x ólsen") == ()


def test_old_questions_lose_name_and_link_and_keep_their_words(db):
    old = ask(db, "cloudy", asked_by="Finch_3", link=LINK, at=NOW)
    replies.send(db, old, f"Hi Finch_3, as I wrote at {LINK}: wait.", article=None, now=NOW)
    young = ask(db, "green", asked_by="wren", at=NOW + datetime.timedelta(days=2))
    assert people.drop_names(db, before=NOW + datetime.timedelta(days=1)) == 1
    assert "finch" not in dump(db)
    assert "example.org" not in dump(db)
    assert log.get(db, old).text == "cloudy"
    assert replies.of_question(db, old)[0].text.endswith(": wait.")
    assert log.get(db, young).asked_by == "wren"
    assert people.drop_names(db, before=NOW + datetime.timedelta(days=1)) == 0


def test_a_file_taken_in_again_after_that_is_still_known(db):
    first = ask(db, "cloudy", asked_by="Finch_3", link=LINK)
    second = ask(db, "cloudy", asked_by="wren")
    people.drop_names(db, before=NOW + datetime.timedelta(days=1))
    again = log.log(db, NewQuestion("cloudy", "club", "Finch_3", LINK, NOW), NONE, now=NOW)
    assert again == (first, False)
    assert log.get(db, first).asked_by is None
    assert ask(db, "cloudy", asked_by="wren") in (first, second)


def test_many_old_names_go_in_batches(db, monkeypatch):
    monkeypatch.setattr(people, "BATCH", 7)
    for turn in range(20):
        ask(db, f"question {turn}", asked_by=f"bird {turn}")
    assert people.drop_names(db, before=NOW + datetime.timedelta(days=1)) == 20
    assert "bird" not in dump(db)
