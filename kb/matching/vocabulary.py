"""The trade's own words: abbreviations, slang and synonyms, brought to one phrase each."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property
from importlib.resources import files

from kb.fields import Fields, Problems, Readable, read_table, read_text

from .normalise import words


@dataclass(frozen=True)
class Token:
    """One plain word; ``shown`` is what the asker wrote for it, empty inside a phrase."""

    word: str
    shown: str


@dataclass(frozen=True)
class Reading:
    """A text in plain words, with the variants that were read as another phrase."""

    tokens: tuple[Token, ...]
    meanings: tuple[tuple[str, str], ...] = ()
    spellings: tuple[tuple[str, str], ...] = ()

    @property
    def words(self) -> tuple[str, ...]:
        """The plain words alone."""
        return tuple(token.word for token in self.tokens)


@dataclass(frozen=True)
class Vocabulary:
    """Variants and the phrase each stands for.

    ``exact`` holds those that count only in just these capitals, such as DO.
    """

    variants: Mapping[tuple[str, ...], tuple[str, ...]]
    exact: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @cached_property
    def _by_first_word(self) -> Mapping[str, tuple[tuple[str, ...], ...]]:
        """The variants and phrases that begin with a word, the longest first."""
        found: dict[str, list[tuple[str, ...]]] = {}
        every = {*self.variants, *self.variants.values()}
        for variant in sorted(every, key=lambda words: (-len(words), words)):
            found.setdefault(variant[0], []).append(variant)
        return {word: tuple(variants) for word, variants in found.items()}

    def spell_out(self, text: str) -> str:
        """The text with its exact abbreviations replaced, unless it is all in capitals."""
        if not self.exact or not any(letter.islower() for letter in text):
            return text
        names = "|".join(re.escape(name) for name in self.exact)
        return re.sub(
            rf"(?<!\w)(?:{names})(?!\w)", lambda found: " ".join(self.exact[found[0]]), text
        )

    def translate(self, plain: Sequence[Token]) -> Reading:
        """The words with each variant replaced by its phrase, the longest variant first."""
        tokens: list[Token] = []
        meanings: dict[tuple[str, str], None] = {}
        place = 0
        starts = self._by_first_word
        while place < len(plain):
            if plain[place].word not in starts:
                tokens.append(plain[place])
                place += 1
                continue
            length, phrase = self._at(plain, place)
            given = plain[place : place + length]
            if phrase:
                shown = " ".join(token.shown for token in given)
                meanings[shown, " ".join(phrase)] = None
                tokens.append(Token(phrase[0], shown))
                tokens.extend(Token(word, "") for word in phrase[1:])
            else:
                tokens.extend(given)
            place += length
        return Reading(tuple(tokens), tuple(meanings))

    def extended(self, more: "Vocabulary") -> "Vocabulary":
        """This vocabulary with the terms of another added; where both speak, the other counts."""
        return Vocabulary({**self.variants, **more.variants}, {**self.exact, **more.exact})

    def _at(self, plain: Sequence[Token], place: int) -> tuple[int, tuple[str, ...]]:
        """How many words form a variant or a phrase here, and the phrase for a variant."""
        for variant in self._by_first_word[plain[place].word]:
            window = tuple(token.word for token in plain[place : place + len(variant)])
            if window == variant:
                return len(variant), self.variants.get(variant, ())
        return 1, ()


@cache
def shipped() -> Vocabulary:
    """The vocabulary that comes with Standpipe; raises ContentErrors when the file is broken."""
    problems = Problems()
    path = "kb/matching/vocabulary.toml"
    found = read(files("kb") / "matching" / "vocabulary.toml", path=path, problems=problems)
    problems.raise_any()
    return found


@cache
def common_words() -> frozenset[str]:
    """Everyday English words that are no misspelt trade words."""
    return frozenset(" ".join(_lines("common.txt")).split())


@cache
def off_topic() -> tuple[str, ...]:
    """Comments that ask for nothing we could answer: chatter, praise, other subjects."""
    return _lines("off_topic.txt")


def read(file: Readable, *, path: str, problems: Problems) -> Vocabulary:
    """The vocabulary in a TOML file: a list of terms, each with its variants."""
    table = read_table(file, path=path, problems=problems)
    variants: dict[tuple[str, ...], tuple[str, ...]] = {}
    exact: dict[str, tuple[str, ...]] = {}
    for fields in table.tables("term", required=True):
        _read_term(fields, variants, exact)
    table.finish()
    for variant in [variant for variant in variants if variant in variants.values()]:
        table.problem(f"“{' '.join(variant)}” is a variant here and a phrase there.", "term")
    return Vocabulary(variants, exact)


def _read_term(
    fields: Fields,
    variants: dict[tuple[str, ...], tuple[str, ...]],
    exact: dict[str, tuple[str, ...]],
) -> None:
    phrase = words(fields.text("phrase"))
    for text in fields.texts("variants", required=not fields.has("exact")):
        variant = words(text)
        if not variant or variant == phrase:
            fields.problem(f"“{text}” leaves nothing to replace.", "variants")
        elif variant in variants:
            fields.problem(f"“{text}” already means “{' '.join(variants[variant])}”.", "variants")
        else:
            variants[variant] = phrase
    for text in fields.texts("exact"):
        if text in exact:
            fields.problem(f"“{text}” already means “{' '.join(exact[text])}”.", "exact")
        exact[text] = phrase
    fields.finish()


def _lines(name: str) -> tuple[str, ...]:
    problems = Problems()
    text = read_text(files("kb") / "matching" / name, path=f"kb/matching/{name}", problems=problems)
    problems.raise_any()
    lines = (line.strip() for line in text.splitlines())
    return tuple(line for line in lines if line and not line.startswith("#"))
