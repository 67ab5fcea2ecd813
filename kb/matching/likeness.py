"""Which logged question is like this one: same words, or the same question in other words."""

from collections.abc import Sequence
from dataclasses import dataclass

from .postings import Postings
from .shapes import NEARLY_THE_SAME, Shape, agreement, enough, likeness, shape

ALIKE = 0.68  # two different questions in one group get one reply: better apart than wrong
EVIDENCE = 0.05  # what the same answer speaks for two questions, and another answer against them
SAME_WORDS, SAME_QUESTION = "same words", "same question"
_COMPARED = 12  # candidates looked at closely


@dataclass(frozen=True)
class Near:
    """A question like the one asked about; ``how`` is “same words” or “same question”."""

    key: int
    likeness: float
    how: str


class Likeness:
    """Questions by what they ask; adding one never changes how alike two others are."""

    def __init__(self) -> None:
        self._postings = Postings()
        self._articles: dict[str, int] = {}

    def __len__(self) -> int:
        return len(self._postings)

    def add(self, key: int, text: str, *, article: str | None = None) -> None:
        """Take in a question, and the article that answers it."""
        self.add_shape(key, shape(text), article=article)

    def add_shape(self, key: int, found: Shape, *, article: str | None = None) -> None:
        """Take in a question whose shape is known."""
        self._postings.add(key, found, self._number(article))

    def add_packed(self, rows: Sequence[tuple[int, bytes, str | None]]) -> None:
        """Take in many shapes as bytes, much faster than one by one."""
        keys = [key for key, _, _ in rows]
        marks = [self._number(article) for _, _, article in rows]
        self._postings.extend(keys, [raw for _, raw, _ in rows], marks)

    def remove(self, key: int) -> None:
        """Forget a question; one that is not there is no fault."""
        self._postings.remove(key)

    def nearest(self, text: str, most: int = 5, *, article: str | None = None) -> tuple[Near, ...]:
        """The questions that ask the same, most alike first; none if none does."""
        return self.nearest_to(shape(text), most, article=article)

    def nearest_to(
        self, asked: Shape, most: int = 5, *, article: str | None = None
    ) -> tuple[Near, ...]:
        """The questions that ask the same as this shape, most alike first."""
        number = self._number(article)
        least = ALIKE - EVIDENCE
        found = []
        rows, exact = self._postings.candidates(asked, least, max(most, _COMPARED))
        for row, reach in rows:
            words = reach * agreement(asked.facts, self._postings.facts(row))
            if words < least - 1e-6:
                continue
            if exact:
                words = enough(words, asked.words, self._postings.words(row))
            else:
                words = likeness(asked, self._postings.shape(row))
            value = with_evidence(words, number, self._postings.mark(row))
            if value >= ALIKE:
                how = SAME_WORDS if words >= NEARLY_THE_SAME else SAME_QUESTION
                found.append(Near(self._postings.key(row), round(value, 4), how))
        return tuple(sorted(found, key=lambda near: (-near.likeness, near.key))[:most])

    def _number(self, article: str | None) -> int:
        if article is None:
            return 0
        return self._articles.setdefault(article, len(self._articles) + 1)


def with_evidence(value: float, ours: int, theirs: int) -> float:
    """A likeness with what the articles that answer both say to it; nothing outweighs the words."""
    if not ours or not theirs or value >= NEARLY_THE_SAME or not value:
        return value
    return min(value + EVIDENCE, NEARLY_THE_SAME) if ours == theirs else value - EVIDENCE
