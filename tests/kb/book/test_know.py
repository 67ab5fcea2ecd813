"""What a book tells, what it does not, and what it never advises."""

import json
import random
from dataclasses import replace
from datetime import timedelta

import pytest

from kb import cautions
from kb.book import Book, Dose, Feed, Reading, System, Water, know
from kb.book.course import SLOW
from kb.science.carbonate import from_reading, settle
from kb.science.dosing import add
from kb.science.reach import product_mol_l
from kb.science.substances import ACIDS, BASES


def width(one):
    return one.high - one.low


def test_an_empty_book_says_what_to_do_first(day):
    known = know(Book(System(500.0)), now=day(0))

    assert not known.enough
    assert known.estimates == known.residuals == known.forecast(1) == ()
    assert "Measure pH and alkalinity (KH) now" in known.missing[0]
    assert known.advice.grams is None


def test_what_is_put_in_every_day_is_what_is_used(steady_book):
    book, now = steady_book()
    known = know(book, now=now)
    load = known.estimate("acid-load")

    assert known.enough
    assert load.low < 10.0 < load.high  # 16.8 g of sodium bicarbonate a day are 10 g as CaCO3
    assert load.value == pytest.approx(10.0, rel=0.2)
    assert known.estimate("load-per-feed").value == pytest.approx(load.value, rel=1e-6)
    assert known.estimate("holding-dose").value == pytest.approx(16.8, rel=0.15)
    assert known.estimate("dose-lasts-sodium-bicarbonate").value == pytest.approx(1.0, rel=0.15)


def test_the_same_book_gives_the_same_figures(steady_book):
    book, now = steady_book()

    assert know(book, now=now).as_json() == know(book, now=now).as_json()


def test_entries_after_the_moment_asked_about_do_not_count(steady_book, day):
    book, _ = steady_book(20)
    early = Book(book.system, tuple(e for e in book.entries if e.at <= day(10)))

    assert know(book, now=day(10)).as_json() == know(early, now=day(10)).as_json()


def test_a_narrower_level_gives_a_narrower_interval_about_the_same_middle(steady_book):
    book, now = steady_book()
    wide, narrow = (know(book, now=now, level=level).estimate("acid-load") for level in (0.9, 0.5))

    assert wide.low < narrow.low < narrow.value == wide.value < narrow.high < wide.high


def test_intervals_widen_when_readings_are_sparse(steady_book):
    book, now = steady_book(30)
    kept = tuple(
        entry
        for number, entry in enumerate(book.entries)
        if not isinstance(entry, Reading) or number % 4 == 0
    )
    full = know(book, now=now)
    sparse = know(Book(book.system, (*kept, book.entries[0])), now=now)

    for name in ("acid-load", "alkalinity-now", "days-to-floor"):
        assert width(sparse.estimate(name)) > width(full.estimate(name))


def test_without_alkalinity_the_buffer_is_less_sure_and_the_book_asks_for_it(steady_book):
    (with_kit, now), (without, _) = steady_book(), steady_book(alkalinity=False)
    sure, unsure = know(with_kit, now=now), know(without, now=now)

    assert width(unsure.estimate("alkalinity-now")) > 2 * width(sure.estimate("alkalinity-now"))
    assert any("alkalinity (KH) today" in sentence for sentence in unsure.missing)
    assert not any("alkalinity (KH) today" in sentence for sentence in sure.missing)


def test_one_false_reading_moves_little_and_is_pointed_out(steady_book, day):
    book, now = steady_book()
    false = Reading(day(12.1), "ph", 5.2)
    before, after = (
        know(book, now=now),
        know(replace(book, entries=(*book.entries, false)), now=now),
    )
    found = {one.at: one for one in after.residuals}[false.at]

    assert found.outlier > 0.9
    assert found.measured < found.predicted - 1
    for name in ("acid-load", "alkalinity-now"):
        moved = after.estimate(name).value - before.estimate(name).value
        assert abs(moved) < width(before.estimate(name)) / 3


def test_a_last_reading_that_does_not_fit_is_to_be_tested_again(steady_book, day):
    book, _ = steady_book(extra=(Reading(day(20.2), "ph", 9.4),))

    assert "does not fit the rest of the book" in know(book, now=day(20.2)).missing[0]


def test_days_without_entries_are_bridged(steady_book, day):
    book, now = steady_book(30)
    kept = tuple(entry for entry in book.entries if not day(14) <= entry.at < day(17))
    kept += tuple(Dose(day(n + 0.1), "sodium-bicarbonate", 16.8) for n in (14, 15, 16))
    load = know(Book(book.system, kept), now=now).estimate("acid-load")

    assert load.low < 10.0 < load.high


