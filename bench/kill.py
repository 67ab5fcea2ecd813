"""Kills programs at random moments (``kill -9``) and looks whether the log has lost anything.

Run with ``make kill``. Each round starts real work in a process of its own, kills it after a random
part of the time that the whole work takes, opens the database again as a restart would, and holds
it against what had been acknowledged until then.
"""

import argparse
import datetime
import http.client
import json
import os
import random
import shutil
import signal
import socket
import sqlite3
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

from kb.store import check_database, copy_database, open_database, replies, restore_database
from kb.store import questions as log
from kb.store.database import FILE_NAME
from kb.store.questions import Judgement, NewQuestion
from web import cli, create_app, serving
from web import content as site_content
from web.config import Settings

ROOT = Path(__file__).parents[1]
FIRST_VERSION = ROOT / "tests" / "kb" / "store" / "versions" / "001.db"
NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
PLAIN = Judgement("none", None, urgent=False)
POSTERS = 4
LONGEST_RUN_S = 60.0


@dataclass
class Tally:
    """What the rounds of one kind came to."""

    rounds: int = 0
    cut_short: int = 0
    acknowledged: int = 0
    faults: list[str] = field(default_factory=list)
    delays_s: list[float] = field(default_factory=list)

    def expect(self, holds: bool, fault: str) -> None:
        """Note a fault unless it holds."""
        if not holds:
            self.faults.append(f"round {self.rounds}: {fault}")


Round = Callable[[Path, random.Random, Tally, int], None]


@contextmanager
def child(work: Callable[[], object]) -> Iterator[int]:
    """A process of its own group that does this work; killed with all its children at the end."""
    sys.stdout.flush()
    number = os.fork()
    if number == 0:
        status = 1
        try:
            os.setpgid(0, 0)
            signal.signal(signal.SIGTERM, signal.SIG_DFL)
            with open(os.devnull, "w") as nowhere:
                os.dup2(nowhere.fileno(), 1)
                os.dup2(nowhere.fileno(), 2)
            work()
            status = 0
        except SystemExit as stop:
            status = stop.code if isinstance(stop.code, int) else 1
        finally:
            os._exit(status)
    with suppress(PermissionError, ProcessLookupError):
        os.setpgid(number, number)
    try:
        yield number
    finally:
        with suppress(ChildProcessError):  # killed and buried already
            kill(number)


def kill(number: int) -> bool:
    """Kill a process and its children at once; was it still running?"""
    done, _status = os.waitpid(number, os.WNOHANG)
    with suppress(ProcessLookupError):
        os.killpg(number, signal.SIGKILL)
    if done == 0:
        os.waitpid(number, 0)
    return done == 0


def cut(work: Callable[[], object], longest_s: float, dice: random.Random, tally: Tally) -> bool:
    """Do this work and kill it at a random moment; was it cut short?"""
    delay_s = dice.uniform(0, longest_s * 1.1)
    tally.delays_s.append(delay_s)
    with child(work) as number:
        last = time.monotonic() + delay_s
        while time.monotonic() < last and os.waitid(os.P_PID, number, _PEEK) is None:
            time.sleep(0.0005)
        short = kill(number)
    tally.cut_short += short
    return short


_PEEK = os.WEXITED | os.WNOHANG | os.WNOWAIT


def duration_s(work: Callable[[], object]) -> float:
    """How long the work takes when nothing happens to it."""
    start = time.monotonic()
    with child(work) as number:
        os.waitid(os.P_PID, number, os.WEXITED | os.WNOWAIT)
    return min(time.monotonic() - start, LONGEST_RUN_S)


def rows(path: Path, sql: str) -> list[tuple[object, ...]]:
    """What stands in a database, read without the program."""
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(sql).fetchall()


