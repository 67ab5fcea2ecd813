# ruff: noqa: E501
"""Strange inputs by the ten thousand at every entry: none may break anything, or take long.

Run with ``make fuzz``. Every entry is found by itself: all routes of the site, all commands, all
calculators, symptoms and kinds of quantity. What counts as broken: an exception that is not one of
our own, an answer of 500 or above, a traceback, more than a second of the processor's time, more
than 200 MB.
"""

import argparse
import datetime
import hashlib
import json
import random
import re
import resource
import sys
import tempfile
import time
import traceback
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path
from urllib.parse import quote

import click
import evil
from click.testing import CliRunner
from flask import Flask
from flask.testing import FlaskClient

from kb import take_in
from kb.content import load as load_articles
from kb.content import render
from kb.errors import KbError
from kb.fields import Problems
from kb.readings import read, urgency
from kb.store import open_database
from kb.units import KINDS
from rules import engine
from rules import load as load_rules
from web import cli, config, create_app, database, security
from web import content as site_content
from web.config import Settings

SLOWEST_S = 1.0
STARTING_S = 15.0  # a command reads all content first
MOST_MB = 200
ROOT = Path(__file__).parents[1]
Attack = Callable[[random.Random], str | None]

# How many of every hundred inputs go where; what is quick gets more.
SHARES = {
    "match": 8, "readings": 12, "urgency": 6, "units": 12, "calculators": 14, "rule answers": 6,
    "article files": 6, "rule files": 1, "settings files": 3, "csv": 5, "jsonl": 4, "text": 3,
    "mbox": 4, "routes": 14, "commands": 2,
}  # fmt: skip
# These do much work on purpose, so a second is no measure for them.
SLOW_COMMANDS = {"validate": 60.0}
SLOW_ROUTES = ("desk.login",)  # the check of a passphrase takes its time on purpose
NOT_RUN = {"serve": "does not come back"}


@dataclass
class Entry:
    """What an entry made of its inputs."""

    allowed_ms: float = SLOWEST_S * 1000
    inputs: int = 0
    slowest_ms: float = 0.0
    slowest: str = ""
    errors: int = 0
    tracebacks: int = 0
    hangs: int = 0
    grown_mb: float = 0.0
    faults: list[str] = field(default_factory=list)


