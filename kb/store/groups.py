"""Groups of questions that ask the same: a group keeps its id and name as it grows."""

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from sqlite_utils import Database

from kb.errors import InputErrors, InputProblem, NotFound
from kb.store import questions
from kb.store.database import told_plainly, writing
from kb.store.group_names import FORGOTTEN, LONGEST_NAME, name_anew, name_from, stand_in
from kb.store.questions import STATES, Question

_WAITING = {None: "waiting > 0", True: "waiting_strong > 0", False: "waiting_none > 0"}
_VERDICTS = {True: "strong", False: "none"}
_WITH_ANY = (
    "exists (select 1 from questions where group_id = groups.id"
    " and (:state is null or state = :state) and (:verdict is null or verdict = :verdict))"
)
_COMMONEST_FIRST = " order by asked desc, id desc limit :limit offset :offset"
_ORDER = " order by state, id limit :limit offset :offset"
_MEMBERS = "select * from questions where group_id = :group" + _ORDER
_MEMBERS_IN_STATE = "select * from questions where group_id = :group and state = :state" + _ORDER
_KNOWN_BY = (
    "select id, group_id, (select article is not null from groups where id = group_id),"
    " (select count(*) from representatives as other"
    " where other.group_id = representatives.group_id) from representatives"
    " where id in (select value from json_each(?))"
)
_PLACES = """
with recursive found (group_id, place) as (
  select value, (select min(place) from questions where group_id = value) from json_each(?)
  union all
  select group_id, (
    select min(place) from questions
    where questions.group_id = found.group_id and questions.place > found.place
  ) from found where place is not null
)
select group_id, place from found where place is not null order by group_id, place"""


@dataclass(frozen=True)
class Group:
    """Questions that ask the same.

    ``questions`` counts them, ``asked`` how often they were put, ``open`` those that still wait.
    """

    id: int
    name: str
    article: str | None
    first_at: str
    last_at: str
    questions: int
    open: int
    places: tuple[str, ...]
    asked: int = 0


@dataclass(frozen=True)
class Representative:
    """A member its group is known by; without a shape its words must be read anew."""

    id: int
    group: int
    question: int
    shape: bytes | None
    article: str | None
    text: str


@dataclass(frozen=True)
class Standing:
    """A group, whether anything answers it, and by how many members it is known."""

    group: int
    answered: bool
    known_by: int


def listed(
    db: Database,
    *,
    answered: bool | None = None,
    state: str | None = "open",
    limit: int = 100,
    offset: int = 0,
) -> tuple[Group, ...]:
    """Groups with questions in a state (None: any), the commonest first, then the newest.

    ``answered`` picks those with questions that a strong match answers, or that nothing answers.
    """
    if state is not None and state not in STATES:
        raise ValueError(state)
    verdict = None if answered is None else _VERDICTS[answered]
    values = {"state": state, "verdict": verdict, "limit": limit, "offset": offset}
    chosen = _WAITING[answered] if state == "open" else _WITH_ANY
    sql = "select * from groups where " + chosen + _COMMONEST_FIRST
    with told_plainly("The database"):
        return _groups(db, list(db.query(sql, values)))


def counted(db: Database, *, answered: bool | None = None) -> int:
    """How many groups have open questions, of those picked as in ``listed``."""
    with told_plainly("The database"):
        row = db.execute("select count(*) from groups where " + _WAITING[answered]).fetchone()
        return int(row[0])


def get(db: Database, number: int) -> Group:
    """The group of that number; raises NotFound."""
    with told_plainly("The database"):
        found = _groups(db, list(db.query("select * from groups where id = ?", [number])))
    if not found:
        raise NotFound(f"There is no group {number}.")
    return found[0]


def members(
    db: Database, group: int, *, state: str | None = None, limit: int = 100, offset: int = 0
) -> tuple[Question, ...]:
    """The questions of a group, open ones first, then in the order they came."""
    sql = _MEMBERS_IN_STATE if state else _MEMBERS
    values = {"group": group, "state": state, "limit": limit, "offset": offset}
    with told_plainly("The database"):
        return tuple(questions.from_row(row) for row in db.query(sql, values))


def rename(db: Database, number: int, name: str) -> None:
    """Give a group a name of the keeper's; raises NotFound or InputErrors."""
    words = " ".join(name.split())
    if not 0 < len(words) <= LONGEST_NAME:
        message = f"The name has {len(words)} characters; write 1 to {LONGEST_NAME}."
        raise InputErrors([InputProblem("name", words[:40], message)])
    with writing(db):
        get(db, number)
        db.execute("update groups set name = ?, named_by = null where id = ?", [words, number])


def merge(db: Database, into: int, other: int) -> None:
    """Put all questions of another group into this one, which keeps its name; raises NotFound."""
    with writing(db):
        kept, gone = get(db, into), get(db, other)
        if kept.id == gone.id:
            return
        db.execute("update representatives set group_id = ? where group_id = ?", [into, other])
        db.execute("update questions set group_id = ? where group_id = ?", [into, other])
        db.execute("delete from groups where id = ?", [other])
        if kept.article is None:
            db.execute("update groups set article = ? where id = ?", [gone.article, into])


