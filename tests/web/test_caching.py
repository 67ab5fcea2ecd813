"""What browsers and caches may keep, and pages that are made once and sent often.

Held against RFC 9110 (ETag, If-None-Match, 304, Vary), RFC 9111 (Cache-Control) and RFC 8246
(immutable).
"""

import gzip
import re
import statistics
import time
from html import unescape

import pytest
from flask import Flask

from web import caching

ARTICLE = "/articles/second-settler"
SHARED = [
    "/articles/",
    ARTICLE,
    "/sources",
    "/symptoms/",
    "/symptoms/foam",
    "/calculators/",
    "/first-aid",
]


@pytest.mark.parametrize("address", SHARED)
def test_a_public_page_is_sent_once_and_then_only_confirmed(client, address):
    first = client.get(address)
    assert first.headers["Cache-Control"] == "public, max-age=60"
    again = client.get(address, headers={"If-None-Match": first.headers["ETag"]})
    assert (again.status_code, again.data) == (304, b"")
    assert again.headers["ETag"] == first.headers["ETag"]
    assert client.get(address, headers={"If-None-Match": '"another"'}).status_code == 200


@pytest.mark.parametrize("address", SHARED)
def test_a_page_from_the_cache_is_the_page_that_was_made(app, client, address):
    made = client.get(address)
    kept = client.get(address)
    assert kept.data == made.data
    assert dict(kept.headers) == dict(made.headers)
    assert client.head(address).data == b""


def test_packed_and_plain_pages_are_kept_apart_and_confirmed_each(client):
    packed = [client.get(ARTICLE, headers={"Accept-Encoding": "gzip"}) for _ in range(3)]
    plain = [client.get(ARTICLE, headers={"Accept-Encoding": "identity"}), client.get(ARTICLE)]
    assert {got.headers.get("Content-Encoding") for got in packed} == {"gzip"}
    assert {gzip.decompress(got.data) for got in packed} == {got.data for got in plain}
    tag = packed[-1].headers["ETag"]
    assert tag != plain[-1].headers["ETag"]
    again = {"Accept-Encoding": "gzip", "If-None-Match": tag}
    assert client.get(ARTICLE, headers=again).status_code == 304


def test_no_page_from_the_cache_carries_somebodys_session(client):
    for address in SHARED:
        client.get(address)
        assert "Set-Cookie" not in client.get(address).headers
        assert "Cookie" in client.get(address).headers["Vary"]


def test_the_keepers_pages_are_kept_by_nobody(keeper, walker):
    assert keeper.get(ARTICLE).headers["Cache-Control"] == "no-store"
    assert "/desk/" in keeper.text(ARTICLE)
    stranger = walker.text(ARTICLE)
    assert "For the keeper" in stranger
    assert keeper.get("/desk/").headers["Cache-Control"] == "no-store"


def test_a_page_with_a_message_or_other_units_is_its_readers_own(walker):
    walker.get("/calculators/settler?units=us")
    page = walker.get("/calculators/settler")
    assert page.headers["Cache-Control"] == "private, no-cache"
    assert "US units" in page.get_data(as_text=True)


@pytest.mark.parametrize(
    ("address", "policy"),
    [
        ("/", "private, no-cache"),
        ("/answers?q=cloudy+water", "private, no-cache"),
        ("/api/match?q=cloudy+water", "private, no-cache"),
        ("/healthz", "no-store"),
        ("/nowhere", "no-store"),
        ("/articles/nowhere", "no-store"),
        ("/calculators/settler?flow=abc", "no-store"),
        ("/desk/", "no-store"),
        ("/desk/login", "no-store"),
    ],
)
def test_what_is_personal_passing_or_wrong_is_not_shared(client, address, policy):
    assert client.get(address).headers["Cache-Control"] == policy


def test_every_answer_says_what_may_be_kept(app, client):
    for rule in app.url_map.iter_rules():
        if "GET" in rule.methods and not rule.arguments:
            assert "Cache-Control" in client.get(rule.rule).headers, rule.rule


def test_static_files_are_named_by_their_content_and_kept_for_good(walker):
    files = {unescape(link) for link in re.findall(r'"(/static/[^"]+)"', walker.text("/"))}
    assert files
    for address in files:
        assert walker.get(address).headers["Cache-Control"] == caching.FOREVER, address


@pytest.mark.parametrize("mark", ["", "?v=", "?v=0123456789ab"])
def test_a_static_file_under_another_name_is_asked_for_again(client, mark):
    got = client.get(f"/static/css/site.css{mark}", buffered=True)
    assert got.headers["Cache-Control"] == "no-cache"
    tag = got.headers["ETag"]
    again = client.get("/static/css/site.css", headers={"If-None-Match": tag}, buffered=True)
    assert again.status_code == 304


def test_what_the_keeper_changes_is_on_the_next_page(app, keeper, walker):
    walker.get(ARTICLE)
    before = app.extensions["pages"].changes
    walker.ask("why is my water cloudy")
    assert app.extensions["pages"].changes == before
    keeper.post("/desk/questions/1", "/desk/questions/1/state", state="set-aside")
    assert app.extensions["pages"].changes == before + 1
    assert app.extensions["pages"].get(ARTICLE, app.extensions["content"]) is None


def test_new_content_is_on_the_next_page(app, client, content, library, rulebook):
    client.get(ARTICLE)
    assert app.extensions["pages"].get(ARTICLE, content) is not None
    app.extensions["content"] = type(content)(library, rulebook, content.calculators)
    assert app.extensions["pages"].get(ARTICLE, app.extensions["content"]) is None
    assert client.get(ARTICLE).status_code == 200


def test_only_addresses_that_exist_are_kept_and_only_so_many(app, client, content):
    for number in range(50):
        client.get(f"/articles/nowhere-{number}")
        client.get(f"{ARTICLE}?q={number}")
    pages = app.extensions["pages"]
    assert pages.get("/articles/nowhere-1", content) is None
    page = caching.Page(b"", "text/html", "e", content, pages.changes, time.monotonic())
    for number in range(caching.MOST_PAGES + 50):
        pages.keep(f"/{number}", page)
    assert pages.get("/0", content) is None
    assert pages.get(f"/{caching.MOST_PAGES + 49}", content) is page


def test_a_kept_article_reaches_half_the_pace_of_a_bare_view(client):
    body = client.get(ARTICLE).data
    bare = Flask("bare")
    bare.add_url_rule("/", view_func=lambda: bare.response_class(body, mimetype="text/html"))
    plain = bare.test_client()

    def seconds(client, address):
        start = time.perf_counter()
        for _ in range(40):
            client.get(address)
        return time.perf_counter() - start

    ratios = [seconds(plain, "/") / seconds(client, ARTICLE) for _ in range(7)]
    assert statistics.median(ratios) > 0.5 or max(ratios) > 0.55
