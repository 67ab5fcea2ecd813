"""The water book in the store: each form is one entry, nothing is lost, changes are remembered."""

import datetime
from dataclasses import replace

import pytest

from kb.errors import NotFound, StoreError
from kb.store import book
from kb.store.book import Entry, Saved, System

NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
PH = Entry("reading", "ph", NOW, 7.1, "pH", "7.1")
LIME = Entry("dose", "dose", NOW, 4.75, "tsp", "2 tsp", "calcium-hydroxide")

SCHEMA = {
    "systems": [
        "id", "name", "volume_l", "fish_tank_l", "temp_c", "protein_percent", "target_ph",
        "target_alkalinity", "floor_ph", "floor_alkalinity", "top_up_alkalinity", "feed_g_day",
        "base", "purity_percent", "version", "made_at",
    ],
    "entries": [
        "id", "system", "batch", "part", "kind", "at", "quantity", "value", "unit", "written",
        "substance", "alkalinity", "grams", "note", "made_at", "changed_at", "removed_at",
    ],
    "entry_changes": ["id", "entry", "what", "before", "changed_at"],
}  # fmt: skip


@pytest.fixture
def tank(db):
    """The number of a kept system."""
    return book.add_system(db, System("Greenhouse", 1500), now=NOW)


def save(db, tank, batch="b1", **entries):
    return book.save(db, tank, batch, entries, now=NOW)


def values(db, tank):
    return [entry.value for entry in book.entries(db, tank)]


def test_the_schema_is_the_stored_one(db):
    assert {name: [col.name for col in db.table(name).columns] for name in SCHEMA} == SCHEMA


def test_an_entry_comes_back_as_it_was_saved(db, tank):
    assert save(db, tank, ph=PH, dose=LIME) == Saved(new=2)
    found = book.entries(db, tank)
    assert [entry.content for entry in found] == [PH.content, LIME.content]
    assert (found[1].written, found[1].unit, found[1].substance) == (
        "2 tsp", "tsp", "calcium-hydroxide",
    )  # fmt: skip


def test_a_form_sent_twice_is_one_entry(db, tank):
    save(db, tank, ph=PH)
    assert save(db, tank, ph=PH) == Saved(known=1)
    assert values(db, tank) == [7.1]


def test_a_form_sent_again_with_another_value_is_a_correction(db, tank):
    save(db, tank, ph=PH)
    assert save(db, tank, ph=replace(PH, value=7.2)) == Saved(changed=1)
    assert values(db, tank) == [7.2]
    number = book.entries(db, tank)[0].id
    assert [change.before.value for change in book.history(db, number)] == [7.1]


def test_the_same_form_in_another_system_is_another_entry(db, tank):
    other = book.add_system(db, System("Quarantine", 200), now=NOW)
    save(db, tank, ph=PH)
    assert save(db, other, ph=PH) == Saved(new=1)


def test_a_form_is_undone_and_done_again_as_a_whole(db, tank):
    save(db, tank, ph=PH, dose=LIME)
    save(db, tank, "b2", ph=replace(PH, value=6.9))
    assert book.undo(db, tank, "b1", now=NOW) == 2
    assert values(db, tank) == [6.9]
    assert book.redo(db, tank, "b1", now=NOW) == 2
    assert sorted(values(db, tank)) == [4.75, 6.9, 7.1]


def test_an_entry_is_removed_and_put_back_with_its_history(db, tank):
    save(db, tank, ph=PH)
    number = book.entries(db, tank)[0].id
    book.remove(db, number, now=NOW)
    assert values(db, tank) == []
    assert book.entry(db, number).removed_at
    book.restore(db, number, now=NOW)
    assert values(db, tank) == [7.1]
    assert [change.what for change in book.history(db, number)] == ["removed", "restored"]


def test_a_changed_entry_keeps_what_it_was(db, tank):
    save(db, tank, ph=PH)
    number = book.entries(db, tank)[0].id
    book.change(db, number, replace(PH, value=6.8, written="6,8"), now=NOW)
    assert book.entry(db, number).written == "6,8"
    assert book.history(db, number)[0].before.content == PH.content


def test_a_file_is_never_taken_in_twice(db, tank):
    lines = [PH, PH, LIME]  # two alike in one file are two
    assert book.take_in(db, tank, "f1", lines, now=NOW) == Saved(new=3)
    assert book.take_in(db, tank, "f2", lines, now=NOW) == Saved(known=3)
    assert len(values(db, tank)) == 3


def test_a_file_is_taken_in_whole_or_not_at_all(db, tank):
    with pytest.raises(StoreError):
        book.take_in(db, tank, "f1", [PH, replace(LIME, quantity=None)], now=NOW)
    assert values(db, tank) == []
    assert book.system(db, tank).version == 1


def test_what_was_entered_by_hand_is_known_to_a_file_and_what_was_removed_stays_so(db, tank):
    save(db, tank, ph=PH, dose=LIME)
    book.remove(db, book.entries(db, tank)[1].id, now=NOW)
    assert book.take_in(db, tank, "f1", [PH, LIME], now=NOW) == Saved(known=1, removed=1)
    assert values(db, tank) == [7.1]


def test_every_change_makes_another_version(db, tank):
    seen = [book.system(db, tank).version]
    save(db, tank, ph=PH)
    seen.append(book.system(db, tank).version)
    save(db, tank, ph=PH)  # nothing new
    assert book.system(db, tank).version == seen[1]
    book.undo(db, tank, "b1", now=NOW)
    seen.append(book.system(db, tank).version)
    book.change_system(db, tank, System("Greenhouse", 1600))
    seen.append(book.system(db, tank).version)
    assert seen == sorted(set(seen))


def test_the_latest_of_each_quantity_is_found_and_the_last_form(db, tank):
    earlier = replace(PH, at=NOW - datetime.timedelta(days=1), value=6.5)
    save(db, tank, ph=PH)
    save(db, tank, "b2", ph=earlier, dose=LIME)
    assert {name: entry.value for name, entry in book.latest(db, tank).items()} == {
        "ph": 7.1, "dose": 4.75,
    }  # fmt: skip
    last = book.last_batch(db, tank)
    assert (last.id, last.count, last.gone) == ("b2", 2, False)
    book.undo(db, tank, "b2", now=NOW + datetime.timedelta(minutes=1))
    assert book.last_batch(db, tank).gone


def test_entries_are_cut_out_by_time(db, tank):
    for day in range(5):
        save(db, tank, f"b{day}", ph=replace(PH, at=NOW + datetime.timedelta(days=day), value=day))
    since, until = NOW + datetime.timedelta(days=1), NOW + datetime.timedelta(days=3)
    assert [entry.value for entry in book.entries(db, tank, since=since, until=until)] == [1, 2]


def test_the_system_last_written_to_stands_first(db, tank):
    book.add_system(db, System("Quarantine", 200), now=NOW)
    save(db, tank, ph=PH)
    assert [one.name for one in book.systems(db)] == ["Greenhouse", "Quarantine"]


def test_a_name_stands_for_one_system(db, tank):
    with pytest.raises(StoreError, match="“Greenhouse” already"):
        book.add_system(db, System("greenhouse", 10), now=NOW)
    assert book.named(db, " GREENHOUSE ").id == tank
    with pytest.raises(NotFound, match="there are: “Greenhouse”"):
        book.named(db, "pond")


def test_unknown_numbers_are_named(db, tank):
    with pytest.raises(NotFound, match="no system 9"):
        save(db, 9, ph=PH)
    for act in (book.remove, book.restore):
        with pytest.raises(NotFound, match="no entry 9"):
            act(db, 9, now=NOW)
