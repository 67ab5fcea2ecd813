"""The water book walked as the keeper does by the tank: enter, undo, correct, see, in and out."""

import datetime
import re

import pytest

from kb.store import book
from kb.store.book import Entry, System

TANK = "/book/1/"
NOW = datetime.datetime.now(datetime.UTC).replace(microsecond=0)
PAGES = ["", "see", "entries", "take-in", "system", "export.csv", "entries/1"]


@pytest.fixture
def tank(log):
    """A kept system with a reading an hour old."""
    number = book.add_system(log, System("Greenhouse", 1500, floor_ph=6.5), now=NOW)
    hour = NOW - datetime.timedelta(hours=1)
    entry = Entry("reading", "ph", hour, 6.9, "pH", "6.9")
    book.save(log, number, "first", {"ph": entry}, now=hour)
    return number


def told(got):
    return re.sub(r"<[^>]+>", " ", got.get_data(as_text=True))


def values(log, quantity="ph"):
    return [entry.value for entry in book.entries(log, 1) if entry.quantity == quantity]


def test_the_book_is_the_keepers_alone(walker, tank):
    for address in ("/book/", *(TANK + page for page in PAGES)):
        assert walker.get(address).location.startswith("/desk/login"), address


def test_every_page_of_the_book_answers_without_inline_script_or_style(keeper, tank):
    for page in PAGES:
        got = keeper.get(TANK + page)
        assert got.status_code == 200, page
        inline = re.search(r"\sstyle=|\son[a-z]+=|<script(?![^>]*src=)", got.get_data(as_text=True))
        assert not inline, page


def test_a_book_begins_with_a_name_and_a_volume(keeper, log):
    assert keeper.get("/book/").location == "/book/systems/new"
    got = keeper.post("/book/systems/new", "/book/systems/new", name="Pond", volume="400 gal")
    assert got.location == TANK
    assert book.system(log, 1).volume_l == pytest.approx(1514.16, abs=0.01)
    assert keeper.get("/book/").location == TANK


def test_a_system_that_cannot_be_is_refused_with_a_sentence_a_fault(keeper, log):
    got = keeper.post(
        "/book/systems/new", "/book/systems/new", name="", volume="lots", protein="900",
        **{"target-ph": "7", "target-alkalinity": "80"},
    )  # fmt: skip
    assert got.status_code == 422
    assert "“lots” is not a number" in told(got)
    assert "Protein of the feed: 900 cannot be; give 5 to 80 %." in told(got)
    assert book.systems(log) == ()


def test_what_was_read_is_saved_and_shown_as_the_last(keeper, log, tank):
    got = keeper.post(TANK, TANK, ph="7,1", alkalinity="5 dKH", feed="120", token="t")
    assert got.status_code == 303
    page = keeper.text(TANK)
    assert "Written down: pH 7,1; alkalinity (KH) 5 dKH; feed 120 g." in page
    assert "7,1, today" in page
    assert values(log, "alkalinity") == [pytest.approx(89.24, abs=0.01)]


def test_the_unit_last_written_is_the_one_a_bare_number_means_next_time(keeper, log, tank):
    keeper.post(TANK, TANK, alkalinity="5 dKH", token="t")
    first = re.search(r'name="unit-alkalinity"[^>]*><option>([^<]+)', keeper.text(TANK))
    assert first[1] == "dKH"
    keeper.post(TANK, TANK, alkalinity="4", token="u", **{"unit-alkalinity": "dKH"})
    assert values(log, "alkalinity")[1] == pytest.approx(71.39, abs=0.01)


def test_a_form_sent_twice_is_saved_once(keeper, log, tank):
    for _ in range(2):
        keeper.post(TANK, TANK, ph="7.1", token="same")
    assert values(log) == [6.9, 7.1]
    assert "written down already, once" in keeper.text(TANK)


