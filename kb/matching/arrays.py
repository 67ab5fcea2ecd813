"""Many rows at once: weights of named features in rows, and rows that belong to documents."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float32]
Numbers = npt.NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Sparse:
    """What each named feature weighs in each row, kept feature by feature."""

    numbers: Mapping[str, int]
    starts: Numbers
    rows: Numbers
    weights: Floats
    height: int

    def times(self, vector: Mapping[str, float]) -> Floats:
        """For each row the sum, over the features of the vector, of weight times weight."""
        known = [
            (self.numbers[name], weight) for name, weight in vector.items() if name in self.numbers
        ]
        if not known:
            return np.zeros(self.height, np.float32)
        features = np.array([number for number, _ in known], np.intp)
        starts = self.starts[features]
        lengths = self.starts[features + 1] - starts
        total = int(lengths.sum())
        first = np.cumsum(lengths) - lengths
        places = np.repeat(starts - first, lengths) + np.arange(total)
        weights = np.repeat(np.array([weight for _, weight in known], np.float32), lengths)
        found = np.bincount(
            self.rows[places], weights=self.weights[places] * weights, minlength=self.height
        )
        return found.astype(np.float32)


def sparse(vectors: Sequence[Mapping[str, float]]) -> Sparse:
    """The vectors as rows, in the order given."""
    numbers: dict[str, int] = {}
    features = [numbers.setdefault(name, len(numbers)) for one in vectors for name in one]
    rows = np.repeat(np.arange(len(vectors)), [len(one) for one in vectors])
    weights = np.array([weight for one in vectors for weight in one.values()], np.float32)
    of_feature = np.array(features, np.intp)
    order = np.argsort(of_feature, kind="stable")
    counts = np.bincount(of_feature, minlength=len(numbers))
    starts = np.concatenate(([0], np.cumsum(counts))).astype(np.intp)
    return Sparse(numbers, starts, rows[order], weights[order], len(vectors))


def times(rows: Floats, vector: Floats) -> Floats:
    """Each row times the vector.

    Not by the usual product: it would start threads, and for so little they wait for each other.
    """
    return np.asarray(np.einsum("ij,j->i", rows, vector), np.float32)


@dataclass(frozen=True, eq=False)
class Groups:
    """Which rows belong to which document: each document's follow one another."""

    of_row: Numbers
    filled: Numbers  # the documents that have rows
    starts: Numbers  # where the rows of each of these begin
    height: int

    def best(self, values: Floats, most: int) -> Floats:
        """For each document the mean of its highest values, equal ones once.

        Minus infinity is no value.
        """
        total, given = np.zeros((2, self.height), np.float32)
        left = values
        for turn in range(most if self.filled.size else 0):
            highest = np.full(self.height, -np.inf, np.float32)
            highest[self.filled] = np.maximum.reduceat(left, self.starts)
            found = highest > -np.inf
            total[found] += highest[found]
            given += found
            if turn < most - 1:
                left = np.where(left < highest[self.of_row], left, np.float32(-np.inf))
        return np.asarray(total / np.maximum(given, 1), np.float32)


def groups(sizes: Iterable[int]) -> Groups:
    """Groups of so many rows each, one after the other."""
    lengths = np.array(list(sizes), np.intp)
    filled = np.flatnonzero(lengths)
    starts = (np.cumsum(lengths) - lengths)[filled]
    return Groups(np.repeat(np.arange(len(lengths)), lengths), filled, starts, len(lengths))
