"""The weights of words towards danger, ``kb/readings/urgent_words.txt``.

Run with ``make urgency-words``: prints how well held-out texts are sorted, then writes the file.
The texts are those of ``tests/kb/readings`` and ``tests/content/readings``, sorted by hand, and as
calm ones, with less weight, what people ask of the articles and what readings are tested on.
A word weighs by itself, by its stem and by its meaning (the table of ``kb/matching``), so that one
never met here still weighs what its like weigh. Logistic regression with a ridge: Hastie,
Tibshirani and Friedman, The Elements of Statistical Learning (2009), sections 3.4.1 and 4.4.
"""

import argparse
import csv
import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt
from scipy import sparse
from scipy.optimize import minimize

from bench.understanding import half
from kb.alarms import alarms
from kb.calculators import ALL
from kb.matching.meaning import Meanings, pieces
from kb.readings import read
from kb.readings.around import circumstances
from kb.readings.tokens import cut
from kb.readings.urgency import BY_RULE, FISH_REASON, URGENT_FROM, by_rules
from kb.readings.weighing import FILE, SCALE, pairs, share, stem, units

ROOT = Path(__file__).parents[1]
TARGET = ROOT / "kb" / "readings" / FILE
HAND = tuple(f"{name}urgency" for name in ("", "more_", "third_", "fourth_", "fifth_", "sixth_"))
CALM_TEXTS = 0.4  # what a text counts for that is calm because no rule says otherwise
RIDGE, WORDS, MEANING, AROUND = 0.6, 2.0, 0.25, 0.5  # chosen on held-out texts
LEAST = 2  # texts a word must stand in to weigh by itself
FOLDS = 8

Floats = npt.NDArray[np.float64]
Row = Mapping[str, float]


@dataclass(frozen=True)
class Sorted:
    """A text, whether it is urgent, whence it is, and what it counts for."""

    text: str
    urgent: bool
    source: str
    weight: float = 1.0
    fish: bool | None = None  # of an urgent one whether it is about fish


def by_hand() -> Iterator[Sorted]:
    """The texts sorted by hand."""
    for name in HAND:
        path = ROOT / "tests" / "kb" / "readings" / f"{name}.toml"
        for key, texts in _toml(path.read_text(encoding="utf-8")).items():
            for text in texts:
                yield Sorted(text, key != "calm", name, fish=key == "fish")
    lists = _toml((ROOT / "tests/content/readings/urgency.toml").read_text(encoding="utf-8"))
    for key, part in lists.items():
        for name in ("development", "measuring"):
            for text in half(part["texts"], name):
                reasons = by_rules(str(text)).reasons
                about = None if not reasons else reasons[0].endswith(FISH_REASON)
                yield Sorted(str(text), key == "urgent", name, fish=about)
    for text, label in zip(
        _column(ROOT / "web/demo/comments.csv", "Comment"),
        _column(ROOT / "tests/web/comment_labels.csv", "label"),
        strict=True,
    ):
        yield Sorted(text, label == "U", "demo")


def by_nature() -> Iterator[Sorted]:
    """Texts that are calm unless a rule says otherwise, which are then left out."""
    texts: list[str] = []
    for path in sorted((ROOT / "articles").glob("*.md")):
        head = _toml(path.read_text(encoding="utf-8").split("+++")[1])
        texts += [head["title"], *head["phrasings"]]
    for part in _toml((ROOT / "tests/kb/readings/sentences.toml").read_text("utf-8")).values():
        texts += part
    cases = _toml((ROOT / "tests/content/readings/readings.toml").read_text("utf-8"))["case"]
    texts += [case["text"] for case in cases]
    off = (ROOT / "kb/matching/off_topic.txt").read_text("utf-8").splitlines()
    texts += [line for line in off if line.strip() and not line.startswith("#")]
    for text in texts:
        if not by_rules(text).urgent and not _alarmed(text):
            yield Sorted(text, False, "nature", CALM_TEXTS)


