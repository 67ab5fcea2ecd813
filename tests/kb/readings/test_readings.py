"""What is read out of free text: a table of invented questions, pint for the units, and bounds."""

import math
import time
import tomllib
from pathlib import Path

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.readings import Reading, Readings, read
from kb.readings.tokens import LONGEST_TEXT, words

SENTENCES = [
    pytest.param(text, expected, id=f"{section}: {text[:60]}")
    for file in ("sentences.toml", "further_sentences.toml")
    for section, rows in tomllib.loads(
        (Path(__file__).parent / file).read_text(encoding="utf-8")
    ).items()
    for text, expected in rows.items()
]
UNITS = pint.UnitRegistry()
RELATIVE = 1e-5  # readings keep six significant figures


def same(got, expected):
    """Equal, numbers to one part in ten thousand (the table gives five figures or more)."""
    if isinstance(expected, dict):
        return got.keys() == expected.keys() and all(same(got[key], expected[key]) for key in got)
    if isinstance(expected, list):
        return len(got) == len(expected) and all(map(same, got, expected))
    if isinstance(expected, str):
        return got == expected
    return math.isclose(got, expected, rel_tol=1e-4)


def test_the_table_has_sentences_enough():
    assert len(SENTENCES) >= 150


@pytest.mark.parametrize(("text", "expected"), SENTENCES)
def test_a_sentence_gives_just_its_readings(text, expected):
    got = read(text).as_json()
    assert same(got, expected), got


def test_the_main_sentence_is_read_exactly():
    text = (
        "fish stopped eating since yesterday, pH 7.9, ammonia 2 ppm, water is 27C, 1000 litre tank"
    )
    assert read(text).as_json() == {
        "ph": 7.9,
        "temperature_c": 27.0,
        "ammonia_mg_l": 2.0,
        "volume_l": 1000.0,
    }


@pytest.mark.parametrize(
    ("text", "name", "amount", "unit", "base"),
    [
        ("a 275 gallon tank", "volume_l", 275, "gallon", "litre"),
        ("a 275 US gallon tank", "volume_l", 275, "gallon", "litre"),
        ("a 120 imperial gallon tank", "volume_l", 120, "imperial_gallon", "litre"),
        ("a 120 UK gallon tank", "volume_l", 120, "imperial_gallon", "litre"),
        ("the tank is 4x2x2 ft", "volume_l", 16, "foot**3", "litre"),
        ("the tank is 48x24x20 inches", "volume_l", 48 * 24 * 20, "inch**3", "litre"),
        ("the tank holds 30 cubic feet", "volume_l", 30, "foot**3", "litre"),
        ("the pump does 400 gph", "flow_l_h", 400, "gallon/hour", "litre/hour"),
        ("flow is 90 imperial gallons per hour", "flow_l_h", 90, "imperial_gallon/hour",
         "litre/hour"),
        ("flow is 3 gallons per minute", "flow_l_h", 3, "gallon/minute", "litre/hour"),
        ("water is 84 F", "temperature_c", 84, "degF", "degC"),
        ("water is 71.5 degrees fahrenheit", "temperature_c", 71.5, "degF", "degC"),
        ("temp around 75", "temperature_c", 75, "degF", "degC"),
        ("we feed 2 lb of pellets a day", "feed_g_day", 2, "pound", "gram"),
        ("we feed 12 oz of pellets a day", "feed_g_day", 12, "ounce", "gram"),
    ],
)  # fmt: skip
def test_units_agree_with_pint(text, name, amount, unit, base):
    expected = UNITS.Quantity(amount, unit).to(base).magnitude
    assert read(text).single(name) == pytest.approx(expected, rel=RELATIVE)


def test_a_range_keeps_both_ends_and_gives_the_worse_one():
    readings = read("ammonia 0.25-0.5")
    assert readings.as_json() == {"ammonia_mg_l": [0.25, 0.5]}
    assert readings.single("ammonia_mg_l") == 0.5
    assert readings.single("ammonia_mg_l", worse="low") == 0.25
    assert readings.single("ph") is None


@pytest.mark.parametrize(
    ("text", "forms"),
    [
        ("nh3 is 1 ppm", {"ammonia": "NH3"}),
        ("NH4 0.5 mg/l", {"ammonia": "NH4"}),
        ("ammonia 2 mg/l as N", {"ammonia": "N"}),
        ("TAN of 3 mg/l", {"ammonia": "N"}),
        ("NH3/NH4 0.25 ppm", {}),
        ("NO3-N is 10 mg/l", {"nitrate": "N"}),
        ("NH3 0 NO2 0 NO3 5", {"ammonia": "NH3"}),
        ("ammonia 2 ppm", {}),
    ],
)
def test_the_form_of_ammonia_is_kept(text, forms):
    assert read(text).forms == forms


def test_a_reading_knows_its_words_and_place():
    text = "Hello! Our pH is 7.9 today."
    assert read(text) == Readings((Reading("ph", 7.9, 11, 20, "pH is 7.9"),), {})


def test_digits_of_any_script_are_read_and_endless_ones_refused():
    assert read("pH ٧").as_json() == {"ph": 7.0}
    assert read("pH " + "9" * 5000).as_json() == {}


@given(st.text(max_size=300))
def test_any_text_is_read_and_spans_lie_in_it(text):
    for reading in read(text).found:
        assert 0 <= reading.start < reading.end <= len(text)
        assert text[reading.start : reading.end] == reading.text


WORDS = words(
    "pH ph 7.9 7,9 .5 0 1/2 ½ 27 1,000 1.000 ammonia nitrite KH DO temp water tank is was now not "
    "to from between and or - , . ? : ( ) x ft m cm litre gal C F ° ppm mg/l g ml lime acid fish "
    "tilapia feed a day no zero you said want my tap air if last week İ"
)
PIECES = st.sampled_from(sorted(WORDS))


@given(st.lists(PIECES, max_size=40), st.sampled_from(["", " "]))
def test_any_pieces_of_questions_are_read_and_every_value_is_possible(pieces, gap):
    text = gap.join(pieces)
    for reading in read(text).found:
        assert text[reading.start : reading.end] == reading.text
        ends = reading.value if isinstance(reading.value, tuple) else (reading.value,)
        assert all(math.isfinite(end) for end in ends)
        assert list(ends) == sorted(ends)
    assert set(read(text).as_json()) == {reading.name for reading in read(text).found}


def test_only_the_first_part_of_an_endless_text_is_read():
    assert read("x " * LONGEST_TEXT + "pH 7.9").as_json() == {}


@pytest.mark.parametrize(
    "piece",
    [
        "Our tank has 25 tilapia and the pH is 7.9 with ammonia 2 ppm, so what is wrong? ",
        "ph 7 ", "1 ", "1", "1,000,", "0/", "2x", "2 ppm ", "5 gal ", "1m long ", "ammonia and ",
        "no ammonia ", "20 ml acid ", "twenty hundred ", "a'", "'", "  ", ",",
    ],
)  # fmt: skip
def test_twice_the_text_takes_no_more_than_some_three_times_as_long(piece):
    half, whole = (_seconds(piece, length) for length in (LONGEST_TEXT // 2, LONGEST_TEXT))
    assert whole < max(3.2 * half, 0.25)
    assert whole < 1.0  # 0.02 to 0.15 s measured; room for a busy machine


def _seconds(piece, length):
    text = (piece * length)[:length]
    best = math.inf
    for _ in range(3):
        start = time.process_time()
        read(text)
        best = min(best, time.process_time() - start)
    return best
