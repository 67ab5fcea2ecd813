"""The open questions in the order they are worked through: five piles, each with its own order."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlite_utils import Database

from kb.errors import NotFound
from kb.store.database import told_plainly
from kb.store.questions import Judgement, Question, from_row

URGENT, ANSWERED, DOUBTFUL, GAPS, CHATTER = SECTIONS = (
    "urgent",
    "answered",
    "doubtful",
    "gaps",
    "chatter",
)
_WHERE = {
    URGENT: "urgent = 1",
    ANSWERED: "urgent = 0 and verdict = 'strong'",
    DOUBTFUL: "urgent = 0 and verdict = 'possible'",
    GAPS: "urgent = 0 and verdict = 'none' and asks = 1",
    CHATTER: "urgent = 0 and verdict = 'none' and asks = 0",
}
_KEYS = {  # what a pile is ordered by, before the number: alike questions follow one another
    URGENT: "-id",  # the newest first: fish that were dying last month are past help
    ANSWERED: "article",
    DOUBTFUL: "article",
    GAPS: "coalesce(group_id, 0)",
    CHATTER: "asks",
}


@dataclass(frozen=True)
class Pile:
    """Open questions of one section, or of one article or group within it."""

    section: str
    article: str | None = None
    group: int | None = None

    @property
    def code(self) -> str:
        """The pile in a few signs, as an address carries it."""
        return ":".join(str(part) for part in (self.section, self.article, self.group) if part)


@dataclass(frozen=True)
class Heap:
    """The questions of a section that one article answers: how many, and one of them."""

    article: str
    questions: int
    example: Question


@dataclass(frozen=True)
class Gap:
    """Alike questions that nothing answers: how many, from how many places, since when.

    ``group`` is None for those that have not been grouped yet.
    """

    group: int | None
    name: str
    questions: int
    places: int
    first_at: str
    last_at: str


def read_pile(code: str) -> Pile:
    """The pile that a code names; raises NotFound."""
    section, _, rest = code.partition(":")
    if section not in SECTIONS:
        raise NotFound(f"There is no pile “{code[:60]}”; there are {', '.join(SECTIONS)}.")
    if rest.isascii() and rest.isdigit() and len(rest) < 18:
        return Pile(section, group=int(rest))
    return Pile(section, article=rest or None)


def counts(db: Database) -> dict[str, int]:
    """How many open questions each section has."""
    sums = ", ".join(f"count(*) filter (where {where}) as {name}" for name, where in _WHERE.items())
    with told_plainly("The database"):
        return dict(next(db.query(f"select {sums} from questions where state = 'open'")))


def size(db: Database, pile: Pile) -> int:
    """How many questions are in the pile."""
    where, values = _narrowed(pile)
    with told_plainly("The database"):
        return int(
            next(db.query(f"select count(*) as n from questions where {where}", values))["n"]
        )


def listed(db: Database, pile: Pile, *, limit: int, offset: int = 0) -> tuple[Question, ...]:
    """The questions of a pile, in the order they are worked through."""
    where, values = _narrowed(pile)
    sql = f"""
        select * from questions where {where} order by {_KEYS[pile.section]}, id
        limit :limit offset :offset
    """
    with told_plainly("The database"):
        rows = db.query(sql, {**values, "limit": limit, "offset": offset})
        return tuple(from_row(row) for row in rows)


def beside(db: Database, pile: Pile, number: int, *, step: int = 1) -> int | None:
    """The question that follows in the pile (or, with a step of -1, stands before); round its end.

    The question itself may have left the pile already; its place in the order still counts.
    """
    where, values = _narrowed(pile)
    key = _KEYS[pile.section]
    sign, way = (">", "asc") if step > 0 else ("<", "desc")
    onward = f"""
        select id from questions where {where} and ({key}, id) {sign}
        (select {key}, id from questions where id = :number) order by {key} {way}, id {way} limit 1
    """
    around = f"""
        select id from questions where {where} and id != :number
        order by {key} {way}, id {way} limit 1
    """
    with told_plainly("The database"):
        for sql in (onward, around):
            row = next(db.query(sql, {**values, "number": number}), None)
            if row is not None:
                return int(row["id"])
    return None


def heaps(db: Database, section: str, *, limit: int, offset: int = 0) -> tuple[Heap, ...]:
    """The articles that answer the questions of a section, the most asked first."""
    sql = f"""
        select article, count(*) as questions, min(id) as example
        from questions where state = 'open' and {_WHERE[section]} and article is not null
        group by article order by count(*) desc, article limit :limit offset :offset
    """
    with told_plainly("The database"):
        rows = list(db.query(sql, {"limit": limit, "offset": offset}))
        examples = by_number(db, [row["example"] for row in rows])
        return tuple(
            Heap(row["article"], row["questions"], example)
            for row, example in zip(rows, examples, strict=True)
        )


def gaps(db: Database, *, limit: int, offset: int = 0) -> tuple[Gap, ...]:
    """The groups of what nothing answers, the commonest first."""
    sql = f"""
        with chosen as (
            select group_id, count(*) as n from questions
            where state = 'open' and {_WHERE[GAPS]}
            group by group_id order by count(*) desc, group_id limit ? offset ?
        )
        select chosen.group_id as "group", n as questions,
            coalesce(groups.name, 'not grouped yet') as name,
            count(distinct place) as places,
            min(coalesce(asked_at, logged_at)) as first_at,
            max(coalesce(asked_at, logged_at)) as last_at
        from chosen left join groups on groups.id = chosen.group_id
        join questions on questions.group_id is chosen.group_id
            and state = 'open' and {_WHERE[GAPS]}
        group by chosen.group_id order by n desc, chosen.group_id
    """
    with told_plainly("The database"):
        return tuple(Gap(**row) for row in db.query(sql, [limit, offset]))


def gap_groups(db: Database) -> int:
    """How many groups nothing answers."""
    sql = f"""
        select count(distinct group_id) as n from questions where state = 'open' and {_WHERE[GAPS]}
    """
    with told_plainly("The database"):
        return int(next(db.query(sql))["n"])


def articles(db: Database, section: str) -> int:
    """How many articles answer the questions of a section."""
    sql = f"""
        select count(distinct article) as n from questions
        where state = 'open' and {_WHERE[section]}
    """
    with told_plainly("The database"):
        return int(next(db.query(sql))["n"])


def by_number(db: Database, numbers: Sequence[int]) -> tuple[Question, ...]:
    """The questions of these numbers, in this order; those that do not exist are left out."""
    slots = ", ".join("?" * len(numbers))
    with told_plainly("The database"):
        rows = db.query(f"select * from questions where id in ({slots})", list(numbers))
        found = {row["id"]: from_row(row) for row in rows}
    return tuple(found[number] for number in numbers if number in found)


def section_of(question: Question) -> str:
    """The section an open question stands in."""
    if question.urgent:
        return URGENT
    if question.verdict == "none":
        return GAPS if question.asks else CHATTER
    return ANSWERED if question.verdict == "strong" else DOUBTFUL


def same(question: Question, judgement: Judgement) -> bool:
    """Is this what is noted of the question already?"""
    noted = (question.verdict, question.article, question.urgent, question.asks)
    return noted == (judgement.verdict, judgement.article, judgement.urgent, judgement.asks)


def _narrowed(pile: Pile) -> tuple[str, dict[str, object]]:
    where = f"state = 'open' and {_WHERE[pile.section]}"
    values: dict[str, object] = {}
    if pile.article is not None:
        where, values["article"] = f"{where} and article = :article", pile.article
    if pile.group is not None:
        where, values["group_id"] = f"{where} and group_id = :group_id", pile.group
    return where, values