def test_what_is_unlikely_is_asked_about_first(keeper, log, tank):
    got = keeper.post(TANK, TANK, ph="17", feed="50", token="t")
    assert got.status_code == 422
    assert "pH 17? Mostly it is 4 to 10." in told(got)
    assert values(log) == [6.9]
    keeper.post(TANK, TANK, ph="17", feed="50", token="t", sure="ph=17")
    assert values(log) == [6.9, 17]


def test_a_jump_since_the_last_reading_is_asked_about(keeper, log, tank):
    got = keeper.post(TANK, TANK, ph="8.2", token="t")
    assert "pH 8.2? It was 6.9 today" in told(got) or "pH 8.2? It was 6.9 yesterday" in told(got)
    keeper.post(TANK, TANK, ph="8.2", token="t", sure="ph=8.2")
    assert values(log) == [6.9, 8.2]


def test_nonsense_is_named_beside_its_field_and_nothing_is_lost(keeper, log, tank):
    got = keeper.post(TANK, TANK, ph="blue", remark="two dead snails", token="t")
    page = got.get_data(as_text=True)
    assert got.status_code == 422
    assert 'id="in-ph-fault">pH: “blue” is not a number.' in page
    assert "two dead snails</textarea>" in page
    assert 'value="blue"' in page
    assert values(log) == [6.9]


def test_an_empty_form_is_kindly_refused(keeper, log, tank):
    assert "Nothing was filled in" in told(keeper.post(TANK, TANK, token="t"))


def test_a_dose_in_spoons_and_water_and_fish_are_written_down(keeper, log, tank):
    keeper.post(
        TANK, TANK, dose="2 heaped tsp", substance="calcium-hydroxide", token="t",
        **{"water-added": "60 L", "water-alkalinity": "12 dKH", "fish-died": "1"},
    )  # fmt: skip
    dose, water, fish = book.entries(log, 1)[1:]
    assert (dose.substance, dose.value) == ("calcium-hydroxide", pytest.approx(11.875))
    assert water.alkalinity == pytest.approx(214.2, abs=0.1)
    assert fish.value == 1


def test_a_save_is_undone_at_once_and_put_back(keeper, log, tank):
    keeper.post(TANK, TANK, ph="7.1", feed="80", token="t")
    keeper.post(TANK, f"{TANK}undo", batch="t")
    assert values(log) == [6.9]
    assert "Put it back" in keeper.text(TANK)
    keeper.post(TANK, f"{TANK}redo", batch="t")
    assert values(log) == [6.9, 7.1]


def test_an_entry_is_corrected_and_what_it_was_is_shown(keeper, log, tank):
    page = f"{TANK}entries/1"
    keeper.post(page, page, value="6,8", note="tube was dirty")
    entry = book.entry(log, 1)
    assert (entry.value, entry.note) == (6.8, "tube was dirty")
    assert "it was 6.9" in keeper.text(page)


def test_a_note_alone_leaves_value_and_time_exactly_as_they_were(keeper, log, tank):
    exact = 7 + 1 / 3
    at = NOW - datetime.timedelta(seconds=77)
    book.save(log, 1, "x", {"ph": Entry("reading", "ph", at, exact)}, now=NOW)
    page = f"{TANK}entries/2"
    form = keeper.text(page)
    value, when = (
        re.search(rf'name="{name}" value="([^"]*)"', form)[1] for name in ("value", "at")
    )
    keeper.post(page, page, value=value, at=when, note="odd")
    entry = book.entry(log, 2)
    assert (entry.value, entry.at, entry.note) == (exact, at, "odd")


def test_an_entry_is_taken_out_and_put_back(keeper, log, tank):
    page = f"{TANK}entries/1"
    keeper.post(page, page, act="remove")
    assert values(log) == []
    assert "6.9" in keeper.text(f"{TANK}entries?removed=yes")
    keeper.post(page, page, act="restore")
    assert values(log) == [6.9]


def test_an_entry_of_another_system_is_not_found_here(keeper, log, tank):
    book.add_system(log, System("Other", 100), now=NOW)
    assert keeper.get("/book/2/entries/1").status_code == 404


