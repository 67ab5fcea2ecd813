"""The replies sent, one row each; kept also when the mark that came with one is undone."""

import datetime
from dataclasses import dataclass

from sqlite_utils import Database

from kb.store import acts
from kb.store.acts import NewReply
from kb.store.database import told_plainly, writing


@dataclass(frozen=True)
class Reply:
    """A reply as it was sent; ``undone_at`` if its mark was taken back."""

    id: int
    question: int
    text: str
    article: str | None
    sent_at: str
    undone_at: str | None


def send(
    db: Database, number: int, text: str, *, article: str | None, now: datetime.datetime
) -> None:
    """Note a reply and mark its question as replied, both or neither; raises NotFound."""
    with writing(db):
        seen = acts.version(db, number)
        acts.reply(db, [NewReply(number, text, article, seen)], now=now)


def of_question(db: Database, number: int) -> tuple[Reply, ...]:
    """The replies to one question, oldest first."""
    sql = """
        select replies.*, acts.undone_at from replies
        left join marks on marks.reply = replies.id left join acts on acts.id = marks.act
        where replies.question = ? order by replies.id
    """
    with told_plainly("The database"):
        return tuple(Reply(**row) for row in db.query(sql, [number]))
