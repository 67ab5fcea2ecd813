"""Plain words out of what people type."""

import pytest

from kb.matching.normalise import parts, sentence_words, words


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("Why WON'T it drop?", "why wont it drop"),
        ("Why won’t it drop?", "why wont it drop"),
        ("Crème fraîche", "creme fraiche"),
        ("pH7.9 and KH 4 dKH", "ph and kh"),
        ("27C or 80 °F", "temperature or temperature"),
        ("it is 27 degrees here", "it is temperature here"),
        ("2000 l/h through 200 litres", "flow through"),
        ("500 gph, 55 gal", "flow"),
        ("ammonia 0.25-0.5 ppm for 3 days", "ammonia for days"),
        ("a 2nd settler", "a second settler"),
        ("CO2 and NH3/NH4", "co2 and nh3 nh4"),
        ("see https://example.org/page?q=1 or a@example.org", "see or"),
        ("one\ttwo\n\nthree", "one two three"),
        ("2 in series", "in series"),
    ],
)
def test_words_are_plain_and_without_figures(text, plain):
    assert " ".join(words(text)) == plain


def test_a_word_longer_than_any_is_left_out():
    assert words("so " + "a" * 200) == ("so",)


def test_a_short_text_is_one_part():
    assert [part.text for part in parts("Why is it green?", most=3)] == ["Why is it green?"]


def test_the_sentences_are_parts_of_their_own_and_those_that_ask_are_marked():
    text = "Nice work. My pH is 7.9 today. Why does it climb? Thanks."
    found = parts(text, most=3)
    assert [(part.text, part.whole, part.seeks) for part in found] == [
        (text, True, False),
        ("My pH is 7.9 today.", False, False),
        ("Why does it climb?", False, True),
    ]


def test_sentences_that_ask_go_before_those_that_tell():
    text = "The fish are fine today. The plants are fine too. Why is the water so green?"
    assert [part.text for part in parts(text, most=2)[1:]] == [
        "The fish are fine today.",
        "Why is the water so green?",
    ]


def test_no_more_parts_are_made_than_wanted():
    assert len(parts("Why is that? " * 50 + "How? When? Who? Where?", most=3)) == 4


def test_two_questions_in_one_sentence_are_two_parts():
    text = "How often do I feed my trout and why is the water so green?"
    assert [part.text for part in parts(text, most=3)[1:]] == [
        "How often do I feed my trout",
        "why is the water so green?",
    ]


def test_a_question_that_points_back_stays_with_its_sentence():
    text = "Can citric acid bring the pH down, and how long does it last?"
    assert len(parts(text, most=3)) == 1


def test_only_whole_questions_ask_by_themselves():
    found = parts("I have a problem here. How come? Why are my plants so pale?", most=3)
    assert [(part.text, part.asks) for part in found[1:]] == [
        ("I have a problem here.", False),
        ("How come?", False),
        ("Why are my plants so pale?", True),
    ]


def test_the_words_of_each_sentence_are_those_of_the_text():
    text = "It is 1.5 m deep. Why? See https://example.org/a.b today.\nYes"
    assert sentence_words(text) == (("it", "is", "deep"), ("why",), ("see", "today"), ("yes",))
    assert sum(sentence_words(text), ()) == words(text)


def test_what_only_tells_a_reading_stands_back_behind_the_matter():
    text = "fish stopped eating since yesterday, pH 7.9, ammonia 2 ppm, 1000 litre tank"
    assert [part.text for part in parts(text, most=3)] == [
        text,
        "fish stopped eating since yesterday",
    ]
    assert len(parts("ammonia 2 ppm, pH 7.9", most=3)) == 1
