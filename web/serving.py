"""Serving: threads, limits, one server a data folder, and a stop that finishes what was begun."""

import fcntl
import os
import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType
from typing import Any

import waitress
from flask import Flask
from waitress import wasyncore
from waitress.channel import HTTPChannel
from waitress.server import BaseWSGIServer
from werkzeug.middleware.proxy_fix import ProxyFix

from kb.errors import KbError
from web.access_log import Application, logged, logger
from web.hosts import LONGEST_ADDRESS

THREADS = 8
GRACE_S = 20.0
IDLE_S = 60
LOCK_NAME = "serving.lock"
LONGEST_HEADERS = LONGEST_ADDRESS + 16_384
CONNECTIONS = 500


def serve(
    app: Flask, host: str, port: int, *, threads: int, proxies: int, access_log: str | None
) -> None:
    """Answer requests until told to stop by SIGTERM or SIGINT, then finish those under way."""
    sockets: dict[int, Any] = {}
    try:
        server = waitress.create_server(
            wrapped(app, proxies=proxies, access_log=access_log),
            map=sockets,
            host=host,
            port=port,
            threads=threads,
            ident=None,
            channel_timeout=IDLE_S,
            connection_limit=CONNECTIONS,
            max_request_header_size=LONGEST_HEADERS,
            max_request_body_size=largest_body(app),
            clear_untrusted_proxy_headers=not proxies,
        )
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise KbError(
            f"{host}:{port} cannot be served ({reason}); choose another --host or --port."
        ) from error
    _run_until_told(sockets)
    server.task_dispatcher.shutdown()


def wrapped(app: Flask, *, proxies: int, access_log: str | None) -> Application:
    """The application as it is served: behind so many proxies, and with its log."""
    found: Application = app.wsgi_app
    if access_log:
        found = logged(found, logger(access_log, "standpipe.access"))
    if proxies:
        found = ProxyFix(found, x_for=proxies, x_proto=proxies, x_host=proxies)
    return found


def largest_body(app: Flask) -> int:
    """The most that any page takes; the page itself may take less."""
    return max(int(app.config["MAX_CONTENT_LENGTH"]), int(app.config.get("LARGEST_UPLOAD", 0)))


@contextmanager
def only_server(folder: Path) -> Iterator[None]:
    """Holds the data folder for this server; raises KbError when another one has it."""
    path = folder / LOCK_NAME
    try:
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    except OSError as error:
        raise KbError(f"{path} cannot be written: {error.strerror}.") from error
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            raise KbError(_taken(folder, os.read(handle, 20).decode("ascii", "replace"))) from None
        os.truncate(handle, 0)
        os.write(handle, str(os.getpid()).encode())
        yield
    finally:
        os.close(handle)


def _taken(folder: Path, process: str) -> str:
    number = f" (process {process})" if process.isdigit() else ""
    return (
        f"The data in {folder} is being served already{number}; stop that server first, "
        "or name another folder with --data."
    )


def _run_until_told(sockets: dict[int, Any]) -> None:
    told: list[int] = []

    def tell(number: int, _frame: FrameType | None) -> None:
        told.append(number)
        for kind in before:
            signal.signal(kind, signal.SIG_DFL)  # whoever asks twice does not want to wait

    before = {kind: signal.signal(kind, tell) for kind in (signal.SIGTERM, signal.SIGINT)}
    try:
        while not told:
            wasyncore.loop(timeout=0.5, use_poll=True, map=sockets, count=1)
        _finish(sockets)
    finally:
        for kind, handler in before.items():
            signal.signal(kind, handler)


def _finish(sockets: dict[int, Any]) -> None:
    """Take no more connections, answer what was asked, close what is idle."""
    for listener in [item for item in sockets.values() if isinstance(item, BaseWSGIServer)]:
        wasyncore.dispatcher.close(listener)
    last = time.monotonic() + GRACE_S
    while time.monotonic() < last:
        channels = [item for item in sockets.values() if isinstance(item, HTTPChannel)]
        for channel in channels:
            if not _is_busy(channel):
                channel.handle_close()
        if not any(_is_busy(channel) for channel in channels):
            return
        wasyncore.loop(timeout=0.1, use_poll=True, map=sockets, count=1)


def _is_busy(channel: HTTPChannel) -> bool:
    return bool(channel.requests or channel.request is not None or channel.total_outbufs_len)