def split_off(db: Database, question: int) -> int:
    """The new group that a question now has to itself; raises NotFound."""
    with writing(db):
        found = questions.get(db, question)
        old = found.group
        if old is not None and get(db, old).questions == 1:
            return old
        at = found.asked_at or found.logged_at
        new = begin(db, text=found.text, article=found.article, at=at)
        db.execute("update questions set group_id = ? where id = ?", [new, question])
        name_by(db, new, question)
        if found.forgotten:
            name_anew(db, new)
        else:
            db.execute(
                "insert into representatives (group_id, question) values (?, ?)"
                " on conflict (question) do update set group_id = excluded.group_id",
                [new, question],
            )
        if old is not None:
            _after_leaving(db, old, question)
    return new


def assign(
    db: Database,
    question: int,
    *,
    text: str,
    article: str | None,
    at: str,
    group: int | None = None,
    shape: bytes | None = None,
) -> int:
    """Put a question that has no group yet into this one, or into a new one of its own.

    With a shape it becomes one of the members by which its group is known.
    """
    with writing(db):
        if group is None:
            group = begin(db, text=text, article=article, at=at)
            name_by(db, group, question)
        elif article is not None:
            answer(db, group, article)
        db.execute("update questions set group_id = ? where id = ?", [group, question])
        if shape is not None:
            represent(db, group, question, shape)
    return group


def begin(db: Database, *, text: str, article: str | None, at: str) -> int:
    """A new group with no question yet, named by the words of its first."""
    row = db.execute(
        "insert into groups (name, article, first_at, last_at, counted, asked, waiting,"
        " waiting_strong, waiting_none) values (?, ?, ?, ?, 0, 0, 0, 0, 0) returning id",
        [name_from(text), article, at, at],
    ).fetchone()
    return int(row[0])


def name_by(db: Database, group: int, question: int) -> None:
    """Note whose words are a group's name."""
    db.execute("update groups set named_by = ? where id = ?", [question, group])


def answer(db: Database, group: int, article: str) -> None:
    """Note what answers a group, if nothing did so far."""
    db.execute("update groups set article = ? where id = ? and article is null", [article, group])


def represent(db: Database, group: int, question: int, shape: bytes) -> int:
    """Have a group be known by this member too; the number of that."""
    row = db.execute(
        "insert into representatives (group_id, question, shape) values (?, ?, ?) returning id",
        [group, question, shape],
    ).fetchone()
    return int(row[0])


def representatives(db: Database, *, after: int = 0) -> Iterator[Representative]:
    """The members by which groups are known, numbered above ``after``, in order."""
    sql = (
        "select representatives.id, representatives.group_id, question, shape, article, text"
        " from representatives"
        " join questions on questions.id = question"
        " where representatives.id > ? order by representatives.id"
    )
    with told_plainly("The database"):
        for row in db.execute(sql, [after]):
            yield Representative(*row)


def last_representative(db: Database) -> int:
    """The highest number that a representative ever had."""
    sql = "select coalesce(max(seq), 0) from sqlite_sequence where name = 'representatives'"
    with told_plainly("The database"):
        return int(db.execute(sql).fetchone()[0])


def known_by(db: Database, numbers: Iterable[int]) -> dict[int, Standing]:
    """For each of these representatives that still stands, how its group stands."""
    wanted = json.dumps(list(numbers))
    with told_plainly("The database"):
        rows = db.execute(_KNOWN_BY, [wanted])
        return {row[0]: Standing(row[1], bool(row[2]), row[3]) for row in rows}


def ungrouped(db: Database, *, limit: int = 500) -> tuple[Question, ...]:
    """Questions with words that have no group yet, open ones first."""
    sql = "select * from questions where group_id is null and text <> ? order by state, id limit ?"
    with told_plainly("The database"):
        return tuple(questions.from_row(row) for row in db.query(sql, [FORGOTTEN, limit]))


def _after_leaving(db: Database, group: int, question: int) -> None:
    """Bring a group's name, dates and representatives up to date after a question left it."""
    db.execute(
        "update groups set (first_at, last_at) = ("
        " select min(coalesce(asked_at, logged_at)), max(coalesce(asked_at, logged_at))"
        " from questions where group_id = groups.id) where id = ?",
        [group],
    )
    stand_in(db, group)
    if db.execute(
        "select 1 from groups where id = ? and named_by = ?", [group, question]
    ).fetchone():
        name_anew(db, group)


def _groups(db: Database, rows: Sequence[dict[str, Any]]) -> tuple[Group, ...]:
    places: dict[int, list[str]] = {}
    wanted = json.dumps([row["id"] for row in rows])
    for group, place in db.execute(_PLACES, [wanted]):
        places.setdefault(group, []).append(place)
    return tuple(
        Group(
            id=row["id"],
            name=row["name"],
            article=row["article"],
            first_at=row["first_at"],
            last_at=row["last_at"],
            questions=row["counted"],
            open=row["waiting"],
            places=tuple(places.get(row["id"], ())),
            asked=row["asked"],
        )
        for row in rows
    )
