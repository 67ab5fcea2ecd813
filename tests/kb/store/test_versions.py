"""Every database a keeper may still have leads to today's, with all its rows."""

import importlib.util
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from kb.store import check_database, copy_database, open_database, restore_database

VERSIONS = Path(__file__).parent / "versions"
ONE_ROW = ("revision",)
FILES = sorted(VERSIONS.glob("*.db"))


def _maker():
    spec = importlib.util.spec_from_file_location("make_versions", VERSIONS / "make.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def rows(path):
    """Every row of every table, as dictionaries, by table."""
    with closing(sqlite3.connect(path)) as connection:
        connection.row_factory = sqlite3.Row
        names = [
            row[0]
            for row in connection.execute("select name from sqlite_master where type = 'table'")
            if not row[0].startswith(("sqlite_", "_sqlite"))
        ]
        return {
            name: [dict(row) for row in connection.execute(f"select * from {name} order by rowid")]
            for name in names
        }


def shape(path):
    """The tables and indexes, as SQLite has noted them."""
    with closing(sqlite3.connect(path)) as connection:
        sql = "select name, sql from sqlite_master where name not like 'sqlite_autoindex%'"
        return {name: " ".join((text or "").split()) for name, text in connection.execute(sql)}


def test_every_version_has_its_file():
    maker = _maker()
    wanted = {maker.file_of(step).name for step in maker.steps()}
    assert {file.name for file in FILES} == wanted, "run tests/kb/store/versions/make.py"


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_rows_of_every_version_survive_to_the_newest(file, tmp_path):
    path = tmp_path / "standpipe.db"
    shutil.copy(file, path)
    before = rows(path)
    assert all(len(found) == 2 for name, found in before.items() if name not in ONE_ROW)
    open_database(path).close()
    check_database(path)
    after = rows(path)
    for table, old in before.items():
        kept = [
            {column: row[column] for column in was}
            for was, row in zip(old, after[table], strict=True)
        ]
        assert kept == old, table


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_version_comes_to_the_same_schema(file, tmp_path):
    old, new = tmp_path / "old.db", tmp_path / "new.db"
    shutil.copy(file, old)
    for path in (old, new):
        open_database(path).close()
    assert set(shape(old)) == set(shape(new))
    with closing(sqlite3.connect(old)) as one, closing(sqlite3.connect(new)) as other:
        for name in rows(new):
            columns = f"pragma table_info({name})"
            assert {row[1:4] for row in one.execute(columns)} == {
                row[1:4] for row in other.execute(columns)
            }


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_backup_of_any_version_can_be_restored(file, tmp_path):
    path = tmp_path / "standpipe.db"
    db = open_database(path)
    db.close()
    restore_database(file, path)
    assert rows(path)["questions"][0]["text"] == rows(file)["questions"][0]["text"]
    again = open_database(path)
    copy_database(again, tmp_path / "copy.db")
    again.close()
    check_database(tmp_path / "copy.db")
