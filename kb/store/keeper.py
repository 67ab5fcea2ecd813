"""The keeper's passphrase, kept only as a hash made elsewhere."""

import datetime

from sqlite_utils import Database

from kb.store.database import told_plainly, writing


def passphrase_hash(db: Database) -> str | None:
    """The stored hash, or None when no passphrase has been set."""
    with told_plainly("The database"):
        row = next(db.query("select passphrase_hash from keeper where id = 1"), None)
    return str(row["passphrase_hash"]) if row else None


def set_passphrase_hash(db: Database, value: str, *, now: datetime.datetime) -> None:
    """Store the hash in the place of any earlier one."""
    with writing(db):
        stamp = now.astimezone(datetime.UTC).isoformat(timespec="seconds")
        db.table("keeper").upsert({"id": 1, "passphrase_hash": value, "set_at": stamp}, pk="id")
