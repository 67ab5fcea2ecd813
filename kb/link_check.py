"""Do links to other sites still lead somewhere? Never asked of a private address."""

import contextlib
import http.client
import ipaddress
import socket
import ssl
import threading
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from urllib.parse import SplitResult, quote, urljoin, urlsplit

TIMEOUT_S = 10.0
MOST_HOPS = 5
AT_ONCE = 8
AGENT = "Standpipe link check"
_MOVED = (301, 302, 303, 307, 308)
_PORTS = {"http": 80, "https": 443}
_SAFE = "/%:@!$&'()*+,;=~-._"
Allowed = Callable[[str], bool]


class _Refused(Exception):
    """A link that is not followed, with the reason."""


def is_public(address: str) -> bool:
    """Is this the address of a machine anybody may reach?"""
    found = ipaddress.ip_address(address.split("%")[0])
    inner = [found]
    if isinstance(found, ipaddress.IPv6Address):
        inner += [part for part in (found.ipv4_mapped, found.sixtofour) if part]
        inner += list(found.teredo or ())
        if found in ipaddress.ip_network("64:ff9b::/96"):  # RFC 6052
            inner.append(ipaddress.IPv4Address(int(found) & 0xFFFF_FFFF))
    return all(part.is_global and not part.is_multicast for part in inner)


def check_all(
    links: Iterable[str], *, allowed: Allowed = is_public, timeout_s: float = TIMEOUT_S
) -> Iterator[tuple[str, str | None]]:
    """Each link with the reason why it leads nowhere, or None, in the order given."""
    wanted = list(dict.fromkeys(links))
    with ThreadPoolExecutor(AT_ONCE) as pool:
        reasons = pool.map(lambda link: check(link, allowed=allowed, timeout_s=timeout_s), wanted)
        yield from zip(wanted, reasons, strict=True)


def check(link: str, *, allowed: Allowed = is_public, timeout_s: float = TIMEOUT_S) -> str | None:
    """Why a link leads nowhere, or None if it leads somewhere; asks with HEAD, then GET."""
    try:
        status, hops = 0, 0
        while hops <= MOST_HOPS:
            status, location = _ask("HEAD", link, allowed, timeout_s)
            if status >= 400:  # some servers answer HEAD badly
                status, location = _ask("GET", link, allowed, timeout_s)
            if status not in _MOVED or not location:
                return None if status < 400 else f"answers with {status}"
            link, hops = urljoin(link, location), hops + 1
        return f"leads on more than {MOST_HOPS} times"
    except _Refused as error:
        return str(error)
    except ssl.SSLError as error:
        return f"has no valid certificate ({error.reason or 'unknown reason'})"
    except TimeoutError:
        return f"does not answer within {timeout_s:g} seconds"
    except (OSError, http.client.HTTPException, UnicodeError) as error:
        return f"cannot be reached ({getattr(error, 'strerror', None) or type(error).__name__})"


def _ask(method: str, link: str, allowed: Allowed, timeout_s: float) -> tuple[int, str | None]:
    parts = urlsplit(link)
    host, port = _target(parts)
    address = _address(host, port, allowed)
    wires = [socket.create_connection((address, port), timeout=timeout_s)]
    late = threading.Event()

    def give_up() -> None:
        late.set()
        with contextlib.suppress(OSError):
            socket.socket.shutdown(wires[-1], socket.SHUT_RDWR)

    timer = threading.Timer(timeout_s, give_up)  # a server that drips must not hold us up
    timer.daemon = True
    timer.start()
    try:
        answer = _answer(method, parts, host, wires)
    except (OSError, http.client.HTTPException):
        if not late.is_set():
            raise
    finally:
        timer.cancel()
        for wire in wires:
            wire.close()
    if late.is_set():
        raise TimeoutError
    return answer


def _answer(
    method: str, parts: SplitResult, host: str, wires: list[socket.socket]
) -> tuple[int, str | None]:
    if parts.scheme == "https":
        secure = ssl.create_default_context()
        wires.append(
            secure.wrap_socket(wires[0], server_hostname=host, do_handshake_on_connect=False)
        )
        wires[-1].do_handshake()  # type: ignore[attr-defined]
    connection = http.client.HTTPConnection(host)
    connection.sock = wires[-1]
    try:
        target = quote(parts.path or "/", safe=_SAFE)
        if parts.query:
            target += f"?{quote(parts.query, safe=f'{_SAFE}?')}"
        shown = parts.netloc if parts.netloc.isascii() else host.encode("idna").decode()
        connection.request(method, target, headers={"User-Agent": AGENT, "Host": shown})
        found = connection.getresponse()
        return found.status, found.getheader("Location")
    finally:
        connection.close()


def _target(parts: SplitResult) -> tuple[str, int]:
    if parts.scheme not in _PORTS:
        raise _Refused("does not begin with http:// or https://")
    if parts.username or parts.password:
        raise _Refused("holds a user name or passphrase")
    try:
        port = parts.port or _PORTS[parts.scheme]
    except ValueError:
        raise _Refused("names a port that cannot be") from None
    if not parts.hostname:
        raise _Refused("names no machine")
    return parts.hostname, port


def _address(host: str, port: int, allowed: Allowed) -> str:
    """The address to go to: looked up once, so that what was allowed is what is reached."""
    found = [str(entry[4][0]) for entry in socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)]
    if not found or not all(allowed(address) for address in found):
        raise _Refused("leads to an address that is not public, and is not asked")
    return found[0]
