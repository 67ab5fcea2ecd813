"""The style sheet as pages carry it, and compression: what makes the first page quick."""

import base64
import hashlib
import re
from importlib.resources import files

from flask import Flask, Response, request
from flask_compress import Compress
from markupsafe import Markup

PARTS = ("site.css", "pictures.css", "drawings.css")
# Pages that hold no secret beside words of the visitor's own, so that the size of what is sent
# tells a listener nothing: forms with a token, and the desk, are sent as they are.
COMPRESSED = ("articles.", "calculators.", "troubleshooting.", "questions.home", "static")
_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_SPACE = re.compile(r"\s*([{};,>])\s*|\s+")
_compress = Compress()


def register(app: Flask) -> None:
    """Give templates the style sheet, its fingerprint to the content policy, and compress."""
    style = sheet()
    app.jinja_env.globals["style"] = Markup(style)
    app.extensions["style-fingerprint"] = fingerprint(style)
    app.config.setdefault("COMPRESS_REGISTER", False)
    app.config.setdefault("COMPRESS_ALGORITHM", ["gzip"])
    app.config.setdefault("COMPRESS_MIN_SIZE", 600)
    _compress.init_app(app)
    app.after_request(_compressed)


def sheet() -> str:
    """All of the style sheet's parts as one, without comments and needless blanks."""
    folder = files("web") / "static" / "css"
    text = "\n".join((folder / name).read_text("utf-8") for name in PARTS)
    return _SPACE.sub(lambda found: found[1] or " ", _COMMENT.sub("", text)).strip()


def fingerprint(style: str) -> str:
    """The style sheet's hash as a content security policy names it."""
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    return f"sha256-{digest}"


def _compressed(response: Response) -> Response:
    if (request.endpoint or "").startswith(COMPRESSED):
        return _compress.after_request(response)
    return response
