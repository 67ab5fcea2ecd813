"""Public pages: rendered once, sent again only to those who have not got them yet.

An article's page is the same for every visitor, so it is kept as it was sent. It is made anew when
the content has changed, when the keeper has changed anything at the desk, and in any case after a
minute, since commands change what pages show too.
"""

import hashlib
import time
from collections import OrderedDict
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import Any

from flask import Flask, Response, current_app, g, request, session

from web.access_log import Environment
from web.content import Content
from web.hosts import is_ours

KEPT_S = 60.0
MOST_PAGES = 1000
KEPT_BLUEPRINTS = ("articles", "calculators", "troubleshooting")
PERSONAL = ("questions.answers", "questions.find", "api.match")  # hold somebody's words
MOMENTARY = ("api.health",)
FOREVER = "public, max-age=31536000, immutable"
SHARED = f"public, max-age={KEPT_S:.0f}"
ASK_AGAIN = "no-cache"
OWN = "private, no-cache"
NEVER = "no-store"
_KEEPER = "_user_id"  # where Flask-Login keeps who is logged in
_MARKS_A_PAGE = (_KEEPER, "_flashes", "units")


@dataclass(frozen=True)
class Page:
    """A page as it was sent, and what it was made from."""

    body: bytes
    mimetype: str
    etag: str
    content: Content
    changes: int
    made_at: float


class Pages:
    """The pages kept, the least used ones forgotten first."""

    def __init__(self) -> None:
        self._pages: OrderedDict[str, Page] = OrderedDict()
        self._lock = Lock()
        self.changes = 0

    def get(self, path: str, content: Content) -> Page | None:
        """The page of this path, unless it is out of date."""
        page = self._pages.get(path)
        if page is None or page.content is not content or page.changes != self.changes:
            return None
        return page if time.monotonic() - page.made_at < KEPT_S else None

    def keep(self, path: str, page: Page) -> None:
        """Keep a page in the place of an older one."""
        with self._lock:
            self._pages[path] = page
            self._pages.move_to_end(path)
            while len(self._pages) > MOST_PAGES:
                self._pages.popitem(last=False)


@dataclass(frozen=True)
class Sent:
    """A page as it left the house, packed or not, and the page it came from."""

    page: Page
    headers: tuple[tuple[str, str], ...]
    body: bytes

    @property
    def etag(self) -> str:
        """The mark by which a browser knows this form of the page again."""
        return next((value for name, value in self.headers if name == "ETag"), "")


class Front:
    """Answers visitors without a session out of the kept pages, before the application wakes up."""

    def __init__(self, app: Flask) -> None:
        self._app = app
        self._inner = app.wsgi_app
        self._sent: dict[tuple[str, bool], Sent] = {}

    def __call__(self, environment: Environment, start: Callable[..., Any]) -> Iterable[bytes]:
        if not self._is_plain(environment):
            return self._inner(environment, start)
        path = environment["PATH_INFO"]
        key = (path, "gzip" in environment.get("HTTP_ACCEPT_ENCODING", ""))
        page = self._page(path)
        sent = self._sent.get(key)
        if page is None or sent is None or sent.page is not page:
            return self._make(key, environment, start)
        asked = {tag.strip() for tag in environment.get("HTTP_IF_NONE_MATCH", "").split(",")}
        if asked & {sent.etag, f"W/{sent.etag}", "*"}:
            start("304 NOT MODIFIED", [pair for pair in sent.headers if not _is_of_body(pair)])
            return []
        start("200 OK", list(sent.headers))
        return [sent.body] if environment["REQUEST_METHOD"] == "GET" else []

    def _is_plain(self, environment: Environment) -> bool:
        return (
            environment["REQUEST_METHOD"] in ("GET", "HEAD")
            and not environment.get("QUERY_STRING")
            and not environment.get("SCRIPT_NAME")
            and "q=0" not in environment.get("HTTP_ACCEPT_ENCODING", "")
            and self._app.config["SESSION_COOKIE_NAME"] not in environment.get("HTTP_COOKIE", "")
            and is_ours(environment.get("HTTP_HOST", ""), self._app.config["SETTINGS"])
        )

    def _page(self, path: str) -> Page | None:
        pages: Pages = self._app.extensions["pages"]
        return pages.get(path, content_of(self._app))

    def _make(
        self, key: tuple[str, bool], environment: Environment, start: Callable[..., Any]
    ) -> Iterable[bytes]:
        headers: list[tuple[str, str]] = []

        def note(status: str, found: list[tuple[str, str]], *more: Any) -> Any:
            if status.startswith("200 ") and ("Cache-Control", SHARED) in found:
                headers.extend(found)
            return start(status, found, *more)

        answer = self._inner(environment, note)
        page = self._page(key[0])
        if page is None or not headers or environment["REQUEST_METHOD"] != "GET":
            return answer
        try:
            body = b"".join(answer)
        finally:
            getattr(answer, "close", lambda: None)()
        self._sent[key] = Sent(page, tuple(headers), body)  # as few keys as there are pages
        return [body]


