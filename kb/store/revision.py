"""A number that grows with every change to what public pages show out of the database."""

from sqlite_utils import Database

from kb.store.database import told_plainly


def current(db: Database) -> int:
    """The number now: whoever keeps a page made before may keep it while this stays."""
    with told_plainly("The database"):
        return int(next(db.query("select number from revision where id = 1"))["number"])


def grow(db: Database) -> None:
    """Note a change; for use inside the write that makes it."""
    db.execute("update revision set number = number + 1 where id = 1")
