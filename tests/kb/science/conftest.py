"""The printed tables: a test that takes ``table_row`` runs on every row of its module's TOPICS."""

import csv
import json
from dataclasses import dataclass
from pathlib import Path

import pytest

TABLES = Path(__file__).parent / "tables"


@dataclass(frozen=True)
class Row:
    """One value of a table: what was put in, what must come out, how near, and who says so."""

    topic: str
    quantity: str
    given: dict[str, object]
    expected: float
    allowed: float
    source: str
    flag: str


def pytest_generate_tests(metafunc):
    if "table_row" in metafunc.fixturenames:
        rows = [row for topic in metafunc.module.TOPICS for row in _rows(topic)]
        ids = [f"{row.topic} {row.quantity} {json.dumps(row.given)}" for row in rows]
        metafunc.parametrize("table_row", rows, ids=ids)


@pytest.fixture(scope="session")
def every_table_row():
    """The rows of all tables."""
    return [row for path in sorted(TABLES.glob("*.csv")) for row in _rows(path.stem)]


def _rows(topic):
    with (TABLES / f"{topic}.csv").open(encoding="utf-8", newline="") as file:
        return [_row(topic, cells) for cells in csv.DictReader(file)]


def _row(topic, cells):
    expected, tolerance = float(cells["expected"]), float(cells["tolerance"])
    share = {"abs": 1.0, "rel": abs(expected)}[cells["tolerance_kind"]]
    return Row(
        topic=topic,
        quantity=cells["quantity"],
        given=json.loads(cells["inputs"]),
        expected=expected,
        allowed=tolerance * share,
        source=cells["source"],
        flag=cells["flag"],
    )