def _alarmed(text: str) -> bool:
    """Do its readings raise an alarm of danger by themselves?"""
    return any(alarm.danger for alarm in alarms(read(text), ALL))


def _column(path: Path, name: str) -> list[str]:
    with path.open(encoding="utf-8", newline="") as file:
        return [line[name] for line in csv.DictReader(file)]


def _toml(text: str) -> dict[str, object]:
    return tomllib.loads(text)


class _Meaning:
    """What a word means, as a row of numbers; nothing for a word of unknown pieces."""

    def __init__(self) -> None:
        self.table = Meanings.shipped()
        self.rows = self.table.vectors_of_pieces * self.table.scale[:, None]
        self.known: dict[str, Floats] = {}

    def of(self, word: str) -> Floats:
        if word not in self.known:
            total = np.zeros(self.rows.shape[1])
            for part in word.split("'"):
                if found := list(pieces(part, self.table.numbers)) if "#" not in part else []:
                    total += self.rows[found].sum(0) / np.sqrt(len(found))
            self.known[word] = total
        return self.known[word]


def row(text: str) -> Row:
    """What stands in a text, each thing with what it counts for."""
    parts = cut(text)
    words = units(parts)
    times = WORDS * share(sum(token.kind != "mark" for token in parts.tokens))
    found: Counter[str] = Counter()
    for unit in (*(f"={word}" for word in words), *(f"~{stem(word)}" for word in words)):
        found[unit] += times
    for pair in pairs(words):
        found[pair] += times
    labels = {f"c:{mark.label}" for mark in circumstances(parts)}
    return found | dict.fromkeys(labels, AROUND)


def matrix(texts: Sequence[Sorted], meaning: _Meaning) -> tuple[sparse.csr_matrix, dict[str, int]]:
    """A row for each text: its words, their stems, pairs and circumstances, then its meaning."""
    rows = [row(item.text) for item in texts]
    counts = Counter(unit for found in rows for unit in found)
    kept = sorted(unit for unit, count in counts.items() if count >= LEAST)
    place = {unit: number for number, unit in enumerate(kept)}
    spots = [(at, place[unit], value) for at, found in enumerate(rows)
             for unit, value in found.items() if unit in place]  # fmt: skip
    at, column, value = zip(*spots, strict=True)
    words = sparse.csr_matrix((value, (at, column)), shape=(len(rows), len(kept)))
    means = np.array([_mean(item.text, meaning) for item in texts])
    return sparse.hstack([words, sparse.csr_matrix(means)]).tocsr(), place


def _mean(text: str, meaning: _Meaning) -> Floats:
    parts = cut(text)
    times = MEANING * share(sum(token.kind != "mark" for token in parts.tokens))
    total = np.zeros(meaning.rows.shape[1])
    for word in units(parts):
        total += meaning.of(word)
    return total * times


def fit(rows: sparse.csr_matrix, yes: npt.NDArray[np.bool_], weights: Floats) -> Floats:
    """The weights of the columns and, last, the start, of the ridge logistic regression."""
    sign = np.where(yes, 1.0, -1.0)

    def loss(guess: Floats) -> tuple[float, Floats]:
        margin = sign * (rows @ guess[:-1] + guess[-1])
        slope = -weights * sign / (1 + np.exp(np.clip(margin, -30, 30)))
        value = (weights * np.logaddexp(0, -margin)).sum() + RIDGE / 2 * (guess[:-1] ** 2).sum()
        return value, np.append(rows.T @ slope + RIDGE * guess[:-1], slope.sum())

    start = np.zeros(rows.shape[1] + 1)
    found: Floats = minimize(loss, start, jac=True, method="L-BFGS-B").x
    return found


def held_out(rows: sparse.csr_matrix, yes: npt.NDArray[np.bool_], weights: Floats) -> Floats:
    """What each text weighs when its fold takes no part in the fitting."""
    fold = np.random.default_rng(1).integers(0, FOLDS, len(yes))
    found = np.zeros(len(yes))
    for number in range(FOLDS):
        out = fold == number
        guess = fit(rows[~out], yes[~out], weights[~out])
        found[out] = rows[out] @ guess[:-1] + guess[-1]
    return found


