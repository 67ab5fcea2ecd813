"""What every page of the book stands on: the guard, the system it is about, and the time."""

import datetime

from flask import Blueprint, render_template, request
from flask.typing import ResponseReturnValue

from kb.errors import InputErrors
from kb.store import book
from kb.store.book import Entry, System
from web.database import database
from web.security import only_the_keeper

blueprint = Blueprint("book", __name__, url_prefix="/book")
blueprint.before_request(only_the_keeper)


def now() -> datetime.datetime:
    """The time of this request."""
    return datetime.datetime.now(datetime.UTC)


def system_of(number: int) -> System:
    """The system of that number; raises NotFound."""
    return book.system(database(), number)


def page(name: str, system: System, **values: object) -> str:
    """A page of the book about one system, with the ways to the others."""
    return render_template(
        f"book/{name}.html", system=system, systems=book.systems(database()), **values
    )


def faults_of(error: InputErrors) -> dict[str, str]:
    """The sentences of an error by the field they stand beside."""
    return {problem.input: problem.message for problem in error.problems}


def form_values() -> dict[str, str]:
    """What was sent, each field once, without the token."""
    return {name: value for name, value in request.form.items() if name != "csrf_token"}


def entry_of(system: System, number: int) -> Entry:
    """An entry of this system; raises NotFound for one of another."""
    found = book.entry(database(), number)
    if found.system != system.id:
        book.entry(database(), -1)
    return found


def counted(count: int, one: str = "entry", many: str = "entries") -> str:
    """So many of something, in words that fit the number."""
    return f"{count} {one if count == 1 else many}"


Answer = ResponseReturnValue
