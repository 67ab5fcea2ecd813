"""The full-text index: SQLite FTS5 in memory gives word stems and ranks the documents' texts."""

import math
import sqlite3
import threading
from collections.abc import Iterable, Sequence

TOKENS = "porter unicode61 remove_diacritics 2"
WEIGHTS = (4.0, 2.0, 1.0)
_SATURATION = 2.2  # the most one word can count in FTS5's bm25: k1 + 1

Columns = tuple[Sequence[str], Sequence[str], Sequence[str]]


class Shelf:
    """Titles, headings and texts of the documents; one lock guards the one connection."""

    def __init__(self, rows: Sequence[Columns], known: Iterable[str]) -> None:
        self._lock = threading.Lock()
        self._database = sqlite3.connect(":memory:", check_same_thread=False, isolation_level=None)
        self._database.executescript(f"""
            CREATE VIRTUAL TABLE probe USING fts5(word, content='', tokenize="{TOKENS}");
            CREATE VIRTUAL TABLE probe_terms USING fts5vocab(probe, instance);
            CREATE VIRTUAL TABLE texts USING fts5(
                title, headings, body, content='', tokenize="{TOKENS}");
            CREATE VIRTUAL TABLE text_terms USING fts5vocab(texts, row);
            """)
        self._stems: dict[str, str] = {}
        self._stems = dict(zip(words := list(known), self.stems(words), strict=True))
        self._database.executemany(
            "INSERT INTO texts (rowid, title, headings, body) VALUES (?, ?, ?, ?)",
            ((row, *map(" ".join, columns)) for row, columns in enumerate(rows)),
        )
        self._rows = len(rows)
        counts = self._database.execute("SELECT term, doc FROM text_terms").fetchall()
        self._rarity = {term: self._rare(found) for term, found in counts}

    def stems(self, words: Sequence[str]) -> list[str]:
        """The stem of each word, as the index itself makes it."""
        new = [word for word in dict.fromkeys(words) if word not in self._stems]
        stems = self._probe(new) if new else {}
        return [self._stems.get(word) or stems.get(word, word) for word in words]

    def knows(self, stem: str) -> bool:
        """Is there a word with this stem in the texts?"""
        return stem in self._rarity

    def rank(self, words: Sequence[str]) -> dict[int, float]:
        """How well each text covers the words, from 0 to 1, by row; unknown words count against."""
        pairs = dict(zip(words, self.stems(words), strict=True))
        rarity = {word: self._rarity.get(stem, self._rare(0)) for word, stem in pairs.items()}
        wanted = [word for word, stem in pairs.items() if self._rarity.get(stem, 0.0) > 0]
        if not wanted:
            return {}
        query = " OR ".join(f'"{word}"' for word in wanted)
        with self._lock:
            found = self._database.execute(
                "SELECT rowid, bm25(texts, ?, ?, ?) FROM texts WHERE texts MATCH ? ORDER BY rowid",
                (*WEIGHTS, query),
            ).fetchall()
        most = _SATURATION * sum(weight for weight in rarity.values() if weight > 0)
        return {row: min(1.0, -value / most) for row, value in found}

    def _rare(self, found: int) -> float:
        return math.log((self._rows - found + 0.5) / (found + 0.5))

    def _probe(self, words: Sequence[str]) -> dict[str, str]:
        with self._lock:
            self._database.executemany(
                "INSERT INTO probe (rowid, word) VALUES (?, ?)", enumerate(words)
            )
            found = self._database.execute(
                "SELECT doc, term FROM probe_terms ORDER BY doc, offset"
            ).fetchall()
            self._database.execute("INSERT INTO probe (probe) VALUES ('delete-all')")
        stems: dict[str, str] = {}
        for row, term in found:
            stems[words[row]] = stems.get(words[row], "") + term
        return stems