class Site:
    """One site with everything in it, to be attacked."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.content = site_content.load()
        settings = Settings(questions_an_hour=10_000)
        values = {
            "DATA": folder / "data",
            "SETTINGS": settings,
            "WTF_CSRF_ENABLED": False,  # tokens are tested elsewhere; here everything gets through
            "QUICKEST_POST_S": 0.0,
        }
        self.app: Flask = create_app(values, self.content.library, self.content.rulebook)
        self.app.extensions["content"] = self.content
        self.app.logger.disabled = True
        self.stranger = self.app.test_client()
        self.keeper = self._logged_in()
        self.names = _field_names(self)

    def _logged_in(self) -> FlaskClient:
        db = open_database(database.path_of(self.app))
        words = security.new_passphrase()
        security.set_passphrase(db, words, now=datetime.datetime.now(datetime.UTC))
        db.close()
        client = self.app.test_client()
        answer = client.post("/desk/login", data={"passphrase": words})
        assert answer.status_code == 302, answer.status
        for number in range(3):
            client.post("/questions", data={"q": f"question {number}: why is my water cloudy?"})
        return client


def attacks(site: Site) -> dict[str, Attack]:
    """Every entry, as a function that takes a die and feeds it one input."""
    return {
        "match": lambda dice: _texts(dice, site, site.content.answerer.answer),
        "readings": lambda dice: _texts(dice, site, read),
        "urgency": lambda dice: _texts(dice, site, urgency),
        "units": _units,
        "calculators": lambda dice: _calculators(dice, site),
        "rule answers": lambda dice: _rule_answers(dice, site),
        "article files": lambda dice: _article(dice, site),
        "rule files": lambda dice: _rule_file(dice, site),
        "settings files": lambda dice: _settings(dice, site),
        **{form: _taker(form, site) for form in take_in.FORMATS},
        "routes": lambda dice: _route(dice, site),
        "commands": lambda dice: _command(dice, site),
    }


def _texts(dice: random.Random, site: Site, act: Callable[[str], object]) -> str:
    seeds = site.wordings if dice.random() < 0.5 else evil.WORDS
    given = evil.text(dice, seeds)
    _allowing(lambda: act(given))
    return repr(given)


def _units(dice: random.Random) -> str:
    kind = dice.choice(list(KINDS.values()))
    given = dice.choice((evil.number, evil.text, evil.value))(dice)
    unit = dice.choice([item.symbol for item in kind.units])
    _allowing(lambda: kind.parse(given, unit))
    return f"{kind.name} {given!r} {unit}"


def _calculators(dice: random.Random, site: Site) -> str:
    item = dice.choice(list(site.content.calculators.values()))
    given: dict[str, object] = dict(dice.choice(item.examples).given)
    for name in [entry.name for entry in item.inputs]:
        if dice.random() < 0.3:
            given[name] = dice.choice((evil.number, evil.text, evil.value))(dice)
        elif dice.random() < 0.1:
            given.pop(name, None)
    if dice.random() < 0.1:
        given[evil.text(dice)] = evil.value(dice)

    def act() -> None:
        report = item.run(given)
        json.dumps(report.as_json(), allow_nan=False)
        report.as_text()
        _ = report.in_us

    _allowing(act)
    return f"{item.id} {given!r}"


def _rule_answers(dice: random.Random, site: Site) -> str:
    symptom = dice.choice(list(site.content.rulebook.symptoms.values()))
    given: dict[str, object] = {}
    for check in symptom.checks:
        if dice.random() < 0.4:
            usual = [answer.id for answer in check.answers] or ["7", "0", "25"]
            given[check.id] = dice.choice((dice.choice(usual), evil.number(dice), evil.value(dice)))
    if dice.random() < 0.1:
        given[evil.text(dice)] = evil.text(dice)
    calculators = site.content.calculators
    _allowing(lambda: engine.diagnose(symptom, given, calculators=calculators).as_json())
    return f"{symptom.id} {given!r}"


def _article(dice: random.Random, site: Site) -> str:
    raw = evil.data(dice, site.articles)
    given = raw.decode("utf-8", "replace")
    problems = Problems()

    def act() -> None:
        found = load_articles.read_article(given, slug="x", path="x.md", problems=problems)
        if found is not None:
            for part in found.sections.values():
                render.to_text(part, block_for=lambda *_: "")

    _allowing(act)
    return repr(given[:200])


def _rule_file(dice: random.Random, site: Site) -> str:
    own = site.folder / "rules"
    (own / "symptoms").mkdir(parents=True, exist_ok=True)
    name = dice.choice(list(site.rule_files))
    raw = evil.data(dice, [site.rule_files[name]])
    (own / name).write_bytes(raw)
    try:
        _allowing(lambda: load_rules.shipped(own))
    finally:
        (own / name).unlink()
    return None  # all rules are read and checked together, which takes most of a second by itself


def _settings(dice: random.Random, site: Site) -> str:
    usual = (ROOT / "web" / "demo" / config.SETTINGS_FILE).read_bytes()
    raw = evil.data(dice, [usual])
    (site.folder / config.SETTINGS_FILE).write_bytes(raw)
    _allowing(lambda: config.read_settings(site.folder))
    return repr(raw[:200])


FILES = {
    "csv": (b'text,asked_by,link,asked_at\n"Why, oh why?",finch,https://example.org/1,2026-03-01\n' * 3,),
    "jsonl": (b'{"text": "Cloudy?", "asked_by": "wren", "asked_at": "2026-03-01 10:00"}\n"Green?"\n' * 3,),
    "text": (b"Why is it cloudy?\n\nWhy does pH fall?\nIt was 6.2.\n\n" * 3,),
    "mbox": (
        b"From a Sun Mar  1 10:00:00 2026\nFrom: A <a@example.org>\nSubject: =?utf-8?b?cEg=?=\n"
        b"Content-Type: multipart/mixed; boundary=x\n\n--x\nContent-Type: text/plain; charset=utf-8\n"
        b"Content-Transfer-Encoding: quoted-printable\n\nWhy=20does it fall?\n> old\n--x--\n\n"
        b"From b Sun Mar  1 11:00:00 2026\nFrom: b\nDate: Sun, 01 Mar 2026 10:00:00 +0000\n\nMilky.\n",
    ),
}  # fmt: skip


def _taker(form: str, site: Site) -> Attack:
    def attack(dice: random.Random) -> str:
        raw = evil.data(dice, FILES[form])
        file = site.folder / "taken"
        file.write_bytes(raw)
        columns = {"text": "Comment"} if dice.random() < 0.05 else {}

        def act() -> None:
            for _item in take_in.take_in(file, place="x", columns=columns, form=form):
                pass

        _allowing(act)
        return repr(raw[:200])

    return attack


def _route(dice: random.Random, site: Site) -> str | None:
    rule = dice.choice(list(site.app.url_map.iter_rules()))
    methods = sorted(rule.methods - {"HEAD", "OPTIONS"}) or ["GET"]
    method = (
        dice.choice(methods) if dice.random() < 0.95 else dice.choice(("PUT", "HEAD", "OPTIONS"))
    )
    path = _path(dice, site, rule.rule)
    query = "&".join(f"{_quoted(k)}={_quoted(v)}" for k, v in evil.pairs(dice, site.names))
    headers = {
        name: dice.choice((evil.text(dice), "W/\"x\"", "*", "gzip", "bytes=0-1", "bytes=9-1", "a=b; c"))
        .encode("latin-1", "replace").decode("latin-1").replace("\r", " ").replace("\n", " ")
        for name in dice.sample(HEADERS, dice.choice((0, 0, 1, 3)))
    }  # fmt: skip
    more: dict[str, object] = {}
    if method in ("POST", "PUT"):
        kind = dice.random()
        if kind < 0.4:
            more = {"data": evil.body(dice, site.names), "content_type": "application/json"}
        elif kind < 0.8:
            form = "&".join(f"{_quoted(k)}={_quoted(v)}" for k, v in evil.pairs(dice, site.names))
            more = {"data": form, "content_type": "application/x-www-form-urlencoded"}
        else:
            raw = evil.data(dice, [MULTIPART, *FILES["csv"], b""])
            more = {"data": raw, "content_type": "multipart/form-data; boundary=x"}
    if "logout" in rule.endpoint or "login" in rule.endpoint:
        client = site.app.test_client()
    else:
        client = dice.choice((site.stranger, site.keeper))
    network = f"198.51.{dice.randrange(256)}.{dice.randrange(256)}"
    answer = client.open(
        path,
        method=method,
        query_string=query,
        headers=headers,
        environ_base={"REMOTE_ADDR": network},
        buffered=True,
        **more,
    )
    said = answer.get_data()
    shown = (
        None
        if rule.endpoint in SLOW_ROUTES
        else f"{method} {path}?{query[:300]} {headers} {str(more)[:300]}"
    )
    if answer.status_code >= 500 or b"Traceback (most recent" in said:
        raise Broken(answer.status_code, shown or path)
    return shown


HEADERS = (
    "Accept", "Accept-Language", "Cookie", "If-None-Match", "If-Modified-Since", "Range", "Referer",
    "Content-Type", "Origin", "X-Forwarded-For", "X-Forwarded-Host", "User-Agent", "Authorization",
    "If-Range", "Accept-Encoding",
)  # fmt: skip
MULTIPART = (
    b'--x\r\nContent-Disposition: form-data; name="file"; filename="../../a.csv"\r\n\r\ntext\r\nhello\r\n'
    b'--x\r\nContent-Disposition: form-data; name="place"\r\n\r\nclub\r\n--x--\r\n'
)


def _path(dice: random.Random, site: Site, rule: str) -> str:
    def filled(found: re.Match[str]) -> str:
        if dice.random() < 0.6:
            return quote(str(dice.choice(site.slugs if ":" not in found[0] else (1, 2, 3))))
        return _quoted(evil.text(dice)[:300])

    return re.sub(r"<[^>]+>", filled, rule)


def _quoted(given: str) -> str:
    return quote(given.encode("utf-8", "surrogatepass"))


def _command(dice: random.Random, site: Site) -> str | None:
    words, command = dice.choice(list(commands(cli.main)))
    argv = list(words)
    for item in command.params:
        if isinstance(item, click.Argument):
            count = dice.randrange(4) if item.nargs == -1 else 1
            argv += [_argument(dice, site, item) for _ in range(count)]
        elif dice.random() < 0.4 and item.name != "data":
            argv.append(item.opts[0])
            if not item.is_flag:
                argv.append(_argument(dice, site, item))
    argv = [word.replace("\x00", "") for word in argv]  # no program can be given one
    given = dice.choice(("", "y\n", evil.text(dice), json.dumps(evil.text(dice))))
    environment = {"STANDPIPE_DATA": str(site.folder / "commands"), "STANDPIPE_CONTENT": ""}
    start = time.process_time()
    given_bytes = given.encode("utf-8", "replace")
    result = CliRunner().invoke(cli.main, argv, input=given_bytes, env=environment)
    took_s = time.process_time() - start
    shown = f"{argv!r} < {given[:100]!r}"
    broken = result.exception is not None and not isinstance(result.exception, SystemExit)
    if broken or result.exit_code not in (0, 1, 2) or "Traceback" in result.output:
        raise Broken(0, f"{shown}: {result.exception!r}") from result.exception
    return None if took_s < SLOW_COMMANDS.get(words[0], 0) else shown


def commands(group: click.Group, *words: str) -> Iterable[tuple[tuple[str, ...], click.Command]]:
    """Every command below a group that can be run without a person."""
    for name, command in group.commands.items():
        if isinstance(command, click.Group):
            yield from commands(command, *words, name)
        elif name not in NOT_RUN:
            yield (*words, name), command


def _argument(dice: random.Random, site: Site, item: click.Parameter) -> str:
    if isinstance(item.type, click.Choice) and dice.random() < 0.9:
        return str(dice.choice(list(item.type.choices)))
    if isinstance(item.type, click.Path):
        return _some_path(dice, site)
    kind = dice.random()
    if kind < 0.3:
        return str(dice.choice((*site.slugs, *site.content.calculators)))
    if kind < 0.5:
        return f"{dice.choice(site.names)}={evil.number(dice)}"
    return dice.choice((evil.text(dice), evil.number(dice), str(dice.randrange(-2, 5))))


def _some_path(dice: random.Random, site: Site) -> str:
    """A path inside the folder of the attack, so that nothing else can come to harm."""
    name = dice.choice(("a.csv", "b.jsonl", "c.txt", "d.mbox", "e.db", "folder", "new", "-"))
    path = site.folder / "paths" / f"{dice.randrange(50)}-{name}"
    path.parent.mkdir(exist_ok=True)
    if name == "folder":
        path.mkdir(exist_ok=True)
    elif name != "new" and not path.is_dir() and dice.random() < 0.8:
        form = dice.choice(list(FILES))
        path.write_bytes(evil.data(dice, FILES[form]))
    return str(path)


class Broken(Exception):
    """An answer that nobody should get."""

    def __init__(self, code: int, shown: str) -> None:
        self.code = code
        super().__init__(shown)


def _allowing(act: Callable[[], object]) -> None:
    """Do it; our own errors are answers, if they say something."""
    try:
        act()
    except KbError as error:
        if not str(error).strip():
            raise Broken(0, "an error without a sentence") from error


def _field_names(site: Site) -> list[str]:
    """Every name of a field that any page, check, calculator or file knows."""
    names = {"q", "text", "link", "asked_by", "article", "state", "page", "next", "units", "v"}
    for page in (ROOT / "web" / "templates").rglob("*.html"):
        names |= set(re.findall(r'name="([a-z_-]+)"', page.read_text("utf-8")))
    for symptom in site.content.rulebook.symptoms.values():
        names |= {check.id for check in symptom.checks}
    for item in site.content.calculators.values():
        names |= {entry.name for entry in item.inputs}
    return sorted(names)


def prepare(folder: Path) -> Site:
    """A site to attack, with what to seed the attacks from."""
    site = Site(folder)
    library = site.content.library
    site.wordings = [words for item in library.articles.values() for words in item.phrasings]
    site.slugs = [*library.articles, *site.content.rulebook.symptoms, *site.content.calculators]
    site.articles = [path.read_bytes() for path in sorted((ROOT / "articles").glob("*.md"))]
    rules = ROOT / "rules" / "data"
    site.rule_files = {
        str(path.relative_to(rules)): path.read_bytes() for path in sorted(rules.rglob("*.toml"))
    }
    site_content.load = lambda _folder=None: site.content  # commands need not read it every time
    return site


def run(
    inputs: int, seed: int, folder: Path, *, shares: Mapping[str, int] = SHARES
) -> dict[str, Entry]:
    """So many inputs, dealt out over the entries; what each entry made of them."""
    site = prepare(folder)
    found = {}
    whole = sum(shares.values())
    for name, attack in attacks(site).items():
        if name not in shares:
            continue
        entry = Entry(STARTING_S * 1000) if name == "commands" else Entry()
        before = _memory_mb()
        mark = hashlib.sha256(f"{seed} {name}".encode()).digest()
        dice = random.Random(mark)
        for _ in range(max(1, inputs * shares[name] // whole)):
            _one(attack, dice, entry)
        entry.grown_mb = round(_memory_mb() - before, 1)
        if entry.grown_mb > MOST_MB:
            entry.faults.append(f"grew by {entry.grown_mb} MB")
        found[name] = entry
    return found


def _one(attack: Attack, dice: random.Random, entry: Entry) -> None:
    entry.inputs += 1
    try:
        took_ms, shown = _timed(attack, dice, entry.allowed_ms)
    except Broken as error:
        entry.errors += 1
        entry.faults.append(f"answered {error.code}: {error}")
        return
    except Exception:
        entry.tracebacks += 1
        entry.faults.append(traceback.format_exc(limit=-4, chain=False))
        return
    if shown is not None and took_ms > entry.slowest_ms:
        entry.slowest_ms, entry.slowest = round(took_ms, 1), shown[:400]
    if shown is not None and took_ms > entry.allowed_ms:
        entry.hangs += 1
        entry.faults.append(f"took {took_ms:.0f} ms: {shown[:400]}")


def _timed(attack: Attack, dice: random.Random, allowed_ms: float) -> tuple[float, str | None]:
    """How much of the processor an input takes; what seems slow is given two more tries."""
    before = dice.getstate()
    quickest_ms, shown = float("inf"), None
    for _ in range(3):
        dice.setstate(before)
        start = time.process_time()
        shown = attack(dice)
        quickest_ms = min(quickest_ms, (time.process_time() - start) * 1000)
        if quickest_ms < allowed_ms / 2:
            break
    return quickest_ms, shown


def _memory_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> None:
    """Attack every entry and print what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--inputs", type=int, default=60_000)
    parser.add_argument("--seed", type=int, default=int(time.time()))
    parser.add_argument("--only", metavar="ENTRY", help="attack this entry alone")
    parser.add_argument("--json", metavar="FILE", type=Path)
    given = parser.parse_args()
    start = time.monotonic()
    with tempfile.TemporaryDirectory(prefix="standpipe-fuzz-") as folder:
        shares = {given.only: 1} if given.only else SHARES
        found = run(given.inputs, given.seed, Path(folder), shares=shares)
    print(f"seed {given.seed}, {sum(entry.inputs for entry in found.values())} inputs, "
          f"{time.monotonic() - start:.0f} s")  # fmt: skip
    print("entry             inputs   slowest ms   500s  tracebacks  over 1 s   grown MB")
    for name, entry in found.items():
        print(
            f"{name:<15}{entry.inputs:>9}{entry.slowest_ms:>13}{entry.errors:>7}"
            f"{entry.tracebacks:>12}{entry.hangs:>10}{entry.grown_mb:>11}"
        )
    faults = [f"{name}: {fault}" for name, entry in found.items() for fault in entry.faults]
    print("\n".join(faults[:40]) or "Nothing broke.")
    if given.json:
        table = {name: asdict(entry) for name, entry in found.items()}
        given.json.write_text(json.dumps({"seed": given.seed, "entries": table}, indent=1))
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()
