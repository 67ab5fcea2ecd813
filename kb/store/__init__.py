"""What people enter, kept in SQLite: the question log, the replies, the keeper's passphrase."""

from kb.store.database import check_database, copy_database, open_database, restore_database

__all__ = ["check_database", "copy_database", "open_database", "restore_database"]
