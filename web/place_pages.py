"""The places questions come from: how long a reply may be there, and how to greet."""

from dataclasses import replace

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from kb.errors import InputErrors, InputProblem
from kb.store import places
from web.database import database
from web.rendering import settings
from web.security import only_the_keeper

blueprint = Blueprint("place_pages", __name__, url_prefix="/desk/places")
blueprint.before_request(only_the_keeper)


@blueprint.get("/")
def index() -> str:
    """Every place with what is set for it."""
    known = {place.name: place for place in places.listed(database())}
    for name in settings().places:
        known.setdefault(name, places.get(database(), name))
    return render_template(
        "desk/places.html",
        places=list(known.values()),
        shortest=places.SHORTEST_REPLY,
        longest=places.LONGEST_REPLY,
        longest_greeting=places.LONGEST_GREETING,
    )


@blueprint.post("/")
def put() -> ResponseReturnValue:
    """Set what is a place's own; what is left empty is the site's."""
    place = places.get(database(), request.form.get("place", ""))
    raw = request.form.get("longest_reply", "").strip()
    if raw and not (raw.isascii() and raw.isdigit() and len(raw) < 10):
        message = f"“{raw[:40]}” is no number of characters; write for instance 500."
        raise InputErrors([InputProblem("longest_reply", raw[:40], message)])
    greeting = request.form.get("greeting", "").strip() or None
    longest = int(raw) if raw else None
    columns = {} if request.form.get("forget_columns") else place.columns
    places.put(
        database(), replace(place, longest_reply=longest, greeting=greeting, columns=columns)
    )
    flash(f"Set for {place.name}.")
    return redirect(url_for(".index"), 303)
