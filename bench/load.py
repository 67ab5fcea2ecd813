"""How much the served site bears: pages a second, how long each takes, memory, and what grows.

Run with ``make load``; ``--minutes 60`` holds the mixed load for an hour. The site is served as
``standpipe serve`` serves it, in a process of its own; a few connections that are kept open ask for
one page after the other. All of it stays on 127.0.0.1. Beside the site stand a bare Flask view that
returns the same bytes from the same server, and SQLite alone doing the reads that pages need.
"""

import argparse
import json
import os
import random
import re
import signal
import socket
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from urllib.parse import quote

from kb.store import open_database
from kb.store.database import FILE_NAME, writing
from kb.store.questions import fingerprint

ROOT = Path(__file__).parents[1]
CONNECTIONS = 4
ARTICLES = ("second-settler", "raising-ph", "cloudy-water", "fish-gasping", "first-plants")
QUESTIONS = (
    "fish stopped eating since yesterday, pH 7.9, ammonia 2 ppm, water is 27C, 1000 litre tank",
    "why is my water cloudy after the new fish came",
    "leaves turn yellow between the veins, what is missing",
    "how much feed for 40 fish of 200 g",
    "pump dead since last night, fish at the surface",
)
PAGES = {
    "article": [f"/articles/{slug}" for slug in ARTICLES],
    "calculator": [
        "/calculators/ammonia?ammonia=2&ph=7.9&temperature=27",
        "/calculators/settler?flow=1500&vessel_volume=200&vessel_diameter=570",
    ],
    "symptom": [
        "/symptoms/fish-off-feed?ph=7.9&temperature=27&ammonia=2",
        "/symptoms/cloudy-water",
    ],
    "ask": [f"/answers?q={quote(text)}" for text in QUESTIONS],
}
MIX = {"article": 60, "calculator": 15, "symptom": 14, "ask": 10, "post": 1}
Request = Callable[[random.Random], bytes]


@dataclass(frozen=True)
class Figures:
    """What one load came to."""

    name: str
    a_second: float
    median_ms: float
    p95_ms: float
    p99_ms: float
    answers: int
    errors: int

    def __str__(self) -> str:
        return (
            f"{self.name:<34}{self.a_second:>9.0f}/s{self.median_ms:>9.1f}{self.p95_ms:>9.1f}"
            f"{self.p99_ms:>9.1f} ms{self.answers:>9}{self.errors:>7}"
        )


class Connection:
    """One kept connection that asks, waits, and asks again."""

    def __init__(self, port: int) -> None:
        self._port = port
        self._socket: socket.socket | None = None
        self._rest = b""

    def ask(self, request: bytes) -> tuple[int, bytes]:
        """Status and body of the answer."""
        if self._socket is None:
            self._socket = socket.create_connection(("127.0.0.1", self._port), timeout=60)
            self._socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            self._rest = b""
        self._socket.sendall(request)
        head = self._until(b"\r\n\r\n")
        length = re.search(rb"(?i)\r\ncontent-length: (\d+)", head)
        body = self._exactly(int(length[1])) if length else b""
        if re.search(rb"(?i)\r\nconnection: close", head):
            self.close()
        return int(head[9:12]), body

    def close(self) -> None:
        """Let go of the connection; the next question opens another."""
        if self._socket is not None:
            self._socket.close()
            self._socket = None

    def _until(self, mark: bytes) -> bytes:
        while mark not in self._rest:
            self._more()
        head, _, self._rest = self._rest.partition(mark)
        return head

    def _exactly(self, size: int) -> bytes:
        while len(self._rest) < size:
            self._more()
        body, self._rest = self._rest[:size], self._rest[size:]
        return body

    def _more(self) -> None:
        assert self._socket is not None
        got = self._socket.recv(262_144)
        if not got:
            raise ConnectionError("the server closed the connection in the middle")
        self._rest += got


def get(address: str) -> bytes:
    """A request for a page."""
    return f"GET {address} HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n".encode()


def post(dice: random.Random) -> bytes:
    """A question that nobody has asked before, from somewhere else every time."""
    words = " ".join(dice.choice(QUESTIONS).split()[:8])
    body = json.dumps({"text": f"{words}, batch {dice.randrange(10**12)}"}).encode()
    network = ".".join(str(dice.randrange(1, 255)) for _ in range(3))
    return (
        f"POST /api/questions HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Forwarded-For: 203.{network}\r\n"
        f"Content-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n"
    ).encode() + body


def pages(addresses: Sequence[str]) -> Request:
    """Requests for these pages in any order."""
    ready = [get(address) for address in addresses]
    return lambda dice: dice.choice(ready)


