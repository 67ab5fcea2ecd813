"""The site: public pages and JSON for those who ask, and a desk for the keeper."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, cast

from flask import Flask

from kb.calculators import ALL
from kb.content.load import Library
from kb.grouping import Grouper
from rules.model import Rulebook
from web import (
    api,
    articles,
    assets,
    book,
    caching,
    calculators,
    config,
    content,
    database,
    desk,
    errors,
    feeds,
    gaps,
    hosts,
    learning,
    materials,
    people,
    place_pages,
    posting,
    questions,
    rendering,
    replying,
    runsheet,
    security,
    take_in,
    troubleshooting,
    upkeep,
)
from web.content import Content
from web.live import Live

LARGEST_REQUEST = 1_000_000


def create_app(
    config_values: Mapping[str, Any] | None = None,
    library: Library | None = None,
    rulebook: Rulebook | None = None,
) -> Flask:
    """The WSGI application; tests may pass a small library and rulebook of their own."""
    app = Flask(__name__)
    app.config.update(
        MAX_CONTENT_LENGTH=LARGEST_REQUEST,
        MAX_FORM_MEMORY_SIZE=LARGEST_REQUEST,
        WTF_CSRF_TIME_LIMIT=None,
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SAMESITE="Lax",
        CONTENT=None,
        QUICKEST_POST_S=posting.QUICKEST_S,
    )
    app.config.update(config_values or {})
    own = config.content_folder(_path(app.config["CONTENT"]))
    app.config["DATA"] = config.data_folder(_path(app.config.get("DATA")), own)
    settings = app.config.setdefault("SETTINGS", config.read_settings(own))
    over_https = settings.address.startswith("https://")
    app.config["SESSION_COOKIE_SECURE"] = over_https
    app.config["SESSION_COOKIE_NAME"] = "__Host-standpipe" if over_https else "standpipe"
    app.secret_key = config.secret_key(app.config["DATA"])
    file = database.path_of(app)
    app.extensions["live"] = Live(
        own,
        file,
        current=lambda: cast(Content, app.extensions["content"]),
        hold=lambda found: app.extensions.update(content=found),
    )
    app.extensions["content"] = _content(own, library, rulebook, file)
    app.extensions["grouper"] = Grouper()
    for part in (hosts, assets, take_in, caching, security, database, errors, rendering):
        part.register(app)
    for module in (
        articles,
        questions,
        calculators,
        troubleshooting,
        api,
        desk,
        book,
        feeds,
        runsheet,
        people,
        materials,
        upkeep,
    ):
        app.register_blueprint(module.blueprint)
    for module in (replying, take_in, gaps, learning, place_pages):
        app.register_blueprint(module.blueprint)
    return app


def _path(value: str | Path | None) -> Path | None:
    return Path(value) if value else None


def _content(
    own: Path | None, library: Library | None, rulebook: Rulebook | None, database: Path
) -> Content:
    if library is not None and rulebook is not None:
        found = Content(library, rulebook, ALL)
    else:
        found = content.load(own)
    return replace(found, wordings=content.own_wordings(database))
