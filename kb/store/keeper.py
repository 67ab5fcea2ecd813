"""The keeper's passphrase and open desks, kept only as hashes made elsewhere."""

import datetime

from sqlite_utils import Database

from kb.store.database import told_plainly, writing


def passphrase_hash(db: Database) -> str | None:
    """The stored hash, or None when no passphrase has been set."""
    with told_plainly("The database"):
        row = next(db.query("select passphrase_hash from keeper where id = 1"), None)
    return str(row["passphrase_hash"]) if row else None


def set_passphrase_hash(db: Database, value: str, *, now: datetime.datetime) -> None:
    """Store the hash in the place of any earlier one, and close every open desk."""
    with writing(db):
        stamp = now.astimezone(datetime.UTC).isoformat(timespec="seconds")
        db.table("keeper").upsert({"id": 1, "passphrase_hash": value, "set_at": stamp}, pk="id")
        db.execute("delete from open_desks")


def open_desk(
    db: Database, secret_hash: str, *, now: datetime.datetime, longest: datetime.timedelta
) -> None:
    """Note that a login may use the desk for so long; logins that have run out are deleted."""
    with writing(db):
        db.execute("delete from open_desks where until <= ?", [now.timestamp()])
        db.table("open_desks").insert(
            {"secret_hash": secret_hash, "until": (now + longest).timestamp()}
        )


def is_open(db: Database, secret_hash: str, *, now: datetime.datetime) -> bool:
    """May this login still use the desk?"""
    with told_plainly("The database"):
        sql = "select 1 from open_desks where secret_hash = ? and until > ?"
        return db.execute(sql, [secret_hash, now.timestamp()]).fetchone() is not None


def close_desk(db: Database, secret_hash: str) -> None:
    """End a login, wherever its cookie may have been copied to."""
    with writing(db):
        db.execute("delete from open_desks where secret_hash = ?", [secret_hash])
