"""Who asked: forgetting a person whole, and dropping the names of questions grown old."""

import datetime
import re
from typing import Any

from sqlite_utils import Database

from kb.errors import InputErrors, InputProblem
from kb.store import questions
from kb.store.database import told_plainly, writing

NAME_GONE = "(name dropped)"
LINK_GONE = "(link dropped)"
BATCH = 500
_OLD = (
    "select id, place, text, asked_by, link from questions"
    " where (asked_by is not null or link is not null) and coalesce(asked_at, logged_at) < ?"
    " limit ?"
)

_NAMED = (
    "select id, text from questions where text like :like"
    " union all select question, text from replies where text like :like"
)


def questions_of(
    db: Database, *, name: str | None = None, place: str | None = None, link: str | None = None
) -> tuple[int, ...]:
    """The questions somebody asked, by name (large or small letters), perhaps place, or link.

    Raises InputErrors unless a name or a link is given.
    """
    name, link = _plain(name), (link or "").strip()
    if not name and not link:
        message = "Say who it is: by a name, perhaps with a place, or by a link."
        raise InputErrors([InputProblem("person", "nothing", message)])
    with told_plainly("The database"):
        found: set[int] = set()
        if name:
            known = db.query("select distinct asked_by from questions where asked_by is not null")
            for row in [row for row in known if _plain(row["asked_by"]) == name]:
                found |= _numbers(db, "asked_by = ?", [row["asked_by"]])
        if link:
            by_link = _numbers(db, "link = ?", [link])
            found = found & by_link if name else by_link
        if place:
            found &= _numbers(db, "place = ?", [place])
    return tuple(sorted(found))


def forget_person(
    db: Database, *, name: str | None = None, place: str | None = None, link: str | None = None
) -> tuple[int, ...]:
    """Forget every question of a person, all or none of them; gives their numbers.

    What was removed is overwritten in the file, and the log of writes is emptied into it.
    """
    with writing(db):
        found = questions_of(db, name=name, place=place, link=link)
        for number in found:
            questions.forget(db, number)
    overwrite(db)
    return found


def mentions(db: Database, name: str) -> tuple[int, ...]:
    """The questions whose words or replies still hold a name, as somebody else wrote it."""
    words = " ".join(name.split())
    if not words:
        return ()
    wanted = re.compile(rf"(?<!\w){re.escape(words)}(?!\w)", re.IGNORECASE)
    # every sign that is not a plain letter or digit may be any one sign here
    like = re.sub(r"[^a-z0-9]", "_", words, flags=re.ASCII | re.IGNORECASE)
    with told_plainly("The database"):
        found = {
            row["id"]
            for row in db.query(_NAMED, {"like": f"%{like}%"})
            if wanted.search(row["text"])
        }
    return tuple(sorted(found))


def drop_names(db: Database, *, before: datetime.datetime) -> int:
    """Drop names and links of the questions asked before a moment, and give how many.

    Replies lose the name and the link as well; the words of the question stay.
    """
    dropped = 0
    stamp = before.astimezone(datetime.UTC).isoformat(timespec="seconds")
    while True:
        with writing(db):
            rows = list(db.query(_OLD, [stamp, BATCH]))
            for row in rows:
                _drop(db, row)
        dropped += len(rows)
        if len(rows) < BATCH:
            break
    if dropped:
        overwrite(db)
    return dropped


def counted(number: int) -> str:
    """So many questions, in words."""
    return f"{number} {'question' if number == 1 else 'questions'}"


def told(forgotten: tuple[int, ...], named: tuple[int, ...]) -> tuple[str, ...]:
    """What was forgotten and what others wrote, in a sentence each."""
    gone = f"Name, link and words of {counted(len(forgotten))} are gone; they still count."
    shown = ", ".join(str(number) for number in named[:20])
    others = f"Others wrote the name in {counted(len(named))} or the replies to them: {shown}."
    return (gone, others) if named else (gone,)


def overwrite(db: Database) -> None:
    """Empty the log of writes into the file, as far as no other reader still needs it."""
    with told_plainly("The database"):
        db.execute("pragma wal_checkpoint(truncate)").fetchall()


def _drop(db: Database, row: dict[str, Any]) -> None:
    question = questions.NewQuestion(row["text"], row["place"])
    key = questions.nameless(question)
    taken = next(db.query("select 1 from questions where fingerprint = ?", [key]), None)
    db.execute(
        "update questions set asked_by = null, link = null, fingerprint = ? where id = ?",
        [f"{key}-{row['id']}" if taken else key, row["id"]],
    )
    for reply in list(db.query("select id, text from replies where question = ?", [row["id"]])):
        text = reply["text"]
        if row["link"]:
            text = text.replace(row["link"], LINK_GONE)
        if row["asked_by"]:
            name = re.compile(rf"(?<!\w){re.escape(row['asked_by'])}(?!\w)", re.IGNORECASE)
            text = name.sub(NAME_GONE, text)
        db.execute("update replies set text = ? where id = ?", [text, reply["id"]])


def _numbers(db: Database, where: str, values: list[str]) -> set[int]:
    return {row["id"] for row in db.query("select id from questions where " + where, values)}


def _plain(name: str | None) -> str:
    return " ".join((name or "").split()).casefold()
