"""Times, links to a second, and the text that goes under a recording."""

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb import recordings
from kb.fields import Fields, Problems
from kb.recordings import Chapter, Written, clock, in_words, link_at, read_clock, under_recording
from kb.store.recordings import Item

CHAPTERS = [Chapter(754, "Cloudy water"), Chapter(75, "Bringing pH down")]
ANSWERS = [
    Written("How do I bring pH down safely?", "https://example.org/a/k7m2p"),
    Written("Why is my water cloudy?", "https://example.org/a/x3c9d"),
]


@pytest.mark.parametrize(
    ("text", "second"),
    [
        ("0:00", 0), ("1:02:03", 3723), ("62:03", None), ("12:34", 754), ("754", 754), ("0", 0),
        (" 0:12:34 ", 754), ("99:59:59", 359999), ("359999", 359999), ("360000", None),
        ("12:60", None), ("12:3", None), ("-1", None), ("", None), ("1.5", None), ("soon", None),
        ("1:60:00", None), ("١٢", None),
    ],
)  # fmt: skip
def test_a_time_is_read_or_refused(text, second):
    assert read_clock(text) == second


@given(st.integers(0, 359_999))
def test_times_read_back_as_they_are_written(second):
    # datetime.timedelta of the standard library writes up to a day in the same way
    assert read_clock(clock(second)) == second
    if second < 86_400:
        assert clock(second) == str(datetime.timedelta(seconds=second))


@pytest.mark.parametrize(
    ("second", "words"),
    [(0, "the start"), (1, "1 second"), (754, "12 minutes 34 seconds"), (3600, "1 hour")],
)
def test_a_time_is_said_in_words(second, words):
    assert in_words(second) == words


@pytest.mark.parametrize(
    ("template", "link", "second", "found"),
    [
        ("{link}", "https://example.org/v", 75, "https://example.org/v"),
        # W3C Media Fragments URI 1.0, 4.2.1: t=10 is from second 10 on
        ("{link}#t={second}", "https://example.org/v", 10, "https://example.org/v#t=10"),
        ("{link}#t={second}", "https://example.org/v#x", 10, "https://example.org/v#t=10"),
        ("{link}?t={second}", "https://example.org/v", 75, "https://example.org/v?t=75"),
        ("{link}?t={second}", "https://example.org/v?id=1", 75, "https://example.org/v?id=1&t=75"),
        ("{link}?t={second}", "https://example.org/v#x", 75, "https://example.org/v?t=75#x"),
        ("{link}?t={second}", "https://example.org/v", None, "https://example.org/v"),
    ],
)
def test_a_link_carries_the_second_as_its_place_wants_it(template, link, second, found):
    assert link_at(template, link, second) == found


def test_chapters_begin_at_nought_and_every_answer_is_linked():
    assert under_recording("April", CHAPTERS, ANSWERS) == recordings.Under(
        "April\n\n"
        "In this recording:\n0:00:00 Start\n0:01:15 Bringing pH down\n0:12:34 Cloudy water\n\n"
        "The answers in writing:\n"
        "How do I bring pH down safely?\nhttps://example.org/a/k7m2p\n"
        "Why is my water cloudy?\nhttps://example.org/a/x3c9d",
        (),
    )


def test_no_start_is_made_up_where_there_is_one_or_no_times_at_all():
    assert under_recording("April", [Chapter(0, "Hello")], []).text.count("0:00:00") == 1
    assert under_recording("April", [], []).text == "April"


def test_what_goes_first_is_the_title_then_the_titles_of_answers_then_answers():
    whole = under_recording("April", CHAPTERS, ANSWERS)
    without_title = under_recording("April", CHAPTERS, ANSWERS, longest=whole.length - 1)
    bare = under_recording("April", CHAPTERS, ANSWERS, longest=without_title.length - 1)
    one_less = under_recording("April", CHAPTERS, ANSWERS, longest=bare.length - 1)
    assert without_title.text == whole.text.removeprefix("April\n\n")
    assert "Why is my" not in bare.text
    assert bare.left_out == ()
    assert one_less.left_out == ("https://example.org/a/x3c9d",)


@given(
    st.integers(1, 600),
    st.lists(
        st.tuples(st.integers(0, 9999), st.text("ab 🐟", min_size=1, max_size=40)), max_size=8
    ),
    st.lists(st.integers(0, 10**6), max_size=8),
)
def test_a_text_never_exceeds_its_place_and_never_holds_part_of_a_line(longest, times, numbers):
    chapters = [Chapter(second, title) for second, title in times]
    answers = [Written(f"Answer {n}", f"https://example.org/a/{n}") for n in numbers]
    found = under_recording("Title", chapters, answers, longest=longest)
    assert found.length <= longest
    whole = under_recording("Title", chapters, answers).text.split("\n")
    assert set(found.text.split("\n")) <= {*whole, ""}
    links = {answer.link for answer in answers}
    assert links <= {*found.text.split("\n"), *found.left_out}
    if "0:" in found.text and chapters:
        assert recordings.CHAPTERS + "\n0:00:00" in found.text


def place(**data):
    problems = Problems()
    return recordings.read_place(Fields(data, path="s", place="p", problems=problems)), problems


def test_a_place_is_read():
    got, problems = place(name="club", second_link="{link}#t={second}", longest_text=500)
    assert got == recordings.RecordingPlace("club", "{link}#t={second}", 500)
    assert problems.found == []


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ({"second_link": "t={second}"}, "must begin with {link}"),
        ({"second_link": "{link}?t={minute}"}, "must begin with {link}"),
        ({"second_link": "{link}{link}"}, "must begin with {link}"),
        ({"longest_text": -1}, "must be a whole number from 0"),
        ({"longest_text": 1.5}, "must be a whole number from 0"),
        ({"colour": "blue"}, "is not known here"),
    ],
)
def test_a_place_that_cannot_be_used_is_named(data, said):
    _, problems = place(name="club", **data)
    assert said in problems.found[0].message


def test_items_are_ordered_by_topic_and_keep_their_order_within(library):
    slugs = ["yellow-leaves", "lowering-ph", None, "fish-gasping", "cloudy-water", "raising-ph"]
    items = [Item(n, 1, n, None, slug, None) for n, slug in enumerate(slugs)]
    found = [item.article for item in recordings.by_topic(items, library.articles)]
    assert found.index("lowering-ph") < found.index("raising-ph") < found.index("fish-gasping")
    assert found[-1] is None
