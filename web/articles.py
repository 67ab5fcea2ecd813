"""The articles: the index, one answer, and the bibliography."""

from flask import Blueprint, render_template

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
    symptoms = {slug: content().rulebook.symptoms[slug] for slug in found.symptoms}
    calculators = [content().calculators[name] for name in found.calculators]
    return render_template(
        "articles/article.html", article=found, symptoms=symptoms, calculators=calculators
    )


@blueprint.get("/sources")
def sources() -> str:
    """Where the numbers come from."""
    return render_template("articles/sources.html")
