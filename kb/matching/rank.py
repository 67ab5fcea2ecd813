"""Which documents answer a question, how sure that is, and why."""

from collections.abc import Iterable, Mapping, Sequence

from . import explain, limits, vocabulary
from .documents import KINDS, Document, Match, Matches
from .index import Found, Index, Weighed
from .limits import Case, Limits, Measures
from .normalise import parts

HALF_THE_LEAD = 0.5
MOST_SENTENCES = 6
MOST = {"article": 5, "symptom": 3, "calculator": 3}
LEFT_OUT = {"article": 400, "symptom": 80, "calculator": 80}  # wordings tried, of each kind


class Ranker:
    """Finds documents for questions; made by ``build``, unchanged afterwards, safe in threads."""

    def __init__(
        self,
        documents: Sequence[Document],
        terms: vocabulary.Vocabulary,
        off_topic: Sequence[str],
    ) -> None:
        self._index = Index(documents, terms)
        self._rows = {
            kind: [row for row, one in enumerate(documents) if one.kind == kind] for kind in KINDS
        }
        strangers = [self._best(text) for text in off_topic]
        self._strangers = {
            kind: [_trust(found[kind]) for found in strangers if found[kind]] for kind in KINDS
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
        best = self._best(text)
        articles = best["article"]
        verdict = self._limits["article"].verdict(_trust(articles)) if articles else "none"
        return Matches(
            verdict=verdict,
            articles=self._matches("article", articles)[: max(0, limit)],
            symptoms=self._sure("symptom", best["symptom"]),
            calculators=self._sure("calculator", best["calculator"]),
        )

    def _best(self, text: str) -> dict[str, list[Found]]:
        """For each kind the documents, each at its best over the whole text and its sentences."""
        questions = [self._index.question(part.text) for part in parts(text, most=MOST_SENTENCES)]
        asked = [self._index.weigh(question) for question in questions if question.stems]
        return {kind: self._merge(asked, rows) for kind, rows in self._rows.items()}

    def _merge(self, asked: Sequence[Weighed], rows: Sequence[int]) -> list[Found]:
        best: dict[int, Found] = {}
        for weighed in asked:
            for found in self._index.rank(weighed, rows):
                if found.row not in best or found.value > best[found.row].value:
                    best[found.row] = found
        return sorted(best.values(), key=lambda found: (-found.value, found.row))

    def _sure(self, kind: str, found: Sequence[Found]) -> tuple[Match, ...]:
        line = self._limits[kind].score(self._limits[kind].possible)
        return tuple(match for match in self._matches(kind, found) if match.score >= line)

    def _matches(self, kind: str, found: Sequence[Found]) -> tuple[Match, ...]:
        return tuple(
            self._match(kind, one, _trust(found, place))
            for place, one in enumerate(found[: MOST[kind]])
        )

    def _match(self, kind: str, found: Found, trust: float) -> Match:
        document = self._index.entries[found.row].document
        question, wording = found.question, found.wording
        why = explain.reasons(
            question.reading, question.stems, wording.text, wording.stems, self._index.telling
        )
        score = self._limits[kind].score(trust)
        return Match(kind, document.slug, document.title, round(score, 4), why)

    def _leave_out(self, kind: str) -> list[Case]:
        """A case for each wording, or for so many at even steps, whose document has another."""
        wordings = [
            (row, place)
            for row in self._rows[kind]
            if len(self._index.entries[row].asked) > 1
            for place in range(1, len(self._index.entries[row].asked))
        ]
        step = max(1, -(-len(wordings) // LEFT_OUT[kind]))
        return [self._case(kind, row, place) for row, place in wordings[::step]]

    def _case(self, kind: str, row: int, place: int) -> Case:
        found = self._index.rank_left_out(row, place, self._rows[kind])
        others = [one for one in found if one.row != row]
        where = [one.row for one in found].index(row) + 1
        return Case(where, _trust(found), _trust(others) if others else 0.0)


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


def _trust(found: Sequence[Found], place: int = 0) -> float:
    """The rank value and half the lead over the best of the others.

    The rank value is the score and the likeness to the nearest wording; behind the first the lead
    is negative.
    """
    best_other = next((one.value for at, one in enumerate(found) if at != place), 0.0)
    return found[place].value + HALF_THE_LEAD * (found[place].value - best_other)
