"""What was learnt on the desk: wordings confirmed or put right, to be seen and taken out."""

from flask import Blueprint, Response, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from kb import drafting
from kb.store import wordings
from kb.store.wordings import Wording
from web.database import database
from web.desk import page_number
from web.security import only_the_keeper

blueprint = Blueprint("learning", __name__, url_prefix="/desk/wordings")
blueprint.before_request(only_the_keeper)
PAGE = 100


@blueprint.get("/")
def index() -> str:
    """The wordings learnt, the newest first."""
    found = wordings.listed(database())[::-1]
    page = page_number()
    return render_template(
        "desk/wordings.html",
        wordings=found[(page - 1) * PAGE : page * PAGE],
        total=len(found),
        page=page,
        pages=-(-len(found) // PAGE),
    )


@blueprint.post("/remove")
def remove() -> ResponseReturnValue:
    """Take a wording out again."""
    wordings.remove(database(), request.form.get("wording", 0, type=int))
    flash("The wording is taken out; matching no longer knows it.")
    return redirect(url_for(".index"), 303)


@blueprint.get("/export")
def export() -> Response:
    """Every wording, article by article, ready to be pasted into the articles' files."""
    text = drafting.as_toml(by_article(wordings.listed(database())))
    headers = {"Content-Disposition": 'attachment; filename="wordings.toml"'}
    return Response(text, mimetype="text/plain", headers=headers)


def by_article(found: tuple[Wording, ...]) -> dict[str, list[str]]:
    """The texts of the wordings under their articles."""
    texts: dict[str, list[str]] = {}
    for wording in found:
        texts.setdefault(wording.article, []).append(wording.text)
    return texts
