"""Forgetting a person: look up what is kept of them, then remove all of it."""

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from kb.store import people
from kb.store import questions as log
from kb.store.questions import LONGEST_FIELD
from web.database import database
from web.rendering import settings
from web.security import only_the_keeper

blueprint = Blueprint("people", __name__, url_prefix="/desk/people")
blueprint.before_request(only_the_keeper)
MOST_SHOWN = 50


@blueprint.get("/")
def index() -> str:
    """Ask for the name or link; neither ever stands in an address."""
    return _page(None)


@blueprint.post("/")
def look() -> str:
    """Show what is kept of a person."""
    given = _given()
    found = people.questions_of(database(), **given)
    return _page(found, **given)


@blueprint.post("/forget")
def forget() -> ResponseReturnValue:
    """Forget all of a person's questions."""
    given = _given()
    forgotten = people.forget_person(database(), **given)
    named = people.mentions(database(), given["name"]) if given["name"] else ()
    for sentence in people.told(forgotten, named):
        flash(sentence)
    return redirect(url_for(".index"), 303)


def _page(found: tuple[int, ...] | None, **given: str | None) -> str:
    shown = [log.get(database(), number) for number in (found or ())[:MOST_SHOWN]]
    return render_template(
        "people/index.html",
        found=found,
        questions=shown,
        given=given,
        months=settings().keep_names_months,
    )


def _given() -> dict[str, str | None]:
    return {
        name: request.form.get(name, "").strip()[:LONGEST_FIELD] or None
        for name in ("name", "place", "link")
    }
