"""Recordings: what is to be said, in which order, at which second, and for whom."""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlite_utils import Database

from kb.errors import NotFound
from kb.store import groups, questions, revision
from kb.store.database import told_plainly, writing
from kb.store.questions import Question

MOST_OF_A_GROUP = 10_000
_RECORDING = (
    "select r.id, r.title, r.planned_for, r.link, r.place, r.published_on,"
    " (select count(*) from run_items i where i.recording = r.id) as items from recordings r"
)


@dataclass(frozen=True)
class Recording:
    """A recording planned or made; it counts as made when it has a link."""

    id: int
    title: str
    planned_for: str | None
    link: str | None
    place: str | None
    published_on: str | None
    items: int


@dataclass(frozen=True)
class Item:
    """One thing said in a recording: an article, questions, or a topic with a title of its own."""

    id: int
    recording: int
    position: int
    title: str | None
    article: str | None
    second: int | None


@dataclass(frozen=True)
class Covered:
    """Where an article was covered: the recording's title, link, place and day, and the second."""

    title: str
    link: str
    second: int | None
    published_at: str
    place: str | None = None


@dataclass(frozen=True)
class Waiting:
    """How many open questions an article surely answers."""

    article: str
    questions: int


@dataclass(frozen=True)
class Asker:
    """A question that an item of a recording answers."""

    item: int
    question: Question


def plan(
    db: Database, title: str, *, planned_for: datetime.date | None, now: datetime.datetime
) -> int:
    """The number of a new recording."""
    with writing(db):
        row = {
            "title": title,
            "planned_for": planned_for.isoformat() if planned_for else None,
            "made_at": now.astimezone(datetime.UTC).isoformat(timespec="seconds"),
        }
        return int(str(db.table("recordings").insert(row).last_pk))


def change(db: Database, number: int, title: str, *, planned_for: datetime.date | None) -> None:
    """Give a recording another title and day; raises NotFound."""
    with writing(db):
        day = planned_for.isoformat() if planned_for else None
        sql = "update recordings set title = ?, planned_for = ? where id = ?"
        _must_exist(db.execute(sql, [title, day, number]).rowcount, "recording", number)
        revision.grow(db)


def remove(db: Database, number: int) -> None:
    """Take a recording away with its run sheet; the questions stay. Raises NotFound."""
    with writing(db):
        sql = (
            "delete from run_questions where item in (select id from run_items where recording = ?)"
        )
        db.execute(sql, [number])
        db.execute("delete from run_items where recording = ?", [number])
        done = db.execute("delete from recordings where id = ?", [number])
        _must_exist(done.rowcount, "recording", number)
        revision.grow(db)


def get(db: Database, number: int) -> Recording:
    """The recording of that number; raises NotFound."""
    rows = _recordings(db, "where r.id = ?", [number])
    if not rows:
        raise NotFound(f"There is no recording {number}.")
    return rows[0]


def listed(db: Database) -> tuple[Recording, ...]:
    """Every recording, the newest first."""
    return _recordings(db, "", [])


def items(db: Database, number: int) -> tuple[Item, ...]:
    """What is on a run sheet, in order; raises NotFound."""
    get(db, number)
    with told_plainly("The database"):
        sql = "select * from run_items where recording = ? order by position, id"
        return tuple(Item(**row) for row in db.query(sql, [number]))


def item(db: Database, number: int) -> Item:
    """One item of a run sheet; raises NotFound."""
    with told_plainly("The database"):
        row = next(db.query("select * from run_items where id = ?", [number]), None)
    if row is None:
        raise NotFound(f"There is no item {number} on any run sheet.")
    return Item(**row)


def add_article(db: Database, number: int, article: str, *, askers: bool = True) -> int:
    """The item for an article, which stands on a run sheet once; raises NotFound.

    With ``askers`` every open question that matching answers strongly with it comes along.
    """
    with writing(db):
        get(db, number)
        found = _item_of(db, number, article) or _append(db, number, article=article)
        if askers:
            db.execute(
                "insert or ignore into run_questions (item, question) select ?, id from questions"
                " where article = ? and verdict = 'strong' and state = 'open'",
                [found, article],
            )
        return found


def add_question(
    db: Database, number: int, question: int, *, article: str | None, item: int | None = None
) -> int:
    """The item that answers a question: the one named, its article's, or its own; raises NotFound.

    A question stands on a run sheet once, however often it is added.
    """
    with writing(db):
        get(db, number)
        questions.get(db, question)
        sql = (
            "select item from run_questions q join run_items i on i.id = q.item"
            " where i.recording = ? and q.question = ?"
        )
        known = next(db.query(sql, [number, question]), None)
        if known:
            return int(known["item"])
        found = item or (_item_of(db, number, article) if article else None)
        found = found or _append(db, number, article=article)
        db.table("run_questions").insert({"item": found, "question": question})
        return found


def add_group(db: Database, number: int, group: int, *, article: str | None) -> int:
    """The item that answers the open questions of a group; raises NotFound."""
    with writing(db):
        get(db, number)
        found = None
        for question in groups.members(db, group, state="open", limit=MOST_OF_A_GROUP):
            on_sheet = add_question(db, number, question.id, article=article, item=found)
            found = found or on_sheet
        if found is None:
            raise NotFound(f"Group {group} has no open question.")
        return found


def add_topic(db: Database, number: int, title: str) -> int:
    """The number of a new item with a title of its own; raises NotFound."""
    with writing(db):
        get(db, number)
        return _append(db, number, title=title)


