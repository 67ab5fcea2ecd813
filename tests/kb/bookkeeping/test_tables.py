"""The book as CSV: read as people keep theirs, and exact on the way out and in again."""

import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.bookkeeping.quantities import DOSE, FISH, QUANTITIES, REMARK, SUBSTANCES, WATER
from kb.bookkeeping.tables import FORMS, LONG, WIDE, read_csv, write_csv
from kb.errors import InputErrors
from kb.store.book import Entry
from kb.units import COUNT

NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
TEXTS = st.text(
    st.characters(exclude_categories=("Cc", "Cs", "Cf", "Zl", "Zp", "Zs", "Co", "Cn")), max_size=20
)
MOMENTS = st.datetimes(
    datetime.datetime(2025, 1, 1), datetime.datetime(2026, 3, 31), timezones=st.just(datetime.UTC)
).map(lambda moment: moment.replace(microsecond=0))


@st.composite
def entries(draw):
    at = draw(MOMENTS)
    name = draw(st.sampled_from([*QUANTITIES, "remark"]))
    if name == "remark":
        return Entry(REMARK, name, at, note=draw(TEXTS.filter(bool)))
    item = QUANTITIES[name]
    low, high = item.possible
    if item.units is COUNT:
        value = float(draw(st.integers(int(low), int(high))))
    else:
        value = draw(st.floats(low, high, allow_subnormal=False)) + 0.0
    amount = st.none() | st.floats(0, 2000, allow_subnormal=False)
    return Entry(
        item.kind,
        name,
        at,
        value,
        substance=draw(st.sampled_from(list(SUBSTANCES))) if item.kind == DOSE else None,
        alkalinity=draw(amount) if item.kind == WATER else None,
        grams=draw(amount) if item.kind == FISH else None,
        note=draw(TEXTS),
    )


def exact(found):
    """All that counts of entries; those of one moment have no order among themselves."""
    return sorted(
        (
            (e.kind, e.quantity, e.at, e.value, e.substance, e.alkalinity, e.grams, e.note)
            for e in found
        ),
        key=lambda one: (one[2], repr(one)),
    )


@pytest.mark.parametrize("form", FORMS)
@settings(max_examples=60, deadline=None)
@given(st.lists(entries(), max_size=12), st.booleans())
def test_what_is_written_reads_back_exactly(form, found, at_once):
    if at_once and found:
        found = [type(e)(**{**vars(e), "at": found[0].at}) for e in found]
    found = sorted(found, key=lambda entry: entry.at)
    table = read_csv(write_csv(found, form), now=NOW)
    assert table.faults == ()
    assert table.form == (form if found or form == LONG else WIDE)
    assert exact(table.entries) == exact(found)


def test_the_words_of_an_entry_survive_the_long_form():
    lime = Entry("dose", "dose", NOW, 4.75, "tsp", "2 tsp", "calcium-hydroxide")
    back = read_csv(write_csv([lime], LONG), now=NOW).entries[0]
    assert (back.written, back.unit, back.value) == ("2 tsp", "tsp", 4.75)


def test_a_table_as_people_keep_it_is_read():
    table = read_csv(
        "\ufeffDate;Time;pH;KH [dKH];temp (°F);NH4 [mg/L NH4];feed [oz];notes\n"
        "31.3.2026;08:00;7,1;5;80;0,5;4;windy\n"
        "2026-03-30;;6.9;4 meq/L;;;;\n",
        now=NOW,
    )
    assert table.faults == ()
    assert [(e.quantity, round(e.value, 2) if e.value else e.note) for e in table.entries] == [
        ("ph", 7.1), ("alkalinity", 89.24), ("ammonia", 0.39), ("temperature", 26.67),
        ("feed", 113.4), ("remark", "windy"), ("ph", 6.9), ("alkalinity", 200.17),
    ]  # fmt: skip


def test_long_tables_of_people_are_read():
    table = read_csv(
        "when,quantity,value,unit,substance\n2026-03-01,KH,5,dKH,\n"
        "2026-03-01,dose,2,heaped tsp,calcium-hydroxide\n2026-03-01,temp,80,F,\n",
        now=NOW,
    )
    assert [round(entry.value, 2) for entry in table.entries] == [89.24, 11.88, 26.67]


def test_broken_lines_are_named_and_the_others_read():
    table = read_csv(
        "date,ph,dose [g],substance\n"
        "2026-03-01,7.1,,\n"
        "never,7.1,,\n"
        "2026-03-02,blue,,\n"
        "2026-03-03,,5,\n"
        "2026-03-04,,,\n"
        "2026-03-05,12,,\n"
        "2026-03-06,7,,,,extra\n",
        now=NOW,
    )
    assert [(fault.line, fault.reason.split(";")[0]) for fault in table.faults] == [
        (3, "“never” is no date"),
        (4, "pH: “blue” is not a number."),
        (5, "Say what was dosed: 5 of what?"),
        (6, "holds a date and nothing else."),
        (8, "has 6 cells, but there are 4 columns."),
    ]
    assert [(fault.line, fault.reason) for fault in table.unusual] == [
        (7, "pH 12? Mostly it is 4 to 10.")
    ]
    assert [entry.value for entry in table.entries] == [7.1, 12]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "There is no column “date”"),
        ("ph,alkalinity\n7,40\n", "There is no column “date”"),
        ("date,colour\n2026-03-01,blue\n", "Column “colour” is not known; known are"),
        ("date,ph,pH\n2026-03-01,7,7\n", "“ph” stands there twice"),
        ("date,alkalinity [stone]\n2026-03-01,7\n", "Column “alkalinity”: “stone” is not a unit"),
    ],
)
def test_a_header_that_cannot_be_used_is_refused(text, said):
    with pytest.raises(InputErrors, match=said.replace("[", r"\[")):
        read_csv(text, now=NOW)


def test_no_spreadsheet_takes_a_note_for_a_formula():
    note = Entry("remark", "remark", NOW, note="=1+1")
    assert ",'=1+1" in write_csv([note])
