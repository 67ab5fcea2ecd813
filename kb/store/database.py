"""Opening, checking, copying and restoring the database file."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from sqlite_utils import Database

from kb.errors import StoreError
from kb.store.migrations import MIGRATIONS

APPLICATION_ID = 0x53_74_70_69  # marks the file as one of ours, in SQLite's own header field
WAIT_S = 10.0
FILE_NAME = "standpipe.db"


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
    partial = target.with_name(target.name + ".part")
    with told_plainly(target):
        try:
            with closing(sqlite3.connect(partial)) as copy:
                db.conn.backup(copy)
                copy.execute("pragma journal_mode = delete")
            partial.rename(target)
        finally:
            partial.unlink(missing_ok=True)


def restore_database(backup: Path, path: Path) -> None:
    """Put a backup in the place of the database, after checking it; the old one is kept beside."""
    check_database(backup)
    with told_plainly(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        partial = path.with_name(path.name + ".part")
        partial.unlink(missing_ok=True)
        with (
            closing(sqlite3.connect(f"file:{backup}?mode=ro", uri=True)) as source,
            closing(sqlite3.connect(partial)) as copy,
        ):
            source.backup(copy)
        if path.exists():
            _fold_log_in(path)
            path.replace(path.with_name(path.name + ".before-restore"))
        partial.replace(path)
    open_database(path).close()


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
    connection.execute("pragma journal_mode = wal")
    connection.execute("pragma synchronous = full")
    connection.execute("pragma secure_delete = on")  # what is forgotten is gone from the file too
    db = Database(connection)
    known = {migration.name for migration in MIGRATIONS._migrations}
    newer = [step.name for step in MIGRATIONS.applied(db) if step.name not in known]
    if newer:
        raise StoreError(f"{path} was made by a newer Standpipe ({newer[-1]}); use that one.")
    if MIGRATIONS.pending(db):
        MIGRATIONS.apply(db)
        connection.execute(f"pragma application_id = {APPLICATION_ID}")
    return db


def _refuse_foreign(
    connection: sqlite3.Connection, path: Path | str, *, empty_is_ours: bool
) -> None:
    mark = connection.execute("pragma application_id").fetchone()[0]
    tables = connection.execute("select count(*) from sqlite_master").fetchone()[0]
    if mark != APPLICATION_ID and not (empty_is_ours and tables == 0):
        raise StoreError(f"{path} is not a Standpipe database; nothing was changed.")


def _fold_log_in(path: Path) -> None:
    """Write what still stands in the write-ahead log into the file, so that it can be moved."""
    try:
        with closing(sqlite3.connect(path)) as old:
            old.execute("pragma wal_checkpoint(truncate)")
            old.execute("pragma journal_mode = delete")
    except sqlite3.DatabaseError as error:
        if "locked" in str(error):
            raise StoreError(f"{path} is in use; stop the site first, then restore.") from error
        for suffix in ("-wal", "-shm"):  # a damaged database cannot be folded: keep its parts
            part = path.with_name(path.name + suffix)
            if part.exists():
                part.replace(path.with_name(f"{path.name}.before-restore{suffix}"))


def _sentence(path: Path | str, error: sqlite3.DatabaseError) -> str:
    text = str(error)
    if "locked" in text:
        return f"{path} is in use by another program; try again in a moment."
    if "readonly" in text or "read-only" in text:
        return f"{path} cannot be written to; check who owns the file and its folder."
    if "unable to open" in text:
        return f"{path} cannot be opened; check that its folder exists and may be written to."
    if "full" in text:
        return f"The disk that holds {path} is full; nothing was written."
    return f"{path} is damaged or no database ({text}); restore a backup."
