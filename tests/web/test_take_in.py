"""Taking in on the desk: looked at first, taken in once, broken lines named, cleared away after."""

import io
import re
import time

import pytest

from kb import intake
from kb.store import places
from kb.store import questions as store
from web import taking, uploads
from web.take_in import LARGEST_PASTE

CSV = (
    "Comment,Author,URL,Date\n"
    "Why is my water cloudy?,finch_3,https://example.org/1,2026-03-01\n"
    ",finch_5,https://example.org/3,2026-03-02\n"
    "What about moss?,finch_6,https://example.org/4,last week\n"
    "Does pH fall?,wren_4,https://example.org/5,2026-03-03 10:00\n"
)
COLUMNS = {"text": "Comment", "asked_by": "Author", "link": "URL", "asked_at": "Date"}
HOME = "/desk/take-in/"


def send(keeper, name="club.csv", content=CSV, **fields):
    """Upload a file and give the address of the look at it."""
    token = re.search(r'name="csrf_token" value="([^"]+)"', keeper.text(HOME))[1]
    data = {"csrf_token": token, "place": "club evening", **fields}
    if name:
        data["file"] = (io.BytesIO(content.encode()), name)
    got = keeper.client.post(HOME, data=data, content_type="multipart/form-data")
    assert got.status_code == 303, got.get_data(as_text=True)
    return got.location


def until_done(keeper, address):
    for _ in range(600):
        page = keeper.get(address)
        if "Refresh" not in page.headers:
            return page.get_data(as_text=True)
        time.sleep(0.05)
    raise AssertionError("taking in did not end within 30 seconds")


def uploaded(app):
    folder = app.config["DATA"] / uploads.FOLDER
    return sorted(path.name for path in folder.rglob("upload.*")) if folder.is_dir() else []


def test_a_file_is_looked_at_before_anything_is_logged(keeper, log):
    page = keeper.text(send(keeper))
    assert "<strong>2</strong> can be taken in" in page
    assert "<strong>2</strong> cannot" in page
    assert "Line 3 has no text." in page
    assert "Line 4 “last week” is no date" in page
    for field, column in COLUMNS.items():
        select = page.split(f'<select id="{field}"')[1].split("</select>")[0]
        assert f'value="{column}" selected' in select
    assert store.listed(log) == ()


def test_it_is_taken_in_once_whatever_is_pressed_twice(app, keeper, log):
    for expected in ("<strong>2</strong> new", "<strong>2</strong> known already"):
        address = send(keeper)
        for _ in range(2):
            keeper.post(HOME, f"{address}/take", **COLUMNS)
        assert expected in until_done(keeper, address)
    assert sorted(question.text for question in store.listed(log)) == [
        "Does pH fall?", "Why is my water cloudy?",
    ]  # fmt: skip
    assert {question.place for question in store.listed(log)} == {"club evening"}
    assert uploaded(app) == ["upload.json", "upload.json"]


def test_the_columns_of_a_place_are_remembered(keeper, log):
    content = "Slip,Bench\nWhy is it cloudy?,finch_3\n"
    first = send(keeper, content=content)
    assert "Choose the column that holds the question." in keeper.text(first)
    chosen = {"text": "Slip", "asked_by": "Bench"}
    assert "<strong>1</strong> can be taken in" in keeper.text(f"{first}?text=Slip&asked_by=Bench")
    keeper.post(HOME, f"{first}/take", **chosen)
    until_done(keeper, first)
    assert places.get(log, "club evening").columns == chosen
    assert "<strong>1</strong> can be taken in" in keeper.text(send(keeper, content=content))


@pytest.mark.parametrize(
    ("fields", "texts"),
    [
        ({"pasted": "Is it cloudy?\nDoes pH fall?"}, ["Does pH fall?", "Is it cloudy?"]),
        ({"pasted": '{"text": "Cloudy?"}\n{"text": "Green?"}'}, ["Cloudy?", "Green?"]),
        ({"pasted": "text,who\nCloudy?,finch_3\n", "format": "csv"}, ["Cloudy?"]),
    ],
)
def test_what_is_pasted_is_taken_in_alike(keeper, log, fields, texts):
    address = send(keeper, name=None, new_place="letters", **fields)
    page = keeper.text(address)
    hidden = dict(re.findall(r'type="hidden" name="(text|asked_by)" value="([^"]*)"', page))
    keeper.post(HOME, f"{address}/take", **hidden)
    until_done(keeper, address)
    assert sorted(question.text for question in store.listed(log)) == texts
    assert {question.place for question in store.listed(log)} == {"letters"}


