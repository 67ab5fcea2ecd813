"""Articles begun from a group of questions, so that the group is answered once one is published."""

import datetime
from dataclasses import dataclass

from sqlite_utils import Database

from kb.store.database import told_plainly, writing


@dataclass(frozen=True)
class Draft:
    """An article begun: its slug, and the group whose questions it is to answer."""

    slug: str
    group_id: int
    made_at: str


def begin(db: Database, slug: str, *, group: int, now: datetime.datetime) -> None:
    """Note that an article was begun from a group; the same slug is noted once."""
    stamp = now.astimezone(datetime.UTC).isoformat(timespec="seconds")
    with writing(db):
        row = {"slug": slug, "group_id": group, "made_at": stamp}
        db.table("drafts").upsert(row, pk="slug")


def of_group(db: Database, group: int) -> tuple[Draft, ...]:
    """The articles begun from a group, oldest first."""
    with told_plainly("The database"):
        rows = db.query("select * from drafts where group_id = ? order by made_at, slug", [group])
        return tuple(Draft(**row) for row in rows)


def by_group(db: Database) -> dict[int, str]:
    """For each group an article was begun from, the last such article."""
    with told_plainly("The database"):
        rows = db.query("select group_id, slug from drafts order by made_at, slug")
        return {row["group_id"]: row["slug"] for row in rows}
