"""Opening, checking, copying and restoring the database file."""

import os
import shutil
import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from sqlite_utils import Database

from kb.errors import StoreError
from kb.store.migrations import MIGRATIONS

APPLICATION_ID = 0x53_74_70_69  # marks the file as one of ours, in SQLite's own header field
WAIT_S = 10.0
HOLD_S = 1.0
FILE_NAME = "standpipe.db"
LOGS = ("-wal", "-shm", "-journal")


def open_database(path: Path | str) -> Database:
    """The database at ``path``, made if missing and brought up to date.

    Raises StoreError when the file is damaged, foreign, newer than this program, or not writable.
    """
    with told_plainly(path):
        connection = sqlite3.connect(path, timeout=WAIT_S, check_same_thread=False)
        try:
            return _prepare(connection, path)
        except BaseException:
            connection.close()
            raise


def check_database(path: Path | str) -> None:
    """Raise StoreError unless the file is a sound database of ours."""
    if not Path(path).is_file():
        raise StoreError(f"There is no file {path}.")
    with (
        told_plainly(path),
        closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as connection,
    ):
        _refuse_foreign(connection, path, empty_is_ours=False)
        verdict = connection.execute("pragma integrity_check").fetchone()[0]
        if verdict != "ok":
            raise StoreError(f"{path} is damaged ({verdict}); restore a backup.")


def copy_database(db: Database, target: Path) -> None:
    """A consistent copy of an open database, in one file; refuses to write over anything."""
    if target.exists():
        raise StoreError(f"{target} exists already; name a new file.")
    with told_plainly(target), _partial(target) as partial:
        with closing(sqlite3.connect(partial)) as copy:
            db.conn.backup(copy)
            copy.execute("pragma journal_mode = delete")
        _settle(partial)
        _put_in_place(partial, target)


