# ruff: noqa: E501
"""What somebody with bad intentions tries, over every route there is.

The lines of web/SECURITY.md name these tests.
"""

import ast
import csv
import hashlib
import importlib.util
import io
import json
import logging
import re
from html import unescape
from pathlib import Path
from urllib.parse import urlencode

import pytest

from kb.content import render
from kb.log_cli import _csv_lines
from kb.store import keeper as keeper_store
from kb.store import questions as store
from web import create_app, security
from web.security import POLICY

ROOT = Path(__file__).parents[2]
PASSPHRASE = "six wet hands in the tank"
MARKUP = "\"><script>alert(1)</script><img src=x onerror=alert(2)>'--"
PUBLIC = {"GET", "HEAD", "OPTIONS"}
OPEN_BLUEPRINTS = ("articles", "questions", "calculators", "troubleshooting", "api")


def routes(app, method="GET"):
    """Every route of a method, its variable parts filled with something that is there."""
    usual = {"slug": "raising-ph", "name": "ammonia", "filename": "css/site.css", "number": 1}
    for rule in app.url_map.iter_rules():
        if method in rule.methods:
            slugs = {"troubleshooting.symptom": "foam", "api.diagnose": "foam"}
            values = {**usual, "slug": slugs.get(rule.endpoint, usual["slug"])}
            address = re.sub(
                r"<(?:\w+:)?(\w+)>", lambda found, v=values: str(v.get(found[1], 1)), rule.rule
            )
            yield rule, address


def is_the_keepers(rule):
    """Is this route behind the login? All are but those of the public parts."""
    return rule.rule.startswith("/desk")


def fingerprint(log):
    """Everything in the log but what counts tries and logins, and how far the site has judged."""
    own = ("limits", "open_desks", "judging")
    lines = (line for line in log.iterdump() if not any(name in line for name in own))
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()


def test_markup_from_outside_is_shown_as_text_everywhere(app, client, keeper, walker):
    client.post(
        "/api/questions",
        json={"text": f"cloudy {MARKUP}", "asked_by": MARKUP, "link": f"https://x/{MARKUP}"},
    )
    names = ["q", "state", "page", "article", "next", "units", "ph", "flow", "read", "view", MARKUP]
    query = urlencode(dict.fromkeys(names, MARKUP))
    for visitor in (client, keeper.client):
        for rule, address in routes(app):
            got = visitor.get(f"{address}?{query}", buffered=True)
            if got.mimetype == "text/html":
                page = got.get_data(as_text=True)
                assert "<script>alert" not in page, rule.rule
                assert "<img src=x" not in page, rule.rule
    assert "&lt;script&gt;" in keeper.client.get("/desk/questions/1").get_data(as_text=True)


def test_json_answers_hold_no_markup_a_browser_would_run(client):
    got = client.get("/api/match", query_string={"q": f"cloudy water {MARKUP}"})
    assert got.mimetype == "application/json"
    assert got.headers["X-Content-Type-Options"] == "nosniff"
    json.loads(got.get_data())


def test_html_in_an_article_is_text():
    made = render.to_html(
        "A <b onclick=x>bold</b> word, [a link](javascript:alert(1)), <script>alert(1)</script>",
        link_for=lambda *_: "#",
        block_for=lambda *_: "",
    )
    assert "<script" not in made
    assert "<b " not in made
    assert 'href="javascript' not in made


def test_the_program_starts_no_other_and_evaluates_nothing():
    banned = {"eval", "exec", "compile", "__import__", "os.system", "os.popen", "pickle.loads"}
    found = []
    for package in ("kb", "rules", "web"):
        for path in (ROOT / package).rglob("*.py"):
            tree = ast.parse(path.read_text())
            calls = [
                ast.unparse(node.func) for node in ast.walk(tree) if isinstance(node, ast.Call)
            ]
            imports = [
                name.name
                for node in ast.walk(tree)
                if isinstance(node, ast.Import | ast.ImportFrom)
                for name in node.names
            ]
            found += [f"{path.name}: {call}" for call in calls if call in banned]
            found += [
                f"{path.name}: {name}" for name in imports if name in ("subprocess", "pickle")
            ]
    assert found == []