def sound(path: Path, tally: Tally) -> None:
    """The database opens, and its pages, keys and full-text indexes agree with each other."""
    open_database(path).close()
    check_database(path)
    tally.expect(not rows(path, "pragma foreign_key_check"), "a row points to nothing")
    sql = "select name from sqlite_master where sql like 'create virtual table%fts5%'"
    for (name,) in rows(path, sql):
        with closing(sqlite3.connect(path)) as connection:
            connection.execute(f"insert into {name}({name}) values ('integrity-check')")


def take_in(folder: Path, dice: random.Random, tally: Tally, size: int) -> None:
    """`standpipe questions take-in`, killed, and then run again on the same file."""
    file, path = folder / "club.csv", folder / FILE_NAME
    texts = [f"Question {n} of round {tally.rounds}: why is my water cloudy?" for n in range(size)]
    lines = [f'"{text}",https://example.org/{n}' for n, text in enumerate(texts)]
    file.write_text("\n".join(["text,link", *lines, *lines[:5]]), "utf-8")
    work = _command("questions", "take-in", file, "--data", folder)
    whole = folder / "whole"
    longest_s = duration_s(_command("questions", "take-in", file, "--data", whole))
    short = cut(work, longest_s, dice, tally)
    sound(path, tally)
    kept = [row[0] for row in rows(path, "select text from questions")]
    tally.expect(len(kept) == len(set(kept)), "a question was logged twice")
    tally.expect(set(kept) <= set(texts), "a question was changed")
    tally.expect(short or len(kept) == size, "a question was lost after the command had ended")
    tally.acknowledged += len(kept)
    duration_s(work)
    again = [row[0] for row in rows(path, "select text from questions")]
    tally.expect(sorted(again) == sorted(texts), "the second run did not make the log whole")


def posts(folder: Path, dice: random.Random, tally: Tally, size: int) -> None:
    """Questions posted to a server from several sides, until the server is killed."""
    path = folder / FILE_NAME
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    settings = Settings(questions_an_hour=10_000)
    site = site_content.load()
    open_database(path).close()

    def work() -> None:
        app = create_app({"DATA": folder, "SETTINGS": settings}, site.library, site.rulebook)
        app.extensions["content"] = site
        serving.serve(app, "127.0.0.1", port, threads=POSTERS, proxies=0, access_log=None)

    acknowledged: dict[int, str] = {}
    with child(work) as number:
        _wait_for(port)
        posters = [
            threading.Thread(target=_post, args=(port, side, size, acknowledged))
            for side in range(POSTERS)
        ]
        for poster in posters:
            poster.start()
        delay_s = dice.uniform(0, 0.01 * size)
        tally.delays_s.append(delay_s)
        time.sleep(delay_s)
        tally.cut_short += kill(number)
        for poster in posters:
            poster.join()
    sound(path, tally)
    kept = dict(rows(path, "select id, text from questions"))
    tally.acknowledged += len(acknowledged)
    lost = {key: text for key, text in acknowledged.items() if kept.get(key) != text}
    tally.expect(not lost, f"{len(lost)} acknowledged questions are lost")
    tally.expect(len(kept) == len(set(kept.values())), "a question was logged twice")
    tally.expect(len(kept) <= len(acknowledged) + POSTERS, "more was logged than was sent")


