"""How the question log grows: finding what asks the same, the desk's lists, taking in a file.

Run with ``make logged``; ``--json FILE`` keeps the figures, ``--sizes 1000,10000`` takes less time.
Every size is measured in a process of its own, with the whole site loaded. The log is filled with
made-up questions without matching them; the rate of taking in is measured with everything.
"""

import argparse
import datetime
import functools
import json
import os
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from itertools import accumulate, islice
from pathlib import Path
from zlib import crc32

from made_up_questions import MadeUp, questions

from kb import intake
from kb.grouping import MOST_KNOWN_BY, Grouper
from kb.intake import take_in_file
from kb.matching.likeness import Likeness
from kb.matching.shapes import Shape, shape
from kb.store import database, groups, open_database
from kb.store import questions as log
from kb.store.database import FILE_NAME
from kb.store.questions import Judgement, NewQuestion
from web import content as site_content
from web import create_app

SIZES = (1_000, 10_000, 100_000, 1_000_000)
ROWS = 20_000
ASKED = 400
BATCH = 20_000
NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
PLACES = ("club evening", "video comments", "letters", "site")
JUDGEMENTS = (
    Judgement("none", None, urgent=False),
    Judgement("strong", "cloudy-water", urgent=False),
    Judgement("possible", "settler-draining", urgent=False),
)
Times = dict[str, float]
LIMITS = {"a question like this one": 20.0}


def fill(db: database.Database, size: int) -> None:
    """Log so many made-up questions, each in the group of what it asks."""
    found: dict[int, tuple[int, set[bytes]]] = {}
    source = islice(questions(), size)
    number = 0
    while batch := list(islice(source, BATCH)):
        with database.writing(db):
            for one in batch:
                number += 1
                _put(db, one, number, found)


def _put(
    db: database.Database, one: MadeUp, number: int, found: dict[int, tuple[int, set[bytes]]]
) -> None:
    judgement = JUDGEMENTS[one.core % 3]
    asked = NewQuestion(one.text, PLACES[number % 4], asked_by=f"finch_{number}")
    if one.core in found:
        group, shapes = found[one.core]
        key = log.log_new(db, asked, judgement, now=NOW, group=group)
    else:
        at = NOW.isoformat(timespec="seconds")
        group = groups.begin(db, text=one.text, article=judgement.article, at=at)
        key = log.log_new(db, asked, judgement, now=NOW, group=group)
        groups.name_by(db, group, int(key or 0))
        found[one.core] = group, (shapes := set())
    if len(shapes) < MOST_KNOWN_BY:
        packed = shape(one.text).packed()
        if packed not in shapes:
            shapes.add(packed)
            groups.represent(db, group, int(key or 0), packed)


def spread(work: Callable[[int], object], rounds: int) -> Times:
    """Median, 95th and 99th percentile of a call, in milliseconds."""
    times = []
    for turn in range(rounds):
        start = time.perf_counter()
        work(turn)
        times.append((time.perf_counter() - start) * 1000)
    cuts = statistics.quantiles(times, n=100, method="inclusive")
    return {"median": cuts[49], "p95": cuts[94], "p99": cuts[98]}


def resident_mb() -> float:
    """The memory this process holds now."""
    for line in Path("/proc/self/status").read_text().splitlines():
        if line.startswith("VmRSS"):
            return int(line.split()[1]) / 1024
    return float("nan")


def measure(size: int, folder: Path) -> dict[str, object]:
    """Every figure at one size, in this process."""
    app = create_app({"DATA": folder})
    app.extensions["content"].answerer.answer("why is my water cloudy")
    site = resident_mb()
    db = open_database(folder / FILE_NAME)
    grouper: Grouper = app.extensions["grouper"]
    start = time.perf_counter()
    grouper.refresh(db)
    loaded, memory = time.perf_counter() - start, resident_mb()
    fresh = [one.text for one in islice(questions(seed=99), ASKED)]
    work = latencies(db, grouper, fresh)
    listed = groups.listed(db, limit=1)
    figures: dict[str, object] = {
        "questions": db.table("questions").count,
        "groups": db.table("groups").count,
        "in the index": len(grouper),
        "commonest group": listed[0].questions if listed else 0,
        "index loaded (s)": loaded,
        "site alone (MB)": site,
        "with the index (MB)": memory,
        "database file (MB)": (folder / FILE_NAME).stat().st_size / 1e6,
        "times": work,
    }
    db.close()
    return figures


def latencies(db: database.Database, grouper: Grouper, fresh: Sequence[str]) -> dict[str, Times]:
    """What the desk and the site ask of the log."""
    biggest = groups.listed(db, limit=1)[0].id
    grouper.alike(db, fresh[0])
    return {
        "a question like this one": spread(lambda turn: grouper.alike(db, fresh[turn]), len(fresh)),
        "log a question and group it": spread(
            lambda turn: grouper.log(
                db, NewQuestion(fresh[turn], f"bench {turn}"), JUDGEMENTS[0], now=NOW
            ),
            100,
        ),
        "commonest groups nothing answers": spread(
            lambda turn: groups.listed(db, answered=False, limit=50, offset=50 * turn), 40
        ),
        "commonest groups of all": spread(
            lambda turn: groups.listed(db, limit=50, offset=50 * turn), 40
        ),
        "members of the largest group": spread(
            lambda turn: groups.members(db, biggest, state="open", limit=50, offset=50 * turn), 40
        ),
        "one group": spread(lambda turn: groups.get(db, biggest), 40),
        "count the groups that wait": spread(lambda _: groups.counted(db), 20),
        "newest questions": spread(lambda turn: log.listed(db, state="open", limit=50), 5),
        "count by state": spread(lambda _: log.counts(db), 20),
    }


