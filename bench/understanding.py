"""How well readings and urgency are understood, on texts by somebody who had not seen the code.

Run with ``make understanding``: a table, then the same as JSON (``--json FILE`` keeps it).
``--misses`` names every case of the development half that errs; ``--misses measuring`` those of
the other half, which was only for counting in the first round and is development's since.
"""

import argparse
import json
import math
import statistics
import time
import tomllib
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from kb.alarms import alarms
from kb.calculators import ALL
from kb.readings import read, urgency

FOLDER = Path(__file__).parents[1] / "tests" / "content" / "readings"
HALVES = ("development", "measuring")
READINGS_TARGET, URGENCY_TARGET = (0.92, 0.96), (0.96, 0.85)  # recall, precision: at least
WITHIN = 0.01
TIMED_WORDS, TIMED_LENGTH = 20, 5_000

Case = tuple[str, Mapping[str, object]]


@dataclass(frozen=True)
class Score:
    """What was wanted, what was found, what of it is right, and a line for each that is not."""

    wanted: int
    found: int
    right: int
    misses: tuple[str, ...] = ()

    @property
    def recall(self) -> float:
        """The share of the wanted that was found."""
        return self.right / self.wanted if self.wanted else 1.0

    @property
    def precision(self) -> float:
        """The share of the found that is right."""
        return self.right / self.found if self.found else 1.0


def half(items: Sequence[object], name: str) -> Sequence[object]:
    """The items at even positions for "development", at odd ones for "measuring"."""
    return items[HALVES.index(name) :: 2]


def reading_cases(name: str) -> list[Case]:
    """The texts of a half with the readings they hold."""
    table = tomllib.loads((FOLDER / "readings.toml").read_text(encoding="utf-8"))
    return [(case["text"], case["readings"]) for case in half(table["case"], name)]


def urgency_cases(name: str) -> list[tuple[str, bool]]:
    """The texts of a half with whether they are urgent."""
    table = tomllib.loads((FOLDER / "urgency.toml").read_text(encoding="utf-8"))
    lists = ((table[key]["texts"], key == "urgent") for key in ("urgent", "calm"))
    return [(text, urgent) for texts, urgent in lists for text in half(texts, name)]


def readings_score(cases: Iterable[Case], only: str = "") -> Score:
    """How the readings of these texts compare with what they hold, all or those of one name."""
    wanted_count = found_count = right = 0
    misses = []
    for text, holds in cases:
        wanted, found = (
            {name: value for name, value in values.items() if only in ("", name)}
            for values in (holds, read(text).as_json())
        )
        agreed = {name for name in wanted if name in found and agree(wanted[name], found[name])}
        wanted_count, found_count = wanted_count + len(wanted), found_count + len(found)
        right += len(agreed)
        if len(agreed) < max(len(wanted), len(found)):
            misses.append(f"{text!r}\n    wanted {wanted}\n    found  {found}")
    return Score(wanted_count, found_count, right, tuple(misses))


def urgency_score(cases: Iterable[tuple[str, bool]]) -> Score:
    """How the urgency of these texts is judged."""
    judged = [(text, urgent, because(text)) for text, urgent in cases]
    misses = (
        f"{'missed  ' if urgent else 'too many'}  {text!r}  {' | '.join(found)}"
        for text, urgent, found in judged
        if urgent != bool(found)
    )
    counts = Counter((urgent, bool(found)) for _, urgent, found in judged)
    right = counts[True, True]
    return Score(
        wanted=right + counts[True, False],
        found=right + counts[False, True],
        right=right,
        misses=tuple(misses),
    )


def because(text: str) -> tuple[str, ...]:
    """Why a text is urgent, by its words or by a dangerous reading, as in a question's answer."""
    found = urgency(text)
    dangers = (alarm.sentence for alarm in alarms(read(text), ALL) if alarm.danger)
    return (*found.reasons, *(() if found.fishless else dangers))


