"""Public pages: rendered once, sent again only to those who have not got them yet.

An article's page is the same for every visitor, so it is kept as it was sent. It is made anew when
the content has changed, when the keeper has changed anything at the desk, and in any case after a
minute, since commands change what pages show too.
"""

import hashlib
import time
from collections import OrderedDict
from dataclasses import dataclass
from pathlib import Path
from threading import Lock

from flask import Flask, Response, current_app, g, request, session

from web.content import Content

KEPT_S = 60.0
MOST_PAGES = 1000
KEPT_BLUEPRINTS = ("articles", "calculators", "troubleshooting")
PERSONAL = ("questions.answers", "api.match")  # hold somebody's words
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


def register(app: Flask) -> None:
    """Keep pages, name their versions, and tell browsers what they may keep."""
    app.extensions["pages"] = Pages()
    app.before_request(_kept_page)
    app.after_request(_finish)
    app.url_defaults(_with_version)


def _kept_page() -> Response | None:
    if not _may_be_kept():
        return None
    page = _pages().get(request.path, current_app.extensions["content"])
    if page is None:
        g.made_from = (current_app.extensions["content"], _pages().changes)
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