def restore_database(backup: Path, path: Path) -> None:
    """Put a backup in the place of the database, after checking it; the old one is kept beside.

    Whenever this is cut short, ``path`` is either the old database or the new one, whole.
    """
    check_database(backup)
    with told_plainly(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        with _partial(path) as partial:
            with (
                closing(sqlite3.connect(f"file:{backup}?mode=ro", uri=True)) as source,
                closing(sqlite3.connect(partial)) as copy,
            ):
                source.backup(copy)
            open_database(partial).close()  # brought up to date before it counts
            _settle(partial)
            with _held(path):
                if path.exists():
                    _keep_as(path, path.with_name(path.name + ".before-restore"))
                partial.replace(path)
            _settle(path)


@contextmanager
def told_plainly(path: Path | str) -> Iterator[None]:
    """Turns SQLite's and the system's own words into one sentence about this file."""
    try:
        yield
    except sqlite3.DatabaseError as error:
        raise StoreError(_sentence(path, error)) from error
    except OSError as error:
        raise StoreError(f"{path} cannot be used: {error.strerror or error}.") from error


@contextmanager
def writing(db: Database) -> Iterator[None]:
    """One write, whole or not at all; the write lock is taken first, so that what is read holds."""
    with told_plainly("The database"):
        if db.conn.in_transaction:
            with db.atomic():
                yield
            return
        db.conn.execute("begin immediate")
        try:
            yield
        except BaseException:
            db.conn.rollback()
            raise
        db.conn.commit()


def _prepare(connection: sqlite3.Connection, path: Path | str) -> Database:
    _refuse_foreign(connection, path, empty_is_ours=True)
    connection.execute("pragma foreign_keys = on")
    _use_log(connection)
    connection.execute("pragma synchronous = full")
    connection.execute("pragma secure_delete = on")  # what is forgotten is gone from the file too
    db = Database(connection)
    known = {migration.name for migration in MIGRATIONS._migrations}
    newer = [step.name for step in MIGRATIONS.applied(db) if step.name not in known]
    if newer:
        raise StoreError(f"{path} was made by a newer Standpipe ({newer[-1]}); use that one.")
    if MIGRATIONS.pending(db):
        with writing(db):  # all steps or none, and only one program takes them
            if MIGRATIONS.pending(db):
                MIGRATIONS.apply(db)
                connection.execute(f"pragma application_id = {APPLICATION_ID}")
    return db


def _use_log(connection: sqlite3.Connection) -> None:
    """Turn on write-ahead logging; SQLite does not wait here as it does elsewhere, so we do."""
    last = time.monotonic() + WAIT_S
    while True:
        try:
            connection.execute("pragma journal_mode = wal")
            return
        except sqlite3.OperationalError as error:
            if "locked" not in str(error) or time.monotonic() > last:
                raise
            time.sleep(0.02)


def _refuse_foreign(
    connection: sqlite3.Connection, path: Path | str, *, empty_is_ours: bool
) -> None:
    mark = connection.execute("pragma application_id").fetchone()[0]
    tables = connection.execute("select count(*) from sqlite_master").fetchone()[0]
    if mark != APPLICATION_ID and not (empty_is_ours and tables == 0):
        raise StoreError(f"{path} is not a Standpipe database; nothing was changed.")


@contextmanager
def _held(path: Path) -> Iterator[None]:
    """Nobody else uses the database meanwhile, and all of it stands in its one file."""
    if not path.exists():
        yield
        return
    with closing(sqlite3.connect(path, timeout=HOLD_S)) as old:
        try:
            old.execute("pragma locking_mode = exclusive")
            old.execute("pragma wal_checkpoint(truncate)")
            old.execute("pragma journal_mode = delete")
            old.execute("begin exclusive")
        except sqlite3.DatabaseError as error:
            if "locked" in str(error):
                raise StoreError(f"{path} is in use; stop the site first, then restore.") from error
            for suffix in LOGS:  # a damaged database cannot be folded: keep its parts
                part = path.with_name(path.name + suffix)
                if part.exists():
                    part.replace(path.with_name(f"{path.name}.before-restore{suffix}"))
        yield


@contextmanager
def _partial(target: Path) -> Iterator[Path]:
    """A name to write to before the target; what an earlier try has left there is removed."""
    partial = target.with_name(target.name + ".part")
    names = [partial, *(partial.with_name(partial.name + suffix) for suffix in LOGS)]
    for name in names:
        name.unlink(missing_ok=True)
    try:
        yield partial
    finally:
        for name in names:
            name.unlink(missing_ok=True)


def _put_in_place(partial: Path, target: Path) -> None:
    try:
        os.link(partial, target)
    except FileExistsError:
        raise StoreError(f"{target} exists already; name a new file.") from None
    except OSError:  # some file systems, such as those of memory sticks, know no links
        partial.rename(target)
    _settle(target)


def _keep_as(path: Path, kept: Path) -> None:
    """The file under a second name, in the place of what was kept there before."""
    kept.unlink(missing_ok=True)
    try:
        os.link(path, kept)
    except OSError:
        shutil.copy2(path, kept)


def _settle(path: Path) -> None:
    """Wait until the disk holds the file and its name, so that a power cut takes neither."""
    for each in (path, path.parent):
        handle = os.open(each, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _sentence(path: Path | str, error: sqlite3.DatabaseError) -> str:
    text = str(error)
    if "locked" in text:
        return f"{path} is in use by another program; try again in a moment."
    if "readonly" in text or "read-only" in text:
        return f"{path} cannot be written to; check who owns the file and its folder."
    if "unable to open" in text:
        return f"{path} cannot be opened; check that its folder exists and may be written to."
    if "full" in text:
        return f"{path} cannot grow, since the disk is full; nothing was written."
    if "disk I/O error" in text:
        return f"{path} cannot be read or written: the disk is full or failing; check it."
    return f"{path} is damaged or no database ({text}); restore a backup."
