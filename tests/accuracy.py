"""How near our figures come to those of others: checked one by one, and collected for a table."""

import json
from dataclasses import dataclass, field
from pathlib import Path

import pytest

OWN = "what the row allows"


@dataclass
class Accuracy:
    """The largest difference of each kind of figure from each independent source."""

    found: dict[tuple[str, str, str], list[float]] = field(default_factory=dict)

    def meets(self, what, against, got, expected, *, rel=None, within=None):
        """Assert that two figures agree within a share or a difference, and note how near."""
        difference = abs(got - expected)
        if rel is not None and expected:
            self._note(what, against, f"{rel * 100:g} %", 100 * difference / abs(expected))
        elif within is not None:
            self._note(what, against, f"{within:g}", difference)
        limit = {"rel": 0, "abs": within} if rel is None else {"rel": rel}
        assert got == pytest.approx(expected, **limit), f"{what}: {against}"

    def meets_row(self, row, got):
        """The same for a row of a printed table, whose allowance is its own."""
        used = abs(got - row.expected) / row.allowed if row.allowed else 0.0
        what = row.topic.replace("_", " ")
        self._note(what, "published and independent rows", OWN, 100 * used)
        assert got == pytest.approx(row.expected, rel=0, abs=row.allowed), row.source

    def write(self, path):
        """Write what was collected, for the command that makes the table."""
        rows = [
            {"what": what, "against": against, "allowed": allowed, "cases": count, "worst": worst}
            for (what, against, allowed), (count, worst) in sorted(self.found.items())
        ]
        Path(path).write_text(json.dumps(rows))

    def _note(self, what, against, allowed, difference):
        count, worst = self.found.get((what, against, allowed), (0, 0.0))
        self.found[what, against, allowed] = [count + 1, max(worst, difference)]