def mixed(dice: random.Random) -> bytes:
    """Requests as visitors send them, one in a hundred of them a question to be logged."""
    kind = dice.choices(list(MIX), list(MIX.values()))[0]
    return post(dice) if kind == "post" else get(dice.choice(PAGES[kind]))


def load(name: str, port: int, request: Request, seconds: float) -> Figures:
    """This load on that server for so long."""
    times: list[float] = []
    statuses: Counter[int] = Counter()
    faults: list[str] = []
    end = time.perf_counter() + seconds

    def work(number: int) -> None:
        dice = random.Random(number)
        connection = Connection(port)
        try:
            while time.perf_counter() < end:
                start = time.perf_counter()
                status, _body = connection.ask(request(dice))
                times.append(time.perf_counter() - start)
                statuses[status] += 1
        except (OSError, ValueError) as error:
            faults.append(repr(error))
        finally:
            connection.close()

    start = time.perf_counter()
    workers = [threading.Thread(target=work, args=(number,)) for number in range(CONNECTIONS)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    took = time.perf_counter() - start
    good = sum(count for status, count in statuses.items() if status < 400)
    return Figures(
        name,
        len(times) / took,
        *(1000 * share for share in _shares(times)),
        len(times),
        len(times) - good + len(faults),
    )


def _shares(times: Sequence[float]) -> tuple[float, float, float]:
    if len(times) < 2:
        return (0.0, 0.0, 0.0)
    cuts = statistics.quantiles(times, n=100, method="inclusive")
    return (statistics.median(times), cuts[94], cuts[98])


@contextmanager
def served(folder: Path, *command: str) -> Iterator[tuple[int, int, float]]:
    """Port and process number of a server that answers, and how long it took to start."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    start = time.perf_counter()
    with open(folder / "server.log", "ab") as output:
        process = subprocess.Popen(
            [sys.executable, *command, "--port", str(port)],
            stdout=output,
            stderr=output,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )
    try:
        while True:
            first = Connection(port)
            try:
                if first.ask(get("/healthz"))[0] == 200:
                    break
            except OSError:
                time.sleep(0.01)
            finally:
                first.close()
            if process.poll() is not None:
                raise RuntimeError((folder / "server.log").read_text())
        yield port, process.pid, time.perf_counter() - start
    finally:
        process.send_signal(signal.SIGTERM)
        process.wait(60)


def site(folder: Path) -> list[str]:
    """The command that serves a site on this folder, as a keeper would."""
    (folder / "settings.toml").write_text("questions_an_hour = 10000\n")
    run = "from web.cli import main; main()"
    return ["-c", run, "serve", "--content", str(folder), "--proxies", "1"]


def fill(folder: Path, count: int) -> None:
    """Log so many questions, straight into the database."""
    (folder / "data").mkdir(exist_ok=True)
    db = open_database(folder / "data" / FILE_NAME)
    from kb.store.questions import NewQuestion

    def rows() -> Iterator[tuple[str, str]]:
        for number in range(count):
            text = f"{QUESTIONS[number % len(QUESTIONS)]}, letter {number}"
            yield fingerprint(NewQuestion(text, "letters")), text

    with writing(db):
        db.conn.executemany(
            "insert into questions (place, fingerprint, text, logged_at, times, state, verdict,"
            " urgent) values ('letters', ?, ?, '2026-03-01T10:00:00+00:00', 1, 'open', 'none', 0)",
            rows(),
        )
    db.close()


def memory_mb(process: int) -> float:
    """What a process holds in memory now."""
    status = Path(f"/proc/{process}/status").read_text()
    return int(re.search(r"VmRSS:\s+(\d+)", status)[1]) / 1024  # type: ignore[index]


def bare(file: Path, port: int) -> None:
    """A Flask view that returns these bytes, served like the site; for the subprocess."""
    from flask import Flask, Response

    from web import serving

    body = file.read_bytes()
    app = Flask("bare")
    app.config["MAX_CONTENT_LENGTH"] = 1_000_000
    app.add_url_rule("/healthz", "health", lambda: "ok")
    app.add_url_rule("/page", "page", lambda: Response(body, mimetype="text/html"))
    serving.serve(app, "127.0.0.1", port, threads=8, proxies=0, access_log=None)


def sqlite_alone(folder: Path, seconds: float) -> list[Figures]:
    """SQLite's own pace at the reads that pages need, in one thread without a server."""
    articles = {path.stem: path.read_text("utf-8") for path in (ROOT / "articles").glob("*.md")}
    with closing(sqlite3.connect(folder / "articles.db")) as connection:
        connection.execute("create table if not exists articles (slug text primary key, body text)")
        connection.executemany("insert or replace into articles values (?, ?)", articles.items())
        connection.commit()
        slugs = list(articles)
        by_slug = _paced(
            "SQLite alone: an article's text",
            lambda dice: connection.execute(
                "select body from articles where slug = ?", [dice.choice(slugs)]
            ).fetchone(),
            seconds,
        )
    with closing(sqlite3.connect(folder / "data" / FILE_NAME)) as connection:
        newest = _paced(
            "SQLite alone: the 50 newest open",
            lambda _dice: connection.execute(
                "select * from questions where state = 'open'"
                " order by urgent desc, logged_at desc limit 50"
            ).fetchall(),
            seconds,
        )
    return [by_slug, newest]


def _paced(name: str, act: Callable[[random.Random], object], seconds: float) -> Figures:
    dice, times = random.Random(1), []
    end = time.perf_counter() + seconds
    while time.perf_counter() < end:
        start = time.perf_counter()
        act(dice)
        times.append(time.perf_counter() - start)
    return Figures(
        name, len(times) / sum(times), *(1000 * x for x in _shares(times)), len(times), 0
    )


def run(size: int, seconds: float, mixed_seconds: float) -> dict[str, object]:
    """Every load on a site with so many logged questions; the figures, and what fell short."""
    with tempfile.TemporaryDirectory(prefix="standpipe-load-") as name:
        folder = Path(name)
        fill(folder, size)
        found: list[Figures] = []
        with served(folder, *site(folder)) as (port, process, started_s):
            fresh_mb = memory_mb(process)
            one = Connection(port)
            body = one.ask(get(PAGES["article"][0]))[1]
            for kind in PAGES:  # whatever is made once is made now
                for address in PAGES[kind]:
                    one.ask(get(address))
            one.close()
            warm_mb = memory_mb(process)
            for kind, addresses in PAGES.items():
                found.append(load(kind, port, pages(addresses), seconds))
            found.append(load("mixed, one in a hundred writes", port, mixed, mixed_seconds))
            after_mb = memory_mb(process)
        (folder / "body").write_bytes(body)
        command = [__file__, "--bare", str(folder / "body")]
        with served(folder, *command) as (port, _process, _s):
            found.append(load("bare Flask, the article's bytes", port, pages(["/page"]), seconds))
        found += sqlite_alone(folder, seconds)
        said = (folder / "server.log").read_text()
        logged = _count(folder / "data" / FILE_NAME) - size
    by_name = {item.name: item for item in found}
    return {
        "questions": size,
        "figures": [asdict(item) for item in found],
        "started_s": round(started_s, 2),
        "memory_mb": {"started": fresh_mb, "warm": warm_mb, "after": after_mb},
        "logged": logged,
        "article_to_bare_flask": round(
            by_name["article"].a_second / by_name["bare Flask, the article's bytes"].a_second, 2
        ),
        "log_lines_of_faults": len(re.findall(r"ERROR|CRITICAL|locked", said)),
        "table": "\n".join(map(str, found)),
    }


def _count(path: Path) -> int:
    with closing(sqlite3.connect(path)) as connection:
        return int(connection.execute("select count(*) from questions").fetchone()[0])


def show(result: dict[str, object]) -> None:
    """Print the figures of one size."""
    memory = result["memory_mb"]
    assert isinstance(memory, dict)
    print(f"\n{result['questions']} questions logged before; {os.cpu_count()} cores")
    print(f"{'':<34}{'pace':>11}{'median':>9}{'95th':>9}{'99th':>9}    {'answers':>8}{'errors':>7}")
    print(result["table"])
    print(f"start {result['started_s']} s; memory " + ", ".join(
        f"{name} {value:.0f} MB" for name, value in memory.items()))  # fmt: skip
    print(f"{result['logged']} questions logged meanwhile; lines of faults in the server's log: "
          f"{result['log_lines_of_faults']}")  # fmt: skip
    print(f"a kept article page reaches {result['article_to_bare_flask']} of bare Flask's pace")


def main() -> None:
    """Measure every size asked for and print it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=5.0, help="for each page alone")
    parser.add_argument("--minutes", type=float, default=0.5, help="for the mixed load")
    parser.add_argument("--sizes", default="1000,100000", help="questions logged before")
    parser.add_argument("--json", metavar="FILE", type=Path)
    parser.add_argument("--bare", type=Path, help=argparse.SUPPRESS)
    parser.add_argument("--port", type=int, help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.bare:
        bare(given.bare, given.port)
        return
    results = []
    for size in map(int, given.sizes.split(",")):
        results.append(run(size, given.seconds, given.minutes * 60))
        show(results[-1])
    if given.json:
        given.json.write_text(json.dumps(results, indent=1))


if __name__ == "__main__":
    main()
