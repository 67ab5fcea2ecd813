"""How a book is read: steps of kits, days without feed, what is usual."""

import pytest

from kb.book import Book, Dose, Feed, Reading, System, Water
from kb.book.ahead import habit_of
from kb.book.course import ALKALINITY_STEPS, PH_STEPS, course, kit_step

FOUR_HOURS = 4 / 24  # the day before a book begins is taken as fed at noon; books begin at eight


@pytest.mark.parametrize(
    ("values", "steps", "found"),
    [
        ((6.4, 6.8, 7.0, 6.6), PH_STEPS, 0.2),
        ((6.4, 6.5, 7.0, 6.6), PH_STEPS, 0.1),
        ((6.5, 7.0, 7.5, 6.0), PH_STEPS, 0.5),
        ((6.41, 6.57, 7.03, 6.62), PH_STEPS, 0.01),
        ((35.696, 53.544, 17.848, 71.392), ALKALINITY_STEPS, 17.848),  # 2, 3, 1 and 4 drops of dKH
        ((35.7, 53.5, 17.8, 71.4), ALKALINITY_STEPS, 17.848),
        ((44.62, 35.696, 26.772, 53.544), ALKALINITY_STEPS, 8.924),
        ((41.3, 38.27, 55.519, 60.6), ALKALINITY_STEPS, 0.0),
        ((6.4,), PH_STEPS, 0.2),
    ],
)
def test_the_step_of_a_kit_shows_in_its_readings(values, steps, found):
    assert kit_step(values, steps) == found


def test_all_feed_has_had_its_effect_a_day_later(day):
    entries = (Reading(day(0), "ph", 6.8), Feed(day(0.1), 30.0), Feed(day(0.6), 20.0),
               Reading(day(1.64), "ph", 6.8))  # fmt: skip
    walk = course(Book(System(100.0), entries), day(1.64))

    assert walk.feed_g.sum() == pytest.approx((1 + FOUR_HOURS) * 50.0)


def test_days_without_feed_written_down_are_taken_like_those_nearest_to_them(day):
    fed = [n for n in range(20) if n not in (8, 9)]
    entries = [Reading(day(n), "ph", 6.8) for n in range(21)]
    entries += [Feed(day(n + 0.05), 40.0 if n < 12 else 80.0) for n in fed]
    walk = course(Book(System(100.0), tuple(entries)), day(20))

    assert walk.feed_g[9:11] == pytest.approx([40.0, 40.0], rel=0.15)
    assert walk.unsure_g2.sum() == pytest.approx((2 + FOUR_HOURS) * (0.5 * 40) ** 2)
    assert walk.usual_feed_g == pytest.approx(40 * 6 / 14 + 80 * 8 / 14, rel=0.02)


def test_a_recorded_nought_is_a_day_without_feed(day):
    entries = [Reading(day(n), "ph", 6.8) for n in range(4)]
    entries += [Feed(day(n + 0.05), 0.0 if n == 1 else 40.0) for n in range(3)]
    walk = course(Book(System(100.0), tuple(entries)), day(3))

    assert walk.feed_g[2] == pytest.approx(2.0, abs=0.1)  # what is left of the day before


def test_top_up_counts_by_what_is_known_of_it(day):
    entries = (
        Reading(day(0), "ph", 6.8),
        Water(day(1), added_l=10.0, alkalinity=100.0),
        Water(day(2), added_l=10.0),
        Water(day(3), changed_l=25.0, alkalinity=150.0),
    )
    known = course(Book(System(100.0, top_up_alkalinity=50.0), entries), day(10))
    unknown = course(Book(System(100.0), entries), day(10))

    assert known.top_up_mg_l_day == pytest.approx(1.5)
    assert (known.changed_a_day, known.changed_mg_l) == pytest.approx((0.025, 150.0))
    assert (known.top_up_unknown, unknown.top_up_unknown) == (False, True)


def test_a_habit_is_the_ph_below_which_one_doses_and_how_often(day):
    entries = []
    for number in range(20):
        low = number % 4 == 3
        entries.append(Reading(day(number), "ph", 6.5 if low else 6.9))
        if low:
            entries.append(Dose(day(number + 0.02), "potassium-hydroxide", 5.0))
    book = Book(System(100.0), tuple(entries))
    habit = habit_of(book, course(book, day(20)), day(20))

    assert (habit.below_ph, habit.share, habit.dosed_today) == (6.5, 1.0, False)
    assert len(habit.doses) == 5
    assert habit.doses[0].mg_l == pytest.approx(5 / 56.106 * 50043 / 100, rel=1e-3)
