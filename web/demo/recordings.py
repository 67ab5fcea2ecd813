"""The demo's recordings: one made and one planned."""

import datetime
from importlib.resources import files

from sqlite_utils import Database

from kb.fields import Fields, Problems, read_table
from kb.store import recordings

PATH = "web/demo/recordings.toml"


def fill(database: Database, now: datetime.datetime) -> None:
    """Put the demo's recordings into a database."""
    problems = Problems()
    table = read_table(files("web") / "demo" / "recordings.toml", path=PATH, problems=problems)
    entries = table.tables("recording", required=True)
    table.finish()
    for entry in entries:
        _fill_one(database, entry, now)
    problems.raise_any()


def _fill_one(database: Database, entry: Fields, now: datetime.datetime) -> None:
    number = recordings.plan(database, entry.text("title"), planned_for=None, now=now)
    link = entry.text("link", "")
    seconds: dict[int, int | None] = {}
    for item in entry.tables("item", required=True):
        article, title = item.text("article", ""), item.text("title", "")
        second = item.number("second", optional=True)
        if article:
            added = recordings.add_article(database, number, article, askers=not link)
        else:
            added = recordings.add_topic(database, number, title)
        seconds[added] = None if second is None else int(second)
        item.finish()
    days = entry.number("days_ago", 0) or 0.0
    if link:
        day = (now - datetime.timedelta(days=days)).date()
        recordings.enter(database, number, link=link, place=None, published_on=day, seconds=seconds)
    entry.finish()