def test_script_writes_no_markup_from_input():
    """One place puts markup in: what our own server has made of a typed text, escaped there."""
    places = [
        (path.name, line.strip())
        for path in (ROOT / "web" / "static" / "js").rglob("*.js")
        for line in path.read_text().splitlines()
        if re.search(
            r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function", line
        )
    ]
    assert places in ([], [("find.js", "list.innerHTML = items.trim();")])


def test_a_typed_text_comes_back_without_its_markup(client):
    assert "<script>" not in client.get("/find", query_string={"q": MARKUP}).get_data(as_text=True)


def test_every_answer_of_every_route_carries_the_headers(app, client, keeper):
    for visitor in (client, keeper.client):
        for rule, address in routes(app):
            headers = visitor.get(address, buffered=True).headers
            assert headers["X-Content-Type-Options"] == "nosniff", rule.rule
            assert headers["Cross-Origin-Resource-Policy"] == "same-origin", rule.rule
            assert headers["Cross-Origin-Opener-Policy"] == "same-origin", rule.rule
            assert headers["Referrer-Policy"] == "same-origin", rule.rule
            assert "camera=()" in headers["Permissions-Policy"], rule.rule
            assert "frame-ancestors 'none'" in headers["Content-Security-Policy"], rule.rule
            kind = headers.get("Content-Type", "")
            assert not kind.startswith("text/") or "charset=utf-8" in kind, rule.rule


def test_the_content_policy_lets_nothing_foreign_in():
    parts = dict(part.partition(" ")[::2] for part in POLICY.split("; "))
    assert parts["default-src"] == "'none'"
    assert parts["base-uri"] == "'none'"
    assert parts["frame-ancestors"] == "'none'"
    assert parts["form-action"] == "'self'"
    for rule in parts.values():
        assert not re.search(r"unsafe|\*|https?:|data:", rule)


def test_no_other_site_may_read_our_answers(app, client):
    for rule, address in routes(app):
        got = client.get(address, headers={"Origin": "https://evil.example"}, buffered=True)
        assert not [name for name, _ in got.headers if name.startswith("Access-Control")], rule.rule


def test_every_form_without_its_token_is_refused(app, keeper, log):
    before = fingerprint(log)
    for rule, address in routes(app, "POST"):
        if rule.endpoint.startswith("api."):
            continue  # takes JSON alone, which no form can send
        got = keeper.client.post(address, data={"q": "x", "text": "x", "state": "open"})
        assert got.status_code == 400, rule.rule
    assert fingerprint(log) == before


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x"]
)
def test_a_form_of_another_site_cannot_post_json(client, log, kind):
    """The three content types that a browser sends across sites without asking first."""
    got = client.post(
        "/api/questions", data='{"text": "why is my water cloudy"}', content_type=kind
    )
    assert got.status_code == 422
    assert store.listed(log) == ()


def test_no_get_changes_the_log(app, client, keeper, log):
    client.post("/api/questions", json={"text": "why is my water cloudy"})
    before = fingerprint(log)
    for visitor in (client, keeper.client):
        for _rule, address in routes(app):
            visitor.get(f"{address}?q=why+is+my+water+cloudy&state=open&text=x", buffered=True)
    assert fingerprint(log) == before


def test_a_contact_without_a_question_of_ones_own_changes_nothing(client, walker, log):
    client.post("/api/questions", json={"text": "why is my water cloudy"})
    got = walker.post("/", "/questions/contact", asked_by="thief", link="https://evil.example")
    assert got.status_code == 302
    assert store.listed(log)[0].asked_by is None