def content_of(app: Flask) -> Content:
    """The content that pages are made from now; another object means other pages."""
    found: Content = app.extensions["content"]
    return found


def register(app: Flask) -> None:
    """Keep pages, name their versions, and tell browsers what they may keep."""
    app.extensions["pages"] = Pages()
    app.wsgi_app = Front(app)  # type: ignore[assignment,method-assign]
    app.before_request(_kept_page)
    app.after_request(_finish)
    app.url_defaults(_with_version)


def _is_of_body(header: tuple[str, str]) -> bool:
    return header[0].casefold() in ("content-length", "content-type")


def _kept_page() -> Response | None:
    if not _may_be_kept():
        return None
    page = _pages().get(request.path, content_of(current_app))
    if page is None:
        g.made_from = (content_of(current_app), _pages().changes)
        return None
    response = Response(page.body, mimetype=page.mimetype)
    response.set_etag(page.etag)
    response.headers["Cache-Control"] = SHARED
    g.from_kept = True
    return response


def _may_be_kept() -> bool:
    return (
        request.blueprint in KEPT_BLUEPRINTS
        and request.method in ("GET", "HEAD")
        and not request.query_string
        and not any(mark in session for mark in _MARKS_A_PAGE)
    )


def _finish(response: Response) -> Response:
    if g.get("from_kept"):
        response.make_conditional(request)
        return response
    if request.method not in ("GET", "HEAD"):
        if _KEEPER in session and response.status_code < 400:
            _pages().changes += 1
        response.headers.setdefault("Cache-Control", NEVER)
        return response
    wish = _policy(response)
    if request.endpoint == "static":
        response.headers["Cache-Control"] = wish
    else:
        response.headers.setdefault("Cache-Control", wish)
    if response.status_code == 200 and not response.direct_passthrough and wish != NEVER:
        if "ETag" not in response.headers:
            response.set_etag(hashlib.sha256(response.get_data()).hexdigest()[:32])
        if wish == SHARED and "made_from" in g:
            _keep(response)
        response.make_conditional(request)
    return response


def _policy(response: Response) -> str:
    """What a browser, or a cache on the way, may do with this answer."""
    if request.endpoint == "static":
        named = request.args.get("v")
        return FOREVER if named and named == _version(request.view_args) else ASK_AGAIN
    if request.blueprint == "desk" or request.endpoint in MOMENTARY or _KEEPER in session:
        return NEVER
    if response.status_code != 200:
        return NEVER
    if request.endpoint in PERSONAL or "csrf_token" in g or session.modified:
        return OWN
    return OWN if any(mark in session for mark in _MARKS_A_PAGE) else SHARED


def _keep(response: Response) -> None:
    content, changes = g.made_from
    if set(response.vary) - {"Cookie", "cookie"}:
        return
    page = Page(
        body=response.get_data(),
        mimetype=response.mimetype or "text/html",
        etag=response.get_etag()[0] or "",
        content=content,
        changes=changes,
        made_at=time.monotonic(),
    )
    _pages().keep(request.path, page)


def _pages() -> Pages:
    found: Pages = current_app.extensions["pages"]
    return found


def _with_version(endpoint: str, values: dict[str, object]) -> None:
    """Every address of a static file names its content, so that it may be kept for good."""
    if endpoint == "static" and (version := _version(values)):
        values.setdefault("v", version)


def _version(values: dict[str, object] | None) -> str | None:
    name = str((values or {}).get("filename", ""))
    known: dict[str, tuple[int, str]] = current_app.extensions.setdefault("static-versions", {})
    file = Path(current_app.static_folder or "") / name
    try:
        changed = file.stat().st_mtime_ns
        if name not in known or known[name][0] != changed:
            known[name] = (changed, hashlib.sha256(file.read_bytes()).hexdigest()[:12])
    except (OSError, ValueError):
        return None
    return known[name][1]
