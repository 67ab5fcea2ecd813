"""A ready reply fits its place: links whole, the answer ending with a sentence."""

import pytest

from web import replies
from web.replies import Manner, compose, greeting, sentences

WORRIED = (
    "fish stopped eating since yesterday, pH 7.9, ammonia 2 ppm, water is 27C, 1000 litre tank"
)


@pytest.fixture(autouse=True)
def inside(app):
    with app.test_request_context():
        yield


@pytest.fixture
def cloudy(answerer):
    return answerer.answer("why is my water cloudy"), answerer.library.article("cloudy-water")


def shortened(found, longest, **more):
    return compose(*found, name="finch_3", manner=Manner(longest=longest, **more))


@pytest.mark.parametrize("longest", range(100, 1400, 37))
def test_every_length_is_kept_with_whole_links_and_sentences(cloudy, longest):
    reply = shortened(cloudy, longest)
    whole = shortened(cloudy, None)
    assert len(reply) <= longest
    assert "http://127.0.0.1:8750/articles/cloudy-water" in reply
    for line in reply.split("\n"):
        assert line in whole
    answer = [part for part in reply.split("\n\n") if "http" not in part][1:]
    assert all(part.endswith(".") for part in answer)


def test_the_answer_has_no_gaps_only_an_end(cloudy):
    parts = sentences(cloudy[1].short_answer)
    assert len(parts) > 2
    counts = []
    for longest in range(100, 1400, 10):
        reply = shortened(cloudy, longest)
        held = [
            part.strip() in reply
            for part in sentences(replies.article_text(cloudy[1].short_answer))
        ]
        assert held == sorted(held, reverse=True)
        counts.append(sum(held))
    assert counts[0] == 0
    assert counts[-1] == len(parts)


def test_with_room_everything_is_there(answerer):
    answer = answerer.answer(WORRIED)
    reply = compose(answer, answerer.library.article("fish-off-feed"), name="finch_3")
    assert reply.startswith("Hi finch_3,\n\n")
    for part in ("0.099 mg/L", "First: Stop feeding", "/articles/fish-off-feed", "your figures"):
        assert part in reply


def test_danger_comes_before_the_answer_when_room_is_short(answerer):
    answer = answerer.answer(WORRIED)
    article = answerer.library.article("fish-off-feed")
    reply = compose(answer, article, name=None, manner=Manner(longest=280))
    assert len(reply) <= 280
    assert "First: Stop feeding until the ammonia is gone." in reply
    assert "/articles/fish-off-feed" in reply


def test_a_recording_is_named_where_there_is_room(cloudy):
    line = "Shown at 4:12 in “Clouds”: https://club.example/r/1?t=252"
    assert line in shortened(cloudy, 2000, covered=(line,))
    assert line not in shortened(cloudy, 120, covered=(line,))


def test_a_link_is_never_cut_even_where_it_alone_is_too_long(cloudy):
    reply = shortened(cloudy, 40)
    assert reply.endswith("/articles/cloudy-water")
    assert "Hi finch" not in reply


@pytest.mark.parametrize(
    ("words", "name", "said"),
    [
        ("Hi {name},", "finch_3", "Hi finch_3,"),
        ("Hi {name},", None, "Hi,"),
        ("Dear {name}!", None, "Dear!"),
        ("Good evening", "finch_3", "Good evening"),
        ("Hi {name},", "{name} {0}", "Hi {name} {0},"),
    ],
)
def test_a_greeting_takes_the_name_or_goes_without(words, name, said):
    assert greeting(words, name) == said


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("One. Two! Three?", ["One.", " Two!", " Three?"]),
        ("Use lime, e.g. Chalk. Then wait.", ["Use lime, e.g. Chalk.", " Then wait."]),
        ("pH 6.4 is low. Act.", ["pH 6.4 is low.", " Act."]),
        ("Do this:\n- one\n- two. Three", ["Do this:", "\n- one", "\n- two.", " Three"]),
        ("no end", ["no end"]),
        ("", []),
    ],
)
def test_sentences_are_told_apart(text, parts):
    assert list(sentences(text)) == parts


def test_every_heading_offered_is_on_the_articles_page(client, library):
    article = library.article("cloudy-water")
    page = client.get("/articles/cloudy-water").get_data(as_text=True)
    missing = [
        fragment for _, fragment in replies.headings(article) if f'id="{fragment}"' not in page
    ]
    assert missing == []