def test_strangers_reach_public_routes_alone(app, client):
    """Every route is either of a public part, or leads a stranger to the login."""
    for rule, address in routes(app):
        if (
            rule.endpoint in ("static", "desk.login")
            or rule.endpoint.split(".")[0] in OPEN_BLUEPRINTS
        ):
            continue
        got = client.get(address)
        led = got.status_code == 302 and "/desk/login" in got.location
        assert led or not is_the_keepers(rule), rule.rule
    app.config["WTF_CSRF_ENABLED"] = False
    for rule, address in routes(app, "POST"):
        if rule.endpoint == "desk.login" or rule.endpoint.split(".")[0] in OPEN_BLUEPRINTS:
            continue
        got = client.post(address, data={"text": "x", "state": "open"})
        assert got.status_code == 302, rule.rule
        assert "/desk/login" in got.location, rule.rule


def test_strangers_see_no_name_or_link(app, client):
    client.post(
        "/api/questions",
        json={
            "text": "why is my water cloudy",
            "asked_by": "finch_3",
            "link": "https://x.example/7",
        },
    )
    for rule, address in routes(app):
        said = client.get(address, buffered=True).get_data(as_text=True)
        assert "finch_3" not in said, rule.rule
        assert "x.example/7" not in said, rule.rule


@pytest.mark.parametrize(
    "path",
    [
        "../security.py", "..%2fsecurity.py", "%2e%2e/security.py", "....//security.py", "/etc/passwd",
        "css/../../config.py", "..\\security.py", "%00", "css/%00site.css", "css", "css/", ".git/config", "",
    ],
)  # fmt: skip
def test_no_path_leads_out_of_the_static_folder(client, path):
    for start in ("/static/", "/articles/", "/symptoms/", "/calculators/", "/api/calculators/"):
        got = client.get(start + path, buffered=True)
        said = got.get_data(as_text=True)
        assert got.status_code in (200, 302, 308, 404), start
        assert "root:" not in said
        assert "import " not in said


def test_a_changed_cookie_is_worth_nothing(app, keeper):
    cookie = keeper.client.get_cookie("standpipe").value
    head, *rest = cookie.split(".")
    for forged in (cookie[:-3] + "abc", ".".join([head + "A", *rest]), head, f"{head}..", "x"):
        thief = app.test_client()
        thief.set_cookie("standpipe", forged)
        assert thief.get("/desk/").status_code == 302, forged


def test_a_cookie_signed_with_another_key_is_worth_nothing(tmp_path, content, keeper):
    other = create_app({"DATA": tmp_path / "other"}, content.library, content.rulebook)
    thief = other.test_client()
    thief.set_cookie("standpipe", keeper.client.get_cookie("standpipe").value)
    assert thief.get("/desk/").status_code == 302


@pytest.mark.parametrize(
    "words",
    [
        "läuft bei uns im März",
        "🐟🐠🐡 three fish 🌱",
        "            x marks it",
        "'; drop table keeper --",
    ],
)
def test_a_passphrase_may_hold_anything(log, words):
    import datetime

    security.set_passphrase(log, words, now=datetime.datetime.now(datetime.UTC))
    assert security.check_passphrase(log, words)
    assert not security.check_passphrase(log, words.strip() + "x")


def test_the_login_helps_password_managers(walker):
    page = walker.text("/desk/login")
    field = re.search(r"<input[^>]*passphrase[^>]*>", page)[0]
    assert 'type="password"' in field
    assert 'autocomplete="current-password"' in field
    assert "onpaste" not in page
    assert "hint" not in page.casefold()


FORMULAS = ("=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\x00=1", '=HYPERLINK("https://evil")')


@pytest.mark.parametrize("text", FORMULAS)
def test_no_exported_cell_is_a_formula(text):
    lines = list(_csv_lines([{"text": text, "place": text}]))
    for cell in next(csv.reader(io.StringIO("\n".join(lines[1:]), newline=""))):
        assert cell.startswith("'")


