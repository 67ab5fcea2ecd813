"""What the book knows, on its own page and where else it is of use."""

import datetime
from contextlib import contextmanager

import pytest
from flask import g, render_template

from kb.calculators import ALL
from kb.store import book
from kb.store.book import Entry, System
from web.book import knowing, using
from web.demo import season
from web.security import Keeper

NOW = datetime.datetime.now(datetime.UTC).replace(microsecond=0)


@pytest.fixture
def greenhouse(log):
    """The demo's book, its season ending today."""
    season.fill(log, now=NOW)
    return book.named(log, season.GREENHOUSE.name)


@pytest.fixture
def tank(log):
    """A system with readings of today and one of two days ago."""
    number = book.add_system(log, System("Greenhouse", 1500, protein_percent=35), now=NOW)
    hour, days = NOW - datetime.timedelta(hours=1), NOW - datetime.timedelta(days=2)
    entries = {
        "ph": Entry("reading", "ph", hour, 7.9),
        "ammonia": Entry("reading", "ammonia", hour, 2.0),
        "oxygen": Entry("reading", "oxygen", days, 6.5),
        "feed": Entry("feed", "feed", hour, 140.0),
    }
    book.save(log, number, "first", entries, now=hour)
    return number


def test_the_page_tells_next_step_figures_with_doubt_and_how_well_they_foretold(keeper, greenhouse):
    page = keeper.text(f"/book/{greenhouse.id}/know")
    assert page.index("Next step") < page.index("Held against feed") < page.index("What it needs")
    assert "Calcium hydroxide burns eyes" in page
    assert "9 times in 10 between" in page
    assert "<title>pH: measured and expected</title>" in page
    assert "it counts for little here" in page  # the spoilt bottle
    assert "Dosed as usual" in page
    assert "My own system (1\u202f800 L) needs about" in page


def test_a_book_just_begun_says_so_and_what_to_measure(keeper, log, greenhouse):
    nursery = book.named(log, season.NURSERY.name)
    page = keeper.text(f"/book/{nursery.id}/know")
    assert "Not enough data." in page
    assert "Measure pH every day" in page
    assert "For a reply" not in page


def test_the_season_shows_what_a_season_has(keeper, greenhouse):
    page = keeper.text(f"/book/{greenhouse.id}/see?span=year")
    for text in ("hard water from the well", "The old pH bottle was spoilt", "Fish that died"):
        assert text in page
    assert "Oxygen of 4." in keeper.text(f"/book/{greenhouse.id}/")


def test_what_is_known_is_worked_out_again_only_when_the_book_changed(app, log, tank):
    with app.test_request_context():
        first = knowing.known_of(book.system(log, tank))
        assert knowing.known_of(book.system(log, tank)) is first
        book.save(log, tank, "b2", {"ph": Entry("reading", "ph", NOW, 7.5)}, now=NOW)
        assert knowing.known_of(book.system(log, tank)) is not first


def test_a_calculator_is_filled_in_from_the_book_for_the_keeper_alone(keeper, walker, tank):
    page = keeper.text("/calculators/base-demand?top_up=5")
    link = page.split('aria-label="From the water book"')[1].split('href="')[1].split('"')[0]
    assert "top_up=5" in link
    assert "feed=20" in link  # 140 g in seven days
    assert "protein=35" in link
    assert keeper.get(link).status_code == 200
    assert "From the water book" not in walker.text("/calculators/base-demand")


def test_what_was_wished_for_is_not_contradicted_by_the_book(app, log, tank):
    book.change_system(log, tank, System("Greenhouse", 1500, target_ph=6.8))
    with as_keeper(app):
        (way,) = using.calculator_ways(ALL["raise-ph"], {"dose": "20"})
        assert "target_ph" not in way.link
        assert "dose=20" in way.link


def test_a_symptom_is_given_the_readings_of_the_last_day(keeper, walker, tank):
    page = keeper.text("/symptoms/fish-off-feed?temperature=27")
    link = page.split('aria-label="From the water book"')[1].split('href="')[1].split('"')[0]
    assert {"ph=7.9", "ammonia=2", "temperature=27"} <= set(link.split("?")[1].split("&"))
    assert "oxygen=" not in link  # two days old
    # Emerson et al. 1975: 2 mg/L at pH 7.9 and 27 °C is 0.099 mg/L un-ionised, over 0.05
    assert "<strong>Act now:</strong> Ammonia is hurting the gills" in keeper.text(link)
    assert "From the water book" not in walker.text("/symptoms/fish-off-feed")


def test_answers_given_are_kept_when_the_book_fills_in_the_rest(keeper, tank):
    page = keeper.text("/symptoms/fish-off-feed?ph=6.5")
    link = page.split('aria-label="From the water book"')[1].split('href="')[1].split('"')[0]
    assert "ph=6.5" in link


def test_a_reply_may_say_what_the_own_system_needs(app, log, greenhouse):
    with as_keeper(app):
        sentences = using.reply_sentences()
        assert [one.system for one in sentences] == [season.GREENHOUSE.name]
        html = render_template("book/_for_reply.html", sentences=sentences)
    assert "My own system" in html
    assert 'data-copy="own-system-1"' in html


def test_a_damaged_book_leaves_calculators_and_symptoms_working(app, walker, tank):
    (app.config["DATA"] / "standpipe.db").write_bytes(b"rubbish" * 500)
    for address in ("/calculators/ammonia", "/symptoms/fish-off-feed"):
        assert walker.get(address).status_code == 200


@contextmanager
def as_keeper(app):
    """A request in which the keeper is logged in."""
    with app.test_request_context():
        g._login_user = Keeper("mark")
        yield
