"""A recording from the plan to the replies, walked as the keeper does."""

import datetime
import re
from html import unescape

import pytest

from kb.recordings import RecordingPlace
from kb.store import places, recordings, replies
from kb.store import questions as store
from kb.store.places import Place
from kb.store.questions import Judgement, NewQuestion

NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
ADDRESS = "http://127.0.0.1:8750"
LINK = "https://example.org/recordings/7"
SHEET = "/desk/recordings/1"


@pytest.fixture
def sheet(keeper, log, app):
    """A planned recording with two answers and a topic; two people asked, one with a name."""
    from dataclasses import replace

    place = RecordingPlace("club recordings", "{link}#t={second}", 120)
    app.config["SETTINGS"] = replace(app.config["SETTINGS"], recording_places=(place,))
    sure = Judgement("strong", "cloudy-water", urgent=False)
    for text, name in (("Is milk in my tank?", "finch_3"), ("White water!", None)):
        store.log(log, NewQuestion(text, "club evening", name), sure, now=NOW)
    keeper.post("/desk/recordings/", "/desk/recordings/", title="April", planned_for="2026-04-05")
    for fields in (
        {"article": "fish-gasping"}, {"title": "The plant sale"},
        {"article": "cloudy-water", "askers": "1"}, {"article": "lowering-ph"},
    ):  # fmt: skip
        assert keeper.post(SHEET, f"{SHEET}/items", **fields).status_code == 303
    return [item.id for item in recordings.items(log, 1)]


def titles(page):
    return re.findall(r"<h2>([^<]+)</h2>", page.split('<ol class="run')[1].split("</ol>")[0])


def publish(keeper, sheet, **changes):
    fish, sale, cloudy, _ = sheet
    times = {f"second-{fish}": "0:00", f"second-{sale}": "1:02:03", f"second-{cloudy}": "12:34"}
    fields = {"link": LINK, "place": "club recordings", "published_on": "2026-04-06", **times}
    return keeper.post(f"{SHEET}/afterwards", f"{SHEET}/afterwards", **(fields | changes))


def test_the_desk_leads_to_recordings(keeper):
    assert 'href="/desk/recordings/"' in keeper.text("/desk/")


def test_items_stand_by_topic_when_asked_and_move_by_hand(keeper, sheet, library):
    sale = sheet[1]
    keeper.post(SHEET, f"{SHEET}/order")
    page = keeper.text(f"{SHEET}/read")
    assert titles(page)[-1] == "The plant sale"
    assert titles(page).index(library.article("lowering-ph").title) == 0
    keeper.post(SHEET, f"/desk/recordings/items/{sale}", act="up")
    assert titles(keeper.text(f"{SHEET}/read"))[-2] == "The plant sale"
    keeper.post(SHEET, f"/desk/recordings/items/{sale}", act="off")
    assert len(titles(keeper.text(f"{SHEET}/read"))) == 3


def test_what_waits_is_offered_until_it_is_on_the_sheet(keeper, log):
    sure = Judgement("strong", "cloudy-water", urgent=False)
    store.log(log, NewQuestion("Milk?", "club evening"), sure, now=NOW)
    keeper.post("/desk/recordings/", "/desk/recordings/", title="April")
    assert 'name="article" value="cloudy-water"' in keeper.text(SHEET)
    keeper.post(SHEET, f"{SHEET}/items", article="cloudy-water", askers="1")
    assert 'name="article" value="cloudy-water"' not in keeper.text(SHEET)


def test_a_question_is_put_on_a_sheet_from_its_own_page(keeper, log, sheet):
    number, _ = store.log(
        log, NewQuestion("When is the plant sale?", "letters"), Judgement("none", None, False),
        now=NOW,
    )  # fmt: skip
    page = f"/desk/recordings/add?question={number}"
    assert f'href="{page}"' in keeper.text(f"/desk/questions/{number}")
    assert "Put on “April”" in keeper.text(page)
    keeper.post(page, f"{SHEET}/items", question=str(number))
    keeper.post(page, f"{SHEET}/items", question=str(number))
    assert [a.question.id for a in recordings.askers(log, 1)].count(number) == 1


def test_afterwards_come_the_text_the_covered_link_the_replies_and_the_thanks(
    keeper, walker, sheet, log, content
):
    assert publish(keeper, sheet).status_code == 303
    page = keeper.text(f"{SHEET}/texts")
    text = re.search(r"<textarea[^>]*>(.*?)</textarea>", page, re.DOTALL)[1]
    assert "0:12:34 Why is my water cloudy?" not in text  # 120 signs leave room for links at most
    assert len(text) <= 120
    assert all(line in page for line in ("No room for", "To thank", "finch_3"))
    reply = re.search(r'id="reply-1">(.*?)</pre>', page, re.DOTALL)[1]
    assert reply == (
        "Hi finch_3,\n\nYour question is answered in “April”, from 12 minutes 34 seconds on:\n"
        f"{LINK}#t=754\n\nThe answer in writing: {ADDRESS}{content.short_path('cloudy-water')}"
    )
    article = walker.text("/articles/cloudy-water")
    assert f'<a href="{LINK}#t=754" rel="noopener">April</a>, from 12 minutes 34 seconds' in article
    assert "Told in a recording" not in walker.text("/articles/iron")


