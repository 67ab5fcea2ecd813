"""What templates need: the site's content, articles as HTML, calculators as blocks, small words."""

import re
from collections.abc import Callable, Mapping
from typing import cast

from flask import Flask, current_app, g, get_template_attribute, request, url_for
from markupsafe import Markup, escape

from kb.calculators.model import in_sentence
from kb.cautions import Caution
from kb.content import render
from kb.errors import InputErrors
from kb.materials import by_country
from kb.recordings import clock
from kb.sources import Source
from kb.units import show, us_unit
from web.config import Settings
from web.content import Content

_SOURCE = re.compile(r"\(([a-z0-9-]+)\)")
VERDICT_WORDS = {
    "strong": "fits well",
    "possible": "may fit",
    "none": "nothing fits well",
}
STATE_WORDS = {"open": "to answer", "replied": "replied", "set-aside": "set aside"}
LEVEL_WORDS = {"danger": "Danger", "care": "Take care", "note": "Note"}
LINK_ROUTES: Mapping[str, Callable[[str], str]] = {
    "article": lambda slug: url_for("articles.article", slug=slug),
    "symptom": lambda slug: url_for("troubleshooting.symptom", slug=slug),
    "calculator": lambda name: url_for("calculators.calculator", name=name),
}


def content() -> Content:
    """The content of this site."""
    if "content" not in g:  # one and the same for the whole request
        current_app.extensions["live"].look()
        g.content = current_app.extensions["content"]
    return cast(Content, g.content)


def settings() -> Settings:
    """The settings of this site."""
    return cast(Settings, current_app.config["SETTINGS"])


def absolute(path: str) -> str:
    """The full address of one of this site's pages, for use outside it."""
    return settings().address + path


def article_html(markdown: str) -> Markup:
    """A part of an article as HTML."""
    drawings = content().library.drawings
    return Markup(
        render.to_html(markdown, link_for=link_for, block_for=calculator_block, drawings=drawings)
    )


def article_text(markdown: str) -> str:
    """A part of an article as plain text."""
    drawings = content().library.drawings
    return render.to_text(markdown, block_for=lambda *_: "", drawings=drawings)


def link_for(scheme: str, target: str, tail: str) -> str:
    """The address of a link within the content."""
    if scheme == "source":
        return url_for("articles.sources") + f"#{target}"
    return LINK_ROUTES[scheme](target) + tail


def calculator_block(name: str, presets: Mapping[str, str]) -> str:
    """A calculator inside an article, its presets worked out."""
    calculator = content().calculators[name]
    try:
        report = calculator.run(presets)
    except InputErrors:
        report = None  # presets are validated with the content; a half-typed one still shows a link
    block = get_template_attribute("macros/calculator.html", "block")
    return cast(Callable[..., str], block)(calculator, report, presets)


def with_sources(text: str) -> Markup:
    """A plain text in which a source named by its id in brackets becomes a link."""

    def linked(match: re.Match[str]) -> str:
        source = content().library.sources.get(match[1])
        if source is None:
            return match[0]
        return (
            f'(<a class="source" href="{link_for("source", source.id, "")}">{_short(source)}</a>)'
        )

    return Markup(_SOURCE.sub(linked, str(escape(text))))


def _short(source: Source) -> Markup:
    """A source in a few words: its first author and year, else its title."""
    words = source.authors.split(",")[0].split(" & ")[0] or source.title.split(":")[0]
    return escape(f"{words} {source.year}".strip())


def cautions(names: tuple[str, ...]) -> tuple[Caution, ...]:
    """The cautions of these ids, the gravest first."""
    found = [content().library.cautions[name] for name in dict.fromkeys(names)]
    return tuple(sorted(found, key=lambda caution: list(LEVEL_WORDS).index(caution.level)))


def register(app: Flask) -> None:
    """Give templates their filters and words."""
    app.jinja_env.filters.update(
        article_html=article_html,
        article_text=article_text,
        number=show,
        cautions=cautions,
        in_sentence=in_sentence,
        with_sources=with_sources,
        clock=clock,
        by_country=by_country,
    )
    app.jinja_env.globals.update(
        content=content,
        us_unit=us_unit,
        posting_wanted=lambda: settings().public_questions,
        VERDICT_WORDS=VERDICT_WORDS,
        STATE_WORDS=STATE_WORDS,
        LEVEL_WORDS=LEVEL_WORDS,
    )
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    app.context_processor(_common)


def _common() -> dict[str, object]:
    return {"site": settings(), "library": content().library, "here": request.path}
