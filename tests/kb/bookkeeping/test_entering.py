"""What is written down by the tank: units as people write them, doubts asked, nonsense refused."""

import datetime

import pytest

from kb.bookkeeping.entering import jumps, read_form
from kb.bookkeeping.quantities import SUBSTANCES
from kb.errors import InputErrors
from kb.science.substances import ACIDS, BASES
from kb.store.book import Entry

NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
LIME = "calcium-hydroxide"


def read(units=None, sure=(), **raw):
    fields = {name.replace("_", "-"): text for name, text in raw.items()}
    return read_form(fields, now=NOW, units=units, sure=sure)


def test_every_base_and_acid_can_be_named():
    assert set(SUBSTANCES) == {*BASES, *ACIDS}


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("ph", "7,1", 7.1),
        ("temperature", "80F", 26.667),
        ("water_added", "20 gal", 75.708),  # NIST Handbook 44: 3.785411784 L
        ("feed", "0.5 lb", 226.796),
        ("level", "85", 0.85),
        # IUPAC atomic weights: N 14.007, NH4 18.039, NO2 46.005, NO3 62.004
        ("ammonia", "1 mg/L NH4", 0.77648),
        ("nitrite", "0.5 ppm as NO2", 0.15223),
        ("nitrate", "10 mg/L NO3-N", 44.266),
        ("nitrate", "40", 40),
        ("alkalinity", "5 dKH", 89.24),  # 1 °dH is 10 mg/L CaO, 17.848 mg/L as CaCO3
        ("alkalinity", "1.5 meq/L", 75.065),
    ],
)
def test_values_are_read_as_people_write_them(name, text, value):
    entry = next(iter(read(**{name: text}).entries.values()))
    assert entry.value == pytest.approx(value, rel=1e-4)


@pytest.mark.parametrize(
    ("text", "substance", "grams"),
    [
        ("12 g", LIME, 12),
        ("2 tsp", LIME, 4.75),  # lime data sheet: 0.475 g/mL loose
        ("2 heaped tsp", LIME, 11.875),  # a heap is 2.5 level spoons: common practice, no source
        ("1 tbsp", "potassium-bicarbonate", 15.615),
    ],
)
def test_spoons_are_turned_into_grams_where_the_powder_is_known(text, substance, grams):
    entry = read(dose=text, substance=substance).entries["dose"]
    assert (entry.value, entry.written) == (pytest.approx(grams), text)


def test_millilitres_of_an_acid_become_grams_of_it():
    # CRC Handbook: hydrochloric acid of 30 % weighs 1.149 g/mL
    entry = read(dose="10 mL", substance="hydrochloric", strength="30").entries["dose"]
    assert entry.value == pytest.approx(10 * 1.149 * 0.30, rel=1e-3)


def test_a_bare_number_means_the_unit_shown_beside_its_field():
    entry = read(units={"alkalinity": "dKH"}, alkalinity="4").entries["alkalinity"]
    assert (entry.value, entry.written, entry.unit) == (
        pytest.approx(71.39, abs=0.01), "4 dKH", "dKH",
    )  # fmt: skip


def test_one_form_is_one_moment_with_all_that_was_given():
    got = read(
        at="2026-03-31 08:15", ph="7", feed="120", fish_died="1", fish_weight="200 g",
        water_changed="100", water_alkalinity="3 dKH", remark="a heron\r\ncame by",
    )  # fmt: skip
    assert list(got.entries) == ["ph", "feed", "water-changed", "fish-died", "remark"]
    assert len({entry.at for entry in got.entries.values()}) == 1
    assert got.entries["fish-died"].grams == 200
    assert got.entries["water-changed"].alkalinity == pytest.approx(53.54, abs=0.01)
    assert got.entries["remark"].note == "a heron\ncame by"


def test_what_is_hardly_likely_is_asked_about_and_kept_if_it_is_right():
    asked = read(ph="17")
    assert [doubt.question for doubt in asked.doubts] == ["pH 17? Mostly it is 4 to 10."]
    assert read(ph="17", sure=[asked.doubts[0].key]).doubts == ()
    assert read(ph="16", sure=[asked.doubts[0].key]).doubts != ()  # yes was said to 17 alone


def test_a_doubt_speaks_in_the_unit_that_was_written():
    assert read(temperature="104 F").doubts[0].question == (
        "Water temperature 104 F? Mostly it is 37.4 to 95 °F."
    )


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        ({"ph": "blue"}, "pH: “blue” is not a number."),
        ({"ph": "-3"}, "pH: -3 cannot be; give 0 to 20."),
        ({"feed": "-5"}, "Feed: -5 cannot be; give 0 to 1\u202f000\u202f000 g."),
        ({"feed": "1,500"}, "can be read two ways"),
        ({"alkalinity": "4 fathoms"}, "is not a unit of alkalinity; use"),
        ({"fish_in": "2.5"}, "must be a whole number"),
        ({"dose": "5"}, "Say what was dosed: 5 of what?"),
        ({"dose": "5", "substance": "magic"}, "“magic” is not known here; choose one of"),
        ({"dose": "1 tsp", "substance": "dolomite"}, "weigh the others"),
        ({"dose": "9 mL", "substance": "citric"}, "give its strength too"),
        ({"water_alkalinity": "3"}, "but not how much water"),
        ({"fish_weight": "30"}, "but not how many fish"),
        ({"at": "1/2/2026"}, "can be read two ways; write it like 2026-03-31 18:05"),
        ({"at": "2027-01-01"}, "is still to come"),
        ({"at": "1926-01-01"}, "too long ago"),
        ({"at": "soon"}, "is no date"),
        ({"remark": "x" * 1001}, "use at most 1000"),
        ({"colour": "blue"}, "There is no field “colour”"),
    ],
)
def test_nonsense_is_refused_with_one_sentence(raw, said):
    with pytest.raises(InputErrors) as caught:
        read(**raw)
    assert len(caught.value.problems) == 1
    assert said in str(caught.value)


def test_all_faults_of_a_form_are_told_together():
    with pytest.raises(InputErrors) as caught:
        read(ph="blue", feed="much", dose="2")
    assert [problem.input for problem in caught.value.problems] == ["ph", "feed", "substance"]


def test_an_empty_form_holds_nothing():
    assert read(ph="", remark="  ").entries == {}


@pytest.mark.parametrize(
    ("days", "value", "asked"), [(1, "8.2", True), (1, "7.4", False), (4, "8.2", False)]
)
def test_a_jump_since_a_reading_of_late_is_asked_about(days, value, asked):
    last = Entry("reading", "ph", NOW - datetime.timedelta(days=days), 6.9, "pH", "6.9")
    got = jumps(read(ph=value), {"ph": last}, now=NOW)
    assert bool(got) is asked
    assert jumps(read(ph=value), {"ph": last}, now=NOW, sure=[f"ph={value}"]) == ()


def test_what_was_asked_about_once_is_not_asked_twice():
    last = Entry("reading", "ph", NOW, 6.9, "pH", "6.9")
    assert jumps(read(ph="17"), {"ph": last}, now=NOW) == ()


def test_alkalinity_in_the_wrong_unit_jumps():
    last = Entry("reading", "alkalinity", NOW, 142.8, "dKH", "8 dKH")
    (doubt,) = jumps(read(alkalinity="8"), {"alkalinity": last}, now=NOW)
    assert doubt.question.startswith("Alkalinity (KH) 8 mg/L as CaCO₃? It was 8 dKH")