def test_every_link_of_a_text_leads_to_its_answer(keeper, walker, sheet, app):
    app.config["SETTINGS"] = type(app.config["SETTINGS"])()
    publish(keeper, sheet, place="")
    page = keeper.text(f"{SHEET}/texts")
    text = unescape(re.search(r"<textarea[^>]*>(.*?)</textarea>", page, re.DOTALL)[1])
    assert "0:00:00 " in text
    assert text.count("0:00:00") == 1
    assert "1:02:03 The plant sale" in text
    found = re.findall(rf"{ADDRESS}(/a/\S+)", text)
    assert {walker.get(path).location for path in found} == {
        "/articles/fish-gasping", "/articles/cloudy-water", "/articles/lowering-ph",
    }  # fmt: skip


def test_the_desks_own_reply_tells_of_the_newest_recording(keeper, sheet):
    publish(keeper, sheet)
    page = keeper.text("/desk/questions/1?article=cloudy-water")
    line = f"Answered in “April”, from 12 minutes 34 seconds on: {LINK}#t=754"
    assert line in page.split("<textarea")[1].split("</textarea>")[0]


def test_replies_greet_and_fit_as_their_place_wants_it(keeper, sheet, log):
    places.put(log, Place("club evening", greeting="Hello {name}!", longest_reply=100))
    publish(keeper, sheet)
    reply = re.search(r'id="reply-1">(.*?)</pre>', keeper.text(f"{SHEET}/texts"), re.DOTALL)[1]
    assert len(reply) <= 100
    assert f"{LINK}#t=754" in reply
    places.put(log, Place("club evening", greeting="Hello {name}!"))
    assert ">Hello finch_3!" in keeper.text(f"{SHEET}/texts")


def test_a_reply_is_marked_once_however_often_the_form_is_sent(keeper, sheet, log):
    publish(keeper, sheet)
    for _ in range(2):
        assert keeper.post(SHEET, f"{SHEET}/replies/1").status_code == 303
    (reply,) = replies.of_question(log, 1)
    assert f"{LINK}#t=754" in reply.text
    assert store.get(log, 1).state == "replied"
    assert 'id="reply-1"' not in keeper.text(f"{SHEET}/texts")


def test_before_it_has_a_link_nothing_is_public_and_no_reply_is_ready(keeper, walker, sheet):
    assert 'id="reply-1"' not in keeper.text(f"{SHEET}/texts")
    assert "Told in a recording" not in walker.text("/articles/cloudy-water")


def test_another_recording_of_the_same_answer_shows_when_it_was_covered(keeper, sheet):
    publish(keeper, sheet)
    keeper.post("/desk/recordings/", "/desk/recordings/", title="May")
    keeper.post("/desk/recordings/2", "/desk/recordings/2/items", article="cloudy-water")
    page = re.sub(r"<[^>]+>", "", keeper.text("/desk/recordings/2"))
    assert "Covered before: April, 2026-04-06" in page


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"link": "javascript:alert(1)"}, "begins with http:// or https://"),
        ({"link": "https://example.org/a b"}, "begins with http:// or https://"),
        ({"place": "elsewhere"}, "known are club recordings"),
        ({"published_on": "next week"}, "write it like 2026-03-31"),
        ({"second": "soon"}, "write h:mm:ss"),
        ({"second": "0:00"}, "Two items start at 0:00:00"),
    ],
)
def test_bad_input_is_named_and_nothing_is_stored(keeper, sheet, log, fields, said):
    second = fields.pop("second", None)
    if second:
        fields[f"second-{sheet[3]}"] = second
    got = publish(keeper, sheet, **fields)
    assert got.status_code == 422
    assert said in unescape(got.get_data(as_text=True))
    assert recordings.get(log, 1).link is None
    assert {item.second for item in recordings.items(log, 1)} == {None}


@pytest.mark.parametrize(
    ("address", "fields", "code"),
    [
        (f"{SHEET}/items", {"title": " "}, 422),
        (f"{SHEET}/items", {"title": "x" * 121}, 422),
        (f"{SHEET}/items", {"article": "nothing"}, 404),
        (f"{SHEET}/items", {"question": "99"}, 404),
        (f"{SHEET}/items", {"question": "²"}, 422),
        (f"{SHEET}/items", {"group": "99"}, 404),
        ("/desk/recordings/9/items", {"title": "a"}, 404),
        ("/desk/recordings/items/99", {"act": "up"}, 404),
        (f"{SHEET}/change", {"title": ""}, 422),
    ],
)
def test_what_does_not_exist_or_has_no_name_is_refused(keeper, sheet, address, fields, code):
    assert keeper.post(SHEET, address, **fields).status_code == code


@pytest.mark.parametrize("part", ["/", "/1", "/1/read", "/1/afterwards", "/1/texts", "/add"])
def test_recordings_are_the_keepers_alone(walker, part):
    assert walker.get(f"/desk/recordings{part}").location.startswith("/desk/login")


def test_a_recording_taken_away_leaves_the_article_and_the_questions(keeper, walker, sheet, log):
    publish(keeper, sheet)
    keeper.post(SHEET, f"{SHEET}/remove")
    assert "Told in a recording" not in walker.text("/articles/cloudy-water")
    assert store.counts(log)["open"] == 2


def test_an_article_is_shown_even_if_the_database_is_broken(app, walker):
    (app.config["DATA"] / "standpipe.db").write_bytes(b"\xff" * 4096)
    assert walker.get("/articles/cloudy-water").status_code == 200


def test_desk_pages_bring_their_own_looks_and_keys(keeper, sheet):
    page = keeper.text(SHEET)
    for file in ("css/desk.css", "css/runsheet.css", "js/desk.js"):
        assert f"/static/{file}" in page.split("</head>")[0]
