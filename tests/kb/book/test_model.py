"""What a book takes in, and what it refuses."""

from datetime import datetime

import pytest

from kb.book import Book, Dose, Estimate, Feed, Reading, Remark, System, Water
from kb.errors import InputErrors


def test_entries_are_put_in_order_and_a_test_comes_before_the_dose_of_the_same_minute(day):
    dose, test, early = Dose(day(1), "dolomite", 3.0), Reading(day(1), "ph", 6.5), Feed(day(0), 2.0)

    assert Book(System(100.0), (dose, test, early)).entries == (early, test, dose)


def test_everything_that_cannot_be_is_named_with_its_place(day):
    entries = (
        Reading(day(0), "ph", 15.0),
        Reading(day(0), "colour", 1.0),
        Dose(day(0), "salt", 1.0),
        Feed(day(0), float("nan")),
        Water(day(0), added_l=-1.0),
        Remark(datetime(2024, 4, 1), "no zone"),
    )
    with pytest.raises(InputErrors) as refused:
        Book(System(0.0, base="acid"), entries)

    assert [problem.input for problem in refused.value.problems] == [
        "system volume_l", "system base", "entry 1 ph", "entry 2 quantity", "entry 3 substance",
        "entry 4 feed", "entry 5 water", "entry 6",
    ]  # fmt: skip
    assert "entry 1 ph is 15; it must be from 0 to 14 pH." in str(refused.value)


def test_an_estimate_reads_as_one_line():
    one = Estimate("x", "Acid made a day", 4.9, 4.02, 5.86, "g/day", "basis")

    assert one.as_text() == "Acid made a day: 4.90 g/day (4.02 to 5.86, 90 % sure)"
