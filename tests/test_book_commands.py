"""The commands of the water book as a program runs them: output, errors and exit status."""

import json

import pytest
from click.testing import CliRunner

from web.cli import main

SEASON = "\n".join(
    ["date,ph,alkalinity [dKH],feed [g],dose [g],substance"]
    + [
        f"2026-03-{day:02} 08:00,{6.9 - 0.1 * (day % 3)},{'3' if day % 3 == 0 else ''},120,"
        + ("8,calcium-hydroxide" if day % 3 == 2 else ",")
        for day in range(1, 29)
    ]
)


@pytest.fixture
def run(tmp_path):
    """Run a command of the book with a data folder of its own."""

    def run(*words, status=0):
        environment = {"STANDPIPE_DATA": str(tmp_path / "data")}
        got = CliRunner().invoke(main, ["book", *map(str, words)], env=environment)
        assert got.exit_code == status, got.output
        assert "Traceback" not in got.output
        return got

    return run


@pytest.fixture
def tank(run):
    run("systems", "Greenhouse", "volume=1500 L", "protein=35")


def test_a_system_is_begun_shown_and_changed(run, tank):
    run("systems", "greenhouse", "volume=400 gal", "base=calcium-hydroxide")
    (found,) = json.loads(run("systems", "--json").stdout)
    assert found["volume_l"] == pytest.approx(1514.16, abs=0.01)
    assert (found["protein_percent"], found["base"]) == (35, "calcium-hydroxide")
    assert "calcium hydroxide (hydrated lime)" in run("systems", "Greenhouse").stdout


def test_what_is_added_is_listed_in_base_units(run, tank):
    said = run("add", "ph=7,1", "dose=2 tsp", "substance=calcium-hydroxide", "alkalinity=5 dKH")
    assert "Greenhouse: pH 7,1; alkalinity (KH) 5 dKH; dose 2 tsp of calcium hydroxide." in (
        said.stdout
    )
    rows = {row["quantity"]: row for row in json.loads(run("list", "--json").stdout)}
    assert rows["dose"]["value"] == pytest.approx(4.75)
    assert rows["alkalinity"]["as_written"] == "5 dKH"
    assert "dose 2 tsp of calcium hydroxide" in run("list").stdout


def test_an_unusual_value_wants_sure(run, tank):
    assert "If it is right, add --sure." in run("add", "ph=12", status=2).stderr
    run("add", "ph=12", "--sure")
    assert len(json.loads(run("list", "--json").stdout)) == 1


def test_a_file_is_taken_in_once_and_broken_lines_are_named(run, tank, tmp_path):
    file = tmp_path / "readings.csv"
    file.write_text("date,ph,temp [F]\n2026-03-01,7,75\n2026-03-02,blue,75\n2026-03-03,12,\n")
    dry = json.loads(run("take-in", file, "--dry-run", "--json", status=1).stdout)
    assert dry["taken_in"] == 3
    first = run("take-in", file, "--json", status=1)
    assert json.loads(first.stdout) == {
        "taken_in": 3, "known": 0, "removed_before": 0,
        "broken": [{"line": 3, "reason": "pH: “blue” is not a number."}],
        "unusual": [{"line": 4, "reason": "pH 12? Mostly it is 4 to 10."}],
    }  # fmt: skip
    assert "line 3" in first.stderr
    assert "0 taken in, 3 known, 1 broken lines." in run("take-in", file, status=1).stdout


@pytest.mark.parametrize("form", ["wide", "long"])
def test_what_is_exported_and_taken_in_again_doubles_nothing(run, tank, tmp_path, form):
    run("add", "ph=7.1", "feed=4 oz", "remark=odd smell", "at=2026-03-01 08:00")
    file = tmp_path / "book.csv"
    file.write_text(run("export", "--form", form).stdout)
    assert json.loads(run("take-in", file, "--json").stdout)["known"] == 3
    run("systems", "Copy", "volume=10")
    assert json.loads(run("take-in", file, "--system", "Copy", "--json").stdout)["taken_in"] == 3


def test_a_file_alone_tells_what_its_system_uses(run, tmp_path):
    file = tmp_path / "season.csv"
    file.write_text(SEASON)
    got = json.loads(run("know", file, "--volume", "1500 L", "--json").stdout)
    use = {one["id"]: one for one in got["estimates"]}["acid-load"]
    # arithmetic: 8 g of calcium hydroxide every third day, 1.35 g CaCO3 a gram, hold the pH level
    assert use["low"] < 8 * 100.0869 / 74.093 / 3 < use["high"]
    assert got["enough"]
    assert got["sentence"].startswith("My own system (1\u202f500 L) needs about")


def test_an_empty_book_says_what_to_measure(run, tank):
    got = json.loads(run("know", "--json").stdout)
    assert (got["enough"], got["estimates"], got["sentence"]) == (False, [], "")
    assert "Measure pH and alkalinity" in got["missing"][0]
    assert "Measure pH" in run("know").stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["list"], "There is no system yet"),
        (["systems", "Pond", "protein=30"], "Water in the whole system is missing"),
        (["systems", "Pond"], "There is no system “Pond” in the book; there are: none yet."),
        (["systems", "Pond", "volume=1", "colour=blue"], "There is no figure “colour”"),
    ],
)
def test_without_a_system_one_sentence_says_how_to_begin(run, words, said):
    assert said in run(*words, status=2).stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["add", "ph=blue"], "pH: “blue” is not a number."),
        (["add", "ph"], "write name=value"),
        (["add", "colour=blue"], "There is no field “colour”"),
        (["add", "ph="], "Nothing was given"),
        (["list", "--system", "Pond"], "there are: “Greenhouse”."),
        (["know", __file__], "Say how much water"),
        (["take-in", __file__], "There is no column “date”"),
    ],
)
def test_bad_input_is_one_clear_sentence_and_status_2(run, tank, words, said):
    got = run(*words, status=2)
    assert said in got.stderr
    assert got.stdout == ""