def test_after_a_long_silence_the_readings_are_believed(steady_book, day):
    """Forty days in which nobody wrote anything; the water is harder than before."""
    later = [Reading(day(60 + n), "ph", 7.1) for n in range(3)]
    later.append(Reading(day(60.1), "alkalinity", 80.0))
    book, _ = steady_book(20, last=later)
    silent = know(Book(book.system, book.entries[:-4]), now=day(60))
    known = know(book, now=day(62))

    assert width(silent.estimate("alkalinity-now")) > 80
    assert known.estimate("alkalinity-now").value == pytest.approx(72, abs=16)
    assert known.estimate("acid-load").low < 10 < known.estimate("acid-load").high


def test_too_short_a_book_says_so(steady_book):
    book, now = steady_book(3)
    known = know(book, now=now)

    assert not known.enough
    assert known.comparison == ()
    assert known.as_text().startswith("There is not enough in the book yet")
    assert any("every day at the same hour" in sentence for sentence in known.missing)


def test_what_is_not_written_down_is_asked_for(day):
    entries = [Reading(day(n), "ph", 6.8) for n in range(12)]
    entries += [Water(day(3), added_l=50.0), Reading(day(4), "alkalinity", 40.0)]
    said = " ".join(know(Book(System(800.0), tuple(entries)), now=day(11)).missing)

    for words in ("feed of each day", "water you top up with", "Test ammonia", "No dose is in"):
        assert words in said


@pytest.mark.parametrize(
    ("grams_of_feed", "words"),
    [
        (250.0, "less than planted systems usually show"),
        (100.0, "usual for systems with plants"),
        (60.0, "more than planted systems usually show"),
        (24.0, "more than this feed can explain"),
    ],
)
def test_the_difference_from_the_textbook_has_its_reason(steady_book, grams_of_feed, words):
    """10 g a day used; nitrifying all of 100 g of feed (32 % protein) would use 21 g."""
    book, now = steady_book(40)
    entries = tuple(
        replace(entry, grams=grams_of_feed) if isinstance(entry, Feed) else entry
        for entry in book.entries
    )

    assert words in know(Book(book.system, entries), now=now).comparison[0]


def test_hard_top_up_is_counted_and_spoken_of(steady_book, day):
    book, now = steady_book(
        20, extra=[Water(day(n + 0.2), added_l=20.0, alkalinity=200.0) for n in range(20)]
    )
    known = know(book, now=now)

    assert known.estimate("acid-load").value == pytest.approx(14.0, rel=0.2)
    assert any("top-up water brings" in sentence for sentence in known.comparison)


def test_a_weak_powder_is_found_out(day):
    """By rises that are three fifths of what the label promises, tested before and after."""
    entries, buffer = [], 60.0
    for number in range(40):
        now = day(number)
        entries += [Reading(now, "alkalinity", round(buffer)), Feed(now, 60.0)]
        entries.append(Reading(now, "ph", round(6.85 + (buffer - 60) / 60 * 0.43, 1)))
        if number % 5 == 0:
            entries.append(Dose(now + timedelta(hours=1), "potassium-bicarbonate", 100.0))
            entries.append(Reading(now + timedelta(hours=5), "alkalinity", round(buffer + 29)))
            buffer += 30.0
        buffer -= 6.0
    known = know(Book(System(1000.0), tuple(entries)), now=day(39.1))
    share = known.estimate("effectiveness-potassium-bicarbonate")

    assert share.high < 90
    assert 55 < share.value < 78  # on its way from the 93 of a usual powder to 60
    assert any("what its label promises" in sentence for sentence in known.comparison)


def test_all_of_it_can_be_written_as_json_and_text(steady_book):
    book, now = steady_book()
    known = know(book, now=now)
    written = json.loads(json.dumps(known.as_json(), allow_nan=False))

    assert [one["id"] for one in written["estimates"]] == [one.id for one in known.estimates]
    assert {one["quantity"] for one in written["forecast"]} == {"ph", "alkalinity"}
    assert known.advice.text in known.as_text()


def test_a_forecast_grows_less_sure_with_time_and_counts_planned_doses(steady_book, day):
    book, now = steady_book()
    known = know(book, now=now)
    (_, soon), (_, late) = known.forecast(1), known.forecast(3)
    (_, dosed) = known.forecast(3, (Dose(day(21), "sodium-bicarbonate", 84.0),))
    (_, usual) = known.forecast(7, as_usual=True)

    assert width(soon) < width(late)
    assert late.value < soon.value < 45
    assert dosed.value == pytest.approx(late.value + 50, abs=12)
    assert abs(usual.value - 42) < 15