def test_no_secret_gets_into_a_log(app, walker, log, caplog):
    import datetime

    caplog.set_level(logging.DEBUG)
    app.add_url_rule("/broken", "broken", lambda: 1 / 0)
    security.set_passphrase(log, PASSPHRASE, now=datetime.datetime.now(datetime.UTC))
    walker.post("/desk/login", "/desk/login", passphrase=PASSPHRASE + " wrong")
    walker.post("/desk/login", "/desk/login", passphrase=PASSPHRASE)
    with walker.client.session_transaction() as session:
        mark = session["_user_id"]
    app.config["TESTING"] = app.config["PROPAGATE_EXCEPTIONS"] = False
    walker.get("/broken")
    said = caplog.text
    assert "ZeroDivisionError" in said
    for secret in (PASSPHRASE, mark, app.secret_key.hex(), keeper_store.passphrase_hash(log)):
        assert secret not in said


def test_an_error_tells_a_stranger_nothing(tmp_path, content):
    app = create_app({"DATA": tmp_path / "data"}, content.library, content.rulebook)
    app.add_url_rule("/broken", "broken", lambda: 1 / 0)
    app.logger.disabled = True
    got = app.test_client().get("/broken")
    page = unescape(got.get_data(as_text=True))
    assert got.status_code == 500
    assert "Something went wrong on our side" in page
    for told in ("Traceback", "ZeroDivision", str(ROOT), "Werkzeug", "Python"):
        assert told not in page
    assert "Server" not in got.headers


BOMBS = {
    "nested.mbox": b"From a\nContent-Type: multipart/mixed; boundary=x\n\n" + b"--x\nContent-Type: multipart/mixed; boundary=x\n\n" * 2000,
    "headers.mbox": b"From a\n" + b"X-A: b\n" * 100_000 + b"\nhello\n",
    "folded.mbox": b"From a\nFrom: " + b" \n " * 50_000 + b"<a@b>\n\nhello\n",
    "angles.mbox": b"From a\nFrom: " + b"<" * 100_000 + b"\n\nhello" + b"<" * 100_000 + b"\n",
    "quoted.mbox": b"From a\nSubject: " + b"=?utf-8?b?cEg=?= " * 20_000 + b"\n\nhello\n",
    "zip.mbox": b"From a\nContent-Type: application/zip\nContent-Encoding: gzip\n\nPK\x03\x04" + b"\x00" * 200_000,
    "deep.jsonl": b"[" * 200_000 + b"\n" + b'{"text":' * 50_000 + b"\n",
    "wide.csv": b"text" + b"," * 200_000 + b"\n" + b"a" + b"," * 200_000 + b"\n",
    "open.csv": b'text\n"' + b"a\n" * 200_000,
    "long.txt": b"a" * 2_000_000 + b"\n" + b" \n" * 200_000,
}  # fmt: skip


@pytest.mark.parametrize("name", BOMBS)
def test_a_file_made_to_burst_is_read_in_bounded_time(tmp_path, name):
    import time

    from kb import take_in

    (tmp_path / name).write_bytes(BOMBS[name])
    start = time.process_time()
    for item in take_in.take_in(tmp_path / name, place="x", columns={}):
        assert item
    assert time.process_time() - start < 5


def test_the_audit_reads_what_the_index_says():
    spec = importlib.util.spec_from_file_location("bench_audit", ROOT / "bench" / "audit.py")
    audit = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(audit)
    good = {"name": "click", "version": "8.1", "vulns": []}
    fault = {"id": "PYSEC-2099-1", "fix_versions": ["9.0"]}
    weak = {"name": "flask", "version": "3.1", "vulns": [fault]}
    unknown = {"name": "gsw", "skip_reason": "not found"}
    assert audit.report([good])[1] == 0
    assert audit.report([good, weak]) == ("flask 3.1: PYSEC-2099-1, put right in 9.0", 1)
    text, status = audit.report([good, unknown])
    assert status == 2
    assert "1 of 2 packages could not be looked up (gsw)" in text
