"""Headers, tokens, limits and the keeper's login."""

import datetime
import hmac
import re
import secrets
from dataclasses import dataclass

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from flask import Flask, Response, current_app
from flask.typing import ResponseReturnValue
from flask_limiter import Limiter
from flask_limiter.util import get_remote_address
from flask_login import LoginManager, current_user
from flask_wtf import CSRFProtect
from sqlite_utils import Database

from kb.errors import KbError
from kb.store import keeper
from web.database import database

SHORTEST_PASSPHRASE = 12
LONGEST_PASSPHRASE = 200
LOGIN_LIMIT = "10 per 5 minutes"
POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self' '{style}'",
        "img-src 'self'",
        "font-src 'self'",
        "connect-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
    "Cross-Origin-Opener-Policy": "same-origin",
}
_WORDS = tuple(
    re.findall(
        r"\w+",
        """
        basin bucket clay copper cress delta drain fern float gravel heron inlet kelp ladle lettuce
        lime marsh mint moss net otter outlet pebble perch pipe pond pump reed ripple root sand
        sedge shell siphon sluice spade spring stone tank thyme tide valve weir willow worm
        """,
    )
)

csrf = CSRFProtect()
limiter = Limiter(get_remote_address, storage_uri="memory://", strategy="moving-window")
_login = LoginManager()
_hasher = PasswordHasher()


@dataclass(frozen=True)
class Keeper:
    """The one person who may use the desk; the mark changes with the passphrase."""

    mark: str
    is_authenticated = True
    is_active = True
    is_anonymous = False

    def get_id(self) -> str:
        """What the session cookie carries."""
        return self.mark


def register(app: Flask) -> None:
    """Put headers, tokens, limits and login in place."""
    csrf.init_app(app)
    limiter.init_app(app)
    _login.init_app(app)
    _login.login_view = "desk.login"
    _login.login_message = "The desk is the keeper's. Please give the passphrase."
    _login.user_loader(_load)
    app.after_request(_add_headers)


def only_the_keeper() -> ResponseReturnValue | None:
    """Lead everyone but the keeper to the login; for use before a request."""
    if current_user.is_authenticated:
        return None
    return _login.unauthorized()  # type: ignore[no-any-return]


def check_passphrase(db: Database, given: str) -> Keeper | None:
    """The keeper, if the passphrase is right."""
    stored = keeper.passphrase_hash(db)
    if stored is None:
        return None
    try:
        _hasher.verify(stored, given[:LONGEST_PASSPHRASE])
    except (VerificationError, InvalidHashError):
        return None
    return Keeper(_mark(stored))


def set_passphrase(db: Database, given: str, *, now: datetime.datetime) -> None:
    """Store a new passphrase as a hash; raises KbError when it is too short or too long."""
    if not SHORTEST_PASSPHRASE <= len(given) <= LONGEST_PASSPHRASE:
        raise KbError(
            f"The passphrase has {len(given)} characters; use {SHORTEST_PASSPHRASE} "
            f"to {LONGEST_PASSPHRASE}, for instance four or five words."
        )
    keeper.set_passphrase_hash(db, _hasher.hash(given), now=now)


def new_passphrase() -> str:
    """Six random words: easy to type on a phone, too many to guess behind the login limit."""
    return "-".join(secrets.choice(_WORDS) for _ in range(6))


def _load(mark: str) -> Keeper | None:
    stored = keeper.passphrase_hash(database())
    if stored is None or not hmac.compare_digest(mark, _mark(stored)):
        return None
    return Keeper(mark)


def _mark(stored: str) -> str:
    return hmac.digest(stored.encode(), b"keeper", "sha256").hex()[:32]


def _add_headers(response: Response) -> Response:
    style = current_app.extensions["style-fingerprint"]
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value.replace("{style}", style))
    return response