@pytest.mark.parametrize("base", BASES)
def test_a_step_moves_ph_by_no_more_than_three_tenths(steady_book, base):
    """Held against the full solver, at once and settled, for the water that the readings mean."""
    book, now = steady_book(target_ph=7.6, base=base)
    known = know(book, now=now)
    step = known.advice
    water = from_reading(
        ph=known.estimate("ph-now").value,
        alkalinity_mg_l=known.estimate("alkalinity-now").value,
        temp_c=24.0,
    )
    mol_l = product_mol_l(BASES[base], grams=step.grams, volume_l=1000.0, percent=100)
    held = settle(water).co2_mol_l
    settled = settle(add(water, BASES[base], mol_l), co2_mol_l=held).ph
    at_once = settled if base in SLOW else settle(add(water, BASES[base], mol_l)).ph

    assert step.substance == base
    assert 0.05 < max(settled, at_once) - settle(water).ph <= 0.31
    assert step.ph_after == pytest.approx(settled, abs=0.06)
    assert "test pH before anything else goes in" in step.text


def test_at_the_target_nothing_is_dosed(steady_book):
    book, now = steady_book(target_ph=6.8)
    advice = know(book, now=now).advice

    assert advice.grams is None
    assert advice.text.startswith("No base now")


def test_acid_is_never_advised(steady_book, day):
    """Not even where pH is far over its target, or acid is what the book has been full of."""
    acids = [Dose(day(n + 0.3), "phosphoric", 3.0) for n in range(20)]
    book, now = steady_book(target_ph=5.8, floor_ph=5.5, extra=acids)
    advice = know(book, now=now).advice

    assert advice.substance is None
    assert "Acid does not go into water with fish" in advice.text
    assert "acid-never-in-tank" in advice.cautions


def test_a_dose_that_has_not_been_tested_is_waited_for(steady_book, day):
    book, _ = steady_book(last=(Dose(day(20.1), "calcium-hydroxide", 5.0),))
    advice = know(book, now=day(20.2)).advice

    assert advice.grams is None
    assert "5.00 g of calcium hydroxide went in after the last test" in advice.text


def test_old_readings_are_not_dosed_on(steady_book, day):
    book, _ = steady_book(target_ph=7.6)

    assert know(book, now=day(24)).advice.grams is None


@pytest.mark.parametrize(
    ("ammonia", "grams"), [(0.0, True), (0.3, True), (2.0, False), (30.0, False)]
)
def test_ammonia_is_shown_before_and_after_and_stops_a_dose(steady_book, ammonia, grams):
    book, now = steady_book(target_ph=7.2, ammonia=ammonia)
    advice = know(book, now=now).advice

    assert (advice.grams is not None) is grams
    assert advice.unionised_now <= advice.unionised_after
    assert ("never-raise-ph-with-ammonia" in advice.cautions) is (ammonia > 0)
    if ammonia == 30.0:
        assert advice.text.startswith("Do not dose now: un-ionised ammonia")


def test_unknown_ammonia_is_to_be_tested_first(steady_book):
    book, now = steady_book(target_ph=7.2, ammonia=None)
    advice = know(book, now=now).advice

    assert "Test ammonia first" in advice.text
    assert "never-raise-ph-with-ammonia" in advice.cautions


def test_every_caution_named_is_one_of_ours(steady_book, day):
    shipped = cautions.shipped()
    cases = [(base, 0.0, 7.4) for base in BASES]
    cases += [("dolomite", None, 7.4), ("dolomite", 20.0, 7.4), ("dolomite", 0.0, 5.0)]
    for base, ammonia, target in cases:
        book, now = steady_book(6, target_ph=target, base=base, ammonia=ammonia)
        assert set(know(book, now=now).advice.cautions) <= set(shipped)


def test_no_book_however_odd_brings_it_down(day):
    """Random entries: figures stay finite, intervals hold their middle, advice keeps its limits."""
    chance = random.Random(11)
    for _ in range(12):
        entries = []
        for _ in range(chance.randint(1, 60)):
            at = day(chance.uniform(0, chance.choice((1, 30, 400))))
            entries.append(
                chance.choice(
                    (
                        Reading(at, "ph", chance.uniform(0, 14)),
                        Reading(at, "alkalinity", chance.choice((0.0, 40.0, 2000.0))),
                        Reading(at, "temperature", chance.uniform(0, 50)),
                        Feed(at, chance.choice((0.0, 5.0, 1e6))),
                        Dose(at, chance.choice((*BASES, *ACIDS)), chance.choice((0.0, 1.0, 1e5))),
                        Water(at, changed_l=chance.choice((0.0, 10.0, 1e6))),
                    )
                )
            )
        known = know(Book(System(chance.choice((1.0, 500.0, 1e6))), tuple(entries)), now=day(400))
        json.dumps(known.as_json(), allow_nan=False)
        assert all(one.low <= one.value <= one.high for one in known.estimates)
