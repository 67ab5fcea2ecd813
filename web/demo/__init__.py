"""The demo scenario: a school greenhouse, its garden club, and invented questions."""

import datetime
from importlib.resources import files
from pathlib import Path

from flask import Flask
from sqlite_utils import Database

from kb.answers import Answerer
from kb.fields import Fields, Problems, read_table
from kb.grouping import Grouper
from kb.store import questions as log
from kb.store import replies
from kb.store.questions import NewQuestion
from web.demo import recordings, season

PATH = "web/demo/questions.toml"
# The demo's comments are offered as an example to take in; whoever tries it may be quick.
CONFIG = {"EXAMPLE": Path(__file__).parent / "comments.csv", "QUICKEST_POST_S": 0.0}


def fill(database: Database, app: Flask) -> int:
    """Log the demo's questions, some answered, fill its water book; gives how many questions."""
    problems = Problems()
    table = read_table(files("web") / "demo" / "questions.toml", path=PATH, problems=problems)
    entries = table.tables("question", required=True)
    table.finish()
    now = datetime.datetime.now(datetime.UTC)
    for entry in entries:
        _log(database, app, entry, now)
    problems.raise_any()
    season.fill(database, now=now)
    recordings.fill(database, now)
    return len(entries)


def _log(database: Database, app: Flask, entry: Fields, now: datetime.datetime) -> None:
    answerer: Answerer = app.extensions["content"].answerer
    grouper: Grouper = app.extensions["grouper"]
    days = entry.number("days_ago") or 0.0
    asked_at = now - datetime.timedelta(days=days)
    text = entry.text("text")
    question = NewQuestion(
        text,
        entry.text("place"),
        entry.text("asked_by", "") or None,
        entry.text("link", "") or None,
        asked_at,
    )
    number, _ = grouper.log(database, question, answerer.judge(text), now=asked_at)
    reply = entry.text("reply", "")
    if reply:
        article = entry.text("article", "") or None
        replies.send(database, number, reply, article=article, now=asked_at)
    if entry.flag("set_aside"):
        log.set_state(database, number, "set-aside")
    entry.finish()
