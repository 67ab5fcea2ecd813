"""Headers, tokens, limits and the keeper's login."""

import datetime
import hashlib
import re
import secrets
from dataclasses import dataclass
from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from flask import Flask, Response, current_app, request
from flask.typing import ResponseReturnValue
from flask_login import LoginManager, current_user, user_logged_out
from flask_wtf import CSRFProtect
from sqlite_utils import Database

from kb.errors import KbError
from kb.store import keeper
from web.database import database

SHORTEST_PASSPHRASE = 12
LONGEST_PASSPHRASE = 200
ZXCVBN_READS = 72
SAFE_SCORE = 3  # of 4: over 10^8 guesses
DESK_OPEN = datetime.timedelta(days=30)
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
    "Permissions-Policy": ", ".join(
        f"{feature}=()"
        for feature in (
            *("accelerometer", "camera", "display-capture", "geolocation", "gyroscope", "hid"),
            *("magnetometer", "microphone", "midi", "payment", "serial", "usb"),
        )
    ),
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Permitted-Cross-Domain-Policies": "none",
}
OVER_HTTPS = {"Strict-Transport-Security": "max-age=31536000"}
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
_login = LoginManager()
_hasher = PasswordHasher()


@dataclass(frozen=True)
class Keeper:
    """The one person who may use the desk; the mark is this one login's secret."""

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
    _login.init_app(app)
    _login.login_view = "desk.login"
    _login.login_message = "The desk is the keeper's. Please give the passphrase."
    _login.user_loader(_load)
    user_logged_out.connect(_close_desk, app)
    app.after_request(_add_headers)


def only_the_keeper() -> ResponseReturnValue | None:
    """Lead everyone but the keeper to the login; for use before a request."""
    if current_user.is_authenticated:
        return None
    return _login.unauthorized()  # type: ignore[no-any-return]


def check_passphrase(db: Database, given: str) -> Keeper | None:
    """The keeper with a desk of their own, if the passphrase is right.

    Without a passphrase set, one made up is checked, so that the time taken tells nothing.
    """
    stored = keeper.passphrase_hash(db)
    try:
        _hasher.verify(stored or _made_up(), given)
    except (VerificationError, InvalidHashError):
        return None
    if stored is None or len(given) > LONGEST_PASSPHRASE:
        return None
    mark = secrets.token_urlsafe(32)
    keeper.open_desk(db, _kept(mark), now=_now(), longest=DESK_OPEN)
    return Keeper(mark)


def set_passphrase(db: Database, given: str, *, now: datetime.datetime) -> None:
    """Store a new passphrase as a hash; raises KbError when it is too short or too long."""
    if not SHORTEST_PASSPHRASE <= len(given) <= LONGEST_PASSPHRASE:
        raise KbError(
            f"The passphrase has {len(given)} characters; use {SHORTEST_PASSPHRASE} "
            f"to {LONGEST_PASSPHRASE}, for instance four or five words."
        )
    if is_easily_guessed(given):
        raise KbError("This passphrase is easily guessed; use four or five words of your own.")
    keeper.set_passphrase_hash(db, _hasher.hash(given), now=now)


def is_easily_guessed(given: str) -> bool:
    """Is this among the words that guessing programs try first, alone or put together?"""
    from zxcvbn import zxcvbn  # takes a third of a second to load, and is needed once a year

    return int(zxcvbn(given[:ZXCVBN_READS])["score"]) < SAFE_SCORE


def new_passphrase() -> str:
    """Six random words: easy to type on a phone, too many to guess behind the login limit."""
    return "-".join(secrets.choice(_WORDS) for _ in range(6))


def _load(mark: str) -> Keeper | None:
    return Keeper(mark) if keeper.is_open(database(), _kept(mark), now=_now()) else None


def _close_desk(_app: Flask, user: Keeper, **_more: object) -> None:
    if user.is_authenticated:
        keeper.close_desk(database(), _kept(user.mark))


def _kept(mark: str) -> str:
    """What the log keeps of a login's secret: enough to know it again, too little to use it."""
    return hashlib.sha256(mark.encode()).hexdigest()


@cache
def _made_up() -> str:
    return _hasher.hash(secrets.token_hex(16))


def _now() -> datetime.datetime:
    return datetime.datetime.now(datetime.UTC)


def _add_headers(response: Response) -> Response:
    style = current_app.extensions["style-fingerprint"]
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value.replace("{style}", style))
    if current_app.config["SESSION_COOKIE_SECURE"]:
        response.headers.update(OVER_HTTPS)
    if request.endpoint == "desk.logout":
        response.headers["Clear-Site-Data"] = '"cache", "storage"'
    return response
