"""A new look at open questions: when articles change, on from where it broke off, to the end."""

import datetime
from dataclasses import dataclass
from types import SimpleNamespace

import pytest

from kb import judging
from kb.store import drafts, groups
from kb.store import questions as log
from kb.store.questions import Judgement, NewQuestion

NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
NOTHING = Judgement("none", None, urgent=False)
MANY = 120


@dataclass
class Answers:
    """Stands for what answers: says of every text what it is told to say."""

    library: object
    says: Judgement = NOTHING
    asked: int = 0

    def judge(self, _text):
        self.asked += 1
        return self.says


def answers(*slugs, says=NOTHING):
    articles = {slug: SimpleNamespace(title=slug, phrasings=(f"about {slug}",)) for slug in slugs}
    return Answers(SimpleNamespace(articles=articles), says)


@pytest.fixture
def asked(db):
    return [
        log.log(db, NewQuestion(f"question {n}", "club"), NOTHING, now=NOW)[0] for n in range(MANY)
    ]


def test_questions_logged_with_the_first_answers_need_no_look(db, asked):
    assert judging.waiting(db, answers("moss").library) == 0


def test_another_article_asks_for_a_new_look_to_the_end(db, asked):
    judging.waiting(db, answers("moss").library)
    more = answers("moss", "snails", says=Judgement("strong", "snails", urgent=False))
    assert judging.waiting(db, more.library) == MANY
    while judging.step(db, more):
        pass
    assert judging.waiting(db, more.library) == 0
    assert more.asked == MANY
    assert {log.get(db, number).article for number in asked} == {"snails"}


def test_a_look_broken_off_goes_on_where_it_stopped(db, asked):
    judging.waiting(db, answers("moss").library)
    more = answers("snails")
    judging.step(db, more, most=50)
    assert judging.waiting(db, more.library) == MANY - 50
    again = answers("snails")
    while judging.step(db, again):
        pass
    assert again.asked == MANY - 50


def test_what_was_dealt_with_is_left_alone(db, asked):
    judging.waiting(db, answers("moss").library)
    log.set_state(db, asked[0], "replied")
    more = answers("snails", says=Judgement("strong", "snails", urgent=False))
    while judging.step(db, more):
        pass
    assert log.get(db, asked[0]).verdict == "none"


def test_a_look_can_be_asked_for(db, asked):
    same = answers("moss")
    judging.waiting(db, same.library)
    judging.again(db, same.library)
    assert judging.waiting(db, same.library) == MANY


def test_an_article_begun_from_a_group_answers_the_group_once_it_is_there(db, asked):
    group = groups.assign(db, asked[3], text="question 3", article=None, at=NOW.isoformat())
    drafts.begin(db, "snails", group=group, now=NOW)
    for known, verdict in ((answers("moss"), "none"), (answers("moss", "snails"), "strong")):
        judging.again(db, known.library)
        while judging.step(db, known):
            pass
        assert log.get(db, asked[3]).verdict == verdict
    assert log.get(db, asked[3]).article == "snails"
    assert log.get(db, asked[4]).verdict == "none"


def test_forgotten_words_are_not_matched(db, asked):
    log.forget(db, asked[0])
    known = answers("moss", says=Judgement("strong", "moss", urgent=False))
    judging.again(db, known.library)
    while judging.step(db, known):
        pass
    assert log.get(db, asked[0]).verdict == "none"
    assert known.asked == MANY - 1