def edits(folder: Path, dice: random.Random, tally: Tally, size: int) -> None:
    """Replies, marks and forgetting, each acknowledged once the log has it."""
    path, said = folder / FILE_NAME, folder / "said"
    db = open_database(path)
    for number in range(size):
        question = NewQuestion(f"question {number}", "site", asked_by="finch", link=f"at {number}")
        log.log(db, question, PLAIN, now=NOW)
    db.close()

    def work(path: Path = path, said: Path = said) -> None:
        found = open_database(path)
        with open(said, "ab", buffering=0) as acknowledge:
            for number in range(1, size + 1):
                replies.send(found, number, f"reply {number}", article=None, now=NOW)
                acknowledge.write(b"reply %d\n" % number)
                if number % 3 == 0:
                    log.forget(found, number)
                    acknowledge.write(b"forget %d\n" % number)
                if number % 4 == 0:
                    log.set_state(found, number, "set-aside")
                    acknowledge.write(b"aside %d\n" % number)

    whole = folder / "whole.db"
    shutil.copy(path, whole)
    longest_s = duration_s(lambda: work(whole, folder / "nothing"))
    said.write_bytes(b"")
    cut(work, longest_s, dice, tally)
    sound(path, tally)
    done = [line.split() for line in said.read_text().splitlines()]
    tally.acknowledged += len(done)
    replied = {row[0] for row in rows(path, "select question from replies")}
    found = rows(path, "select id, state, asked_by, text from questions")
    count = rows(path, "select count(*) from replies")[0][0]
    tally.expect(count == len(replied), "a reply stands twice")
    for number, state, asked_by, text in found:
        marked = state in ("replied", "set-aside")
        tally.expect(marked == (number in replied), f"question {number} is half marked")
        tally.expect(
            (asked_by is None) == (text == "(forgotten)"), f"question {number} is half forgotten"
        )
    by_number = {row[0]: row for row in found}
    for act, name in done:
        row = by_number[int(name)]
        held = {
            "reply": int(name) in replied,
            "forget": row[2] is None,
            "aside": row[1] == "set-aside",
        }[act]
        tally.expect(held, f"“{act} {name}” was acknowledged and is lost")


def migrate(folder: Path, dice: random.Random, tally: Tally, size: int) -> None:
    """An old database being brought up to date."""
    path, whole = folder / FILE_NAME, folder / "whole.db"
    _old_database(path, size)
    shutil.copy(path, whole)
    before = rows(path, "select id, text from questions order by id")
    longest_s = duration_s(lambda: open_database(whole).close())
    cut(lambda: open_database(path).close(), longest_s, dice, tally)
    tally.acknowledged += len(before)
    sound(path, tally)
    after = rows(path, "select id, text from questions order by id")
    tally.expect(after == before, "rows were lost on the way to the new version")


def restore(folder: Path, dice: random.Random, tally: Tally, size: int) -> None:
    """A backup being put in the place of the log."""
    path, copy = folder / FILE_NAME, folder / "copy.db"
    db = open_database(path)
    _fill(db, "old", size)
    copy_database(db, copy)
    _fill(db, "new", size)
    db.close()
    whole = folder / "whole.db"
    shutil.copy(path, whole)
    longest_s = duration_s(lambda: restore_database(copy, whole))
    short = cut(lambda: restore_database(copy, path), longest_s, dice, tally)
    sound(path, tally)
    tally.acknowledged += 2 * size
    count = rows(path, "select count(*) from questions")[0][0]
    tally.expect(count in (size, 2 * size), f"{count} of {size} or {2 * size} rows are there")
    tally.expect(short or count == size, "the command had ended, and the backup is not in place")
    if count == size:
        kept = path.with_name(path.name + ".before-restore")
        tally.expect(
            rows(kept, "select count(*) from questions") == [(2 * size,)], "the old log is gone"
        )


def backup(folder: Path, dice: random.Random, tally: Tally, size: int) -> None:
    """A backup being written."""
    path, copy, whole = folder / FILE_NAME, folder / "copy.db", folder / "whole.db"
    db = open_database(path)
    _fill(db, "old", size)
    db.close()

    def work(target: Path) -> None:
        copy_database(open_database(path), target)

    longest_s = duration_s(lambda: work(whole))
    short = cut(lambda: work(copy), longest_s, dice, tally)
    tally.expect(short or copy.exists(), "the command had ended, and there is no backup")
    if copy.exists():
        check_database(copy)
        count = rows(copy, "select count(*) from questions")[0][0]
        tally.acknowledged += size
        tally.expect(count == size, f"the backup holds {count} of {size} rows")
    sound(path, tally)


