"""The articles: the index, one answer, and the bibliography."""

from flask import Blueprint, render_template

from kb.content import render
from web.extras import covered_at, materials_for
from web.feeds import short_link
from web.rendering import content

blueprint = Blueprint("articles", __name__)


@blueprint.get("/articles/")
def index() -> str:
    """Every answer under its heading."""
    return render_template("articles/index.html", groups=content().library.groups())


@blueprint.get("/articles/<slug>")
def article(slug: str) -> str:
    """One answer."""
    found = content().library.article(slug)
    return render_template(
        "articles/article.html",
        article=found,
        headings=render.headings(found.sections["How"]),
        symptoms=content().symptoms_of.get(("article", slug), ()),
        calculators=content().calculators_of.get(("article", slug), ()),
        short_link=short_link(found),
        covered=covered_at(slug),
        materials=materials_for(slug),
    )


@blueprint.get("/sources")
def sources() -> str:
    """Where the numbers come from."""
    return render_template("articles/sources.html")
