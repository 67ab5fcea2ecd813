"""Content that keeps up: new wordings and changed files take effect while the site runs."""

import logging
import threading
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path

from kb.errors import KbError
from kb.store import open_database, wordings
from web import content
from web.content import Content

EVERY_S = 1.0
_LOG = logging.getLogger("standpipe")

Stamp = tuple[tuple[str, int, int], ...]


@dataclass(frozen=True)
class Seen:
    """What the content was made of when it was last looked at."""

    files: Stamp
    database: Stamp
    wordings: str


class Live:
    """Looks once a second whether the content is still right, and makes it anew if not.

    That happens in a thread of its own; until it is done, and when it fails, the old content
    answers. ``current`` and ``hold`` read and set the content that answers.
    """

    def __init__(
        self,
        own: Path | None,
        database: Path,
        current: Callable[[], Content],
        hold: Callable[[Content], None],
    ) -> None:
        self._own, self._database = own, database
        self._current, self._hold = current, hold
        self._lock = threading.Lock()
        self._next = time.monotonic() + EVERY_S
        self._worker: threading.Thread | None = None
        self._seen = Seen(self._files(), self._rows(), _state(database, ""))

    def look(self) -> None:
        """Start making the content anew if a second has gone by and something has changed."""
        if time.monotonic() < self._next or not self._lock.acquire(blocking=False):
            return
        try:
            self._next = time.monotonic() + EVERY_S
            if self._worker is None or not self._worker.is_alive():
                self._compare()
        finally:
            self._lock.release()

    def wait(self) -> None:
        """Return once no content is being made."""
        worker = self._worker
        if worker is not None:
            worker.join()

    def _compare(self) -> None:
        files, database = self._files(), self._rows()
        if files == self._seen.files and database == self._seen.database:
            return
        state = self._seen.wordings
        if database != self._seen.database:
            state = _state(self._database, state)
        before, self._seen = self._seen, Seen(files, database, state)
        if files != before.files or state != before.wordings:
            work = (self._seen.files != before.files,)
            self._worker = threading.Thread(target=self._renew, args=work, daemon=True)
            self._worker.start()

    def _renew(self, files_changed: bool) -> None:
        try:
            found = content.load(self._own) if files_changed else self._current()
            found = replace(found, wordings=content.own_wordings(self._database))
            found.answerer  # noqa: B018 - made here, so that no request has to wait for it
        except (KbError, OSError) as error:
            fault = str(error).splitlines()[0] if str(error) else type(error).__name__
            _LOG.error("The content was changed but stays as it was: %s", fault)
            return
        self._hold(found)
        _LOG.info("The content was changed and is in use now.")

    def _files(self) -> Stamp:
        if self._own is None:
            return ()
        parts = (self._own / "articles", self._own / "rules")
        return _stamps(sorted(file for part in parts for file in part.rglob("*")))

    def _rows(self) -> Stamp:
        """When the database, or SQLite's write-ahead log beside it, was last written to."""
        log = self._database.with_name(self._database.name + "-wal")
        return _stamps([self._database, log])


def _stamps(files: list[Path]) -> Stamp:
    found = []
    for file in files:
        try:
            state = file.stat()
        except OSError:
            continue  # gone since it was listed, or never there
        found.append((str(file), state.st_mtime_ns, state.st_size))
    return tuple(found)


def _state(database: Path, before: str) -> str:
    if not database.is_file():
        return before
    try:
        with closing(open_database(database)) as db:
            return wordings.state(db)
    except KbError as error:
        _LOG.error("The wordings cannot be read: %s", error)
        return before
