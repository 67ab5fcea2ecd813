"""What groups keep of their members' words: the name, and the members they are known by."""

from sqlite_utils import Database

FORGOTTEN = "(forgotten)"
LONGEST_NAME = 120


def name_from(text: str) -> str:
    """A group's name out of its first question's words."""
    words = " ".join(text.split())
    return words if len(words) <= LONGEST_NAME else words[: LONGEST_NAME - 1].rstrip() + "…"


def forget_words(db: Database, question: int) -> None:
    """Take a forgotten question's words out of its group's name and likeness."""
    row = db.execute("select group_id from questions where id = ?", [question]).fetchone()
    group = row[0] if row else None
    db.execute("delete from representatives where question = ?", [question])
    if group is not None:
        stand_in(db, group)
    for (named,) in db.execute("select id from groups where named_by = ?", [question]).fetchall():
        name_anew(db, named)


def name_anew(db: Database, group: int) -> None:
    """Name a group by its first question that still has words."""
    row = _first_with_words(db, group)
    number, name = (row[0], name_from(row[1])) if row else (None, FORGOTTEN)
    db.execute("update groups set name = ?, named_by = ? where id = ?", [name, number, group])


def stand_in(db: Database, group: int) -> None:
    """Have a group that is known by no member be known by its first that still has words."""
    known = "select 1 from representatives where group_id = ? limit 1"
    row = _first_with_words(db, group)
    if row and not db.execute(known, [group]).fetchone():
        db.execute(
            "insert into representatives (group_id, question) values (?, ?)"
            " on conflict (question) do update set group_id = excluded.group_id",
            [group, row[0]],
        )


def _first_with_words(db: Database, group: int) -> tuple[int, str] | None:
    row = db.execute(
        "select id, text from questions where group_id = ? and text <> ? order by id limit 1",
        [group, FORGOTTEN],
    ).fetchone()
    return (int(row[0]), str(row[1])) if row else None
