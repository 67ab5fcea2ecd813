"""Taking in: a batch pasted or a file uploaded, looked at first, then logged while a page tells."""

import io
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import cast

from flask import (
    Blueprint,
    Flask,
    current_app,
    flash,
    make_response,
    redirect,
    render_template,
    request,
    url_for,
)
from flask.typing import ResponseReturnValue
from flask_login import current_user

from kb import columns, intake
from kb.errors import InputErrors, InputProblem, KbError
from kb.store import places
from kb.take_in import FIELDS, LARGEST_FILE, columns_in
from web import taking, uploads
from web.config import SITE_PLACE
from web.database import database
from web.rendering import settings
from web.security import only_the_keeper
from web.uploads import TAKING, WAITING, Upload

blueprint = Blueprint("take_in", __name__, url_prefix="/desk/take-in")
blueprint.before_request(only_the_keeper)
LARGEST_PASTE = 5_000_000
REFRESH_S = 2
SHOWN = 10
EXAMPLE_PLACE = "video comments"
FORMAT_WORDS = {
    "text": "plain text: a question a line, or blank lines between questions",
    "csv": "CSV: a table with names in its first line",
    "jsonl": "JSON Lines: an object a line",
    "mbox": "mbox: a folder of letters",
}


def register(app: Flask) -> None:
    """Let the keeper, on this page alone, send more than other requests may; clear what is old."""
    app.config["LARGEST_UPLOAD"] = LARGEST_FILE + LARGEST_PASTE  # what the server lets through
    app.before_request(_allow_uploads)
    uploads.tidy(app.config["DATA"])


@blueprint.get("/")
def start() -> str:
    """Where a batch is pasted or a file chosen."""
    uploads.tidy(_data())
    return render_template(
        "desk/take_in.html",
        places=_place_names(),
        formats=FORMAT_WORDS,
        unfinished=uploads.unfinished(_data()),
        largest=LARGEST_FILE // 1_000_000,
        example=current_app.config.get("EXAMPLE"),
    )


@blueprint.post("/")
def receive() -> ResponseReturnValue:
    """Keep what was sent, and lead to the look at it."""
    sent = request.files.get("file")
    pasted = request.form.get("pasted", "")
    place = " ".join((request.form.get("new_place") or request.form.get("place", "")).split())
    fault = places.check_name(place)
    if fault:
        raise InputErrors([InputProblem("place", place[:40], fault)])
    name = Path(sent.filename or "").name[:100] if sent else ""
    if not name and not pasted.strip():
        message = "Paste the questions, or choose a file that holds them."
        raise InputErrors([InputProblem("pasted", "nothing", message)])
    if len(pasted) > LARGEST_PASTE:
        message = f"That is more than {LARGEST_PASTE} characters; send it as a file."
        raise InputErrors([InputProblem("pasted", f"{pasted[:40]}…", message)])
    source = sent.stream if sent and name else io.BytesIO(pasted.encode())
    beginning = source.read(100)
    source.seek(0)
    form = uploads.kind(name, beginning, request.form.get("format", ""))
    upload = uploads.keep(_data(), source, name=name or "what was pasted", form=form, place=place)
    return redirect(url_for(".look", token=upload.token), 303)


@blueprint.post("/example")
def example() -> ResponseReturnValue:
    """Keep the demo's own file as if it had been uploaded."""
    path = cast(Path, current_app.config.get("EXAMPLE"))
    if path is None:
        raise InputErrors([InputProblem("example", "", "There is an example in the demo alone.")])
    with path.open("rb") as source:
        upload = uploads.keep(_data(), source, name=path.name, form="csv", place=EXAMPLE_PLACE)
    return redirect(url_for(".look", token=upload.token), 303)


@blueprint.get("/<token>")
def look(token: str) -> ResponseReturnValue:
    """What was sent as it will be taken in; while it is taken in, how far; then what it came to."""
    upload = uploads.get(_data(), token)
    if upload.state == WAITING:
        return _preview(upload)
    stalled = upload.state == TAKING and not taking.at_work(upload.token)
    if stalled:  # unless it ended between the two looks
        upload = uploads.get(_data(), token)
        stalled = upload.state == TAKING
    page = make_response(
        render_template("desk/taken.html", upload=upload, stalled=stalled, states=uploads.STATES)
    )
    if upload.state == TAKING and not stalled:
        page.headers["Refresh"] = str(REFRESH_S)
    return page


@blueprint.post("/<token>/take")
def take(token: str) -> ResponseReturnValue:
    """Remember the columns for the place and begin to take in; pressed twice, it begins once."""
    upload = uploads.get(_data(), token)
    chosen = _chosen(request.form)
    if upload.state == WAITING and chosen:
        remembered = places.get(database(), upload.place)
        places.put(database(), replace(remembered, columns=chosen))
    taking.begin(current_app._get_current_object(), token, chosen)  # type: ignore[attr-defined]
    return redirect(url_for(".look", token=token), 303)


@blueprint.post("/<token>/discard")
def discard(token: str) -> ResponseReturnValue:
    """Clear what was sent; nothing of it is logged."""
    if taking.at_work(token):
        raise KbError("This is being taken in just now; wait until it is done.")
    uploads.discard(_data(), token)
    flash("What was sent is cleared away.")
    return redirect(url_for(".start"), 303)


def _preview(upload: Upload) -> ResponseReturnValue:
    path = uploads.file_of(_data(), upload)
    names: tuple[str, ...] = ()
    fault = ""
    chosen = _chosen(request.args)
    seen = None
    try:
        names = columns_in(path, upload.form)
        if names and not chosen:
            remembered = places.get(database(), upload.place).columns
            chosen = columns.likely(names, remembered)
        if names and "text" not in chosen:
            raise KbError("Choose the column that holds the question.")
        seen = intake.preview(
            path, place=upload.place, columns=chosen, form=upload.form, most=SHOWN
        )
    except KbError as error:
        fault = str(error).replace(str(path), upload.name)
    return render_template(
        "desk/preview.html",
        upload=upload,
        names=names,
        chosen=chosen,
        fields=FIELDS,
        seen=seen,
        fault=fault,
    )


def _chosen(given: Mapping[str, str]) -> dict[str, str]:
    """Which column was chosen for which field."""
    return {name: given[name] for name in FIELDS if given.get(name)}


def _place_names() -> tuple[str, ...]:
    known = (place.name for place in places.listed(database()))
    names = dict.fromkeys((*settings().places, *known))
    return tuple(name for name in names if name != SITE_PLACE)


def _data() -> Path:
    return cast(Path, current_app.config["DATA"])


def _allow_uploads() -> None:
    if request.endpoint == "take_in.receive" and current_user.is_authenticated:
        request.max_content_length = current_app.config["LARGEST_UPLOAD"]
        request.max_form_memory_size = LARGEST_PASTE
