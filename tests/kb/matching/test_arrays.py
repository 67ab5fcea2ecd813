"""Sums over features and means over groups, held against plain loops."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.matching.arrays import groups, sparse, times

VECTORS = st.dictionaries(st.sampled_from("abcdef"), st.floats(-4, 4, width=32))


@settings(deadline=None)
@given(st.lists(VECTORS, max_size=6), VECTORS)
def test_a_product_is_the_sum_over_shared_features(rows, vector):
    expected = [sum(vector[name] * row[name] for name in vector.keys() & row) for row in rows]
    assert sparse(rows).times(vector) == pytest.approx(expected, abs=1e-4)


def test_unknown_features_give_nothing():
    assert sparse([{"a": 1.0}]).times({"z": 1.0}).tolist() == [0.0]


@settings(deadline=None)
@given(st.lists(st.lists(st.integers(0, 9), max_size=5), min_size=1, max_size=5), st.integers(1, 4))
def test_the_best_of_a_group_are_its_highest_different_values(parts, most):
    values = np.array([value for part in parts for value in part], np.float32)
    expected = [np.mean(sorted(set(part))[-most:]) if part else 0 for part in parts]
    assert groups(map(len, parts)).best(values, most) == pytest.approx(expected)


def test_a_value_left_out_does_not_count():
    values = np.array([5, -np.inf, 3, -np.inf], np.float32)
    assert groups([3, 1]).best(values, 2).tolist() == [4.0, 0.0]


def test_rows_times_a_vector_are_numpys_own_product():
    rows = np.arange(12, dtype=np.float32).reshape(4, 3)
    vector = np.array([1, -2, 0.5], np.float32)
    assert times(rows, vector) == pytest.approx(rows @ vector)
