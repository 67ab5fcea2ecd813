"""The documents' texts: their word stems as SQLite's FTS5 makes them, and how well each covers
the words of a question."""

import math
import sqlite3
import threading
from collections.abc import Iterable, Sequence

from .arrays import Floats, sparse

TOKENS = "porter unicode61 remove_diacritics 2"
WEIGHTS = (4.0, 2.0, 1.0)
SATURATION = 1.2  # k1 of BM25
BY_LENGTH = 0.75  # b of BM25
_REMEMBERED = 20_000

Columns = tuple[Sequence[str], Sequence[str], Sequence[str]]


class Shelf:
    """Titles, headings and texts of the documents; one lock guards the one connection."""

    def __init__(self, rows: Sequence[Columns], known: Iterable[str]) -> None:
        self._lock = threading.Lock()
        self._database = sqlite3.connect(":memory:", check_same_thread=False, isolation_level=None)
        self._database.executescript(f"""
            CREATE VIRTUAL TABLE probe USING fts5(word, content='', tokenize="{TOKENS}");
            CREATE VIRTUAL TABLE probe_terms USING fts5vocab(probe, instance);
            """)
        self._stems: dict[str, str] = {}
        self._met: dict[str, str] = {}
        self._stems = dict(zip(words := list(known), self.stems(words), strict=True))
        counts = [self._counts(row) for row in rows]
        self._rows = len(rows)
        found: dict[str, int] = {}
        for one in counts:
            for stem in one:
                found[stem] = found.get(stem, 0) + 1
        self._rarity = {stem: self._rare(number) for stem, number in found.items()}
        self._shares = sparse(self._weighted(rows, counts))

    def stems(self, words: Sequence[str]) -> list[str]:
        """The stem of each word, as the index itself makes it."""
        if len(self._met) > _REMEMBERED:
            self._met = {}
        known, met = self._stems, self._met
        new = [word for word in dict.fromkeys(words) if word not in known and word not in met]
        if new:
            met.update(self._probe(new))
        return [known.get(word) or met.get(word, word) for word in words]

    def rank(self, words: Sequence[str]) -> Floats:
        """How well each text covers the words, from 0 to 1, by row; unknown words count against.

        Words of one stem count each.
        """
        pairs = dict(zip(words, self.stems(words), strict=True))
        rarity = [self._rarity.get(stem, self._rare(0)) for stem in pairs.values()]
        most = (SATURATION + 1) * sum(weight for weight in rarity if weight > 0)
        asked: dict[str, float] = {}
        for stem in pairs.values():
            if self._rarity.get(stem, 0.0) > 0:
                asked[stem] = asked.get(stem, 0.0) + 1 / most
        return self._shares.times(asked)

    def _counts(self, row: Columns) -> dict[str, float]:
        """How often each stem stands in a text, its column counted in."""
        counts: dict[str, float] = {}
        for column, weight in zip(row, WEIGHTS, strict=True):
            for stem in self.stems(column):
                counts[stem] = counts.get(stem, 0.0) + weight
        return counts

    def _weighted(
        self, rows: Sequence[Columns], counts: Sequence[dict[str, float]]
    ) -> list[dict[str, float]]:
        """What each stem gives to each text: BM25 with a weight for every column."""
        lengths = [sum(map(len, row)) for row in rows]
        usual = sum(lengths) / max(1, len(lengths)) or 1.0
        weighted = []
        for one, length in zip(counts, lengths, strict=True):
            spread = SATURATION * (1 - BY_LENGTH + BY_LENGTH * length / usual)
            weighted.append(
                {
                    stem: self._rarity[stem] * often * (SATURATION + 1) / (often + spread)
                    for stem, often in one.items()
                    if self._rarity[stem] > 0
                }
            )
        return weighted

    def _rare(self, found: int) -> float:
        return math.log((self._rows - found + 0.5) / (found + 0.5))

    def _probe(self, words: Sequence[str]) -> dict[str, str]:
        """The stems of words; plain ones go in as one text, since that is many times faster."""
        plain = [word for word in words if word.isascii() and word.isalnum()]
        other = [word for word in words if not (word.isascii() and word.isalnum())]
        with self._lock:
            found = dict(zip(plain, self._terms([" ".join(plain)]).get(0, ()), strict=True))
            terms = self._terms(other)
        return found | {word: "".join(terms.get(row, (word,))) for row, word in enumerate(other)}

    def _terms(self, texts: Sequence[str]) -> dict[int, list[str]]:
        """The terms that FTS5 makes of each text, in order."""
        self._database.executemany(
            "INSERT INTO probe (rowid, word) VALUES (?, ?)", enumerate(texts)
        )
        terms: dict[int, list[str]] = {}
        for row, term in self._database.execute(
            "SELECT doc, term FROM probe_terms ORDER BY doc, offset"
        ):
            terms.setdefault(row, []).append(term)
        self._database.execute("INSERT INTO probe (probe) VALUES ('delete-all')")
        return terms
