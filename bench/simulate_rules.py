"""How well the troubleshooting finds what is wrong: made-up readers walk every symptom.

Run with ``make simulate``. Readers are drawn from the rules themselves and walk in several
orders. What this cannot tell: whether the rules describe the world. It tells whether the order
asks for what the rules know, and how far the words of the rules can lead at all.

Urgent, within the first two checks of a case whose true cause is urgent:
named   one of the two checks names the cause, so the page has asked about it; or it is in alarm
alarm   the red block for this very cause stands on the page; ``at stop``: when the walk ends
First steps that are right whatever the cause stand on every page before the first check.
"""

import argparse
import json
import statistics
import sys
import time
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

from made_up_readers import CLEAN, NOISES, ORDERS, SEED, TYPICAL, Noise, Start, Walk, Walker
from small_problems import Small, small_problems

from kb.errors import KbError
from rules.load import shipped
from rules.model import Rulebook, Symptom

CASES = 60
URGENT_CASES = 200
NAMED, IN_THREE, RATIO = 0.95, 0.90, 1.15  # the targets: at least, at least, at most


@dataclass(frozen=True)
class Walks:
    """All walks of one symptom, or of all, in one order under one noise."""

    whole: list[Walk]
    starts: list[Start]


@dataclass(frozen=True)
class Figures:
    """What the walks in one order came to; ``named`` and ``alarm`` are of the urgent cases."""

    first: float
    among_first: float
    among_first_at_last: float
    checks: float
    minutes: float
    named: float
    alarm: float
    alarm_at_stop: float | None


def figures(walks: Walks) -> Figures:
    """The averages of these walks."""

    def mean(key: str) -> float:
        return statistics.fmean(getattr(walk, key) for walk in walks.whole)

    at_stop = [w.alarm_at_stop for w in walks.whole if w.alarm_at_stop is not None]
    return Figures(
        first=mean("first"),
        among_first=mean("among_first"),
        among_first_at_last=mean("among_first_at_last"),
        checks=mean("checks"),
        minutes=mean("minutes"),
        named=statistics.fmean(start.named for start in walks.starts),
        alarm=statistics.fmean(start.alarm for start in walks.starts),
        alarm_at_stop=statistics.fmean(at_stop) if at_stop else None,
    )


@dataclass(frozen=True)
class Target:
    """A target of a symptom or problem, and what was reached."""

    of: str
    noise: str
    what: str
    limit: float
    reached: float

    @property
    def kept(self) -> bool:
        """Is it kept? A ratio is to be low, a share high."""
        return self.reached <= self.limit if self.limit > 1 else self.reached >= self.limit

    @property
    def line(self) -> str:
        """The target as a line of the report."""
        name = f"{self.of:<20}{self.noise:<9}{self.what:<22}"
        return f"{name}{self.reached:>7.3f}   target {self.limit:g}"


Result = dict[str, dict[str, Figures]]  # noise -> order -> figures


def simulate(symptoms: Iterable[Symptom], cases: int) -> dict[str, Result]:
    """The figures of every symptom, and of all together under ``all``."""
    walks: dict[str, dict[str, dict[str, Walks]]] = {}
    for symptom in symptoms:
        progress(symptom.id)
        walker = Walker(symptom)
        walks[symptom.id] = {noise.name: _walks(walker, noise, cases) for noise in NOISES}
    progress("")
    everything = {
        noise.name: {
            order: Walks(
                [walk for mine in walks.values() for walk in mine[noise.name][order].whole],
                [start for mine in walks.values() for start in mine[noise.name][order].starts],
            )
            for order in ORDERS
        }
        for noise in NOISES
    }
    return {
        slug: {noise: {o: figures(w) for o, w in orders.items()} for noise, orders in mine.items()}
        for slug, mine in (walks | {"all": everything}).items()
    }


def _walks(walker: Walker, noise: Noise, cases: int) -> dict[str, Walks]:
    drawn = [walker.draw(noise, number) for number in range(cases)]
    urgent = [walker.draw(noise, number, urgent=True) for number in range(URGENT_CASES)]
    return {
        name: Walks(
            [walker.walk(case, order) for case in drawn],
            [walker.start_out(case, order) for case in urgent],
        )
        for name, order in ORDERS.items()
    }


def ratio(result: Result, noise: str = CLEAN.name) -> float:
    """The engine's minutes against those of the best order tried."""
    minutes = {name: found.minutes for name, found in result[noise].items()}
    return minutes["engine"] / min(minutes.values())


def progress(text: str) -> None:
    """Say on a terminal what is being worked on; say nothing to a file."""
    if sys.stderr.isatty():
        print(f"\r{text:<30}", end="" if text else "\r", file=sys.stderr, flush=True)


def percent(share: float | None) -> str:
    """A share for a column of the table."""
    return "-" if share is None else f"{share * 100:.0f} %"


def print_quality(found: Mapping[str, Result], noise: Noise) -> None:
    """How well and how fast the engine finds; ``in 3 all``: with every check answered."""
    kind = "the likeliest" if noise.typical else f"drawn, {noise.wrong:.0%} of them wrong"
    print(f"\n{noise.name}: answers {kind}, {noise.unknown:.0%} unknown; in the engine's order")
    heads = ("first", "in 3", "in 3 all", "named", "alarm", "at stop", "checks", "minutes")
    print(f"{'symptom':<20}" + "".join(f"{head:>9}" for head in heads))
    for slug, result in found.items():
        f = result[noise.name]["engine"]
        shares = (f.first, f.among_first, f.among_first_at_last, f.named, f.alarm, f.alarm_at_stop)
        cells = (*map(percent, shares), f"{f.checks:.1f}", f"{f.minutes:.1f}")
        print(f"{slug:<20}" + "".join(f"{cell:>9}" for cell in cells))


