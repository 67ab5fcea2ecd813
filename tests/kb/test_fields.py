"""Strict reading of TOML: every fault has its place, and all faults come together."""

import datetime
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.errors import ContentErrors
from kb.fields import Fields, Problems, is_slug, parse_toml, read_table, read_text


def fields(toml, place=""):
    problems = Problems()
    return Fields(tomllib.loads(toml), path="a.toml", place=place, problems=problems), problems


def messages(problems):
    return [str(problem) for problem in problems.found]


def test_good_values_are_read_without_a_problem():
    table, problems = fields(
        """
        name = " Drum "
        id = "second-settler"
        tags = ["a", "b"]
        size = 3
        urgent = true
        day = 2026-03-31
        level = "care"
        [below]
        deep = 1.5
        [[rows]]
        name = "first"
        """
    )

    assert table.text("name") == "Drum"
    assert table.slug("id") == "second-settler"
    assert table.texts("tags", required=True) == ("a", "b")
    assert table.number("size") == 3.0
    assert table.flag("urgent") is True
    assert table.date("day") == datetime.date(2026, 3, 31)
    assert table.word("level", ("danger", "care")) == "care"
    below = table.table("below", required=True)
    assert below.number("deep") == 1.5
    (row,) = table.tables("rows", required=True)
    assert row.text("name") == "first"
    for each in (below, row, table):
        each.finish()
    assert messages(problems) == []


def test_what_is_left_out_takes_its_default():
    table, problems = fields("")

    assert table.text("name", "") == ""
    assert table.slug("id", "none") == "none"
    assert table.texts("tags") == ()
    assert table.number("size", optional=True) is None
    assert table.number("weight", 2.0) == 2.0
    assert table.flag("urgent") is False
    assert table.word("level", ("danger", "care"), "care") == "care"
    assert table.table("below").rest() == ()
    assert table.tables("rows") == ()
    assert messages(problems) == []


@pytest.mark.parametrize(
    ("toml", "read", "message"),
    [
        ("", lambda t: t.text("name"), "a.toml: name: is missing."),
        ("name = 3", lambda t: t.text("name"), "a.toml: name: must be a text in quotes, not 3."),
        (
            'name = " "',
            lambda t: t.text("name"),
            "a.toml: name: is empty; write a text or leave the key out.",
        ),
        (
            'id = "Second Settler"',
            lambda t: t.slug("id"),
            "a.toml: id: “Second Settler” is no id; use small letters, digits and hyphens.",
        ),
        ("tags = 3", lambda t: t.texts("tags"), "a.toml: tags: must be a list of texts, not 3."),
        (
            "tags = []",
            lambda t: t.texts("tags", required=True),
            "a.toml: tags: must name at least one.",
        ),
        (
            'tags = ["a", 3]',
            lambda t: t.texts("tags"),
            "a.toml: tags[2]: must be a text that is not empty.",
        ),
        (
            'tags = ["a", "a"]',
            lambda t: t.texts("tags"),
            "a.toml: tags[2]: “a” stands there twice.",
        ),
        ('size = "3"', lambda t: t.number("size"), "a.toml: size: must be a number, not '3'."),
        ("size = true", lambda t: t.number("size"), "a.toml: size: must be a number, not True."),
        ("urgent = 1", lambda t: t.flag("urgent"), "a.toml: urgent: must be true or false, not 1."),
        (
            'day = "2026-03-31"',
            lambda t: t.date("day"),
            "a.toml: day: must be a date such as 2026-03-31, without quotes, not '2026-03-31'.",
        ),
        (
            'level = "high"',
            lambda t: t.word("level", ("danger", "care")),
            "a.toml: level: “high” is not known; use danger, care.",
        ),
        ("below = 3", lambda t: t.table("below"), "a.toml: below: must be a table, not 3."),
        ("", lambda t: t.table("below", required=True), "a.toml: below: is missing."),
        ("rows = [3]", lambda t: t.tables("rows"), "a.toml: rows[1]: must be a table."),
        (
            "colour = 1",
            lambda t: (t.has("name"), t.finish()),
            "a.toml: colour: is not known here; allowed are name.",
        ),
    ],
)
def test_a_fault_is_named_with_its_place(toml, read, message):
    table, problems = fields(toml)
    read(table)

    assert messages(problems) == [message]


