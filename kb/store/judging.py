"""Which logged questions have been looked at with which answers; a new article asks for a new look.

One row holds the mark of the answers and the number up to which questions were looked at with
them, so that a look that was broken off goes on where it stopped.
"""

from sqlite_utils import Database

from kb.store.database import told_plainly, writing
from kb.store.questions import Judgement, Question, from_row


def judge(db: Database, number: int, judgement: Judgement) -> None:
    """Note what matching makes of a question now."""
    with writing(db):
        db.execute(
            "update questions set verdict = ?, article = ?, urgent = ?, asks = ? where id = ?",
            [
                judgement.verdict,
                judgement.article,
                int(judgement.urgent),
                int(judgement.asks),
                number,
            ],
        )


def waiting(db: Database, mark: str) -> int:
    """How many open questions have not been looked at with the answers of this mark.

    The first mark ever seen is taken for the one they were logged with.
    """
    sql = "select count(*) as n from questions where state = 'open' and id > ? and id <= ?"
    with told_plainly("The database"):
        reached, end = _span(db, mark)
        return int(next(db.query(sql, [reached, end]))["n"])


def next_ones(db: Database, mark: str, *, most: int) -> tuple[Question, ...]:
    """The next open questions to be looked at with the answers of this mark."""
    sql = "select * from questions where state = 'open' and id > ? and id <= ? order by id limit ?"
    with told_plainly("The database"):
        return tuple(from_row(row) for row in db.query(sql, [*_span(db, mark), most]))


def note(db: Database, mark: str, number: int | None) -> None:
    """Note how far the look with these answers has come; None: to the end."""
    with writing(db):
        db.execute(
            "update judging set reached = max(reached, coalesce(?, end)) where id = 1 and mark = ?",
            [number, mark],
        )


def again(db: Database, mark: str) -> None:
    """Have every open question looked at once more."""
    with writing(db):
        last = next(db.query("select coalesce(max(id), 0) as n from questions"))["n"]
        row = {"id": 1, "mark": mark, "reached": 0, "end": last}
        db.table("judging").upsert(row, pk="id")


def _span(db: Database, mark: str) -> tuple[int, int]:
    """The numbers between which a look is due; another mark than the last begins a new look."""
    row = next(db.query("select mark, reached, end from judging where id = 1"), None)
    if row is None:
        again(db, mark)
        note(db, mark, None)
    elif row["mark"] != mark:
        again(db, mark)
    row = next(db.query("select reached, end from judging where id = 1"))
    return int(row["reached"]), int(row["end"])