def test_what_is_not_there_is_named(keeper, tank):
    for address in ("/book/7/", f"{TANK}entries/99"):
        got = keeper.get(address)
        assert got.status_code == 404
        assert "in the book" in told(got)


def test_dangerous_readings_ring_with_what_to_do_first(keeper, log, tank):
    keeper.post(TANK, TANK, ph="7.9", ammonia="2", temperature="27", oxygen="3", token="t")
    page = keeper.text(TANK)
    # Emerson et al. 1975: 2 mg/L at pH 7.9 and 27 °C holds 0.0986 mg/L of un-ionised ammonia
    assert "0.099 mg/L of un-ionised ammonia" in page
    assert "Oxygen of 3 mg/L" in page
    assert "% of the" in page


def test_old_readings_ring_no_alarm(keeper, log, tank):
    keeper.post(TANK, TANK, oxygen="3", token="t", at=f"{NOW - datetime.timedelta(days=5):%F %R}")
    assert "Oxygen of 3 mg/L" not in keeper.text(TANK)


def test_seeing_shows_picture_words_and_figures_with_limits_and_gaps(keeper, log, tank):
    for day in (1, 2, 3, 12, 13, 14):
        at = NOW - datetime.timedelta(days=day)
        book.save(log, 1, f"b{day}", {"ph": Entry("reading", "ph", at, 6 + day / 20)}, now=NOW)
    address = f"{TANK}see?from={NOW - datetime.timedelta(days=20):%F}&to={NOW:%F}"
    page = keeper.text(address)
    picture = page.split('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 340')[1]
    picture = picture.split("</svg>")[0]
    assert picture.count('class="pic-line time-line"') == 2  # before and after the gap
    assert "<title>pH, " in picture
    assert "<desc>pH: 7 values from" in picture
    assert "3 of them are below 6.5" in page
    assert "set for this system" in page


def test_each_span_shows_the_reading_and_leads_to_its_neighbours(keeper, tank):
    for span in ("span=day", "span=month", "span=year", "of=ph"):
        page = keeper.text(f"{TANK}see?{span}")
        assert "6.90" in page
        for way in ("Earlier", "Later"):
            address = re.search(rf'<a href="([^"]+)"[^>]*>{way}</a>', page)[1]
            assert keeper.get(address).status_code == 200


def test_a_span_that_cannot_be_is_named_and_the_last_month_shown(keeper, tank):
    backwards = "from=2026-03-02&to=2026-03-01"
    for query in ("span=week", "on=soon", "from=x", backwards, "on=0001-01-01"):
        got = keeper.get(f"{TANK}see?{query}")
        assert got.status_code == 422, query
        assert "That span cannot be shown." in told(got)


def test_a_file_is_looked_at_before_it_is_taken_in_and_never_doubled(keeper, log, tank):
    address = f"{TANK}take-in"
    text = "date,ph,note\n2026-03-01 08:00,7.1,windy\n2026-03-02,blue,\n"
    seen = keeper.post(address, address, text=text, act="look")
    assert "1 new entry, 0 in the book already, 1 broken line." in told(seen)
    assert "Line 3: pH: “blue” is not a number." in told(seen)
    assert values(log) == [6.9]
    keeper.post(address, address, text=text, act="take-in")
    keeper.post(address, address, text=text, act="take-in")
    assert values(log) == [7.1, 6.9]
    assert "): 1 entry out of a file" in keeper.text(TANK)
    again = keeper.post(address, address, text=keeper.text(f"{TANK}export.csv"), act="look")
    assert "0 new entries, 2 in the book already, 0 broken lines." in told(again)


def test_a_file_that_cannot_be_read_is_refused_with_a_sentence(keeper, tank):
    address = f"{TANK}take-in"
    got = keeper.post(address, address, text="colour\nblue\n", act="look")
    assert got.status_code == 422
    assert "There is no column “date”" in told(got)


def test_the_book_is_found_from_every_page_by_the_keeper_alone(keeper, walker, tank):
    assert 'href="/book/"' in keeper.text("/articles/")
    assert 'href="/book/"' not in walker.text("/articles/")