def test_a_fault_deep_down_carries_the_whole_way_to_it():
    table, problems = fields("[[cause]]\n[[cause]]\n[cause.remedy]\nsteps = 3", place="rules")
    _, second = table.tables("cause")
    second.table("remedy").texts("steps")

    assert messages(problems) == [
        "a.toml: rules.cause[2].remedy.steps: must be a list of texts, not 3."
    ]


def test_a_long_value_is_cut_short_in_the_message():
    table, problems = fields(f"name = [{'1,' * 300}]")
    table.text("name")

    assert len(messages(problems)[0]) < 100


def test_reading_goes_on_after_a_fault_and_all_faults_are_raised_together():
    table, problems = fields('name = 3\nid = "A B"\nstray = 1')
    assert table.text("name") == ""
    table.slug("id")
    table.finish()

    with pytest.raises(ContentErrors) as error:
        problems.raise_any()
    assert [problem.place for problem in error.value.problems] == ["name", "id", "stray"]
    assert str(error.value).count("\n") == 2


def test_no_fault_raises_nothing():
    Problems().raise_any()


def test_a_syntax_fault_has_the_line_of_the_whole_file():
    problems = Problems()
    data = parse_toml("a = 1\nb = x", path="x.md", problems=problems, first_line=10)

    assert data == {}
    assert "line 12" in messages(problems)[0]
    assert messages(problems)[0].startswith("x.md: TOML: cannot be read")


def test_a_file_is_read_as_text_with_one_kind_of_line_end(tmp_path):
    file = tmp_path / "a.toml"
    file.write_bytes(b"\xef\xbb\xbfname = 'x'\r\nsize = 1\r\n")

    assert read_text(file, path="a.toml", problems=Problems()) == "name = 'x'\nsize = 1\n"


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"ok = '\xff'", "a.toml: byte 6: is not UTF-8 text."),
        (None, "a.toml: file: cannot be read"),
    ],
)
def test_a_file_that_cannot_be_read_is_a_fault_and_no_crash(tmp_path, content, message):
    problems = Problems()
    file = tmp_path / "a.toml"
    if content is not None:
        file.write_bytes(content)
    read_table(file, path="a.toml", problems=problems)

    assert messages(problems)[0].startswith(message)


@pytest.mark.parametrize("text", ["a", "second-settler", "ph-7", "2026"])
def test_ids_look_like_this(text):
    assert is_slug(text)


@pytest.mark.parametrize("text", ["", "A", "a b", "-a", "a-", "a--b", "a_b", "ä", "a/b", "a\n"])
def test_ids_do_not_look_like_this(text):
    assert not is_slug(text)


VALUES = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=5)),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=3), inner, max_size=3)
    ),
    max_leaves=6,
)
READERS = (
    lambda table: table.text("key"),
    lambda table: table.slug("key"),
    lambda table: table.texts("key", required=True),
    lambda table: table.number("key"),
    lambda table: table.flag("key"),
    lambda table: table.date("key"),
    lambda table: table.word("key", ("one", "two")),
    lambda table: table.table("key"),
    lambda table: table.tables("key"),
)


@given(value=VALUES, reader=st.sampled_from(READERS))
def test_whatever_stands_in_a_file_reading_it_never_crashes(value, reader):
    problems = Problems()
    table = Fields({"key": value}, path="a.toml", place="", problems=problems)
    reader(table)
    table.finish()

    assert all(message.startswith("a.toml: key") for message in messages(problems))
