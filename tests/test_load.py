"""The served site bears a mixed load without a fault; the long form is `make load`."""

import importlib.util
from pathlib import Path

import pytest


@pytest.fixture(scope="module")
def bench():
    path = Path(__file__).parents[1] / "bench" / "load.py"
    spec = importlib.util.spec_from_file_location("bench_load", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def found(bench):
    return bench.run(size=200, seconds=0.3, mixed_seconds=1.5)


def test_no_answer_is_wrong_under_load(found):
    assert {item["name"]: item["errors"] for item in found["figures"] if item["errors"]} == {}
    assert all(item["answers"] > 0 for item in found["figures"])
    assert found["log_lines_of_faults"] == 0


def test_a_kept_article_page_reaches_half_of_bare_flask(found):
    assert found["article_to_bare_flask"] > 0.5


def test_memory_does_not_run_away(found):
    memory = found["memory_mb"]
    assert memory["after"] < memory["warm"] + 60
    assert memory["after"] < 400


def test_figures_are_those_of_the_times_taken(bench):
    times = [number / 1000 for number in range(1, 101)]
    median, p95, p99 = bench._shares(times)
    # the inclusive quantiles of 1 to 100, by hand
    assert median * 1000 == pytest.approx(50.5)
    assert p95 * 1000 == pytest.approx(95.05)
    assert p99 * 1000 == pytest.approx(99.01)
