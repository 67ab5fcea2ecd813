"""Which addresses the site may be opened at; a request for any other is not ours to answer."""

import ipaddress
import socket
from functools import lru_cache
from urllib.parse import urlsplit

from flask import Flask, current_app, request

from web.config import Settings
from web.errors import Refused

HEALTH = "/healthz"
LONGEST_ADDRESS = 65_536  # a question of 5,000 characters, each of them four bytes, each byte “%xx”
_USUAL_PORTS = {"http": 80, "https": 443}
_LOCAL_NAMES = ("localhost",)


def register(app: Flask) -> None:
    """Have every request checked before anything else looks at it."""
    app.before_request(_check)


@lru_cache(maxsize=256)
def is_ours(host: str, settings: Settings, *, for_health: bool = False) -> bool:
    """May a request with this Host header be answered?

    A site that is served without an address of its own is open to every name of this machine, but
    not to names that only lead here: a foreign page could use one to read ours.
    """
    name, port = _split(f"//{host}", "http")  # a Host header holds name and port alone
    if for_health and _is_local(name):
        return True
    for address in (settings.address, *settings.other_addresses):
        scheme = address.partition(":")[0]
        ours, our_port = _split(address, scheme)
        if (name, _split(f"//{host}", scheme)[1]) == (ours, our_port):
            return True
        if _is_local(ours) and _is_local(name):
            return True
        if _is_everywhere(ours) and port and _is_this_machine(name):
            return True
    return False


def _check() -> None:
    if len(request.query_string) + len(request.path) > LONGEST_ADDRESS:
        raise Refused(414, "This address is too long; put less into it, or use the form.")
    settings: Settings = current_app.config["SETTINGS"]
    if not is_ours(request.host, settings, for_health=request.path == HEALTH):
        raise Refused(421, f"This site is at {settings.address}/ and at no other address.")


def _split(address: str, scheme: str) -> tuple[str, int | None]:
    try:
        parts = urlsplit(address)
        port = parts.port
    except ValueError:
        return "", None
    return (parts.hostname or "").rstrip("."), port or _USUAL_PORTS.get(scheme)


def _literal(name: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    try:
        return ipaddress.ip_address(name)
    except ValueError:
        return None


def _is_local(name: str) -> bool:
    found = _literal(name)
    return name in _LOCAL_NAMES if found is None else found.is_loopback


def _is_everywhere(name: str) -> bool:
    found = _literal(name)
    return found is not None and found.is_unspecified


def _is_this_machine(name: str) -> bool:
    own = socket.gethostname().casefold()
    return _literal(name) is not None or _is_local(name) or name in (own, f"{own}.local")