def agree(wanted: object, found: object) -> bool:
    """The same: numbers within one in a hundred, ranges at both ends, a substance loosely."""
    if isinstance(wanted, Mapping) and isinstance(found, Mapping):
        return (
            agree(wanted["amount"], found["amount"])
            and wanted["unit"] == found["unit"]
            and bool(_words(wanted["substance"]) & _words(found["substance"]))
        )
    if isinstance(wanted, list) and isinstance(found, list):
        return len(wanted) == len(found) and all(map(agree, wanted, found))
    if isinstance(wanted, int | float) and isinstance(found, int | float):
        return math.isclose(wanted, found, rel_tol=WITHIN)
    return False


def _words(substance: object) -> set[str]:
    return set(str(substance).replace("-", " ").split())


def milliseconds(work: Callable[[str], object], text: str, rounds: int = 5) -> float:
    """The least time of several to do this with a text, each time a text not met before."""
    times = []
    for number in range(rounds):
        fresh = text + " " * (number + 1)
        start = time.perf_counter()
        work(fresh)
        times.append(time.perf_counter() - start)
    return min(times) * 1000


def speed(texts: Sequence[str]) -> dict[str, float]:
    """Milliseconds for texts of about twenty words, and for a text of 5,000 characters."""
    short = [text for text in texts if abs(len(text.split()) - TIMED_WORDS) <= 5]
    long = (" ".join(texts) * (1 + TIMED_LENGTH // len(" ".join(texts))))[:TIMED_LENGTH]
    found = {}
    for name, work in (("readings", read), ("urgency", urgency)):
        each = [milliseconds(work, text) for text in short]
        found[f"{name}, 20 words, median"] = statistics.median(each)
        found[f"{name}, 20 words, slowest"] = max(each)
        found[f"{name}, 5,000 characters"] = milliseconds(work, long)
    return found


def scores() -> dict[str, dict[str, Score]]:
    """The scores of readings and urgency on both halves."""
    return {
        name: {
            "readings": readings_score(reading_cases(name)),
            "urgency": urgency_score(urgency_cases(name)),
        }
        for name in HALVES
    }


def by_name(name: str) -> dict[str, Score]:
    """The scores of one half for each kind of reading."""
    cases = reading_cases(name)
    kinds = sorted({kind for _, holds in cases for kind in holds})
    return {kind: readings_score(cases, kind) for kind in kinds}


def table(measured: Mapping[str, Mapping[str, Score]]) -> Iterator[str]:
    """The lines of the table."""
    yield f"{'':<36}{'wanted':>7}{'found':>7}{'right':>7}{'recall':>9}{'precision':>11}"
    targets = {"readings": READINGS_TARGET, "urgency": URGENCY_TARGET}
    for name, parts in measured.items():
        for part, score in parts.items():
            recall, precision = targets[part]
            kept = score.recall >= recall and score.precision >= precision
            yield line(f"{part}, {name}", score) + f"   {'kept' if kept else 'MISSED'}"
        for kind, score in by_name(name).items():
            yield line(f"    {kind}", score)


def line(name: str, score: Score) -> str:
    """One line of the table."""
    return (
        f"{name:<36}{score.wanted:>7}{score.found:>7}{score.right:>7}"
        f"{score.recall:>9.1%}{score.precision:>11.1%}"
    )


def as_json(score: Score) -> dict[str, float]:
    """A score as plain values."""
    return {
        "wanted": score.wanted,
        "found": score.found,
        "right": score.right,
        "recall": round(score.recall, 4),
        "precision": round(score.precision, 4),
    }


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--misses", nargs="?", const=HALVES[0], choices=HALVES)
    parser.add_argument("--json", type=Path, metavar="FILE", help="keep the figures here too")
    options = parser.parse_args()
    measured = scores()
    times = speed([text for name in HALVES for text, _ in reading_cases(name)])
    print("\n".join(table(measured)))
    print("\n".join(f"{name:<36}{value:>7.3f} ms" for name, value in times.items()))
    for part, score in measured[options.misses].items() if options.misses else ():
        print(f"\n{part}, {options.misses}: {len(score.misses)} texts err")
        print("\n".join(score.misses))
    figures = {
        name: {part: as_json(score) for part, score in parts.items()}
        for name, parts in measured.items()
    }
    whole = json.dumps(figures | {"ms": {name: round(ms, 3) for name, ms in times.items()}})
    print(f"\n{whole}")
    if options.json:
        options.json.write_text(whole + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
