"""Where the keeper gets things: the list on the desk, its forms, and its files."""

from collections.abc import Iterator

from flask import Blueprint, Response, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from werkzeug.exceptions import abort

from kb import countries, materials
from kb.errors import InputErrors, InputProblem
from kb.store import materials as kept
from kb.store.materials import Link, Material
from web.database import database
from web.rendering import content
from web.security import only_the_keeper

blueprint = Blueprint("materials", __name__, url_prefix="/desk/materials")
blueprint.before_request(only_the_keeper)
SPARE_ROWS = 3
MIMETYPES = {"csv": "text/csv", "toml": "application/toml"}


@blueprint.get("/")
def index() -> str:
    """Every material, with the articles that show it."""
    found = [(material, showing(material)) for material in kept.listed(database())]
    return render_template("materials/index.html", materials=found)


@blueprint.get("/new")
def new() -> str:
    """A form for a material."""
    return _form(Material(request.args.get("name", "")[: materials.LONGEST["name"]]))


@blueprint.get("/<int:number>")
def material(number: int) -> str:
    """A material to change."""
    return _form(kept.get(database(), number))


@blueprint.post("/save")
def save() -> ResponseReturnValue:
    """Store a material, new or changed."""
    number = request.form.get("id", 0, type=int)
    (found,) = materials.checked([_from_form(number)], content().library.articles)
    kept.put(database(), found)
    flash(f"“{found.name}” is kept; {len(showing(found))} answers show it.")
    return redirect(url_for(".index"), 303)


@blueprint.post("/<int:number>/remove")
def remove(number: int) -> ResponseReturnValue:
    """Take a material away."""
    name = kept.get(database(), number).name
    kept.remove(database(), number)
    flash(f"“{name}” is gone from every answer.")
    return redirect(url_for(".index"), 303)


@blueprint.post("/take-in")
def take_in() -> ResponseReturnValue:
    """Take in a list as CSV or TOML, all of it or nothing."""
    form = request.form.get("form", "")
    if form not in materials.FORMATS:
        abort(404)
    found = materials.checked(materials.read(_sent(), form), content().library.articles)
    count = kept.put_all(database(), found)
    flash(f"{count} {'material is' if count == 1 else 'materials are'} taken in.")
    return redirect(url_for(".index"), 303)


@blueprint.get("/materials.<form>")
def export(form: str) -> Response:
    """The whole list as a file."""
    if form not in materials.FORMATS:
        abort(404)
    write = materials.to_csv if form == "csv" else materials.to_toml
    answer = Response(write(kept.listed(database())), mimetype=MIMETYPES[form])
    answer.headers["Content-Disposition"] = f'attachment; filename="materials.{form}"'
    return answer


def showing(material: Material) -> tuple[str, ...]:
    """The slugs of the articles that show a material."""
    found = content()
    return tuple(
        slug
        for slug in found.library.articles
        if materials.named([material], slug, found.words_of(slug))
    )


def _form(material: Material) -> str:
    rows = [*material.links, *(Link("", "", "") for _ in range(SPARE_ROWS))]
    return render_template(
        "materials/material.html",
        material=material,
        rows=rows,
        countries=countries.names(),
        longest=materials.LONGEST,
        groups=content().library.groups(),
    )


def _from_form(number: int) -> Material:
    form = request.form
    return Material(
        name=form.get("name", ""),
        aliases=tuple(form.get("aliases", "").splitlines()),
        remark=form.get("remark", ""),
        articles=tuple(form.getlist("articles")),
        links=tuple(_links()),
        id=number,
    )


def _links() -> Iterator[Link]:
    form = request.form
    for row in range(materials.MOST["links"] + SPARE_ROWS):
        shop, link = form.get(f"shop-{row}", ""), form.get(f"link-{row}", "")
        if shop.strip() or link.strip():
            country = form.get(f"country-{row}", "")
            yield Link(country, shop, link, f"earns-{row}" in form)


def _sent() -> str:
    file = request.files.get("file")
    try:
        text = file.read().decode("utf-8") if file and file.filename else ""
    except UnicodeDecodeError:
        message = "The file is not UTF-8 text; save it as UTF-8 and send it again."
        raise InputErrors([InputProblem("file", "", message)]) from None
    text = text or request.form.get("text", "")
    if not text.strip():
        message = "Choose a file or paste the list."
        raise InputErrors([InputProblem("file", "nothing", message)])
    return text
