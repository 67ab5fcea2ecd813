"""The bibliography and the safety sentences that are shipped."""

import re

import pytest

from kb import cautions, sources
from kb.errors import ContentErrors
from kb.fields import Problems, is_slug


def test_every_shipped_source_has_an_id_and_a_citation():
    shipped = sources.shipped()

    assert sources.COMMON_PRACTICE in shipped
    assert all(is_slug(name) and source.id == name for name, source in shipped.items())
    assert all(source.citation.endswith(".") for source in shipped.values())
    assert all(re.fullmatch(r"\d{4}|", source.year) for source in shipped.values())


def test_no_two_sources_are_the_same_work():
    citations = [source.citation for source in sources.shipped().values()]

    assert sorted(citations) == sorted(set(citations))


def test_a_citation_is_one_line_in_the_usual_order():
    source = sources.Source("x", "On drums", "Gill & Finn", "1999", "Journal of Ponds 1:2-3")

    assert source.citation == "Gill & Finn (1999). On drums. Journal of Ponds 1:2-3."
    assert sources.Source("x", "On drums.").citation == "On drums."
    assert sources.Source("x", "On drums", year="1999").citation == "(1999). On drums."


def test_every_caution_has_a_level_and_whole_sentences():
    shipped = cautions.shipped()

    assert {caution.level for caution in shipped.values()} == set(cautions.LEVELS)
    assert all(is_slug(name) and caution.id == name for name, caution in shipped.items())
    assert all(caution.text.endswith(".") for caution in shipped.values())


@pytest.mark.parametrize(
    "name", ["acid-into-water", "lime-burns", "caustic-potash-burns", "mains-and-water"]
)
def test_what_can_hurt_people_is_a_danger(name):
    assert cautions.shipped()[name].level == "danger"


@pytest.mark.parametrize(
    ("read", "toml", "expected"),
    [
        (sources.read, '[one]\nauthors = "X"', "s.toml: one.title: is missing."),
        (
            sources.read,
            '[one]\ntitle = "T"\nisbn = "1"',
            "s.toml: one.isbn: is not known here; allowed are title, authors, year, where, note.",
        ),
        (
            sources.read,
            '["One Two"]\ntitle = "T"',
            "s.toml: One Two: is no id; use small letters, digits and hyphens.",
        ),
        (sources.read, "one = 3", "s.toml: one: must be a table, not 3."),
        (
            cautions.read,
            '[one]\nlevel = "high"\ntext = "T"',
            "s.toml: one.level: “high” is not known; use danger, care, note.",
        ),
        (cautions.read, '[one]\nlevel = "care"', "s.toml: one.text: is missing."),
    ],
)
def test_a_fault_in_a_file_is_named(tmp_path, read, toml, expected):
    file = tmp_path / "s.toml"
    file.write_text(toml, encoding="utf-8")
    problems = Problems()
    read(file, path="s.toml", problems=problems)

    with pytest.raises(ContentErrors) as error:
        problems.raise_any()
    assert expected in str(error.value).splitlines()
