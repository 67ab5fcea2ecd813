"""What a half-typed text may lead to: documents whose words begin as the typed words do."""

import bisect
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from .documents import Document
from .normalise import words

IN_TITLE = 1.0
IN_WORDING = 0.6
WHOLE_WORD = 0.25  # more for a word typed to its end
MOST_WORDS = 12


@dataclass(frozen=True)
class Lead:
    """A document that a half-typed text may be after; ``share`` of its words were met, 0 to 1."""

    kind: str
    slug: str
    title: str
    share: float


class Beginnings:
    """Finds documents by the beginnings of words; unchanged once made, safe in threads."""

    def __init__(self, documents: Iterable[Document]) -> None:
        self._documents = tuple(documents)
        rows: dict[str, dict[int, float]] = {}
        for row, document in enumerate(self._documents):
            for texts, weight in (((document.title,), IN_TITLE), (document.wordings, IN_WORDING)):
                for word in {word for text in texts for word in words(text)}:
                    found = rows.setdefault(word, {})
                    found[row] = max(weight, found.get(row, 0.0))
        self._words = sorted(rows)
        self._rows = [rows[word] for word in self._words]

    def find(self, text: str, *, most: int = 6) -> tuple[Lead, ...]:
        """The likeliest documents, best first; telling words count more than common ones."""
        typed = list(dict.fromkeys(words(text[-400:])))[-MOST_WORDS:]
        scores: dict[int, float] = {}
        possible = 0.0
        for word in typed:
            met = self._met(word)
            if not met:
                continue
            telling = 1.0 / (1.0 + len(met) / 8)
            possible += telling * (IN_TITLE + WHOLE_WORD)
            for row, weight in met.items():
                scores[row] = scores.get(row, 0.0) + telling * weight
        best = sorted(scores, key=lambda row: (-scores[row], row))[:most]
        return tuple(self._lead(row, scores[row] / possible) for row in best)

    def _met(self, beginning: str) -> dict[int, float]:
        """The rows with a word that begins so, and how well."""
        met: dict[int, float] = {}
        for place in range(bisect.bisect_left(self._words, beginning), len(self._words)):
            word = self._words[place]
            if not word.startswith(beginning):
                break
            more = WHOLE_WORD if word == beginning else 0.0
            for row, weight in self._rows[place].items():
                met[row] = max(met.get(row, 0.0), weight + more)
        return met

    def _lead(self, row: int, share: float) -> Lead:
        document = self._documents[row]
        return Lead(document.kind, document.slug, document.title, share)


def merged(matched: Sequence[Lead], begun: Sequence[Lead], *, most: int) -> tuple[Lead, ...]:
    """Both lists in turn, the matched first, each document once."""
    both: dict[tuple[str, str], Lead] = {}
    for place in range(max(len(matched), len(begun))):
        for leads in (matched, begun):
            for lead in leads[place : place + 1]:
                both.setdefault((lead.kind, lead.slug), lead)
    return tuple(both.values())[:most]