def print_orders(found: Mapping[str, Result], noise: Noise) -> None:
    """Minutes in every order, by symptom, and how often each ends on the true cause."""
    print(f"\nMinutes by order, {noise.name}; the last column is engine against the best of these")
    print(f"{'symptom':<20}" + "".join(f"{name:>9}" for name in ORDERS) + f"{'ratio':>9}")
    for slug, result in found.items():
        minutes = "".join(f"{result[noise.name][name].minutes:>9.1f}" for name in ORDERS)
        print(f"{slug:<20}{minutes}{ratio(result, noise.name):>9.2f}")
    for label, key in (("true cause first", "first"), ("urgent named in two", "named")):
        shares_ = (percent(getattr(found["all"][noise.name][name], key)) for name in ORDERS)
        print(f"{label:<20}" + "".join(f"{share:>9}" for share in shares_))


def print_small(small: Sequence[Small]) -> None:
    """Expected minutes on small problems against the exact optimum."""
    print("\nSmall problems: expected minutes, exact; optimum by dynamic programming")
    print(f"{'problem':<28}{'states':>9}{'optimum':>9}{'engine':>9}{'file':>9}{'random':>9}"
          f"{'ratio':>9}")  # fmt: skip
    for item in small:
        print(f"{item.name:<28}{item.states:>9}{item.optimum:>9.2f}{item.engine:>9.2f}"
              f"{item.file:>9.2f}{item.random:>9.2f}{item.ratio:>9.3f}")  # fmt: skip


def judged(found: Mapping[str, Result], small: Sequence[Small]) -> list[Target]:
    """Every target, in all and by symptom, with what was reached."""
    rows = []
    for noise in (TYPICAL.name, CLEAN.name):
        for slug, result in found.items():
            engine = result[noise]["engine"]
            rows.append(Target(slug, noise, "urgent named in two", NAMED, engine.named))
            rows.append(Target(slug, noise, "true cause in three", IN_THREE, engine.among_first))
            rows.append(Target(slug, noise, "minutes to the best", RATIO, ratio(result, noise)))
    for item in (*small, _all_small(small)):
        rows.append(Target(item.name, "exact", "minutes to the best", RATIO, item.ratio))
    return rows


def _all_small(small: Sequence[Small]) -> Small:
    def mean(key: str) -> float:
        return statistics.fmean(getattr(item, key) for item in small)

    states = sum(item.states for item in small)
    return Small("all small problems", states, mean("optimum"), mean("engine"), mean("file"),
                 mean("random"))  # fmt: skip


def print_targets(rows: Sequence[Target]) -> None:
    """The targets in all, and by name those single symptoms and problems that miss one."""
    print("\nTargets without noise")
    whole = [row for row in rows if row.of.startswith("all")]
    for row in whole:
        print(f"{row.line}: {'kept' if row.kept else 'MISSED'}")
    single = [row for row in rows if row not in whole]
    missed = [row for row in single if not row.kept]
    print(f"Single symptoms and problems: {len(single) - len(missed)} of {len(single)} kept"
          + "; missed:" * bool(missed))  # fmt: skip
    for row in missed:
        print(row.line)


def as_json(book: Rulebook, cases: int, found: Mapping[str, Result], small: Sequence[Small]) -> str:
    """All figures for other programs."""
    written = {
        "seed": SEED,
        "cases": cases,
        "urgent_cases": URGENT_CASES,
        "rules": book.fingerprint,
        "symptoms": {
            slug: {
                noise: {order: asdict(mine) for order, mine in orders.items()}
                for noise, orders in result.items()
            }
            for slug, result in found.items()
        },
        "small": [asdict(item) | {"ratio": item.ratio} for item in small],
        "targets": [asdict(row) | {"kept": row.kept} for row in judged(found, small)],
    }
    return json.dumps(written, indent=1) + "\n"


def arguments() -> argparse.Namespace:
    """The options of the command line."""
    parser = argparse.ArgumentParser(description="How well the troubleshooting finds.")
    parser.add_argument("--cases", type=int, default=CASES, help="cases a symptom and noise")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write all figures there")
    parser.add_argument("--only", nargs="*", default=[], metavar="SYMPTOM")
    given = parser.parse_args()
    if given.cases < 1:
        parser.error(f"--cases must be 1 or more, not {given.cases}.")
    return given


def main() -> None:
    """Simulate, print the tables and say which targets are kept."""
    given = arguments()
    began = time.perf_counter()
    book = shipped()
    try:
        chosen = [book.symptom(slug) for slug in given.only or book.symptoms]
    except KbError as error:
        sys.exit(str(error))
    found = simulate(chosen, given.cases)
    small = small_problems(chosen, progress)
    for noise in NOISES:
        print_quality(found, noise)
    for noise in NOISES[1:]:
        print_orders(found, noise)
    print_small((*small, _all_small(small)))
    print_targets(judged(found, small))
    print(f"\n{given.cases} cases a symptom and noise, {URGENT_CASES} more with an urgent cause"
          f" for their first two checks; seed {SEED}, rules {book.fingerprint},"
          f" {time.perf_counter() - began:.0f} s")  # fmt: skip
    if given.json:
        given.json.write_text(as_json(book, given.cases, found, small), encoding="utf-8")


if __name__ == "__main__":
    main()
