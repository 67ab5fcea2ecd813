"""Names and links are the keeper's alone, and go when they are told to or have grown old."""

import datetime
import logging
import time

import pytest

from kb.store import people, replies
from kb.store import questions as store
from kb.store.questions import Judgement, NewQuestion
from web import ageing
from web.database import path_of

NOW = datetime.datetime.now(datetime.UTC)
NAME, LINK = "finch_the_secret", "https://example.org/secret-profile"
SURE = Judgement("strong", "cloudy-water", urgent=False)


@pytest.fixture
def asked(log):
    """A question with name and link, replied to, covered in a published recording."""
    from kb.store import recordings

    number, _ = store.log(log, NewQuestion("Secretly milk?", "club", NAME, LINK), SURE, now=NOW)
    sheet = recordings.plan(log, "April", planned_for=None, now=NOW)
    item = recordings.add_article(log, sheet, "cloudy-water")
    own = recordings.add_question(log, sheet, number, article=None)
    recordings.enter(
        log, sheet, link="https://example.org/7", place=None, published_on=NOW.date(),
        seconds={item: 5, own: 9},
    )  # fmt: skip
    replies.send(log, number, f"Hi {NAME}, {LINK}", article="cloudy-water", now=NOW)
    return number


def public_addresses(app):
    """Every page that asks for no login and takes no part in its address, and one of each kind."""
    plain = {
        rule.rule
        for rule in app.url_map.iter_rules()
        if "GET" in (rule.methods or ()) and not rule.arguments
    }
    kinds = {
        "/articles/cloudy-water", "/symptoms/cloudy-water", "/calculators/turnover",
        "/answers?q=Secretly+milk", "/api/match?q=Secretly+milk", "/api/calculators/turnover",
        "/api/symptoms/cloudy-water",
    }  # fmt: skip
    return sorted(plain | kinds)


def test_no_public_page_feed_or_answer_shows_a_name_or_link(app, walker, asked):
    seen = 0
    for address in public_addresses(app):
        got = walker.client.get(address, follow_redirects=True)
        seen += got.status_code == 200
        text = got.get_data(as_text=True)
        assert NAME not in text, address
        assert "secret-profile" not in text, address
    assert seen > 15


def test_the_keeper_sees_them(keeper, asked):
    assert NAME in keeper.text(f"/desk/questions/{asked}")


def test_a_person_is_looked_up_and_forgotten_from_the_desk(keeper, log, asked):
    page = keeper.post("/desk/people/", "/desk/people/", name=NAME.upper())
    text = page.get_data(as_text=True)
    assert "1 question found" in text
    assert "Secretly milk?" in text
    keeper.post("/desk/people/", "/desk/people/forget", name=NAME)
    assert "1 question are gone" in keeper.text("/desk/people/")
    dump = "\n".join(log.iterdump())
    assert NAME not in dump
    assert "secret-profile" not in dump


def test_no_name_stands_in_an_address(keeper, asked):
    got = keeper.post("/desk/people/", "/desk/people/forget", name=NAME)
    assert NAME not in got.location


def test_forgetting_nobody_is_refused(keeper):
    assert keeper.post("/desk/people/", "/desk/people/forget", name=" ").status_code == 422


def test_forgetting_is_the_keepers_alone(walker, log, asked):
    assert walker.post("/", "/desk/people/forget", name=NAME).location.startswith("/desk/login")
    assert people.questions_of(log, name=NAME) == (asked,)


def test_old_names_go_when_the_site_starts_and_never_when_told_so(app, log, asked):
    later = NOW + datetime.timedelta(days=800)
    assert ageing.drop_old_names(path_of(app), 0, now=later) == 0
    assert ageing.drop_old_names(path_of(app), 36, now=later) == 0
    assert ageing.drop_old_names(path_of(app), 24, now=later) == 1
    assert NAME not in "\n".join(log.iterdump())


def test_while_serving_they_go_once_a_day(app, log):
    old = NOW - datetime.timedelta(days=800)
    store.log(log, NewQuestion("milk?", "club", NAME, LINK, old), SURE, now=NOW)
    stop = ageing.every_day(path_of(app), 24, pause_s=0.01)
    try:
        until = time.monotonic() + 20
        while people.questions_of(log, name=NAME) and time.monotonic() < until:
            time.sleep(0.02)
        store.log(log, NewQuestion("murk?", "club", "wren", None, old), SURE, now=NOW)
        while people.questions_of(log, name="wren") and time.monotonic() < until:
            time.sleep(0.02)
    finally:
        stop.set()
    assert people.questions_of(log, name=NAME) == people.questions_of(log, name="wren") == ()


def test_a_day_that_fails_is_noted_and_the_next_one_tries_again(tmp_path, caplog):
    with caplog.at_level(logging.ERROR, logger="standpipe"):
        stop = ageing.every_day(tmp_path / "nowhere" / "log.db", 24, pause_s=0.01)
        until = time.monotonic() + 20
        while len(caplog.records) < 2 and time.monotonic() < until:
            time.sleep(0.02)
        stop.set()
    assert len(caplog.records) >= 2
    assert "old names not dropped" in caplog.text
