"""The question log: one row a question and place, however often it is taken in."""

import datetime
import hashlib
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from sqlite_utils import Database

from kb.errors import NotFound
from kb.store import group_names
from kb.store.database import told_plainly, writing

STATES = ("open", "replied", "set-aside")
LONGEST_TEXT = 5000
LONGEST_FIELD = 300
_KNOWN = "select id from questions where fingerprint in (?, ?)"
FORGOTTEN = group_names.FORGOTTEN


@dataclass(frozen=True)
class NewQuestion:
    """A question to be logged; name, link and date only if they were given."""

    text: str
    place: str
    asked_by: str | None = None
    link: str | None = None
    asked_at: datetime.datetime | None = None


@dataclass(frozen=True)
class Judgement:
    """What matching made of a question when it came in."""

    verdict: str
    article: str | None
    urgent: bool
    asks: bool = True


@dataclass(frozen=True)
class Question:
    """A logged question."""

    id: int
    text: str
    place: str
    asked_by: str | None
    link: str | None
    asked_at: str | None
    logged_at: str
    times: int
    state: str
    verdict: str | None
    article: str | None
    urgent: bool
    group: int | None = None
    asks: bool = True

    @property
    def forgotten(self) -> bool:
        """Have its words been removed?"""
        return self.text == FORGOTTEN


def log(
    db: Database,
    question: NewQuestion,
    judgement: Judgement,
    *,
    now: datetime.datetime,
    asked_again: bool = False,
) -> tuple[int, bool]:
    """The id of the logged question, and whether it is new.

    A question already known is left alone, since a file may be taken in twice; ``asked_again``
    says that somebody did ask it once more: it is counted and open again.
    """
    key = fingerprint(question)
    with writing(db):
        old = next(db.query(_KNOWN, [key, nameless(question)]), None)
        if old is None:
            return int(_insert(db, question, judgement, key, now) or 0), True
        if asked_again:
            db.execute(
                "update questions set times = times + 1, state = 'open', logged_at = ?"
                " where id = ?",
                [_stamp(now), old["id"]],
            )
        return int(old["id"]), False


def log_new(
    db: Database,
    question: NewQuestion,
    judgement: Judgement,
    *,
    now: datetime.datetime,
    group: int | None = None,
) -> int | None:
    """The id of the question if it was not known; one that was is left alone."""
    with told_plainly("The database"):
        return _insert(db, question, judgement, fingerprint(question), now, group)


def known(db: Database, fingerprints: Iterable[str]) -> frozenset[str]:
    """Those of these fingerprints whose questions are logged already."""
    sql = "select fingerprint from questions where fingerprint in (select value from json_each(?))"
    with told_plainly("The database"):
        return frozenset(row[0] for row in db.execute(sql, [json.dumps(list(fingerprints))]))


def get(db: Database, number: int) -> Question:
    """The question of that number; raises NotFound."""
    with told_plainly("The database"):
        row = next(db.query("select * from questions where id = ?", [number]), None)
    if row is None:
        raise NotFound(f"There is no question {number}.")
    return from_row(row)


def listed(
    db: Database, *, state: str | None = None, limit: int = 100, offset: int = 0
) -> tuple[Question, ...]:
    """Questions, urgent ones first, then what nothing answers, then the newest."""
    order = "urgent desc, verdict = 'strong', logged_at desc, id desc"
    where = "where state = :state" if state else ""
    sql = f"select * from questions {where} order by {order} limit :limit offset :offset"
    with told_plainly("The database"):
        rows = db.query(sql, {"state": state, "limit": limit, "offset": offset})
        return tuple(from_row(row) for row in rows)


def all_questions(db: Database) -> Iterator[Question]:
    """Every question in the order it was logged."""
    with told_plainly("The database"):
        for row in db.query("select * from questions order by id"):
            yield from_row(row)


def counts(db: Database) -> dict[str, int]:
    """How many questions are in each state."""
    with told_plainly("The database"):
        rows = db.query("select state, count(*) as n from questions group by state")
        found = {row["state"]: row["n"] for row in rows}
    return {state: found.get(state, 0) for state in STATES}


