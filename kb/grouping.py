"""Logged questions put into groups of those that ask the same, as they come in."""

import datetime
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

from sqlite_utils import Database

from kb.errors import StoreError
from kb.matching.likeness import SAME_WORDS, Likeness, Near
from kb.matching.shapes import Shape, is_current, shape, unpacked
from kb.store import database, groups
from kb.store import questions as log
from kb.store.groups import Representative, Standing
from kb.store.questions import Judgement, NewQuestion

MOST_KNOWN_BY = 4  # members by which a group is known; none is added that is not like all others
_LOOKED_AT = 12
_FEW = 1000  # so many new representatives are taken in one by one
_CHUNK = 1 << 16
Row = tuple[NewQuestion, Judgement, Shape]


@dataclass(frozen=True)
class Alike:
    """A group that asks the same as a text; ``how`` is “same words” or “same question”."""

    group: int
    likeness: float
    how: str


class Grouper:
    """Finds groups for questions, for one database; the database is the truth, this an index of it.

    Safe in threads, and beside other processes: what they logged is read before each look.
    Whoever logs inside a transaction begins it with ``batch``.
    """

    def __init__(self) -> None:
        self._lock = threading.RLock()
        self._index, self._read = Likeness(), 0

    def __len__(self) -> int:
        return len(self._index)

    @contextmanager
    def batch(self, db: Database) -> Iterator[None]:
        """One transaction in which many questions are logged, all or none."""
        with self._lock:
            self.refresh(db)
            try:
                with database.writing(db):
                    yield
            except BaseException:
                self._index, self._read = Likeness(), 0  # it may hold what was rolled back
                raise

    def log(
        self,
        db: Database,
        question: NewQuestion,
        judgement: Judgement,
        *,
        now: datetime.datetime,
        asked_again: bool = False,
    ) -> tuple[int, bool]:
        """Log a question as ``questions.log`` does, and put it into its group."""
        found = shape(question.text)
        with self.batch(db):
            number, new = log.log(db, question, judgement, now=now, asked_again=asked_again)
            if new:
                self._assign(db, number, question, judgement.article, now, found)
        return number, new

    def log_all(self, db: Database, rows: Sequence[Row], *, now: datetime.datetime) -> int:
        """Log many questions in one transaction, each unless it is known; how many were new."""
        logged = 0
        with self.batch(db):
            prints = [log.fingerprint(question) for question, _, _ in rows]
            known = set(log.known(db, prints))
            for mark, (question, judgement, found) in zip(prints, rows, strict=True):
                if mark not in known:
                    known.add(mark)
                    self._log_new(db, question, judgement, found, now)
                    logged += 1
        return logged

    def alike(
        self, db: Database, text: str, *, article: str | None = None, most: int = 5
    ) -> tuple[Alike, ...]:
        """The groups that ask the same as a text, most alike first."""
        found = shape(text)
        with self._lock:
            self.refresh(db)
            near = self._index.nearest_to(found, _LOOKED_AT, article=article)
            standing = self._standing(db, near)
        best: dict[int, Alike] = {}
        for one in near:
            if one.key in standing:
                group = standing[one.key].group
                best.setdefault(group, Alike(group, one.likeness, one.how))
        return tuple(best.values())[:most]

    def catch_up(self, db: Database, *, most: int | None = None) -> int:
        """Give groups to questions logged without; how many there were."""
        self.refresh(db)
        done = 0
        while most is None or done < most:
            waiting = groups.ungrouped(db, limit=min(500, (most or 500) - done))
            if not waiting:
                break
            with self.batch(db):
                for question in waiting:
                    at = datetime.datetime.fromisoformat(question.asked_at or question.logged_at)
                    asked, found = NewQuestion(question.text, question.place), shape(question.text)
                    self._assign(db, question.id, asked, question.article, at, found)
            done += len(waiting)
        return done

    def refresh(self, db: Database) -> None:
        """Read what was logged since the last look; the first time, everything."""
        with self._lock:
            if self._read > groups.last_representative(db):  # another database than before
                self._index, self._read = Likeness(), 0
            chunk: list[Representative] = []
            for one in groups.representatives(db, after=self._read):
                chunk.append(one)
                if len(chunk) == _CHUNK:
                    self._take(chunk)
                    chunk = []
            self._take(chunk)

    def _take(self, chunk: list[Representative]) -> None:
        if not chunk:
            return
        rows = [(one.id, _packed(one), one.article) for one in chunk]
        if len(rows) < _FEW:
            for key, raw, article in rows:
                self._index.add_shape(key, unpacked(raw), article=article)
        else:
            self._index.add_packed(rows)
        self._read = chunk[-1].id

    def _log_new(
        self,
        db: Database,
        question: NewQuestion,
        judgement: Judgement,
        found: Shape,
        now: datetime.datetime,
    ) -> None:
        place = self._place(db, found, judgement.article)
        group = place.group
        if group is None:
            at = _stamp(question.asked_at or now)
            group = groups.begin(db, text=question.text, article=judgement.article, at=at)
        elif judgement.article and not place.answered:
            groups.answer(db, group, judgement.article)
        number = log.log_new(db, question, judgement, now=now, group=group)
        if number is None:
            raise StoreError(f"Question “{question.text[:40]}” was logged twice at once.")
        if place.group is None:
            groups.name_by(db, group, number)
        if place.tells:
            self._read = groups.represent(db, group, number, found.packed())
            self._index.add_shape(self._read, found, article=judgement.article)

    def _assign(
        self,
        db: Database,
        number: int,
        question: NewQuestion,
        article: str | None,
        now: datetime.datetime,
        found: Shape,
    ) -> None:
        self.refresh(db)
        place = self._place(db, found, article)
        groups.assign(
            db,
            number,
            text=question.text,
            article=article,
            at=_stamp(question.asked_at or now),
            group=place.group,
            shape=found.packed() if place.tells else None,
        )

    def _place(self, db: Database, found: Shape, article: str | None) -> "_Place":
        """Where a question belongs as the index and the database stand."""
        near = self._index.nearest_to(found, _LOOKED_AT, article=article)
        standing = self._standing(db, near)
        best = next((one for one in near if one.key in standing), None)
        if best is None:
            return _Place(None, answered=False, tells=True)
        there = standing[best.key]
        like = sum(one.group == there.group for one in standing.values())
        tells = best.how != SAME_WORDS and like == there.known_by < MOST_KNOWN_BY
        return _Place(there.group, there.answered, tells)

    def _standing(self, db: Database, near: tuple[Near, ...]) -> dict[int, Standing]:
        """How the group of each of these stands, if the database still knows it."""
        if not near:
            return {}
        standing = groups.known_by(db, (one.key for one in near))
        for one in near:
            if one.key not in standing:
                self._index.remove(one.key)
        return standing


@dataclass(frozen=True)
class _Place:
    """The group for a question, None for a new one; ``tells`` if it brings words of its own."""

    group: int | None
    answered: bool
    tells: bool


def _packed(one: Representative) -> bytes:
    return one.shape if one.shape and is_current(one.shape) else shape(one.text).packed()


def _stamp(moment: datetime.datetime) -> str:
    return moment.astimezone(datetime.UTC).isoformat(timespec="seconds")
