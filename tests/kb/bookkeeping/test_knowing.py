"""From the kept book to what is known: nothing is lost on the way, and a sentence for others."""

import datetime
from dataclasses import replace

import pytest

from kb import book
from kb.bookkeeping.knowing import Known, book_sentence, known, model_entry
from kb.bookkeeping.quantities import QUANTITIES
from kb.store.book import Entry, System
from web.demo import season

NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
TANK = System("Greenhouse", 1500)


@pytest.fixture(scope="module")
def greenhouse():
    """What the demo's season tells."""
    return known(season.GREENHOUSE, season.season(now=NOW), now=NOW)


@pytest.mark.parametrize(
    ("entry", "expected"),
    [
        (Entry("reading", "ph", NOW, 7.0), book.Reading(NOW, "ph", 7.0)),
        (Entry("reading", "level", NOW, 0.8), book.Reading(NOW, "level", pytest.approx(80))),
        # IUPAC atomic weights: 62.004 g of nitrate hold 14.007 g of nitrogen
        (
            Entry("reading", "nitrate", NOW, 62.004),
            book.Reading(NOW, "nitrate", pytest.approx(14.007)),
        ),
        (Entry("feed", "feed", NOW, 90.0), book.Feed(NOW, 90.0)),
        (
            Entry("dose", "dose", NOW, 5.0, substance="dolomite"),
            book.Dose(NOW, "dolomite", 5.0),
        ),
        (
            Entry("water", "water-added", NOW, 60.0, alkalinity=12.0),
            book.Water(NOW, 60.0, 0.0, 12.0),
        ),
        (Entry("water", "water-changed", NOW, 60.0), book.Water(NOW, 0.0, 60.0, None)),
        (Entry("fish", "fish-in", NOW, 3.0, grams=90.0), book.Fish(NOW, 3, 90.0)),
        (Entry("fish", "fish-died", NOW, 2.0), book.Fish(NOW, -2)),
        (Entry("remark", "remark", NOW, note="windy"), book.Remark(NOW, "windy")),
    ],
)
def test_every_kind_of_entry_reaches_the_estimates(entry, expected):
    assert model_entry(entry) == expected


def test_each_unit_of_the_book_is_that_of_the_estimates_or_turned_into_it():
    differ = {
        name
        for name, (unit, _, _) in book.QUANTITIES.items()
        if QUANTITIES[name].units.base != unit
    }
    assert differ == {"nitrate", "level"}


def test_what_cannot_be_is_left_out_and_named():
    bad = Entry("reading", "ph", NOW, 17.0)
    late = Entry("reading", "ph", NOW + datetime.timedelta(days=2), 7.0)
    found = known(TANK, [bad, Entry("reading", "ph", NOW, 7.0), late], now=NOW)
    assert found.left_out == (bad, late)


def test_the_season_of_the_demo_tells_what_it_was_made_with(greenhouse):
    knowledge = greenhouse.knowledge
    assert knowledge.enough
    assert greenhouse.left_out == ()
    load = knowledge.estimate("load-per-feed")
    # made with 0.32 of full nitrification, 7.14 g CaCO3 a g of N, 0.092 × 35 % protein
    assert load.low < 100 * 0.35 * 0.092 * 7.14 * 0.32 < load.high
    lime = knowledge.estimate("effectiveness-calcium-hydroxide")
    assert lime.low < 100 < lime.high


def test_the_spoilt_bottle_of_the_demo_stands_out_and_nothing_else(greenhouse):
    odd = [one for one in greenhouse.knowledge.residuals if one.outlier > 0.5]
    assert {one.quantity for one in odd} == {"ph"}
    assert 2 <= len(odd) <= 4
    assert min(one.measured - one.predicted for one in odd) > 1


def test_a_sentence_for_a_reply_carries_figure_doubt_and_care(greenhouse):
    said = book_sentence(greenhouse)
    assert said.startswith("My own system (1\u202f800 L) needs about 1")
    assert "g of calcium hydroxide a day to hold its pH, most likely between" in said
    assert said.endswith("start with less, and test before each further step.")


def test_nothing_is_said_of_a_system_hardly_known(greenhouse):
    thin = replace(greenhouse.knowledge, enough=False)
    assert book_sentence(Known(TANK, thin, "dolomite", ())) == ""


def test_a_system_that_needs_no_base_is_said_to_need_none(greenhouse):
    estimates = tuple(
        replace(one, value=0.0, low=0.0) if one.id == "holding-dose" else one
        for one in greenhouse.knowledge.estimates
    )
    found = replace(greenhouse, knowledge=replace(greenhouse.knowledge, estimates=estimates))
    assert "needs no base just now" in book_sentence(found)


def test_what_is_older_than_a_year_is_let_be():
    days = [Entry("reading", "ph", NOW - datetime.timedelta(days=day), 7.0) for day in range(5)]
    old = [replace(one, at=one.at - datetime.timedelta(days=400), value=17.0) for one in days]
    both, recent = (known(TANK, given, now=NOW) for given in ([*old, *days], days))
    assert both.left_out == ()
    assert both.knowledge.estimates == recent.knowledge.estimates