KINDS: dict[str, tuple[Round, int]] = {
    "take-in": (take_in, 150),
    "posts": (posts, 60),
    "edits": (edits, 60),
    "migrate": (migrate, 2000),
    "restore": (restore, 400),
    "backup": (backup, 400),
}


def run(rounds: int, seed: int, *, kinds: dict[str, tuple[Round, int]] = KINDS) -> dict[str, Tally]:
    """So many rounds, dealt out over the kinds; what each kind came to."""
    site = site_content.load()
    _ = site.answerer.ranker  # built once, before the processes part
    load, site_content.load = site_content.load, lambda _folder=None: site  # type: ignore[assignment]
    dice = random.Random(seed)
    tallies = {name: Tally() for name in kinds}
    try:
        for number in range(rounds):
            name = list(kinds)[number % len(kinds)]
            act, size = kinds[name]
            tallies[name].rounds += 1
            with tempfile.TemporaryDirectory(prefix="standpipe-kill-") as folder:
                act(Path(folder), dice, tallies[name], size)
    finally:
        site_content.load = load
    return tallies


def _command(*words: object) -> Callable[[], object]:
    return lambda: cli.main([str(word) for word in words], standalone_mode=False)


def _fill(db: object, name: str, size: int) -> None:
    from kb.store.database import writing

    with writing(db):  # type: ignore[arg-type]
        for number in range(size):
            log.log(db, NewQuestion(f"{name} {number}", "site"), PLAIN, now=NOW)  # type: ignore[arg-type]


def _old_database(path: Path, size: int) -> None:
    shutil.copy(FIRST_VERSION, path)
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.executemany(
            "insert into questions (place, fingerprint, text, logged_at, times, state, urgent)"
            " values ('site', ?, ?, '2026-03-01T10:00:00+00:00', 1, 'open', 0)",
            [(f"mark {number}", f"question {number}") for number in range(size)],
        )


def _post(port: int, side: int, size: int, acknowledged: dict[int, str]) -> None:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    with suppress(OSError, http.client.HTTPException):
        for number in range(size):
            text = f"Question {number} from side {side}: is cress a good start?"
            headers = {"Content-Type": "application/json"}
            connection.request("POST", "/api/questions", json.dumps({"text": text}), headers)
            answer = connection.getresponse()
            body = answer.read()
            if answer.status == 201:
                acknowledged[json.loads(body)["question"]] = text
    connection.close()


def _wait_for(port: int) -> None:
    last = time.monotonic() + 30
    while time.monotonic() < last:
        with suppress(OSError):
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
            return
        time.sleep(0.01)
    raise TimeoutError(f"port {port} did not open")


def main() -> None:
    """Run the rounds and print what came of them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=200)
    parser.add_argument("--seed", type=int, default=int(time.time()))
    parser.add_argument("--json", metavar="FILE", type=Path)
    given = parser.parse_args()
    start = time.monotonic()
    tallies = run(given.rounds, given.seed)
    print(f"seed {given.seed}, {time.monotonic() - start:.0f} s")
    print("what was killed  rounds  in the middle  acknowledged  faults")
    for name, tally in tallies.items():
        print(
            f"{name:<15}{tally.rounds:>8}{tally.cut_short:>15}{tally.acknowledged:>14}"
            f"{len(tally.faults):>8}"
        )
    faults = [f"{name}: {fault}" for name, tally in tallies.items() for fault in tally.faults]
    print("\n".join(faults) or "Nothing lost, nothing doubled, every database sound.")
    if given.json:
        table = {
            name: {
                "rounds": tally.rounds,
                "cut_short": tally.cut_short,
                "acknowledged": tally.acknowledged,
                "median_delay_s": round(statistics.median(tally.delays_s or [0]), 4),
                "faults": tally.faults,
            }
            for name, tally in tallies.items()
        }
        given.json.write_text(json.dumps({"seed": given.seed, "kinds": table}, indent=1))
    raise SystemExit(1 if faults else 0)


if __name__ == "__main__":
    main()
