"""Wordings and files changed while the site runs: soon in use, or one sentence why not."""

import datetime
import logging

import pytest

from kb.answers import documents
from kb.store import open_database, wordings
from kb.store.database import FILE_NAME
from kb.store.wordings import Wording
from web import create_app, live

NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
ASKED = "the wibble is wobbling over my quux again"
ARTICLE = """+++
title = "What holds a pergola upright?"
group = "Flow and hardware"
phrasings = ["my pergola leans to one side", "pergola posts are loose", "the pergola wobbles"]
sources = ["common-practice"]
reviewed = 2026-04-01
confidence = "low"
confidence_why = "Nobody has measured it."
+++

## Short answer

Brace the posts of the pergola (common practice).

## Why

Posts without braces lean (common practice).

## How

Brace them.

## Cautions

None.

## Sources

Common practice.
"""


@pytest.fixture(autouse=True)
def at_once(monkeypatch):
    """The second between two looks has always gone by."""
    monkeypatch.setattr(live, "EVERY_S", 0.0)


@pytest.fixture
def own(tmp_path):
    folder = tmp_path / "own"
    (folder / "articles").mkdir(parents=True)
    return folder


@pytest.fixture
def site(tmp_path, own, content):
    app = create_app({"DATA": tmp_path / "data", "CONTENT": own, "TESTING": True})
    app.extensions["content"] = content  # the same, but with its ranker made already
    return app


def first(site, text):
    """The first article for a text, once nothing is being made any more."""
    client = site.test_client()
    client.get("/api/articles")
    site.extensions["live"].wait()
    found = client.get("/api/match", query_string={"q": text}).get_json()
    return found["verdict"], next((one["article"] for one in found["matches"]), None)


def wording(text, article="water-loss"):
    return Wording(1, article, text, None, "confirmed", NOW.isoformat())


def confirm(tmp_path, article, text=ASKED):
    db = open_database(tmp_path / "data" / FILE_NAME)
    number = wordings.add(db, article, text, question=None, how="confirmed", now=NOW)
    db.close()
    return number


def test_a_question_confirmed_or_put_right_is_found_without_a_restart(site, tmp_path):
    assert first(site, ASKED)[1] != "water-loss"
    confirm(tmp_path, "no-such-article", "an article that is gone takes its wordings along")
    confirm(tmp_path, "water-loss")
    assert first(site, ASKED) == ("strong", "water-loss")
    confirm(tmp_path, "foam-on-the-water")
    assert first(site, ASKED)[1] == "foam-on-the-water"
    before = site.extensions["content"]
    assert first(site, ASKED)[1] == "foam-on-the-water"
    assert site.extensions["content"] is before  # nothing has changed: nothing was made anew


def test_wordings_that_are_there_at_the_start_count(tmp_path, own):
    (tmp_path / "data").mkdir()
    confirm(tmp_path, "water-loss")
    site = create_app({"DATA": tmp_path / "data", "CONTENT": own, "TESTING": True})
    assert [one.text for one in site.extensions["content"].wordings] == [ASKED]
    articles = [
        one
        for one in documents(site.extensions["content"].library, (), [wording(ASKED)])
        if ASKED in one.wordings
    ]
    assert [one.slug for one in articles] == ["water-loss"]


def test_a_broken_file_is_told_once_and_the_old_content_stays(site, own, caplog):
    with caplog.at_level(logging.ERROR, "standpipe"):
        (own / "articles" / "pergola.md").write_text("+++\ntitle = \n+++\n", encoding="utf-8")
        for _ in range(3):
            assert first(site, "how do I get the ph down")[1] == "lowering-ph"
    told = [record.getMessage() for record in caplog.records]
    assert len(told) == 1
    assert "stays as it was" in told[0]
    assert "pergola.md" in told[0]


def test_a_new_article_is_found_and_shown_once_its_file_is_right(site, own):
    assert first(site, "my pergola is wobbling")[0] == "none"
    file = own / "articles" / "pergola.md"
    file.write_text("nothing", encoding="utf-8")
    assert first(site, "my pergola is wobbling")[0] == "none"
    file.write_text(ARTICLE, encoding="utf-8")
    assert first(site, "my pergola is wobbling")[1] == "pergola"
    assert site.test_client().get("/articles/pergola").status_code == 200


def test_a_damaged_database_keeps_the_content(site, tmp_path, caplog):
    file = tmp_path / "data" / FILE_NAME
    file.write_bytes(b"SQLite format 3\x00" + b"\xff" * 4096)
    assert first(site, "how do I get the ph down")[1] == "lowering-ph"
    assert "cannot be read" in caplog.text
