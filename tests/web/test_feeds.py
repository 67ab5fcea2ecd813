"""What other programs read of the site, each held to the standard it follows."""

import re
import urllib.robotparser
from html.parser import HTMLParser
from urllib.parse import urlsplit
from xml.etree import ElementTree as ET

import pytest

from kb.content import short
from web import create_app
from web.config import Settings

ATOM = "{http://www.w3.org/2005/Atom}"
MAP = "{http://www.sitemaps.org/schemas/sitemap/0.9}"
SEARCH = "{http://a9.com/-/spec/opensearch/1.1/}"
VOID = {"meta", "link", "br", "hr", "img", "input", "rect", "path", "line", "circle"}


def xml(walker, address):
    got = walker.get(address)
    assert got.status_code == 200
    return ET.fromstring(got.data), got.mimetype


def test_the_feed_has_what_rfc_4287_requires(walker):
    feed, kind = xml(walker, "/feed.atom")
    assert kind == "application/atom+xml"
    assert feed.tag == f"{ATOM}feed"
    # RFC 4287, 4.1.1 and 4.1.2: exactly one id, title and updated; an author for every entry
    for element in (feed, *feed.iter(f"{ATOM}entry")):
        for name in ("id", "title", "updated"):
            (only,) = element.findall(ATOM + name)
            assert only.text.strip()
        # RFC 3339 as RFC 4287, 3.3 wants it, with a capital T and Z
        stamp = element.findtext(f"{ATOM}updated")
        assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", stamp)
        # RFC 4151, 2.1
        assert re.fullmatch(r"tag:[a-z0-9.-]+,\d{4}:[\w./%-]+", element.findtext(f"{ATOM}id"))
    assert feed.findtext(f"{ATOM}author/{ATOM}name")
    relations = {link.get("rel"): link.get("href") for link in feed.findall(f"{ATOM}link")}
    assert relations["self"].endswith("/feed.atom")


def test_entries_are_named_once_newest_first_and_lead_to_their_answers(walker, library):
    feed, _ = xml(walker, "/feed.atom")
    entries = feed.findall(f"{ATOM}entry")
    assert len({entry.findtext(f"{ATOM}id") for entry in entries}) == len(entries) > 0
    stamps = [entry.findtext(f"{ATOM}updated") for entry in entries]
    assert stamps == sorted(stamps, reverse=True)
    assert feed.findtext(f"{ATOM}updated") == stamps[0]
    for entry in entries:
        # RFC 4287, 4.1.2: an entry without content must have an alternate link
        (link,) = [e for e in entry.findall(f"{ATOM}link") if e.get("rel") == "alternate"]
        slug = urlsplit(link.get("href")).path.removeprefix("/articles/")
        assert entry.findtext(f"{ATOM}title") == library.article(slug).title
        assert "](" not in entry.findtext(f"{ATOM}summary")


def test_the_site_map_names_every_answer_and_only_pages_that_answer(walker, library):
    root, _ = xml(walker, "/sitemap.xml")
    pages = {entry.findtext(f"{MAP}loc"): entry.findtext(f"{MAP}lastmod") for entry in root}
    paths = [urlsplit(address).path for address in pages]
    assert {f"/articles/{slug}" for slug in library.articles} <= set(paths)
    assert pages["http://127.0.0.1:8750/articles/lowering-ph"] == str(
        library.article("lowering-ph").reviewed
    )
    assert {walker.get(path).status_code for path in paths} == {200}
    assert not [path for path in paths if path.startswith("/desk")]


def test_robots_read_answers_and_stay_off_the_desk(walker):
    # urllib.robotparser of the standard library reads the file as robots do
    parser = urllib.robotparser.RobotFileParser()
    parser.parse(walker.get("/robots.txt").get_data(as_text=True).splitlines())
    assert parser.can_fetch("any", "http://127.0.0.1:8750/articles/lowering-ph")
    assert not parser.can_fetch("any", "http://127.0.0.1:8750/desk/")
    assert not parser.can_fetch("any", "http://127.0.0.1:8750/answers?q=x")
    assert parser.site_maps() == ["http://127.0.0.1:8750/sitemap.xml"]


