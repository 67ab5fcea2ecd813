"""Recordings in the store: the run sheet, its order, its askers, and what was covered when."""

import datetime

import pytest

from kb.errors import NotFound
from kb.store import groups, recordings, revision
from kb.store import questions as log
from kb.store.questions import Judgement, NewQuestion

NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
DAY = datetime.date(2026, 4, 5)


def ask(db, text, *, verdict="strong", article="cloudy-water", asked_by=None):
    question = NewQuestion(text, "club evening", asked_by=asked_by)
    return log.log(db, question, Judgement(verdict, article, urgent=False), now=NOW)[0]


@pytest.fixture
def sheet(db):
    return recordings.plan(db, "April in the greenhouse", planned_for=DAY, now=NOW)


def order(db, sheet):
    return [item.article or item.title for item in recordings.items(db, sheet)]


def test_a_recording_comes_back_as_it_was_planned(db, sheet):
    (found,) = recordings.listed(db)
    assert found == recordings.Recording(
        sheet, "April in the greenhouse", "2026-04-05", None, None, None, 0
    )


def test_an_article_stands_once_and_brings_the_open_questions_it_surely_answers(db, sheet):
    sure, doubtful = ask(db, "milk?"), ask(db, "murk?", verdict="possible")
    done = ask(db, "white water?")
    log.set_state(db, done, "replied")
    first = recordings.add_article(db, sheet, "cloudy-water")
    assert recordings.add_article(db, sheet, "cloudy-water") == first
    assert [asker.question.id for asker in recordings.askers(db, sheet)] == [sure]
    assert doubtful not in {asker.question.id for asker in recordings.askers(db, sheet)}


def test_a_question_joins_its_article_and_is_never_there_twice(db, sheet):
    item = recordings.add_article(db, sheet, "cloudy-water", askers=False)
    number = ask(db, "milk?")
    added = {recordings.add_question(db, sheet, number, article="cloudy-water") for _ in range(2)}
    assert added == {item}
    assert len(recordings.askers(db, sheet)) == 1


def test_a_question_nothing_answers_has_an_item_of_its_own(db, sheet):
    number = ask(db, "when is the plant sale?", verdict="none", article=None)
    item = recordings.add_question(db, sheet, number, article=None)
    assert recordings.item(db, item).article is None
    recordings.change_item(db, item, title="The plant sale", article=None)
    assert order(db, sheet) == ["The plant sale"]


def test_a_group_comes_as_one_item_and_only_once(db, sheet):
    numbers = [ask(db, text, verdict="none", article=None) for text in ("moss?", "why moss?")]
    group = None
    for number in numbers:
        given = {"text": "moss", "article": None, "at": NOW.isoformat(), "group": group}
        group = groups.assign(db, number, **given)
    for _ in range(2):
        recordings.add_group(db, sheet, group, article=None)
    assert len(recordings.items(db, sheet)) == 1
    assert [asker.question.id for asker in recordings.askers(db, sheet)] == numbers


def test_what_most_wait_for_stands_first(db):
    for text in ("milk?", "murk?"):
        ask(db, text)
    ask(db, "acid?", article="lowering-ph")
    ask(db, "perhaps?", verdict="possible", article="iron")
    assert recordings.waiting(db) == (
        recordings.Waiting("cloudy-water", 2),
        recordings.Waiting("lowering-ph", 1),
    )


def test_items_move_by_hand_and_stop_at_the_ends(db, sheet):
    for title in "abc":
        recordings.add_topic(db, sheet, title)
    first, _, last = recordings.items(db, sheet)
    recordings.move(db, first.id, 1)
    assert order(db, sheet) == ["b", "a", "c"]
    recordings.move(db, last.id, -9)
    assert order(db, sheet) == ["c", "b", "a"]
    recordings.move(db, last.id, 9)
    assert order(db, sheet) == ["b", "a", "c"]


def test_an_order_that_names_strangers_loses_nothing(db, sheet):
    for title in "abc":
        recordings.add_topic(db, sheet, title)
    last = recordings.items(db, sheet)[-1]
    recordings.put_in_order(db, sheet, [last.id, 999, last.id])
    assert order(db, sheet) == ["c", "a", "b"]


def test_covered_is_what_has_a_link_and_a_day_newest_first(db, sheet):
    later = recordings.plan(db, "May", planned_for=None, now=NOW)
    for number, second, day in ((sheet, 75, DAY), (later, None, datetime.date(2026, 5, 3))):
        item = recordings.add_article(db, number, "cloudy-water")
        assert recordings.covering(db, "cloudy-water")[1:] == ()
        recordings.enter(
            db, number, link=f"https://example.org/{number}", place="club",
            published_on=day, seconds={item: second},
        )  # fmt: skip
    assert recordings.covering(db, "cloudy-water") == (
        recordings.Covered("May", f"https://example.org/{later}", None, "2026-05-03", "club"),
        recordings.Covered(
            "April in the greenhouse", f"https://example.org/{sheet}", 75, "2026-04-05", "club"
        ),
    )
    (before,) = recordings.covered_before(db, sheet)["cloudy-water"]
    assert before.title == "May"


def test_seconds_of_another_recordings_items_are_left_alone(db, sheet):
    other = recordings.plan(db, "May", planned_for=None, now=NOW)
    foreign = recordings.add_topic(db, other, "theirs")
    recordings.enter(db, sheet, link=None, place=None, published_on=None, seconds={foreign: 5})
    assert recordings.item(db, foreign).second is None


def test_removing_a_recording_keeps_the_questions(db, sheet):
    number = ask(db, "milk?")
    recordings.add_article(db, sheet, "cloudy-water")
    recordings.remove(db, sheet)
    assert recordings.listed(db) == ()
    assert log.get(db, number).state == "open"
    assert db.table("run_items").count == db.table("run_questions").count == 0


def test_an_item_taken_off_leaves_the_rest(db, sheet):
    ask(db, "milk?")
    item = recordings.add_article(db, sheet, "cloudy-water")
    recordings.add_topic(db, sheet, "a")
    recordings.remove_item(db, item)
    assert order(db, sheet) == ["a"]


def test_the_revision_grows_with_what_public_pages_show(db, sheet):
    before = revision.current(db)
    item = recordings.add_article(db, sheet, "cloudy-water")
    recordings.enter(db, sheet, link="https://example.org/", place=None, published_on=DAY,
                     seconds={item: 1})  # fmt: skip
    assert revision.current(db) > before


@pytest.mark.parametrize(
    "act",
    [
        lambda db: recordings.get(db, 9),
        lambda db: recordings.items(db, 9),
        lambda db: recordings.add_article(db, 9, "cloudy-water"),
        lambda db: recordings.add_topic(db, 9, "a"),
        lambda db: recordings.remove(db, 9),
        lambda db: recordings.change(db, 9, "a", planned_for=None),
        lambda db: recordings.enter(
            db, 9, link=None, place=None, published_on=None, seconds={}
        ),
    ],
)  # fmt: skip
def test_an_unknown_recording_is_named(db, act):
    with pytest.raises(NotFound, match="no recording 9"):
        act(db)


@pytest.mark.parametrize(
    "act",
    [
        lambda db: recordings.item(db, 9),
        lambda db: recordings.move(db, 9, 1),
        lambda db: recordings.remove_item(db, 9),
        lambda db: recordings.change_item(db, 9, title="a", article=None),
    ],
)
def test_an_unknown_item_is_named(db, act):
    with pytest.raises(NotFound, match="no item 9"):
        act(db)
