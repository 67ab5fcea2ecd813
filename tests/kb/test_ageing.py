"""The same day so many months earlier."""

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.ageing import months_before


@pytest.mark.parametrize(
    ("day", "months", "found"),
    [
        ("2026-11-27", 24, "2024-11-27"), ("2026-03-31", 1, "2026-02-28"),
        ("2024-03-31", 1, "2024-02-29"), ("2026-01-15", 1, "2025-12-15"),
        ("2026-11-27", 99_999, "0001-01-01"),
    ],
)  # fmt: skip
def test_months_before_is_the_same_day_or_the_months_last(day, months, found):
    assert str(months_before(datetime.date.fromisoformat(day), months)) == found


@given(st.dates(min_value=datetime.date(1900, 1, 1)), st.integers(0, 1200))
def test_it_lies_so_many_months_back(day, months):
    found = months_before(day, months)
    assert (day.year - found.year) * 12 + day.month - found.month == months
    assert found.day <= day.day