def worst_case(size: int) -> dict[str, float]:
    """The index alone, if no two of so many questions asked the same."""
    chance = random.Random(5)
    stems = [crc32(str(number).encode()) & ~3 | (2 + number % 2) for number in range(30_000)]
    often = list(accumulate(1 / (rank + 3) for rank in range(len(stems))))
    before, start = resident_mb(), time.perf_counter()
    index, made = Likeness(), 0.0
    for begin in range(0, size, 1 << 16):
        at = time.perf_counter()
        rows = [
            (key, Shape(tuple(chance.choices(stems, cum_weights=often, k=7)), ()).packed(), None)
            for key in range(begin, min(size, begin + (1 << 16)))
        ]
        made += time.perf_counter() - at
        index.add_packed(rows)
    loaded = time.perf_counter() - start - made
    asked = [Shape(tuple(chance.choices(stems, cum_weights=often, k=7)), ()) for _ in range(ASKED)]
    found = spread(lambda turn: index.nearest_to(asked[turn]), ASKED)
    return {"index built (s)": loaded, "memory (MB)": resident_mb() - before, **found}


def take_in_rate(rows: int) -> dict[str, float]:
    """Questions a second taken in from a file: matched, grouped and written."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "club.jsonl"
        made = list(islice(questions(seed=7), rows))
        with path.open("w") as file:
            for number, one in enumerate(made):
                file.write(json.dumps({"text": one.text, "link": f"#{number}"}) + "\n")
        db = open_database(Path(folder) / FILE_NAME)
        make = functools.partial(site_content.answerer, None)
        before, start = _children_ms(), time.perf_counter()
        first, mark = 0.0, 0
        for done in take_in_file(db, path, place="club", columns={}, make=make):
            if not first:
                first, mark = time.perf_counter(), done.read
        end = time.perf_counter()
        matching = _children_ms() - before
        found = db.table("groups").count
        db.close()
        own = _grouping_alone(Path(folder), made)
    return {
        "rows": rows,
        "different texts": len({one.text for one in made}),
        "groups": found,
        "seconds until the first batch is logged": first - start,
        "questions a second after that": (rows - mark) / (end - first),
        "questions a second in all": rows / (end - start),
        "processor ms a question, matching and shape": matching / rows,
        "processor ms a question, grouping and writing": own,
    }


def _children_ms() -> float:
    spent = os.times()
    return 1000 * (spent.children_user + spent.children_system)


def _grouping_alone(folder: Path, made: Sequence[MadeUp]) -> float:
    """Processor milliseconds a question for grouping and writing, without matching."""
    db, grouper = open_database(folder / "alone.db"), Grouper()
    rows = [
        (NewQuestion(one.text, "club", link=f"#{place}"), JUDGEMENTS[0], shape(one.text))
        for place, one in enumerate(made)
    ]
    start = time.process_time()
    for begin in range(0, len(rows), intake.BATCH):
        grouper.log_all(db, rows[begin : begin + intake.BATCH], now=NOW)
    spent = time.process_time() - start
    db.close()
    return 1000 * spent / len(rows)


def table(results: dict[str, dict[str, object]]) -> Iterator[str]:
    """All sizes side by side."""
    names = list(results)
    yield f"{'':<44}" + "".join(f"{int(name):>22,}" for name in names)
    for key in results[names[0]]:
        if key != "times":
            values = (results[name][key] for name in names)
            yield f"{key:<44}" + "".join(f"{_short(value):>22}" for value in values)
    yield "milliseconds: median / 95th / 99th percentile"
    for key in results[names[0]]["times"]:  # type: ignore[attr-defined]
        rows = (results[name]["times"][key] for name in names)  # type: ignore[index]
        cells = (f"{row['median']:.1f} / {row['p95']:.1f} / {row['p99']:.1f}" for row in rows)
        yield f"{key:<44}" + "".join(f"{cell:>22}" for cell in cells)


def _short(value: object) -> str:
    return f"{value:,.2f}" if isinstance(value, float) else f"{value:,}"


def main() -> None:
    """Measure every size in a process of its own, then the rate of taking in."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sizes", default=",".join(map(str, SIZES)))
    parser.add_argument("--rows", type=int, default=ROWS)
    parser.add_argument("--json", type=Path)
    parser.add_argument("--one", type=int, help=argparse.SUPPRESS)
    parser.add_argument("--worst", type=int, help="Only the index, with so many all different.")
    parser.add_argument("--folder", type=Path, help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.worst:
        print(json.dumps(worst_case(given.worst)))
        return
    if given.one:
        print(json.dumps(measure(given.one, given.folder)))
        return
    results = {}
    for size in map(int, given.sizes.split(",")):
        with tempfile.TemporaryDirectory() as folder:
            db = open_database(Path(folder) / FILE_NAME)
            fill(db, size)
            db.close()
            command = [sys.executable, __file__, "--one", str(size), "--folder", folder]
            done = subprocess.run(command, check=True, capture_output=True, text=True)
            results[str(size)] = json.loads(done.stdout)
    rate = take_in_rate(given.rows) if given.rows else {}
    print("\n".join(table(results)))
    for name, value in rate.items():
        print(f"{name:<52}{_short(value):>14}")
    if given.json:
        given.json.write_text(json.dumps({"sizes": results, "take_in": rate}, indent=1))


if __name__ == "__main__":
    main()
