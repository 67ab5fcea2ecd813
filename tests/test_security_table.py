# ruff: noqa: E501
"""The table of what is done against attackers names tests that are there."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
LEVEL_1 = {
    "1.2.1", "1.2.2", "1.2.3", "1.2.4", "1.2.5", "1.3.1", "1.3.2", "1.5.1", "2.1.1", "2.2.1", "2.2.2", "2.3.1",
    "3.2.1", "3.2.2", "3.3.1", "3.4.1", "3.4.2", "3.5.1", "3.5.2", "3.5.3", "4.1.1", "4.4.1", "5.2.1", "5.2.2",
    "5.3.1", "5.3.2", "6.1.1", "6.2.1", "6.2.2", "6.2.3", "6.2.4", "6.2.5", "6.2.6", "6.2.7", "6.3.1", "6.3.2",
    "6.4.1", "6.4.2", "7.2.1", "7.2.2", "7.2.3", "7.2.4", "7.4.1", "7.4.2", "8.1.1", "8.2.1", "8.2.2", "8.3.1",
    "9.1.1", "9.1.2", "9.1.3", "9.2.1", "10.4.1 to 10.4.5", "11.3.1", "11.3.2", "11.4.1", "12.1.1", "12.2.1",
    "12.2.2", "13.4.1", "14.2.1", "14.3.1", "15.1.1", "15.2.1", "15.3.1",
}  # fmt: skip
ROW = re.compile(r"^\| (\d[^|]*) \|(.+)\|$", re.MULTILINE)
PROOF = re.compile(r"`([\w/]+\.py)(?:::(\w+))?`")


def rows():
    text = (ROOT / "web" / "SECURITY.md").read_text("utf-8")
    return {
        found[1].strip(): [cell.strip() for cell in found[2].split(" | ")]
        for found in ROW.finditer(text)
    }


def names(path):
    return {
        node.name
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.FunctionDef)
    }


def test_every_requirement_of_level_1_has_its_line():
    assert set(rows()) >= LEVEL_1


@pytest.mark.parametrize("requirement", sorted(rows()))
def test_every_line_is_proved_or_says_why_not(requirement):
    cells = rows()[requirement]
    proofs = PROOF.findall(cells[-1])
    if not proofs:
        assert re.search(r"not applicable|differs|the proxy's|below", " ".join(cells)), cells
    for file, name in proofs:
        path = ROOT / "tests" / file
        assert path.is_file(), file
        assert not name or name in names(path), f"{file}::{name}"
