"""What the keeper did to questions, one act a button pressed, so that each can be undone once.

A question's version is the number of its last mark. A change names the version it was made from:
what was sent twice, or from a page that another tab has overtaken, changes nothing.
"""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from sqlite_utils import Database

from kb.errors import NotFound
from kb.store import questions
from kb.store.database import told_plainly, writing
from kb.store.questions import STATES


@dataclass(frozen=True)
class NewReply:
    """A reply that was sent: to which question, seen in which version, with which article."""

    question: int
    text: str
    article: str | None
    seen: int


@dataclass(frozen=True)
class Done:
    """What an act came to; ``act`` is None when every question had changed meanwhile."""

    act: int | None
    changed: tuple[int, ...]
    passed_over: tuple[int, ...]


@dataclass(frozen=True)
class Act:
    """Something done, and whether it was undone."""

    id: int
    what: str
    made_at: str
    undone_at: str | None
    questions: tuple[int, ...] = ()


def reply(db: Database, replies: Sequence[NewReply], *, now: datetime.datetime) -> Done:
    """Note replies as sent and mark their questions, all in one act; raises NotFound."""
    with writing(db):
        fresh, stale = _sorted_out(db, [(item.question, item.seen) for item in replies])
        act = _begin(db, "replied", now) if fresh else None
        for item in replies:
            if item.question in fresh:
                stored = db.table("replies").insert(
                    {
                        "question": item.question,
                        "text": item.text,
                        "article": item.article,
                        "sent_at": _stamp(now),
                    }
                )
                _mark(db, act, item.question, "replied", int(str(stored.last_pk)))
        return Done(act, fresh, stale)


def move(
    db: Database, seen: Iterable[tuple[int, int]], state: str, *, now: datetime.datetime
) -> Done:
    """Set questions, each with the version seen, to a state, all in one act; raises NotFound."""
    if state not in STATES:
        raise ValueError(state)
    with writing(db):
        fresh, stale = _sorted_out(db, list(seen))
        act = _begin(db, state, now) if fresh else None
        for number in fresh:
            _mark(db, act, number, state, None)
        return Done(act, fresh, stale)


def undo(db: Database, act: int, *, now: datetime.datetime) -> tuple[int, ...]:
    """The questions given back the state they had; none if it was undone already.

    Replies are kept. A question changed since then keeps its state; raises NotFound.
    """
    with writing(db):
        found = get(db, act)
        if found.undone_at:
            return ()
        rows = list(db.query("select * from marks where act = ? order by id", [act]))
        standing = [row for row in rows if _last_standing(db, row["question"]) == row["id"]]
        db.execute("update acts set undone_at = ? where id = ?", [_stamp(now), act])
        back = []
        for row in standing:
            changed = db.execute(
                "update questions set state = ? where id = ? and state = ?",
                [row["before"], row["question"], row["after"]],
            )
            if changed.rowcount:
                back.append(int(row["question"]))
        return tuple(back)


def get(db: Database, act: int) -> Act:
    """The act of that number; raises NotFound."""
    with told_plainly("The database"):
        row = next(db.query("select * from acts where id = ?", [act]), None)
    if row is None:
        raise NotFound(f"There is nothing numbered {act} to undo.")
    return _act(db, row)


def last(db: Database) -> Act | None:
    """The last thing done that has not been undone."""
    sql = "select * from acts where undone_at is null order by id desc limit 1"
    with told_plainly("The database"):
        row = next(db.query(sql), None)
    return _act(db, row) if row else None


def version(db: Database, question: int) -> int:
    """The version a question is in now; 0 when nothing was done to it."""
    sql = "select coalesce(max(id), 0) as n from marks where question = ?"
    with told_plainly("The database"):
        return int(next(db.query(sql, [question]))["n"])


def versions(db: Database, questions: Sequence[int]) -> dict[int, int]:
    """The versions of several questions."""
    slots = ", ".join("?" * len(questions))
    sql = f"select question, max(id) as n from marks where question in ({slots}) group by 1"
    with told_plainly("The database"):
        found = {row["question"]: row["n"] for row in db.query(sql, list(questions))}
    return {number: found.get(number, 0) for number in questions}


def _act(db: Database, row: dict[str, Any]) -> Act:
    marks = db.query("select question from marks where act = ? order by id", [row["id"]])
    return Act(**row, questions=tuple(mark["question"] for mark in marks))


def _sorted_out(
    db: Database, seen: Sequence[tuple[int, int]]
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The questions still in the version seen, and the others; raises NotFound."""
    seen = list(dict(seen).items())
    for number, _ in seen:
        questions.get(db, number)
    fresh = tuple(number for number, at in seen if version(db, number) == at)
    return fresh, tuple(number for number, _ in seen if number not in fresh)


def _last_standing(db: Database, question: int) -> int | None:
    """The last mark of a question that has not been undone."""
    sql = """
        select max(marks.id) as n from marks join acts on acts.id = marks.act
        where marks.question = ? and acts.undone_at is null
    """
    found: int | None = next(db.query(sql, [question]))["n"]
    return found


def _begin(db: Database, what: str, now: datetime.datetime) -> int:
    row = {"what": what, "made_at": _stamp(now), "undone_at": None}
    return int(str(db.table("acts").insert(row).last_pk))


def _mark(db: Database, act: int | None, question: int, state: str, reply: int | None) -> None:
    before = questions.get(db, question).state
    db.execute("update questions set state = ? where id = ?", [state, question])
    db.table("marks").insert(
        {
            "act": act,
            "question": question,
            "before": before,
            "after": state,
            "reply": reply,
        }
    )


def _stamp(moment: datetime.datetime) -> str:
    return moment.astimezone(datetime.UTC).isoformat(timespec="seconds")
