"""Piles of open questions: their order, their neighbours, and that many stay quick."""

import datetime
import time

import pytest

from kb.errors import NotFound
from kb.store import groups, triage
from kb.store import questions as log
from kb.store.questions import Judgement, NewQuestion
from kb.store.triage import SECTIONS, Pile, read_pile

NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
MANY = 20_000


def put(db, text, verdict, article=None, urgent=False, asks=True, place="club"):
    judgement = Judgement(verdict, article, urgent, asks)
    return log.log(db, NewQuestion(text, place), judgement, now=NOW)[0]


@pytest.fixture
def five(db):
    put(db, "help", "none", urgent=True)
    put(db, "why brown", "strong", "brown-water")
    put(db, "why cloudy", "strong", "cloudy-water")
    put(db, "brown?", "strong", "brown-water")
    put(db, "grey?", "possible", "cloudy-water")
    put(db, "do snails sing", "none")
    put(db, "nice", "none", asks=False)
    return db


def test_every_open_question_is_in_one_section(five):
    assert triage.counts(five) == {
        "urgent": 1, "answered": 3, "doubtful": 1, "gaps": 1, "chatter": 1,
    }  # fmt: skip
    for name in SECTIONS:
        found = triage.listed(five, Pile(name), limit=10)
        assert {triage.section_of(question) for question in found} == {name}


def test_a_question_dealt_with_leaves_its_pile(five):
    log.set_state(five, 1, "replied")
    assert triage.counts(five)["urgent"] == 0


def test_the_answered_follow_one_another_article_by_article_and_round_again(five):
    pile = Pile("answered")
    assert [question.id for question in triage.listed(five, pile, limit=10)] == [2, 4, 3]
    assert [triage.beside(five, pile, number) for number in (2, 4, 3)] == [4, 3, 2]
    assert [triage.beside(five, pile, number, step=-1) for number in (2, 4, 3)] == [3, 2, 4]


def test_a_question_that_left_still_knows_its_neighbours(five):
    log.set_state(five, 4, "replied")
    assert triage.beside(five, Pile("answered"), 4) == 3
    assert triage.beside(five, Pile("answered", article="brown-water"), 4) == 2


def test_nothing_follows_the_last(five):
    assert triage.beside(five, Pile("urgent"), 1) is None
    log.set_state(five, 1, "replied")
    assert triage.beside(five, Pile("urgent"), 1) is None


def test_heaps_are_the_most_asked_first(five):
    found = triage.heaps(five, "answered", limit=10)
    assert [(heap.article, heap.questions, heap.example.id) for heap in found] == [
        ("brown-water", 2, 2), ("cloudy-water", 1, 3),
    ]  # fmt: skip


def test_gaps_tell_how_many_from_where_and_since_when(five):
    other = put(five, "can snails hum", "none", place="letters")
    group = groups.assign(five, 6, text="do snails sing", article=None, at=NOW.isoformat())
    groups.assign(five, other, text="", article=None, at=NOW.isoformat(), group=group)
    put(five, "moss", "none")
    found = triage.gaps(five, limit=10)
    assert [(gap.group, gap.name, gap.questions, gap.places) for gap in found] == [
        (group, "do snails sing", 2, 2), (None, "not grouped yet", 1, 1),
    ]  # fmt: skip
    assert found[0].first_at == "2026-04-01T12:00:00+00:00"


@pytest.mark.parametrize(
    "pile", [Pile("gaps"), Pile("gaps", group=3), Pile("answered", article="cloudy-water")]
)
def test_a_pile_is_named_by_its_code(pile):
    assert read_pile(pile.code) == pile


@pytest.mark.parametrize("code", ["", "rubbish", "rubbish:3"])
def test_a_made_up_pile_is_named(code):
    with pytest.raises(NotFound, match="There is no pile"):
        read_pile(code)


@pytest.fixture
def many(db):
    """Many open questions, mixed as they come."""
    verdicts = ("strong", "strong", "possible", "possible", "none", "none", "none")
    rows = (
        {
            "place": f"place {n % 5}",
            "fingerprint": str(n),
            "text": f"question number {n} about water and fish",
            "logged_at": "2026-04-01T12:00:00+00:00",
            "times": 1,
            "state": "open",
            "verdict": verdicts[n % 7],
            "article": f"article-{n % 71}" if n % 7 < 4 else None,
            "urgent": int(n % 97 == 0),
            "asks": int(n % 3 > 0),
        }
        for n in range(MANY)
    )
    for trigger in ("question_joins", "question_moves"):
        db.execute(f"drop trigger {trigger}")
    db.table("questions").insert_all(rows)
    db.execute(
        "insert into groups select id, 'g', null, null, '2026', '2026', 0, 0, 0, 0, 0"
        " from questions where id <= 3000"
    )
    db.execute("update questions set group_id = 1 + id % 3000 where verdict = 'none'")
    db.conn.commit()
    return db


def best_of(times, call):
    best = float("inf")
    for _ in range(times):
        start = time.perf_counter()
        call()
        best = min(best, time.perf_counter() - start)
    return best


def test_many_open_questions_stay_quick(many):
    some = MANY // 2
    calls = {
        "counts": lambda: triage.counts(many),
        "urgent": lambda: triage.listed(many, Pile("urgent"), limit=50),
        "heaps": lambda: triage.heaps(many, "answered", limit=50),
        "gaps": lambda: triage.gaps(many, limit=50),
        "doubtful": lambda: triage.listed(many, Pile("doubtful"), limit=50),
        "one article": lambda: triage.listed(many, Pile("answered", article="article-3"), limit=25),
        **{
            f"beside in {name}": lambda name=name: triage.beside(many, Pile(name), some)
            for name in SECTIONS
        },
    }
    slow = {name: took for name, call in calls.items() if (took := best_of(3, call)) > 0.1}
    assert slow == {}
