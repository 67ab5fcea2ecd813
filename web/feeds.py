"""What other programs read: feed, site map, search description, rules for robots, short links."""

import datetime
import re
from collections.abc import Iterable
from urllib.parse import quote, urlsplit
from xml.etree import ElementTree as ET

from flask import Blueprint, Response, redirect, url_for
from flask.typing import ResponseReturnValue

from kb.content.load import Article
from kb.errors import NotFound
from web.rendering import absolute, article_text, content, settings

blueprint = Blueprint("feeds", __name__)
ATOM = "http://www.w3.org/2005/Atom"  # RFC 4287
SITEMAP = "http://www.sitemaps.org/schemas/sitemap/0.9"
OPENSEARCH = "http://a9.com/-/spec/opensearch/1.1/"
MOST_ENTRIES = 50
LONGEST_SHORT_NAME = 16  # OpenSearch 1.1, ShortName
MINTED = 2026  # RFC 4151: a year in which the name in a tag was one's own
NOT_FOR_ROBOTS = ("/desk/", "/answers", "/questions", "/api/", "/healthz")
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_NAME_PART = re.compile(r"[a-z0-9]([a-z0-9-]*[a-z0-9])?(\.[a-z0-9]([a-z0-9-]*[a-z0-9])?)*")


def short_link(article: Article) -> str:
    """The full short address of an article."""
    return absolute(content().short_path(article.slug))


@blueprint.get("/a/<code>")
def short(code: str) -> ResponseReturnValue:
    """Lead from a short link to its article."""
    for slug, known in content().short_codes.items():
        if known == code.lower():
            return redirect(url_for("articles.article", slug=slug), 308)
    raise NotFound(f"There is no short link “{code[:60]}”.")


@blueprint.get("/feed.atom")
def feed() -> Response:
    """New and changed answers, the newest first."""
    newest = sorted(content().library.articles.values(), key=lambda article: article.slug)
    newest.sort(key=lambda article: article.reviewed, reverse=True)
    root = ET.Element("feed", xmlns=ATOM)
    _add(root, "title", f"{settings().name}: new and changed answers")
    _add(root, "id", _tag("answers"))
    _add(root, "updated", _moment(newest[0].reviewed if newest else datetime.date.min))
    _add(ET.SubElement(root, "author"), "name", settings().name)
    ET.SubElement(root, "link", rel="self", type="application/atom+xml", href=_at("feeds.feed"))
    ET.SubElement(root, "link", rel="alternate", type="text/html", href=_at("articles.index"))
    for article in newest[:MOST_ENTRIES]:
        _entry(root, article)
    return _xml(root, "application/atom+xml")


@blueprint.get("/sitemap.xml")
def sitemap() -> Response:
    """Every public page, and when its answer was last reviewed."""
    root = ET.Element("urlset", xmlns=SITEMAP)
    for address, reviewed in _pages():
        entry = ET.SubElement(root, "url")
        _add(entry, "loc", absolute(address))
        if reviewed:
            _add(entry, "lastmod", reviewed.isoformat())
    return _xml(root, "application/xml")


@blueprint.get("/robots.txt")
def robots() -> Response:
    """What robots may read, by RFC 9309."""
    lines = ["User-agent: *", *(f"Disallow: {path}" for path in NOT_FOR_ROBOTS)]
    lines += ["", f"Sitemap: {_at('feeds.sitemap')}", ""]
    return Response("\n".join(lines), mimetype="text/plain")


@blueprint.get("/opensearch.xml")
def opensearch() -> Response:
    """How a browser puts a question to this site."""
    root = ET.Element("OpenSearchDescription", xmlns=OPENSEARCH)
    _add(root, "ShortName", settings().name[:LONGEST_SHORT_NAME].strip())
    _add(root, "Description", f"Ask {settings().name} a question about fish, plants or water.")
    _add(root, "InputEncoding", "UTF-8")
    template = absolute("/answers?q=") + "{searchTerms}"
    ET.SubElement(root, "Url", type="text/html", method="get", template=template)
    return _xml(root, "application/opensearchdescription+xml")


def _entry(root: ET.Element, article: Article) -> None:
    entry = ET.SubElement(root, "entry")
    address = absolute(url_for("articles.article", slug=article.slug))
    _add(entry, "title", article.title)
    _add(entry, "id", _tag(f"articles/{article.slug}"))
    _add(entry, "updated", _moment(article.reviewed))
    ET.SubElement(entry, "link", rel="alternate", type="text/html", href=address)
    ET.SubElement(entry, "category", term=article.group)
    _add(entry, "summary", article_text(article.short_answer)).set("type", "text")


def _pages() -> Iterable[tuple[str, datetime.date | None]]:
    for endpoint in (
        "questions.home",
        "troubleshooting.first_aid",
        "articles.index",
        "troubleshooting.index",
        "calculators.index",
        "articles.sources",
    ):
        yield url_for(endpoint), None
    for article in content().library.articles.values():
        yield url_for("articles.article", slug=article.slug), article.reviewed
    for slug in content().rulebook.symptoms:
        yield url_for("troubleshooting.symptom", slug=slug), None
    for name in content().calculators:
        yield url_for("calculators.calculator", name=name), None


def _tag(specific: str) -> str:
    """A name for good, by RFC 4151: it stays when the address gains https or a port."""
    host = (urlsplit(settings().address).hostname or "").lower()
    authority = host if _NAME_PART.fullmatch(host) else "localhost"
    return f"tag:{authority},{MINTED}:{quote(specific)}"


def _moment(day: datetime.date) -> str:
    return f"{day.isoformat()}T00:00:00Z"


def _at(endpoint: str) -> str:
    return absolute(url_for(endpoint))


def _add(parent: ET.Element, name: str, text: str) -> ET.Element:
    child = ET.SubElement(parent, name)
    child.text = _NOT_XML.sub("", text)
    return child


def _xml(root: ET.Element, mimetype: str) -> Response:
    return Response(ET.tostring(root, encoding="utf-8", xml_declaration=True), mimetype=mimetype)
