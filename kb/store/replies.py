"""The replies sent, one row each."""

import datetime
from dataclasses import dataclass

from sqlite_utils import Database

from kb.store import questions
from kb.store.database import told_plainly, writing


@dataclass(frozen=True)
class Reply:
    """A reply as it was sent."""

    id: int
    question: int
    text: str
    article: str | None
    sent_at: str


def send(
    db: Database, number: int, text: str, *, article: str | None, now: datetime.datetime
) -> None:
    """Note a reply and mark its question as replied, both or neither; raises NotFound."""
    with writing(db):
        questions.set_state(db, number, "replied")
        db.table("replies").insert(
            {
                "question": number,
                "text": text,
                "article": article,
                "sent_at": now.astimezone(datetime.UTC).isoformat(timespec="seconds"),
            }
        )


def of_question(db: Database, number: int) -> tuple[Reply, ...]:
    """The replies to one question, oldest first."""
    with told_plainly("The database"):
        rows = db.query("select * from replies where question = ? order by id", [number])
        return tuple(Reply(**row) for row in rows)
