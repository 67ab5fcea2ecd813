"""Groups of questions that ask the same: counts, names, merging, splitting, forgetting."""

import datetime

import pytest

from kb.errors import InputErrors, NotFound
from kb.store import groups, replies
from kb.store import questions as log
from kb.store.questions import Judgement, NewQuestion

NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
STRONG = Judgement("strong", "cloudy-water", urgent=False)
NONE = Judgement("none", None, urgent=False)


def put(db, text, group=None, judgement=NONE, place="site", shape=None, days=0):
    """Log a question and put it into a group; its number and the group's."""
    at = NOW + datetime.timedelta(days=days)
    number, _ = log.log(db, NewQuestion(text, place), judgement, now=at)
    found = groups.assign(
        db,
        number,
        text=text,
        article=judgement.article,
        at=at.isoformat(timespec="seconds"),
        group=group,
        shape=shape,
    )
    return number, found


@pytest.fixture
def moss(db):
    """A group of three about moss, from two places, and its questions."""
    first, group = put(db, "what about\n  moss?", shape=b"1")
    second, _ = put(db, "is moss bad", group, place="club evening", days=1, shape=b"2")
    third, _ = put(db, "moss on the beds, worry?", group, judgement=STRONG, days=2)
    return group, (first, second, third)


def test_a_group_is_named_by_its_first_question_and_counts_its_own(db, moss):
    found = groups.get(db, moss[0])
    assert (found.name, found.article) == ("what about moss?", "cloudy-water")
    assert (found.questions, found.open, found.asked) == (3, 3, 3)
    assert found.places == ("club evening", "site")
    assert (found.first_at[:10], found.last_at[:10]) == ("2026-04-01", "2026-04-03")
    assert [log.get(db, number).group for number in moss[1]] == [moss[0]] * 3


def test_a_long_name_is_cut(db):
    _, group = put(db, "moss " * 100)
    assert len(groups.get(db, group).name) == 120


def test_counts_follow_states_replies_and_repeats(db, moss):
    first, second, third = moss[1]
    replies.send(db, first, "It is harmless.", article=None, now=NOW)
    log.set_state(db, second, "set-aside")
    log.log(db, NewQuestion("IS MOSS BAD", "club evening"), NONE, now=NOW, asked_again=True)
    log.set_state(db, third, "replied")
    found = groups.get(db, moss[0])
    assert (found.questions, found.open, found.asked) == (3, 1, 4)


def test_the_commonest_group_stands_first_and_verdicts_pick(db, moss):
    _, rare = put(db, "do snails sing")
    _, answered = put(db, "why cloudy", judgement=STRONG)
    assert [group.id for group in groups.listed(db)] == [moss[0], answered, rare]
    assert [group.id for group in groups.listed(db, answered=False)] == [moss[0], rare]
    assert [group.id for group in groups.listed(db, answered=True)] == [moss[0], answered]
    assert groups.listed(db, limit=1, offset=2)[0].id == rare
    assert (groups.counted(db), groups.counted(db, answered=True)) == (3, 2)


def test_groups_of_another_state_are_those_with_a_question_in_it(db, moss):
    put(db, "do snails sing")
    log.set_state(db, moss[1][1], "replied")
    assert [group.id for group in groups.listed(db, state="replied")] == [moss[0]]
    assert groups.listed(db, state="replied", answered=True) == ()
    assert len(groups.listed(db, state=None)) == 2


def test_members_come_open_ones_first_then_as_asked(db, moss):
    first, second, third = moss[1]
    log.set_state(db, first, "replied")
    assert [one.id for one in groups.members(db, moss[0])] == [second, third, first]
    assert [one.id for one in groups.members(db, moss[0], state="open", limit=1)] == [second]


def test_a_name_of_the_keepers_stays_whatever_is_forgotten(db, moss):
    groups.rename(db, moss[0], "  Moss on   the beds ")
    log.forget(db, moss[1][0])
    assert groups.get(db, moss[0]).name == "Moss on the beds"


@pytest.mark.parametrize("name", ["", "   ", "x" * 121])
def test_a_name_too_short_or_too_long_is_refused(db, moss, name):
    with pytest.raises(InputErrors):
        groups.rename(db, moss[0], name)
    assert groups.get(db, moss[0]).name == "what about moss?"


def test_merging_keeps_the_first_groups_id_and_name(db, moss):
    other, gone = put(db, "do snails sing", shape=b"3")
    groups.merge(db, moss[0], gone)
    found = groups.get(db, moss[0])
    assert (found.name, found.questions, found.open) == ("what about moss?", 4, 4)
    assert log.get(db, other).group == moss[0]
    with pytest.raises(NotFound, match=f"no group {gone}"):
        groups.get(db, gone)


def test_merging_a_group_with_itself_changes_nothing(db, moss):
    before = groups.get(db, moss[0])
    groups.merge(db, moss[0], moss[0])
    assert groups.get(db, moss[0]) == before


def test_a_question_split_off_has_a_group_to_itself(db, moss):
    first, second, _third = moss[1]
    new = groups.split_off(db, first)
    assert groups.get(db, new).name == "what about moss?"
    old = groups.get(db, moss[0])
    assert (old.name, old.questions, old.first_at[:10]) == ("is moss bad", 2, "2026-04-02")
    assert [one.question for one in groups.representatives(db)] == [first, second]
    assert groups.split_off(db, first) == new


def test_the_last_member_by_which_a_group_is_known_is_stood_in_for(db):
    first, group = put(db, "what about moss", shape=b"1")
    second, _ = put(db, "is moss bad", group)
    groups.split_off(db, first)
    known = {one.group: (one.question, one.text) for one in groups.representatives(db)}
    assert known[group] == (second, "is moss bad")


def test_forgetting_takes_the_words_out_of_name_and_likeness(db, moss):
    log.forget(db, moss[1][0])
    assert groups.get(db, moss[0]).name == "is moss bad"
    assert [one.question for one in groups.representatives(db)] == [moss[1][1]]
    assert "what about" not in " ".join(db.iterdump())
    assert groups.get(db, moss[0]).questions == 3


def test_a_group_of_forgotten_questions_has_no_name_left(db):
    number, group = put(db, "what about moss", shape=b"1")
    log.forget(db, number)
    assert groups.get(db, group).name == "(forgotten)"
    assert list(groups.representatives(db)) == []


def test_representatives_are_read_on_from_where_one_was(db, moss):
    first, second = groups.representatives(db)
    assert (first.question, first.shape, first.text) == (moss[1][0], b"1", "what about\n  moss?")
    assert list(groups.representatives(db, after=first.id)) == [second]
    assert groups.known_by(db, [first.id, 999]) == {
        first.id: groups.Standing(moss[0], answered=True, known_by=2)
    }


def test_questions_of_older_databases_wait_for_a_group(db):
    number, _ = log.log(db, NewQuestion("what about moss", "site"), NONE, now=NOW)
    assert [one.id for one in groups.ungrouped(db)] == [number]


def test_unknown_numbers_are_named(db, moss):
    for change in (
        lambda: groups.get(db, 99),
        lambda: groups.rename(db, 99, "x"),
        lambda: groups.merge(db, moss[0], 99),
        lambda: groups.split_off(db, 99),
    ):
        with pytest.raises(NotFound, match="99"):
            change()
