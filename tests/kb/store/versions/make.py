"""Makes the database of every schema version that is not here yet, with two rows in each table.

Run it after adding a step to kb/store/migrations.py:

    python tests/kb/store/versions/make.py

A file that is here is never made again: it is what keepers of that version have on their disks.
"""

import datetime
import sqlite3
import sys
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parents[3]))

from sqlite_utils import Database  # noqa: E402

from kb.store.database import APPLICATION_ID  # noqa: E402
from kb.store.migrations import MIGRATIONS  # noqa: E402

ROWS = (1, 2)
MOMENT = datetime.datetime(2026, 3, 1, 10, tzinfo=datetime.UTC)
WORDS = {
    "text": ("Why is my water cloudy?", "The pH falls every day — “6,2” now 🐟"),
    "state": ("open", "replied"),
    "verdict": ("strong", "none"),
    "article": ("cloudy-water", "ph-keeps-falling"),
    "place": ("this site", "club evening"),
}


def steps():
    """Every step's name, in order."""
    return [step.name for step in MIGRATIONS._migrations]


def file_of(name):
    """The file that holds the database as it was after this step."""
    return HERE / f"{name[1:4]}.db"


def make(name):
    """Write the database of one version."""
    names = steps()
    after = names[names.index(name) + 1 :]
    connection = sqlite3.connect(file_of(name))
    connection.execute("pragma page_size = 1024")
    db = Database(connection)
    MIGRATIONS.apply(db, stop_before=after)
    connection.execute(f"pragma application_id = {APPLICATION_ID}")
    connection.execute("pragma foreign_keys = off")
    for table in db.table_names():
        if not table.startswith(("_sqlite", "sqlite_")):
            fill(db, table)
    connection.commit()
    connection.execute("pragma foreign_keys = on")
    assert not connection.execute("pragma foreign_key_check").fetchall()
    connection.execute("vacuum")
    connection.close()


def fill(db, name):
    """Two rows in an empty table, whose values fit the columns' types and lead to each other."""
    table = db[name]
    if table.count:  # a table of one row, which its step has put there
        return
    pointing = {key.column: key.other_column for key in table.foreign_keys}
    for row in ROWS:
        values = {}
        for column in table.columns:
            if column.name in pointing or column.name == "id":
                values[column.name] = row
            else:
                values[column.name] = value(column, row)
        table.insert(values)


def value(column, row):
    """A value for a column, told by its name and type."""
    if column.name in WORDS:
        return WORDS[column.name][row - 1]
    if column.type == "TEXT":
        if column.name.endswith("_at"):
            return (MOMENT + datetime.timedelta(days=row)).isoformat(timespec="seconds")
        return f"{column.name} {row}"
    return {"INTEGER": row, "BLOB": bytes([row])}.get(column.type, row + 0.5)


if __name__ == "__main__":
    for step in steps():
        if not file_of(step).exists():
            make(step)
            print(f"{file_of(step)} is made")
