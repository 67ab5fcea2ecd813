"""Strange inputs at every entry break nothing; the long form is `make fuzz`."""

import importlib.util
import sys
from pathlib import Path

import pytest

BENCH = Path(__file__).parents[1] / "bench"
INPUTS = 400


@pytest.fixture(scope="module")
def fuzz():
    sys.path.insert(0, str(BENCH))  # it imports its neighbour, as scripts do
    try:
        spec = importlib.util.spec_from_file_location("bench_fuzz", BENCH / "fuzz.py")
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
    finally:
        sys.path.remove(str(BENCH))
    return module


@pytest.fixture(scope="module")
def found(fuzz, tmp_path_factory, content):
    load = fuzz.site_content.load
    fuzz.site_content.load = lambda _folder=None: content
    try:
        return fuzz.run(INPUTS, seed=2026, folder=tmp_path_factory.mktemp("fuzz"))
    finally:
        fuzz.site_content.load = load


def test_no_strange_input_breaks_anything_or_hangs(found):
    assert {name: entry.faults for name, entry in found.items() if entry.faults} == {}


def test_every_entry_gets_its_share(fuzz, found):
    assert set(found) == set(fuzz.SHARES)
    assert all(entry.inputs > 0 for entry in found.values())
    assert sum(entry.inputs for entry in found.values()) > 0.9 * INPUTS


def test_a_fault_would_be_noticed(fuzz):
    def broken(dice):
        raise ZeroDivisionError

    def slow(dice):
        end = fuzz.time.process_time() + 1.1
        while fuzz.time.process_time() < end:
            pass
        return "slow"

    for attack, fault in ((broken, "ZeroDivisionError"), (slow, "took")):
        entry = fuzz.Entry()
        fuzz._one(attack, fuzz.random.Random(1), entry)
        assert fault in entry.faults[0]


def test_strange_inputs_are_strange_and_the_same_for_the_same_seed(fuzz):
    one = [fuzz.evil.text(fuzz.random.Random(seed)) for seed in range(300)]
    assert one == [fuzz.evil.text(fuzz.random.Random(seed)) for seed in range(300)]
    joined = "".join(one)
    assert {"\x00", "\ud800", "<", "9"} <= set(joined)
    assert len(set(one)) > 200
    assert max(map(len, one)) == fuzz.evil.LONGEST
