"""Which documents answer a question, how sure that is, and why."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from . import explain, limits, vocabulary
from .arrays import Floats, Numbers
from .documents import KINDS, Document, Match, Matches, PartMatches
from .index import Index, Weighed
from .limits import Case, Limits, Measures, Sure
from .meaning import Meanings
from .normalise import parts

WHOLE = 0.4  # what the whole text counts in a document's value; the best part counts the rest
MOST_PARTS = 6
MOST = {"article": 5, "symptom": 3, "calculator": 3}
LEFT_OUT = {"article": 400, "symptom": 80, "calculator": 80}  # wordings tried, of each kind
_FADING = 3  # power with which scores fall behind the best


@dataclass(frozen=True, eq=False)
class _Looked:
    """A text looked up: the value of every document, and the parts it comes from."""

    values: Floats
    parts: tuple[Weighed, ...]


@dataclass(frozen=True, eq=False)
class _Ranked:
    """Documents of one kind, best first, with the values they have."""

    rows: Numbers
    values: Floats

    @property
    def best(self) -> Sure:
        """How sure the first is; of nothing, not at all."""
        if not self.rows.size:
            return Sure(0.0, 0.0)
        second = self.values[1] if self.rows.size > 1 else 0.0
        return Sure(float(self.values[0]), float(self.values[0] - second))


class Ranker:
    """Finds documents for questions; made by ``build``, unchanged afterwards, safe in threads."""

    def __init__(
        self,
        documents: Sequence[Document],
        terms: vocabulary.Vocabulary,
        off_topic: Sequence[str],
    ) -> None:
        self._index = Index(documents, terms, Meanings.shipped())
        # in the order of their names, so that equals stand in the same order whatever came first
        names = sorted(range(len(documents)), key=lambda row: documents[row].slug)
        self._rows = {
            kind: np.array([row for row in names if documents[row].kind == kind], np.intp)
            for kind in KINDS
        }
        looked = [self._look(text) for text in off_topic]
        self._strangers = {
            kind: [self._ranked(kind, one.values).best for one in looked if one] for kind in KINDS
        }
        self._cases = {kind: self._leave_out(kind) for kind in KINDS}
        self._limits = {
            kind: limits.find(self._cases[kind], self._strangers[kind]) for kind in KINDS
        }

    @property
    def limits(self) -> Mapping[str, Limits]:
        """The two limits of every kind of document, worked out from the content."""
        return dict(self._limits)

    def measure(self, kind: str = "article") -> Measures:
        """How well documents of a kind are found by their own wordings, each left out in turn."""
        return limits.measure(self._cases[kind], self._strangers[kind])

    def match(self, text: str, *, limit: int = 5) -> Matches:
        """What answers this text, best first; at most ``limit`` articles.

        Only the first 5,000 characters of the text count.
        """
        looked = self._look(text)
        if looked is None:
            return Matches("none", (), (), ())
        several = self._several(looked)
        if several:
            looked = _joined(several)
        best = self._ranked("article", looked.values)
        # the answer to another of several questions is no rival; the least sure part decides
        firsts = [self._ranked("article", part.values).best for part in several.values()]
        sure = min(firsts, key=lambda one: one.trust, default=best.best)
        return Matches(
            verdict=self._limits["article"].verdict(sure),
            articles=self._matches("article", looked, best, sure)[: max(0, limit)],
            symptoms=self._sure("symptom", looked),
            calculators=self._sure("calculator", looked),
            parts=tuple(self._part(one) for one in several.values()),
        )

    def _look(self, text: str) -> _Looked | None:
        """The text looked up as a whole and in its asking parts; None when it has no word."""
        found = parts(text, most=MOST_PARTS)
        asked = [self._index.question(part.text, asks=part.asks) for part in found]
        weighed = [self._index.weigh(one) if one.stems else None for one in asked]
        if weighed[0] is None:
            return None
        whole = weighed[0].values
        sought = [
            one.values
            for part, one in zip(found, weighed, strict=True)
            if one is not None and (part.whole or part.seeks)
        ]
        values = WHOLE * whole + (1 - WHOLE) * np.max(sought, axis=0)
        return _Looked(values, tuple(one for one in weighed if one is not None))

    def _ranked(self, kind: str, values: Floats) -> _Ranked:
        rows = self._rows[kind]
        own = values[rows]
        order = np.argsort(-own, kind="stable")
        return _Ranked(rows[order], own[order])

    def _several(self, looked: _Looked) -> dict[int, Weighed]:
        """The parts that ask for different articles, by their first, if there are two or more."""
        found: dict[int, Weighed] = {}
        for part in looked.parts[1:]:
            ranked = self._ranked("article", part.values)
            if self._limits["article"].stands_alone(ranked.best, asks=part.question.asks):
                row = int(ranked.rows[0])
                if row not in found or part.values[row] > found[row].values[row]:
                    found[row] = part
        return found if len(found) > 1 else {}

    def _part(self, part: Weighed) -> PartMatches:
        looked = _Looked(part.values, (part,))
        ranked = self._ranked("article", part.values)
        return PartMatches(
            text=part.question.text,
            verdict=self._limits["article"].verdict(ranked.best),
            articles=self._matches("article", looked, ranked, ranked.best),
        )

    def _sure(self, kind: str, looked: _Looked) -> tuple[Match, ...]:
        ranked = self._ranked(kind, looked.values)
        sure = int(np.sum(ranked.values >= self._limits[kind].possible))
        return self._matches(kind, looked, ranked, ranked.best)[:sure]

    def _matches(
        self, kind: str, looked: _Looked, ranked: _Ranked, sure: Sure
    ) -> tuple[Match, ...]:
        first = self._limits[kind].score(sure)
        return tuple(
            self._match(int(row), looked, first * float(value / ranked.values[0]) ** _FADING)
            for row, value in zip(ranked.rows[: MOST[kind]], ranked.values, strict=False)
            if value > 0
        )

    def _match(self, row: int, looked: _Looked, score: float) -> Match:
        document = self._index.entries[row].document
        part = max(looked.parts, key=lambda one: float(one.values[row]))
        why = self._why(row, part) if document.kind == "article" else ()
        return Match(document.kind, document.slug, document.title, round(min(1.0, score), 4), why)

    def _why(self, row: int, part: Weighed) -> tuple[str, ...]:
        question, wording = part.question, self._index.nearest(row, part)
        return explain.reasons(
            question.reading, question.stems, wording.text, wording.stems, self._index.telling
        )

    def _leave_out(self, kind: str) -> list[Case]:
        """A case for each wording, or for so many at even steps, whose document has another."""
        wordings = [
            (int(row), place)
            for row in self._rows[kind]
            for place in range(1, len(self._index.entries[row].asked))
        ]
        step = max(1, -(-len(wordings) // LEFT_OUT[kind]))
        return [self._case(kind, row, place) for row, place in wordings[::step]]

    def _case(self, kind: str, row: int, place: int) -> Case:
        ranked = self._ranked(kind, self._index.weigh_left_out(row, place).values)
        where = int(np.flatnonzero(ranked.rows == row)[0])
        others = _Ranked(np.delete(ranked.rows, where), np.delete(ranked.values, where))
        return Case(where + 1, ranked.best, others.best)


def _joined(several: Mapping[int, Weighed]) -> _Looked:
    """Several questions looked up together: what answers one of them stands before the rest."""
    values = np.max([part.values for part in several.values()], axis=0)
    rows = list(several)
    rest = np.minimum(values, values[rows].min() * np.float32(0.999))
    rest[rows] = values[rows]
    return _Looked(rest, tuple(several.values()))


def build(
    documents: Iterable[Document],
    *,
    terms: vocabulary.Vocabulary | None = None,
    off_topic: Sequence[str] | None = None,
) -> Ranker:
    """A ranker over these documents, with the shipped trade words unless others are given."""
    return Ranker(
        tuple(documents),
        vocabulary.shipped() if terms is None else terms,
        vocabulary.off_topic() if off_topic is None else off_topic,
    )