def set_state(db: Database, number: int, state: str) -> None:
    """Move a question to another state; raises NotFound."""
    if state not in STATES:
        raise ValueError(state)
    with writing(db):
        changed = db.execute("update questions set state = ? where id = ?", [state, number])
        if changed.rowcount == 0:
            raise NotFound(f"There is no question {number}.")


def add_contact(db: Database, number: int, *, asked_by: str | None, link: str | None) -> None:
    """Note who asked and where a reply reaches them; raises NotFound."""
    with writing(db):
        changed = db.execute(
            "update questions set asked_by = coalesce(?, asked_by), link = coalesce(?, link),"
            " state = 'open' where id = ?",
            [asked_by, link, number],
        )
        if changed.rowcount == 0:
            raise NotFound(f"There is no question {number}.")


def forget(db: Database, number: int) -> None:
    """Remove a person's name, link and words and keep the count; raises NotFound.

    The fingerprint is replaced too, since it could be matched with the words; a wording made of
    them goes.
    """
    with writing(db):
        changed = db.execute(
            "update questions set text = ?, asked_by = null, link = null, fingerprint = ?"
            " where id = ?",
            [FORGOTTEN, f"forgotten-{number}", number],
        )
        if changed.rowcount == 0:
            raise NotFound(f"There is no question {number}.")
        db.execute("update replies set text = ? where question = ?", [FORGOTTEN, number])
        group_names.forget_words(db, number)
        db.execute("delete from wordings where question = ?", [number])


def check_writable(db: Database) -> None:
    """Raise StoreError unless a question could be logged now."""
    with writing(db):
        db.execute("update questions set times = times where id = -1")


def from_row(row: Mapping[str, Any]) -> Question:
    """The question in a row of the table."""
    renamed = {
        "urgent": bool(row["urgent"]),
        "group": row["group_id"],
        "asks": bool(row["asks"]),
    }
    names = (name for name in Question.__dataclass_fields__ if name not in renamed)
    return Question(**{name: row[name] for name in names}, **renamed)


def is_sound(text: str) -> bool:
    """Can this be kept as text? Halves of signs, as broken programs write them, cannot."""
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True


def fingerprint(question: NewQuestion) -> str:
    """What makes two questions one: place, words, and the message's address or author."""
    return _hashed(question, question.link or question.asked_by or "")


def nameless(question: NewQuestion) -> str:
    """What a question is known by once it is old and its name and link are dropped."""
    return f"nameless-{_hashed(question, '')}"


def _hashed(question: NewQuestion, whose: str) -> str:
    words = " ".join(re.findall(r"\w+", question.text.casefold()))
    key = "\x1f".join((question.place, whose, words or question.text))
    return hashlib.sha256(key.encode()).hexdigest()


def _insert(
    db: Database,
    question: NewQuestion,
    judgement: Judgement,
    key: str,
    now: datetime.datetime,
    group: int | None = None,
) -> int | None:
    row = {
        "place": question.place,
        "fingerprint": key,
        "text": question.text,
        "asked_by": question.asked_by,
        "link": question.link,
        "asked_at": _stamp(question.asked_at) if question.asked_at else None,
        "logged_at": _stamp(now),
        "times": 1,
        "state": "open",
        "verdict": judgement.verdict,
        "article": judgement.article,
        "urgent": int(judgement.urgent),
        "asks": int(judgement.asks),
        "group_id": group,
    }
    found = db.execute(_insert_sql(tuple(row)), row).fetchone()
    return int(found[0]) if found else None


@cache
def _insert_sql(names: tuple[str, ...]) -> str:
    values = ", ".join(f":{name}" for name in names)
    return (
        f"insert into questions ({', '.join(names)}) values ({values})"
        " on conflict (fingerprint) do nothing returning id"
    )


def _stamp(moment: datetime.datetime) -> str:
    return moment.astimezone(datetime.UTC).isoformat(timespec="seconds")