def test_nothing_sent_and_no_place_are_refused_in_one_sentence(keeper):
    got = keeper.post(HOME, HOME, place="club evening", pasted=" ")
    assert "Paste the questions, or choose a file" in got.get_data(as_text=True)
    got = keeper.post(HOME, HOME, place="", pasted="hello?")
    assert "Name the place in 1 to 100 characters" in got.get_data(as_text=True)


def test_a_file_that_is_no_text_is_named_and_can_be_cleared(app, keeper):
    token = re.search(r'name="csrf_token" value="([^"]+)"', keeper.text(HOME))[1]
    file = (io.BytesIO(b"text\nfish \xff\xfe\n"), "odd.csv")
    data = {"csrf_token": token, "place": "club", "file": file}
    address = keeper.client.post(HOME, data=data, content_type="multipart/form-data").location
    page = keeper.text(address)
    assert "It cannot be taken in like this." in page
    assert "UTF-8" in page
    assert str(app.config["DATA"]) not in page
    keeper.post(HOME, f"{address}/discard")
    assert uploaded(app) == []
    assert keeper.get(address).status_code == 404


def test_one_that_was_broken_off_goes_on_and_nothing_is_doubled(app, keeper, log):
    address = send(keeper)
    upload = uploads.get(app.config["DATA"], address.rsplit("/", 1)[1])
    uploads.write(
        app.config["DATA"],
        uploads.replace(upload, state=uploads.TAKING, columns=COLUMNS, done=1, logged=1),
    )
    assert "It was broken off." in keeper.text(address)
    assert "club.csv" in keeper.text(HOME)
    for _ in range(2):
        keeper.post(HOME, f"{address}/take")
    assert "<strong>2</strong> new" in until_done(keeper, address)
    assert len(store.listed(log)) == 2


def test_what_nobody_touched_for_a_day_is_cleared(app, keeper, monkeypatch):
    send(keeper)
    later = time.time() + uploads.KEPT_S + 60
    monkeypatch.setattr(uploads.time, "time", lambda: later)
    keeper.get(HOME)
    assert uploaded(app) == []


def test_only_the_keeper_and_only_here_may_send_much(app, keeper, walker):
    large = "Is it cloudy?\n" * 100_000
    assert len(large) > app.config["MAX_CONTENT_LENGTH"]
    assert keeper.post(HOME, HOME, place="club", pasted=large).status_code == 303
    assert keeper.post("/desk/", "/desk/look-again", more=large).status_code == 413
    assert walker.client.post(HOME, data={"pasted": large}).status_code in (302, 400, 413)
    got = keeper.post(HOME, HOME, place="club", pasted="x" * (LARGEST_PASTE + 1))
    assert "send it as a file" in got.get_data(as_text=True)


@pytest.mark.parametrize("token", ["0" * 32, "..", "x" * 32, "a/../b"])
def test_made_up_names_of_uploads_lead_nowhere(keeper, token):
    assert keeper.get(f"/desk/take-in/{token}").status_code == 404


def test_progress_is_told_while_it_goes_on(app, keeper, monkeypatch):
    address = send(keeper)
    token = address.rsplit("/", 1)[1]
    upload = uploads.get(app.config["DATA"], token)
    note = uploads.replace(upload, state=uploads.TAKING, done=40, total=100)
    uploads.write(app.config["DATA"], note)
    monkeypatch.setattr(taking, "at_work", lambda _token: True)
    got = keeper.get(address)
    assert got.headers["Refresh"] == "2"
    assert "40 of 100" in got.get_data(as_text=True)


def test_a_long_file_is_matched_by_other_processes(keeper, log, monkeypatch):
    monkeypatch.setattr(taking, "MANY", 0)
    monkeypatch.setattr(intake, "ALONE_UP_TO", 1)
    address = send(keeper)
    keeper.post(HOME, f"{address}/take", **COLUMNS)
    assert "<strong>2</strong> new" in until_done(keeper, address)
    assert store.listed(log)[0].verdict is not None


def test_what_nobody_foresaw_is_told_and_can_be_gone_on_with(keeper, log, monkeypatch):
    address = send(keeper)
    with monkeypatch.context() as broken:
        broken.setattr(taking, "_matching", None)
        keeper.post(HOME, f"{address}/take", **COLUMNS)
        assert "Something went wrong on our side." in until_done(keeper, address)
    keeper.post(HOME, f"{address}/take")
    assert "<strong>2</strong> new" in until_done(keeper, address)
