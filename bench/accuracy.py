"""Makes the accuracy table of DEVELOPERS.md from the figures of the tests themselves.

Run with ``make accuracy``.
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "DEVELOPERS.md"
START, END = "<!-- accuracy: made by `make accuracy` -->\n", "<!-- end of accuracy -->"
OWN = "what the row allows"


def measured() -> list[dict[str, object]]:
    """What the science tests noted, after running them."""
    with tempfile.TemporaryDirectory() as folder:
        found = Path(folder) / "accuracy.json"
        command = [sys.executable, "-m", "pytest", "-q", "tests/kb", "--accuracy", str(found)]
        done = subprocess.run(command, cwd=ROOT)
        if done.returncode:
            sys.exit("The tests failed: the table is left as it was.")
        rows: list[dict[str, object]] = json.loads(found.read_text())
        return rows


def table(rows: list[dict[str, object]]) -> str:
    """The rows as a Markdown table."""
    lines = [
        "| figure | held against | cases | largest difference | allowed |",
        "|---|---|---|---|---|",
    ]
    for row in rows:
        worst = float(str(row["worst"]))
        if row["allowed"] == OWN:
            shown = f"{worst:.2g} % of it"
        else:
            shown = f"{worst:.2g}{' %' if str(row['allowed']).endswith('%') else ''}"
        lines.append(
            f"| {row['what']} | {row['against']} | {row['cases']} | {shown} | {row['allowed']} |"
        )
    return "\n".join(lines) + "\n"


def main() -> None:
    """Replace the table in DEVELOPERS.md."""
    before, mark, rest = PAGE.read_text().partition(START)
    _old, end, after = rest.partition(END)
    if not mark or not end:
        sys.exit(f"{PAGE.name} has no place for the table: it needs the two accuracy comments.")
    PAGE.write_text(before + START + table(measured()) + END + after)


if __name__ == "__main__":
    main()
