"""The places questions come from: their column names, how long a reply may be, how to greet."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field

from sqlite_utils import Database

from kb.errors import InputErrors, InputProblem
from kb.store.database import told_plainly, writing

LONGEST_NAME = 100
SHORTEST_REPLY, LONGEST_REPLY = 100, 10_000
LONGEST_GREETING = 200


@dataclass(frozen=True)
class Place:
    """What is remembered of a place; what is not set there is the site's own."""

    name: str
    columns: Mapping[str, str] = field(default_factory=dict)
    longest_reply: int | None = None
    greeting: str | None = None


def get(db: Database, name: str) -> Place:
    """What is remembered of the place; a place nobody set anything for has nothing set."""
    with told_plainly("The database"):
        row = next(db.query("select * from places where name = ?", [name]), None)
    return _place(row) if row else Place(name)


def listed(db: Database) -> tuple[Place, ...]:
    """Every place that has something set or a question from it, by name."""
    with told_plainly("The database"):
        known = {row["name"]: _place(row) for row in db.query("select * from places")}
        asked = [row["place"] for row in db.query("select distinct place from questions")]
    return tuple(known.get(name, Place(name)) for name in sorted({*known, *asked}))


def put(db: Database, place: Place) -> None:
    """Remember what is set for a place; raises InputErrors with every fault."""
    problems = list(_problems(place))
    if problems:
        raise InputErrors(problems)
    row = {
        "name": place.name,
        "columns": json.dumps(dict(place.columns), ensure_ascii=False),
        "longest_reply": place.longest_reply,
        "greeting": place.greeting,
    }
    with writing(db):
        db.table("places").upsert(row, pk="name")


def check_greeting(greeting: str) -> str | None:
    """What is wrong with a greeting, in one sentence, or None."""
    if len(greeting) > LONGEST_GREETING:
        return f"The greeting has {len(greeting)} characters; use at most {LONGEST_GREETING}."
    rest = greeting.replace("{name}", "")
    if "{" in rest or "}" in rest:
        return "In a greeting only {name} may stand in curly brackets, as in “Hi {name},”."
    return None


def check_longest(longest: int) -> str | None:
    """What is wrong with a longest reply, in one sentence, or None."""
    if SHORTEST_REPLY <= longest <= LONGEST_REPLY:
        return None
    return f"The longest reply must be from {SHORTEST_REPLY} to {LONGEST_REPLY} characters."


def check_name(name: str) -> str | None:
    """What is wrong with a place's name, in one sentence, or None."""
    if name.strip() and len(name) <= LONGEST_NAME and name.isprintable():
        return None
    return f"Name the place in 1 to {LONGEST_NAME} characters on one line."


def _problems(place: Place) -> list[InputProblem]:
    checks = (
        ("place", place.name, check_name(place.name)),
        ("greeting", place.greeting, check_greeting(place.greeting or "")),
        (
            "longest_reply",
            place.longest_reply,
            None if place.longest_reply is None else check_longest(place.longest_reply),
        ),
    )
    return [
        InputProblem(name, str(given)[:40], message) for name, given, message in checks if message
    ]


def _place(row: Mapping[str, object]) -> Place:
    longest = row["longest_reply"]
    return Place(
        name=str(row["name"]),
        columns=json.loads(str(row["columns"])),
        longest_reply=int(str(longest)) if longest is not None else None,
        greeting=str(row["greeting"]) if row["greeting"] else None,
    )