def report(texts: Sequence[Sorted], weighed: Floats) -> Iterator[str]:
    """Recall and precision of rules alone and of both together, by where the texts are from."""
    ruled = np.array([bool(by_rules(item.text).reasons) for item in texts])
    both = weighed + BY_RULE * ruled > URGENT_FROM
    alarmed = np.array([_alarmed(item.text) for item in texts])
    ruled, both = ruled | alarmed, both | alarmed
    yes = np.array([item.urgent for item in texts])
    for source in dict.fromkeys(item.source for item in texts):
        here = np.array([item.source == source for item in texts])
        figures = []
        for name, found in (("rules", ruled), ("held-out weights", weighed > 0), ("both", both)):
            right = (found & yes & here).sum()
            figures.append(
                f"{name} {right / max(1, (yes & here).sum()):.0%} "
                f"{right / max(1, (found & here).sum()):.0%} ({(found & ~yes & here).sum()})"
            )
        yield f"{source:<16} " + "   ".join(figures)


def lines(
    place: Mapping[str, int], danger: Floats, fish: Floats, meaning: _Meaning
) -> Iterator[str]:
    """The lines of the file."""
    size = len(place)

    def both(unit: str, times: float) -> Floats:
        number = place.get(unit)
        return np.zeros(2) if number is None else times * np.array([danger[number], fish[number]])

    def meant(word: str) -> Floats:
        mean = meaning.of(word) * MEANING
        return np.array([mean @ danger[size:-1], mean @ fish[size:-1]])

    yield "// made by bench/urgency_words.py: unit, weight towards danger, towards fish; hundredths"
    yield _line("^^", np.array([danger[-1], fish[-1]]))
    plain = (word for word in meaning.table.numbers if word.isascii() and word.isalpha())
    words = {unit[1:] for unit in place if unit[0] == "=" and len(unit) > 1} | set(plain)
    for word in sorted(words):
        known = both(f"={word}", WORDS) + both(f"~{stem(word)}", WORDS)
        yield _line(word, known + meant(word))
    for unit in sorted(place):
        if unit.startswith("c:"):
            yield _line(unit, both(unit, AROUND))
        elif unit[0] == "~" or " " in unit:
            yield _line(unit, both(unit, WORDS))


def _line(unit: str, weights: Floats) -> str:
    danger, fish = (round(float(weight) * SCALE) for weight in weights)
    return f"{unit}\t{danger}\t{fish}" if danger or fish or unit == "^^" else ""


def main() -> None:
    """Fit, measure and write."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--only-measure", action="store_true", help="write no file")
    parser.add_argument("--misses", action="store_true", help="name the texts that err")
    options = parser.parse_args()
    meaning = _Meaning()
    texts = [*by_hand(), *by_nature()]
    rows, place = matrix(texts, meaning)
    yes = np.array([item.urgent for item in texts])
    weights = np.array([item.weight for item in texts])
    weighed = held_out(rows, yes, weights)
    print("\n".join(report(texts, weighed)))
    if options.misses:
        for item, weight in zip(texts, weighed, strict=True):
            ruled = bool(by_rules(item.text).reasons)
            if (weight + BY_RULE * ruled > URGENT_FROM) != item.urgent:
                print(f"{item.urgent!s:<6}{weight:6.2f} {ruled!s:<6}{item.source:<14}{item.text}")
    if options.only_measure:
        return
    about = np.array([item.urgent and item.fish is not None for item in texts])
    fish = np.array([bool(item.fish) for item in texts])
    danger, kind = fit(rows, yes, weights), fit(rows[about], fish[about], weights[about])
    written = [line for line in lines(place, danger, kind, meaning) if line]
    TARGET.write_text("\n".join(written) + "\n", encoding="utf-8")
    print(f"{TARGET.name}: {len(written)} lines, {TARGET.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main()
