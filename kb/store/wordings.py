"""The keeper's own wordings: questions confirmed, or put right, as asking for an article."""

import datetime
import re
from dataclasses import dataclass

from sqlite_utils import Database

from kb.errors import InputErrors, InputProblem, NotFound
from kb.store.database import told_plainly, writing
from kb.store.questions import LONGEST_TEXT

CONFIRMED, CORRECTED = HOW = ("confirmed", "corrected")


@dataclass(frozen=True)
class Wording:
    """Words that ask for an article, the question they came from, and how they came to be here."""

    id: int
    article: str
    text: str
    question: int | None
    how: str
    added_at: str


def add(
    db: Database,
    article: str,
    text: str,
    *,
    question: int | None,
    how: str,
    now: datetime.datetime,
) -> int:
    """The id of the wording; the same text is kept once, and moves when its article changes.

    Raises InputErrors for a text without words or one too long.
    """
    if how not in HOW:
        raise ValueError(how)
    text = _usable(text)
    words = _plain(text)
    with writing(db):
        known = next(db.query("select id, article from wordings where words = ?", [words]), None)
        if known and known["article"] == article:
            return int(known["id"])
        if known:  # a new row rather than a changed one, so that the state shows the move
            db.execute("delete from wordings where id = ?", [known["id"]])
        done = db.table("wordings").insert(
            {
                "article": article,
                "text": text,
                "words": words,
                "question": question,
                "how": CORRECTED if known else how,
                "added_at": now.astimezone(datetime.UTC).isoformat(timespec="seconds"),
            }
        )
        return int(str(done.last_pk))


def remove(db: Database, number: int) -> None:
    """Take a wording away; raises NotFound."""
    with writing(db):
        gone = db.execute("delete from wordings where id = ?", [number])
        if gone.rowcount == 0:
            raise NotFound(f"There is no wording {number}.")


def listed(db: Database) -> tuple[Wording, ...]:
    """Every wording, oldest first."""
    columns = ", ".join(Wording.__dataclass_fields__)
    with told_plainly("The database"):
        rows = db.query(f"select {columns} from wordings order by id")
        return tuple(Wording(**row) for row in rows)


def state(db: Database) -> str:
    """A value that changes with every change of the wordings; ids are never used again."""
    with told_plainly("The database"):
        row = next(db.query("select count(*) as n, coalesce(max(id), 0) as last from wordings"))
    return f"{row['n']}-{row['last']}"


def _usable(text: str) -> str:
    text = text.strip()
    if not _plain(text):
        message = "A wording needs at least one word."
        raise InputErrors([InputProblem("text", text[:40], message)])
    if len(text) > LONGEST_TEXT:
        message = f"The wording has {len(text)} characters; use at most {LONGEST_TEXT}."
        raise InputErrors([InputProblem("text", f"{text[:40]}…", message)])
    return text


def _plain(text: str) -> str:
    return " ".join(re.findall(r"\w+", text.casefold()))