def change_item(db: Database, number: int, *, title: str | None, article: str | None) -> None:
    """Give an item another title, or another article that answers it; raises NotFound."""
    with writing(db):
        sql = "update run_items set title = ?, article = ? where id = ?"
        done = db.execute(sql, [title, article, number])
        _must_exist(done.rowcount, "item", number)
        revision.grow(db)


def remove_item(db: Database, number: int) -> None:
    """Take an item off its run sheet; raises NotFound."""
    with writing(db):
        db.execute("delete from run_questions where item = ?", [number])
        done = db.execute("delete from run_items where id = ?", [number])
        _must_exist(done.rowcount, "item", number)
        revision.grow(db)


def put_in_order(db: Database, number: int, order: Sequence[int]) -> None:
    """Put the items of a run sheet in this order; items not named keep theirs behind them."""
    with writing(db):
        known = [entry.id for entry in items(db, number)]
        wanted = [entry for entry in dict.fromkeys(order) if entry in known]
        rest = [entry for entry in known if entry not in wanted]
        db.conn.executemany(
            "update run_items set position = ? where id = ?",
            [(position, entry) for position, entry in enumerate((*wanted, *rest), start=1)],
        )


def move(db: Database, number: int, steps: int) -> None:
    """Move an item so many places down its run sheet, or up if negative; raises NotFound."""
    with writing(db):
        moved = item(db, number)
        order = [entry.id for entry in items(db, moved.recording)]
        place = order.index(number)
        order.insert(min(max(place + steps, 0), len(order) - 1), order.pop(place))
        put_in_order(db, moved.recording, order)


def enter(
    db: Database,
    number: int,
    *,
    link: str | None,
    place: str | None,
    published_on: datetime.date | None,
    seconds: Mapping[int, int | None],
) -> None:
    """Note where a recording is and when each item starts, all or nothing; raises NotFound."""
    with writing(db):
        day = published_on.isoformat() if published_on else None
        sql = "update recordings set link = ?, place = ?, published_on = ? where id = ?"
        done = db.execute(sql, [link, place, day, number])
        _must_exist(done.rowcount, "recording", number)
        db.conn.executemany(
            "update run_items set second = ? where id = ? and recording = ?",
            [(second, entry, number) for entry, second in seconds.items()],
        )
        revision.grow(db)


def covering(db: Database, article: str) -> tuple[Covered, ...]:
    """The published recordings in which an article was covered, the newest first."""
    sql = (
        "select r.title, r.link, i.second, r.published_on as published_at, r.place"
        " from run_items i join recordings r on r.id = i.recording"
        " where i.article = ? and r.link is not null and r.published_on is not null"
        " order by r.published_on desc, r.id desc, i.position"
    )
    with told_plainly("The database"):
        return tuple(Covered(**row) for row in db.query(sql, [article]))


def covered_before(db: Database, number: int) -> dict[str, tuple[Recording, ...]]:
    """For each article on a run sheet the other published recordings it is in, newest first."""
    sql = (
        "where r.link is not null and r.published_on is not null and r.id <> ?"
        " and exists (select 1 from run_items i where i.recording = r.id and i.article = ?)"
    )
    slugs = dict.fromkeys(entry.article for entry in items(db, number) if entry.article)
    return {slug: _recordings(db, sql, [number, slug]) for slug in slugs}


def askers(db: Database, number: int) -> tuple[Asker, ...]:
    """The questions that a recording answers, item by item, oldest first."""
    sql = (
        "select r.item, q.* from run_items i join run_questions r on r.item = i.id"
        " join questions q on q.id = r.question where i.recording = ?"
        " order by i.position, i.id, q.id"
    )
    with told_plainly("The database"):
        found = db.query(sql, [number])
        return tuple(Asker(row["item"], questions.from_row(row)) for row in found)


def waiting(db: Database, *, limit: int = 10) -> tuple[Waiting, ...]:
    """The articles that most open questions wait for."""
    sql = (
        "select article, count(*) as questions from questions"
        " where state = 'open' and verdict = 'strong' and article is not null"
        " group by article order by questions desc, article limit ?"
    )
    with told_plainly("The database"):
        return tuple(Waiting(**row) for row in db.query(sql, [limit]))


def _recordings(db: Database, where: str, values: Sequence[Any]) -> tuple[Recording, ...]:
    newest_first = "order by coalesce(r.published_on, r.planned_for, r.made_at) desc, r.id desc"
    sql = " ".join((_RECORDING, where, newest_first))
    with told_plainly("The database"):
        return tuple(Recording(**row) for row in db.query(sql, values))


def _item_of(db: Database, number: int, article: str) -> int | None:
    sql = "select id from run_items where recording = ? and article = ? order by position limit 1"
    row = next(db.query(sql, [number, article]), None)
    return int(row["id"]) if row else None


def _append(
    db: Database, number: int, *, title: str | None = None, article: str | None = None
) -> int:
    sql = "select coalesce(max(position), 0) + 1 as next from run_items where recording = ?"
    position = next(db.query(sql, [number]))["next"]
    row = {"recording": number, "position": position, "title": title, "article": article}
    revision.grow(db)
    return int(str(db.table("run_items").insert(row).last_pk))


def _must_exist(changed: int, kind: str, number: int) -> None:
    if changed == 0:
        raise NotFound(f"There is no {kind} {number}.")
