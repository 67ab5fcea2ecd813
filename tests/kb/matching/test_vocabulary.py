"""The trade vocabulary: what it replaces, and how strictly its file is read."""

import pytest

from kb.errors import ContentErrors
from kb.fields import Problems
from kb.matching import vocabulary
from kb.matching.normalise import words
from kb.matching.vocabulary import Token


@pytest.fixture
def read(tmp_path):
    def read_text(text):
        file = tmp_path / "words.toml"
        file.write_text(text, encoding="utf-8")
        problems = Problems()
        found = vocabulary.read(file, path="words.toml", problems=problems)
        problems.raise_any()
        return found

    return read_text


def translated(terms, text):
    return terms.translate([Token(word, word) for word in words(terms.spell_out(text))])


# Names of the trade for the same thing: common practice, no source; the formulas are chemistry.
@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("my KH", "my alkalinity"),
        ("carbonate hardness", "alkalinity"),
        ("NH3", "ammonia"),
        ("TAN of 4", "ammonia of"),
        ("a tan colour", "a tan colour"),
        ("What DO do I need?", "what dissolved oxygen do i need"),
        ("WHAT DO I DO", "what do i do"),
        ("swirl filter or RFS", "settler or settler"),
        ("radial flow settler", "settler"),
        ("media beds", "grow bed"),
        ("pH won't come down", "ph stays high"),
        ("pH bounces back", "ph climbs back"),
        ("off their food", "not eating"),
        ("a bell siphon, a siphon", "a bell siphon a bell siphon"),
        ("an SLO", "an solids lifting overflow"),
    ],
)
def test_shipped_trade_words_are_brought_to_one_phrase(text, plain):
    assert " ".join(translated(vocabulary.shipped(), text).words) == plain


def test_the_longest_variant_wins(read):
    terms = read(
        '[[term]]\nphrase = "settler"\nvariants = ["swirl filter"]\n'
        '[[term]]\nphrase = "spin"\nvariants = ["swirl"]\n'
    )
    assert translated(terms, "swirl filter swirl").words == ("settler", "spin")


def test_what_was_replaced_is_told(read):
    terms = read('[[term]]\nphrase = "grow bed"\nvariants = ["media bed"]\n')
    reading = translated(terms, "my media bed")
    assert reading.meanings == (("media bed", "grow bed"),)
    assert [token.shown for token in reading.tokens] == ["my", "media bed", ""]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "term: is missing."),
        ("term = 3", "term: must be a list of tables"),
        ('[[term]]\nvariants = ["a"]', r"term\[1\].phrase: is missing."),
        ('[[term]]\nphrase = "a"', r"term\[1\].variants: is missing."),
        ('[[term]]\nphrase = "a"\nvariants = ["A"]', "“A” leaves nothing to replace."),
        ('[[term]]\nphrase = "a"\nvariants = ["b"]\nnote = "x"', "note: is not known here"),
        (
            '[[term]]\nphrase = "a"\nvariants = ["c"]\n[[term]]\nphrase = "b"\nvariants = ["C"]',
            "“C” already means “a”.",
        ),
        (
            '[[term]]\nphrase = "a"\nexact = ["C"]\n[[term]]\nphrase = "b"\nexact = ["C"]',
            "“C” already means “a”.",
        ),
        (
            '[[term]]\nphrase = "a"\nvariants = ["b"]\n[[term]]\nphrase = "b"\nvariants = ["c"]',
            "“b” is a variant here and a phrase there.",
        ),
        ("[[term]", "TOML: cannot be read"),
    ],
)
def test_every_fault_of_a_vocabulary_is_named(read, text, message):
    with pytest.raises(ContentErrors, match=message):
        read(text)


def test_further_terms_are_added_and_go_first(read):
    ours = read('[[term]]\nphrase = "settler"\nvariants = ["cone", "pot"]\n')
    theirs = read('[[term]]\nphrase = "funnel"\nvariants = ["cone"]\n')
    assert translated(ours.extended(theirs), "cone or pot").words == ("funnel", "or", "settler")


def test_the_shipped_lists_are_not_empty():
    assert len(vocabulary.off_topic()) >= 50
    assert len(vocabulary.common_words()) >= 800
