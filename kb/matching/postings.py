"""Shapes by their words, in compact arrays: who may be like a question, among a million others."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .shapes import BITS, HEAD_BYTES, PAIR, SPREAD, WEIGHTS, Shape, pair

_TAIL = 256  # rows kept in plain lists before they are sorted into a segment
_MUCH = 8  # a segment at least so many times as large as the next is left alone
_LARGEST = 1 << 17  # rows in a segment that is never merged again
_AT_ONCE = 1 << 16
_READ = 30_000  # rows read for one question; a word that stands in more tells little

Numbers = NDArray[Any]


@dataclass(frozen=True)
class _Segment:
    """For each feature, in order, the rows it stands in."""

    rows: int
    features: Numbers
    starts: Numbers
    places: Numbers

    def spans(self, wanted: Numbers) -> tuple[list[int], list[int]]:
        """From where to where each wanted feature's rows stand in ``places``."""
        at = np.searchsorted(self.features, wanted)
        starts = self.starts[at]
        sizes = (self.starts[at + 1] - starts) * (self.features[at] == wanted)
        return starts.tolist(), (starts + sizes).tolist()


class _Column:
    """A numpy array that grows."""

    def __init__(self, kind: Any) -> None:
        self.room = np.zeros(64, dtype=kind)
        self.size = 0

    @property
    def values(self) -> Numbers:
        """What it holds so far."""
        return self.room[: self.size]

    def extend(self, more: Any, count: int) -> None:
        """Append so many values."""
        if self.size + count > len(self.room):
            room = max(self.size + count, len(self.room) * 5 // 4)
            self.room = np.concatenate(
                (self.values, np.zeros(room - self.size, dtype=self.room.dtype))
            )
        self.room[self.size : self.size + count] = more
        self.size += count


class Postings:
    """Rows of shapes; a row's number never changes."""

    def __init__(self) -> None:
        self._keys, self._marks = _Column(np.int64), _Column(np.int32)
        self._words, self._word_ends = _Column(np.uint32), _Column(np.uint32)
        self._facts, self._fact_ends = _Column(np.uint16), _Column(np.uint32)
        self._lengths = _Column(np.float32)
        self._segments: list[_Segment] = []
        self._tail: dict[int, list[int]] = {}
        self._sorted = 0  # rows that stand in segments
        self._dead: set[int] = set()

    def __len__(self) -> int:
        return self._keys.size - len(self._dead)

    def key(self, row: int) -> int:
        """The key of a row."""
        return int(self._keys.values[row])

    def mark(self, row: int) -> int:
        """The number noted with a row."""
        return int(self._marks.values[row])

    def shape(self, row: int) -> Shape:
        """The shape of a row."""
        return Shape(self.words(row), self.facts(row))

    def add(self, key: int, found: Shape, mark: int) -> None:
        """Append one row."""
        row = self._keys.size
        self._append(
            [key], [mark], found.words, found.facts, [len(found.words)], [len(found.facts)]
        )
        self._lengths.extend(found.length, 1)
        for feature in (*found.weights, found.whole):
            self._tail.setdefault(feature, []).append(row)
        if row + 1 - self._sorted >= _TAIL:
            self._sort_in(self._sorted, row + 1)
            self._tail.clear()

    def extend(self, keys: Sequence[int], packed: Sequence[bytes], marks: Sequence[int]) -> None:
        """Append many rows of packed shapes."""
        if self._sorted < self._keys.size:
            self._sort_in(self._sorted, self._keys.size)
            self._tail.clear()
        for start in range(0, len(keys), _AT_ONCE):
            part = slice(start, start + _AT_ONCE)
            first = self._keys.size
            words, facts, counts = _unpacked(packed[part])
            self._append(keys[part], marks[part], words, facts, *counts)
            self._sort_in(first, self._keys.size, measure=True)

    def remove(self, key: int) -> None:
        """Drop the rows of a key."""
        self._dead.update(np.flatnonzero(self._keys.values == key).tolist())

    def words(self, row: int) -> tuple[int, ...]:
        """The words of a row."""
        return tuple(self._slice(self._words, self._word_ends, row).tolist())

    def facts(self, row: int) -> tuple[int, ...]:
        """The facts of a row."""
        return tuple(self._slice(self._facts, self._fact_ends, row).tolist())

    def candidates(
        self, asked: Shape, least: float, most: int
    ) -> tuple[list[tuple[int, float]], bool]:
        """Rows that may be at least so like the shape by their words, and how like; best first.

        The flag tells whether that is exact; if not, they are so like at most.
        """
        squares = {name: weight * weight for name, weight in asked.weights.items()}
        squares.setdefault(asked.whole, 0.0)
        places, shared, unread = self._read(squares)
        if not len(places):
            return [], True
        order = np.argsort(places, kind="stable")
        places = places[order]
        first = np.flatnonzero(np.concatenate(([True], places[1:] != places[:-1])))
        rows, sums = places[first], np.add.reduceat(shared[order], first)
        whole = self._lengths.room[rows] * asked.length
        chosen = np.flatnonzero(sums + unread >= (least - 1e-6) * whole)
        if not len(chosen):
            return [], True
        reach = np.ones(len(rows))
        np.divide(sums + unread, whole, out=reach, where=whole > 0)
        best = chosen[np.argsort(-reach[chosen], kind="stable")]
        found = zip(rows[best].tolist(), reach[best].tolist(), strict=True)
        alive = (pair for pair in found if pair[0] not in self._dead)
        return list(islice(alive, most)), not unread

    def _read(self, squares: dict[int, float]) -> tuple[Numbers, Numbers, float]:
        """The rows that hold a wanted feature, each with its share, and what was left unread.

        The rarest features are read first, and no further than pays.
        """
        wanted = np.fromiter(squares, dtype=np.uint32, count=len(squares))
        spans = [(segment.places, *segment.spans(wanted)) for segment in self._segments]
        tails = [self._tail.get(name, ()) for name in squares]
        sizes = [
            len(tail) + sum(ends[place] - starts[place] for _, starts, ends in spans)
            for place, tail in enumerate(tails)
        ]
        values = list(squares.values())
        found: list[Any] = []
        shares: list[tuple[float, int]] = []
        total, unread = 0, 0.0
        for place in sorted(range(len(sizes)), key=sizes.__getitem__):
            if total + sizes[place] > _READ:
                unread += values[place]
                continue
            total += sizes[place]
            for places, starts, ends in spans:
                if ends[place] > starts[place]:
                    found.append(places[starts[place] : ends[place]])
            if tails[place]:
                found.append(np.array(tails[place], dtype=np.int32))
            shares.append((values[place], sizes[place]))
        if not found:
            return np.array([], dtype=np.int32), np.array([]), unread
        shared = np.repeat([share for share, _ in shares], [count for _, count in shares])
        return np.concatenate(found), shared, unread

    def _append(
        self,
        keys: Sequence[int],
        marks: Sequence[int],
        words: Any,
        facts: Any,
        word_counts: Any,
        fact_counts: Any,
    ) -> None:
        self._keys.extend(keys, len(keys))
        self._marks.extend(marks, len(marks))
        for column, ends, values, counts in (
            (self._words, self._word_ends, words, word_counts),
            (self._facts, self._fact_ends, facts, fact_counts),
        ):
            ends.extend(column.size + np.cumsum(counts), len(counts))
            column.extend(values, len(values))

    def _sort_in(self, first: int, end: int, *, measure: bool = False) -> None:
        """Make a segment of these rows, and note their lengths if nobody has yet."""
        if end == first:
            return
        rows, features, weights = self._features(first, end)
        if measure:
            squares = np.bincount(rows, weights=weights * weights, minlength=end - first)
            self._lengths.extend(np.sqrt(squares), end - first)
        self._segments.append(_segment(rows + first, features, end - first))
        self._sorted = end
        self._merge()

    def _features(self, first: int, end: int) -> tuple[Numbers, Numbers, Numbers]:
        """Rows counted from ``first``, each with a feature of its own and what that counts."""
        begin = self._begin(self._word_ends, first)
        words = self._words.values[begin : int(self._word_ends.values[end - 1])]
        starts = np.concatenate(([begin], self._word_ends.values[first:end]))
        rows = np.repeat(np.arange(end - first), np.diff(starts))
        known = np.array(WEIGHTS)
        content = (words & 3) > 0
        silent = np.bincount(rows[content], minlength=end - first) == 0
        kept, of_row = words[content], rows[content]
        beside = (of_row[1:] == of_row[:-1]) & (kept[1:] != kept[:-1])
        one, other = kept[:-1][beside], kept[1:][beside]
        pairs = pair(np.minimum(one, other), np.maximum(one, other))
        lesser = PAIR * np.minimum(known[one & 3], known[other & 3])
        all_rows = np.concatenate((of_row, of_row[:-1][beside]))
        names = np.concatenate((kept, pairs))
        weights = np.concatenate((known[kept & 3], lesser))
        mixed = all_rows.astype(np.uint64) << np.uint64(32) | names
        _, once = np.unique(mixed, return_index=True)
        telling = content | silent[rows]
        wholes = _wholes(rows[telling], words[telling], end - first)
        return (
            np.concatenate((all_rows[once], np.arange(end - first))),
            np.concatenate((names[once], wholes)),
            np.concatenate((weights[once], np.zeros(end - first))),
        )

    def _merge(self) -> None:
        """Keep the segments few: each much larger than the next, or as large as any may be."""
        while len(self._segments) > 1:
            before, last = self._segments[-2:]
            rows = before.rows + last.rows
            if before.rows >= _MUCH * last.rows or rows > _LARGEST:
                return
            places = np.concatenate((before.places, last.places))
            features = np.concatenate(
                [np.repeat(one.features[:-1], np.diff(one.starts[:-1])) for one in (before, last)]
            )
            self._segments[-2:] = [_segment(places, features, rows)]

    @staticmethod
    def _begin(ends: _Column, row: int) -> int:
        return int(ends.room[row - 1]) if row else 0

    def _slice(self, column: _Column, ends: _Column, row: int) -> Numbers:
        return column.room[self._begin(ends, row) : ends.room[row]]


def _segment(places: Numbers, features: Numbers, rows: int) -> _Segment:
    order = np.argsort(features, kind="stable")
    names, starts = np.unique(features[order], return_index=True)
    ends = np.append(starts, (len(features), len(features))).astype(np.int32)
    after_all = np.array([BITS], dtype=np.uint32)  # where what is above all others is looked for
    return _Segment(rows, np.concatenate((names, after_all)), ends, places[order].astype(np.int32))


def _wholes(rows: Numbers, words: Numbers, count: int) -> Numbers:
    """For each row the number of all its words together, as ``Shape.whole`` makes it."""
    mixed = np.unique(rows.astype(np.uint64) << np.uint64(32) | words)
    spread = (mixed & np.uint64(BITS)) * np.uint64(SPREAD)
    sums = np.zeros(count, dtype=np.uint64)
    np.add.at(sums, (mixed >> np.uint64(32)).astype(np.int64), spread)
    return (sums & np.uint64(BITS)).astype(np.uint32)


def _unpacked(packed: Sequence[bytes]) -> tuple[Numbers, Numbers, tuple[Numbers, Numbers]]:
    """The words of these packed shapes one after another, their facts, and how many each has."""
    raw = np.frombuffer(b"".join(packed), dtype=np.uint8)
    starts = np.cumsum([0, *map(len, packed)])[:-1]
    words, facts = raw[starts + 1].astype(np.int64), raw[starts + 2].astype(np.int64)
    bodies = starts + HEAD_BYTES
    return (
        _gather(raw, bodies, words * 4).view("<u4"),
        _gather(raw, bodies + words * 4, facts * 2).view("<u2"),
        (words, facts),
    )


def _gather(raw: Numbers, starts: Numbers, sizes: Numbers) -> Numbers:
    """The bytes of all these stretches, one after another."""
    before = np.cumsum(sizes) - sizes
    return raw[np.repeat(starts - before, sizes) + np.arange(int(sizes.sum()))]
