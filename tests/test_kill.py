"""Programs killed at random moments lose nothing; the long form is `make kill`."""

import importlib.util
from pathlib import Path

import pytest

SIZES = {"take-in": 25, "posts": 25, "edits": 20, "migrate": 300, "restore": 100, "backup": 100}


@pytest.fixture(scope="module")
def bench():
    path = Path(__file__).parents[1] / "bench" / "kill.py"
    spec = importlib.util.spec_from_file_location("bench_kill", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_nothing_acknowledged_is_lost_when_programs_are_killed(bench):
    kinds = {name: (act, SIZES[name]) for name, (act, _size) in bench.KINDS.items()}
    tallies = bench.run(12, seed=2026, kinds=kinds)
    assert {name: tally.faults for name, tally in tallies.items()} == {name: [] for name in kinds}
    assert sum(tally.cut_short for tally in tallies.values()) >= 3
    assert all(tally.rounds == 2 for tally in tallies.values())


def test_a_lost_reply_would_be_noticed(bench, monkeypatch):
    """The watchman is watched: a store that forgets what it said does not pass."""
    kinds = {"edits": (bench.edits, 20)}
    monkeypatch.setattr(bench.replies, "send", lambda *_given, **_named: None)
    monkeypatch.setattr(bench, "duration_s", lambda _work: 5.0)
    faults = bench.run(1, seed=1, kinds=kinds)["edits"].faults
    assert any("was acknowledged and is lost" in fault for fault in faults)
