"""One database connection a request, opened when first needed and closed at its end."""

from pathlib import Path

from flask import Flask, current_app, g
from sqlite_utils import Database

from kb.store import open_database
from kb.store.database import FILE_NAME


def database() -> Database:
    """The database of this request."""
    if "database" not in g:
        g.database = open_database(path_of(current_app))
    return g.database  # type: ignore[no-any-return]


def path_of(app: Flask) -> Path:
    """The database file of a site."""
    folder: Path = app.config["DATA"]
    return folder / FILE_NAME


def register(app: Flask) -> None:
    """Have every request close what it opened."""
    app.teardown_appcontext(_close)


def _close(_error: BaseException | None) -> None:
    found = g.pop("database", None)
    if found is not None:
        found.close()