def test_the_search_description_leads_to_answers(walker):
    root, kind = xml(walker, "/opensearch.xml")
    assert kind == "application/opensearchdescription+xml"
    # OpenSearch 1.1 draft 6: ShortName (16 signs), Description (1024) and a Url are required
    assert 0 < len(root.findtext(f"{SEARCH}ShortName")) <= 16
    assert 0 < len(root.findtext(f"{SEARCH}Description")) <= 1024
    address = root.find(f"{SEARCH}Url").get("template").replace("{searchTerms}", "cloudy+water")
    parts = urlsplit(address)
    assert walker.get(f"{parts.path}?{parts.query}").status_code == 200
    page = walker.text("/")
    assert 'rel="search" type="application/opensearchdescription+xml"' in page
    assert 'rel="alternate" type="application/atom+xml"' in page


def test_a_name_with_signs_xml_does_not_know_still_gives_a_feed(tmp_path, content):
    settings = Settings(name="Our <green> & \x07house of many fish", address="http://[::1]:8750")
    app = create_app(
        {"DATA": tmp_path, "SETTINGS": settings, "TESTING": True},
        content.library,
        content.rulebook,
    )
    for address in ("/feed.atom", "/opensearch.xml", "/sitemap.xml"):
        ET.fromstring(app.test_client().get(address).data)


@pytest.mark.parametrize(
    ("slug", "code"), [("lowering-ph", "q4bbm"), ("cloudy-water", "nut8n"), ("iron", "ugg3c")]
)
def test_a_short_link_stays_what_it_was(walker, slug, code):
    got = walker.get(f"/a/{code}")
    assert (got.status_code, got.location) == (308, f"/articles/{slug}")
    assert walker.get(f"/a/{code.upper()}").location == f"/articles/{slug}"
    assert f"http://127.0.0.1:8750/a/{code}" in walker.text(f"/articles/{slug}")


def test_an_unknown_short_link_is_a_plain_404(walker):
    assert walker.get("/a/nothing").status_code == 404


def test_no_two_articles_share_a_code_even_where_the_first_signs_do(library, monkeypatch):
    assert len(set(short.codes(library.articles).values())) == len(library.articles)
    monkeypatch.setattr(short, "LENGTH", 1)
    slugs = [f"article-{number}" for number in range(200)]
    assert len(set(short.codes(slugs).values())) == 200


class Microdata(HTMLParser):
    """Items and their properties as the HTML standard's section on microdata reads them."""

    def __init__(self):
        super().__init__()
        self.root = {}
        self.scopes = [(0, self.root)]
        self.texts = []
        self.depth = 0

    def handle_starttag(self, tag, attributes):
        given = dict(attributes)
        if tag not in VOID:
            self.depth += 1
        name = given.get("itemprop", "item" if "itemscope" in given else None)
        if "itemscope" in given:
            item = {"type": given["itemtype"]}
            self.scopes[-1][1][name] = item
            self.scopes.append((self.depth, item))
        elif name and tag in ("meta", "link"):
            self.scopes[-1][1][name] = given.get("content", given.get("href"))
        elif name:
            self.texts.append((self.depth, name, self.scopes[-1][1]))
            self.scopes[-1][1][name] = ""

    def handle_startendtag(self, tag, attributes):
        pass

    def handle_data(self, data):
        for _, name, item in self.texts:
            item[name] += data

    def handle_endtag(self, tag):
        if tag in VOID:
            return
        self.texts = [entry for entry in self.texts if entry[0] < self.depth]
        if len(self.scopes) > 1 and self.scopes[-1][0] == self.depth:
            self.scopes.pop()
        self.depth -= 1


def test_an_answer_says_what_it_is_in_the_words_of_schema_org(walker, library):
    # schema.org: a Question has a name and an acceptedAnswer; an Answer has text, url, dateModified
    reader = Microdata()
    reader.feed(walker.get("/articles/lowering-ph").get_data(as_text=True))
    question = reader.root["item"]
    assert question["type"] == "https://schema.org/Question"
    assert question["name"] == library.article("lowering-ph").title
    answer = question["acceptedAnswer"]
    assert answer["type"] == "https://schema.org/Answer"
    assert answer["text"].strip().startswith("Put the acid into top-up water")
    assert answer["url"] == "http://127.0.0.1:8750/articles/lowering-ph"
    assert answer["dateModified"] == str(library.article("lowering-ph").reviewed)
