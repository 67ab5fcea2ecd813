"""Logged questions put into groups of those that ask the same, as they come in."""

import datetime
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from sqlite_utils import Database

from kb.matching.likeness import SAME_WORDS, Likeness, Near
from kb.matching.shapes import Shape, is_current, shape, unpacked
from kb.store import database, groups
from kb.store import questions as log
from kb.store.groups import Representative
from kb.store.questions import Judgement, NewQuestion

MOST_KNOWN_BY = 4  # members by which a group is known; none is added that is not like all others
_LOOKED_AT = 12
_FEW = 1000  # so many new representatives are taken in one by one
_CHUNK = 1 << 16


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
                self._place(db, number, question, judgement.article, now, found)
        return number, new

    def log_new(
        self,
        db: Database,
        question: NewQuestion,
        judgement: Judgement,
        found: Shape,
        *,
        now: datetime.datetime,
    ) -> bool:
        """Log a question unless it is known, inside a ``batch``; true if it was new."""
        number = log.log_new(db, question, judgement, now=now)
        if number is not None:
            self._place(db, number, question, judgement.article, now, found)
        return number is not None

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
                group = standing[one.key][0]
                best.setdefault(group, Alike(group, one.likeness, one.how))
        return tuple(best.values())[:most]

    def catch_up(self, db: Database, *, most: int | None = None) -> int:
        """Give groups to questions logged without; how many there were."""
        done = 0
        while most is None or done < most:
            waiting = groups.ungrouped(db, limit=min(500, (most or 500) - done))
            if not waiting:
                break
            with self.batch(db):
                for question in waiting:
                    at = datetime.datetime.fromisoformat(question.asked_at or question.logged_at)
                    asked = NewQuestion(question.text, question.place)
                    self._place(db, question.id, asked, question.article, at, shape(question.text))
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

    def _place(
        self,
        db: Database,
        number: int,
        question: NewQuestion,
        article: str | None,
        now: datetime.datetime,
        found: Shape,
    ) -> int:
        self.refresh(db)
        near = self._index.nearest_to(found, _LOOKED_AT, article=article)
        standing = self._standing(db, near)
        best = next((one for one in near if one.key in standing), None)
        group, known = standing[best.key] if best else (None, 0)
        like = sum(standing[one.key][0] == group for one in near if one.key in standing)
        telling = best is None or (
            best.how != SAME_WORDS and known < MOST_KNOWN_BY and like == known
        )
        moment = (question.asked_at or now).astimezone(datetime.UTC)
        return groups.assign(
            db,
            number,
            text=question.text,
            article=article,
            at=moment.isoformat(timespec="seconds"),
            group=group,
            shape=found.packed() if telling else None,
        )

    def _standing(self, db: Database, near: tuple[Near, ...]) -> dict[int, tuple[int, int]]:
        """The group of each of these that the database still knows, and how many it is known by."""
        if not near:
            return {}
        standing = groups.known_by(db, (one.key for one in near))
        for one in near:
            if one.key not in standing:
                self._index.remove(one.key)
        return standing


def _packed(one: Representative) -> bytes:
    return one.shape if one.shape and is_current(one.shape) else shape(one.text).packed()
