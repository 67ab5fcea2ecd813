"""The access log, in the Combined Log Format that log tools read.

What stands after the question mark is left out, here and of the page somebody came from: it holds
people's questions and readings, which the log of questions can forget and a log file cannot.
"""

import logging
import logging.handlers
import re
import sys
import time
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from kb.errors import KbError

Environment = dict[str, Any]
Application = Callable[[Environment, Callable[..., Any]], Iterable[bytes]]
STANDARD_OUTPUT = "-"
MOMENT = "%Y-%m-%dT%H:%M:%S%z"
LONGEST_PART = 1000
_UNSAFE = re.compile(
    r"[^\x20-\x21\x23-\x5b\x5d-\x7e]"
)  # quotes, backslashes and all that is no print


def logged(app: Application, log: logging.Logger) -> Application:
    """The application, noting every answer it starts."""

    def run(environment: Environment, start: Callable[..., Any]) -> Iterable[bytes]:
        def start_and_note(status: str, headers: list[tuple[str, str]], *more: Any) -> Any:
            log.info(line(environment, status, headers, time.time()))
            return start(status, headers, *more)

        return app(environment, start_and_note)

    return run


def line(
    environment: Environment, status: str, headers: Iterable[tuple[str, str]], at: float
) -> str:
    """One answer as a line of the log."""
    size = next((value for name, value in headers if name.casefold() == "content-length"), "-")
    request = " ".join(
        (
            _safe(environment.get("REQUEST_METHOD")),
            _safe(environment.get("PATH_INFO"))
            + ("?..." if environment.get("QUERY_STRING") else ""),
            _safe(environment.get("SERVER_PROTOCOL")),
        )
    )
    from_page = str(environment.get("HTTP_REFERER") or "-").partition("?")[0]
    moment = time.strftime("%d/%b/%Y:%H:%M:%S +0000", time.gmtime(at))
    return (
        f"{_safe(environment.get('REMOTE_ADDR'))} - - [{moment}] "
        f'"{request}" {status.partition(" ")[0]} {size} '
        f'"{_safe(from_page)}" "{_safe(environment.get("HTTP_USER_AGENT"))}"'
    )


def logger(target: str, name: str, form: str = "%(message)s") -> logging.Logger:
    """A log that writes to this file, or to standard output; a file may be moved while we run."""
    found = logging.getLogger(name)
    found.handlers = [handler(target, form)]
    found.setLevel(logging.INFO)
    found.propagate = False
    return found


def handler(target: str, form: str) -> logging.Handler:
    """What writes log lines to a file or to standard output; raises KbError."""
    if target == STANDARD_OUTPUT:
        made: logging.Handler = logging.StreamHandler(sys.stdout)
    else:
        try:
            made = logging.handlers.WatchedFileHandler(Path(target), encoding="utf-8")
        except OSError as error:
            raise KbError(f"The log {target} cannot be written: {error.strerror}.") from error
    made.setFormatter(logging.Formatter(form, MOMENT))
    return made


def _safe(value: object) -> str:
    """A part of the log that can neither end its quotes nor begin a new line."""
    text = str(value or "-")[:LONGEST_PART]
    return _UNSAFE.sub(lambda found: f"\\x{ord(found[0]) & 0xFF:02x}", text)
