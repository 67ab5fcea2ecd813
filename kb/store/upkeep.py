"""What the question log tells about the answers: asked how often, asked again, never reached."""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass

from sqlite_utils import Database

from kb.store.database import told_plainly

_PEOPLE = (
    "select r.article, count(distinct later.asked_by || char(31) || later.place) as people"
    " from replies r join questions first on first.id = r.question"
    " join questions later on later.asked_by = first.asked_by and later.place = first.place"
    " and later.article = r.article and later.id <> first.id"
    " and coalesce(later.asked_at, later.logged_at) > r.sent_at"
    " where r.article is not null group by r.article"
)
_REPEATS = (
    "select article, sum(times - 1) as repeats from questions"
    " where article is not null and times > 1 group by article"
)
_COUNTS = (
    "select article, count(*) as n from questions where article is not null"
    " and coalesce(asked_at, logged_at) >= ? and coalesce(asked_at, logged_at) < ?"
    " group by article"
)
_LAST = (
    "select article, max(coalesce(asked_at, logged_at)) as last from questions"
    " where article is not null group by article"
)
_RECENT = (
    "select text from questions where verdict <> 'none' and text <> '(forgotten)'"
    " order by id desc limit ?"
)
_LINKS = (
    "select 'recording “' || title || '”' as place, link from recordings where link is not null"
    " union all select 'material “' || m.name || '”', l.link from material_links l"
    " join materials m on m.id = l.material"
)
_REPLIES = "select question, text from replies where text like '%http%' order by id desc limit ?"


@dataclass(frozen=True)
class Again:
    """How many people asked again after a reply, and how often the same words were put again."""

    people: int
    repeats: int


def asked_again(db: Database) -> dict[str, Again]:
    """The articles that were asked for again although they had been given as the answer.

    People: whoever logged another question answered by an article, under the same name and in
    the same place, after a reply with it.
    Repeats: how often the same words were put again on this site.
    """
    with told_plainly("The database"):
        people = {row["article"]: row["people"] for row in db.query(_PEOPLE)}
        repeats = {row["article"]: row["repeats"] for row in db.query(_REPEATS)}
    return {
        article: Again(people.get(article, 0), repeats.get(article, 0))
        for article in (*people, *(slug for slug in repeats if slug not in people))
    }


def asked_between(db: Database, start: datetime.datetime, end: datetime.datetime) -> dict[str, int]:
    """How many questions were matched to each article from a moment up to another."""
    with told_plainly("The database"):
        rows = db.query(_COUNTS, [_stamp(start), _stamp(end)])
        return {row["article"]: row["n"] for row in rows}


def last_reached(db: Database) -> dict[str, str]:
    """When each article was last matched by a question."""
    with told_plainly("The database"):
        return {row["article"]: row["last"] for row in db.query(_LAST)}


def log_begins(db: Database) -> str | None:
    """When the first question was logged."""
    with told_plainly("The database"):
        found = next(db.query("select min(logged_at) as first from questions"))["first"]
    return str(found) if found else None


def recent_texts(db: Database, *, limit: int) -> tuple[str, ...]:
    """The newest questions that something answers, each wording once."""
    with told_plainly("The database"):
        return tuple(dict.fromkeys(row["text"] for row in db.query(_RECENT, [limit])))


def stored_links(db: Database) -> Iterator[tuple[str, str]]:
    """Every link the keeper has stored, with where it stands."""
    with told_plainly("The database"):
        yield from ((row["place"], row["link"]) for row in db.query(_LINKS))


def replies_with_links(db: Database, *, limit: int) -> Iterator[tuple[int, str]]:
    """The newest replies that hold a link: the question's number and the text."""
    with told_plainly("The database"):
        yield from ((row["question"], row["text"]) for row in db.query(_REPLIES, [limit]))


def articles_named(db: Database) -> dict[str, str]:
    """Every article that a run sheet, a material or a wording names, with where it does."""
    sql = (
        "select i.article, 'run sheet “' || r.title || '”' as place from run_items i"
        " join recordings r on r.id = i.recording where i.article is not null"
        " union all select value, 'material “' || name || '”' from materials, json_each(articles)"
        " union all select article, 'a wording learnt from a question' from wordings"
    )
    with told_plainly("The database"):
        return {row["article"]: row["place"] for row in db.query(sql)}


def _stamp(moment: datetime.datetime) -> str:
    return moment.astimezone(datetime.UTC).isoformat(timespec="seconds")
