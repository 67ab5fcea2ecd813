"""How often one address may do something; counted in the question log, under a mark of its own."""

import datetime
import hmac
import ipaddress
from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import TypeVar

from flask import current_app, request
from flask.typing import ResponseReturnValue

from kb.errors import StoreError
from kb.store import limits
from web.database import database
from web.errors import Refused

IPV6_NETWORK = 64  # one household or server gets as many addresses as it likes out of these
_View = TypeVar("_View", bound=Callable[..., ResponseReturnValue])


@dataclass(frozen=True)
class Limit:
    """So many of one thing within so many seconds."""

    what: str
    within_s: float
    most: Callable[[], int]


LOGIN = Limit("login", 300.0, lambda: 10)
POSTING = Limit("question", 3600.0, lambda: int(current_app.config["SETTINGS"].questions_an_hour))


def limited(limit: Limit) -> Callable[[_View], _View]:
    """The view, refusing an address that sends it more than the limit; looking is free."""

    def around(view: _View) -> _View:
        @wraps(view)
        def run(*args: object, **kwargs: object) -> ResponseReturnValue:
            if request.method == "POST":
                hold(limit)
            return view(*args, **kwargs)

        return run  # type: ignore[return-value]

    return around


def hold(limit: Limit) -> None:
    """Count this request; raises Refused when its address has used up the limit.

    A log that cannot be written to takes no questions either, so then there is nothing to limit.
    """
    now = datetime.datetime.now(datetime.UTC)
    try:
        wait_s = limits.take(
            database(),
            limit.what,
            mark(request.remote_addr),
            most=limit.most(),
            within_s=limit.within_s,
            now=now,
        )
    except StoreError as error:
        current_app.logger.error("limit not kept: %s", error)
        return
    if wait_s:
        minutes = max(1, round(wait_s / 60))
        raise Refused(
            429,
            f"That was too much in too short a time: at most {limit.most()} in "
            f"{round(limit.within_s / 60)} minutes. Please try again in {minutes} "
            f"minute{'s' if minutes > 1 else ''}.",
            {"Retry-After": str(round(wait_s + 0.5))},
        )


def mark(address: str | None) -> str:
    """What the log keeps of an address: not the address, and nothing anyone else can compute."""
    key = current_app.secret_key
    secret = key.encode() if isinstance(key, str) else key or b""
    return hmac.digest(secret, f"limit {_network(address)}".encode(), "sha256").hex()[:32]


def _network(address: str | None) -> str:
    try:
        found = ipaddress.ip_address(address or "")
    except ValueError:
        return "unknown"
    if isinstance(found, ipaddress.IPv6Address):
        if found.ipv4_mapped:
            return str(found.ipv4_mapped)
        return str(ipaddress.ip_network((found, IPV6_NETWORK), strict=False))
    return str(found)
