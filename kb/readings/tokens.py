"""A text cut into words, numbers and marks, its sentences and clauses, and phrases found in it.

Every step is linear in the length of the text, and positions are those of the text as given.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

LONGEST_TEXT = 20_000


def words(text: str) -> frozenset[str]:
    """The words of a text, as a set."""
    return frozenset(text.split())


_SAME_LENGTH = str.maketrans("’‘´`“”″′–—−‐‑\u00a0\u202f₂₃₄²³º", "''''\"\"\"'-----  23423°")
_TOKEN = re.compile(
    r"(?P<word>(?:nh[34]|no[23]|caco3|hco3|h2s|h2o2|co2|po4|o2|m[23]|ft[23])(?![a-z0-9])"
    r"|p\.h\b\.?|d\.o\b\.?"
    r"|(?:feet|foot|ft|cm|mm|m|inches|inch|in)(?=x ?[\d.])|x(?=[\d.])"
    r"|[^\W\d_½¼¾⅓⅔⅛]+(?:'[^\W\d_½¼¾⅓⅔⅛]+)*)"
    r"|(?P<time>\d{1,2}:\d\d(?!\d))"
    r"|(?P<number>\d{1,3}(?:,\d{3})+(?:\.\d+)?(?!\d)|\d{1,3}(?:\.\d{3})+,\d+"
    r"|\d+\.\d+|(?<!\d,)\d+,\d+(?!,?\d)|\d+|(?<!\w)\.\d+|[½¼¾⅓⅔⅛])"
    r"|(?P<mark>\S)"
)
_ABBREVIATIONS = words("temp temps approx alk gal gals ltr deg hr ft vs imp max min ca")
_CLAUSE_WORDS = words("but while whereas although though however yet and then so because & plus")
_CLAUSE_MARKS = frozenset(",;()")
_SENTENCE_MARKS = frozenset("!?;")


@dataclass(frozen=True, slots=True)
class Token:
    """One word, number, clock time or mark; ``word`` is in small letters."""

    word: str
    start: int
    end: int
    kind: str


@dataclass(frozen=True, slots=True)
class Found:
    """A phrase of a table: what it stands for, and its first and last token."""

    label: str
    first: int
    last: int


@dataclass(frozen=True)
class Text:
    """A text with its tokens and, for each token, the bounds of its sentence."""

    original: str
    lower: str
    tokens: tuple[Token, ...]
    words: tuple[str, ...]
    sentence_start: tuple[int, ...]
    sentence_end: tuple[int, ...]

    def word(self, index: int) -> str:
        """The word at a place, empty outside the text."""
        return self.words[index] if 0 <= index < len(self.words) else ""

    def asks(self, index: int) -> bool:
        """Does the sentence of this token end with a question mark?"""
        return self.word(self.sentence_end[index]) == "?"

    def token_at_or_after(self, index: int, position: int) -> int:
        """The first token from ``index`` on that starts at or after a position in the text."""
        while index < len(self.tokens) and self.tokens[index].start < position:
            index += 1
        return index


PhraseTable = Mapping[str, tuple[tuple[tuple[str, ...], str], ...]]


def cut(text: str) -> Text:
    """The text, at most its first 20,000 characters, as tokens in sentences."""
    return _cut(text[:LONGEST_TEXT])


@lru_cache(maxsize=4)  # readings and urgency ask for the same text one after the other
def _cut(original: str) -> Text:
    lower = original.lower()
    if len(lower) != len(original):
        lower = "".join(map(_small, original))
    lower = lower.translate(_SAME_LENGTH)
    tokens = tuple(
        Token(found.group(), found.start(), found.end(), found.lastgroup or "mark")
        for found in _TOKEN.finditer(lower)
    )
    starts, ends = _bounds(lower, tokens)
    words = tuple(token.word for token in tokens)
    return Text(original, lower, tokens, words, starts, ends)


def is_clause_break(text: Text, index: int) -> bool:
    """Does a new clause begin at or after this token: a comma, a bracket, "but", "and"?"""
    token = text.tokens[index]
    if token.kind == "word":
        return token.word in _CLAUSE_WORDS
    if token.word == "-":
        return text.lower[token.start - 1 : token.start] == " "
    return token.word in _CLAUSE_MARKS or token.word in "&+"


def phrase_table(phrases: Mapping[str, str | Iterable[str]]) -> PhraseTable:
    """Phrases by their first word, longest first; a text is a list with ``|`` between."""
    table: dict[str, list[tuple[tuple[str, ...], str]]] = {}
    for label, texts in phrases.items():
        for text in texts.split("|") if isinstance(texts, str) else texts:
            words = tuple(text.split())
            table.setdefault(words[0], []).append((words, label))
    return {
        first: tuple(sorted(entries, key=lambda entry: -len(entry[0])))
        for first, entries in table.items()
    }


def find_phrases(text: Text, table: PhraseTable) -> tuple[Found, ...]:
    """The phrases of a table, left to right, the longest at each place, none overlapping."""
    found: list[Found] = []
    taken = -1
    for index, word in enumerate(text.words):
        if index > taken and word in table and (match := phrase_at(text, index, table)):
            found.append(match)
            taken = match.last
    return tuple(found)


def phrase_at(text: Text, index: int, table: PhraseTable) -> Found | None:
    """The longest phrase that begins at this token."""
    for words, label in table.get(text.word(index), ()):
        if text.words[index : index + len(words)] == words:
            return Found(label, index, index + len(words) - 1)
    return None


def _small(letter: str) -> str:
    small = letter.lower()
    return small if len(small) == 1 else letter


def _bounds(lower: str, tokens: tuple[Token, ...]) -> tuple[tuple[int, ...], tuple[int, ...]]:
    starts: list[int] = []
    ends: list[int] = []
    start = 0
    for index in range(len(tokens)):
        starts.append(start)
        if _ends_sentence(lower, tokens, index):
            ends.extend([index] * (index + 1 - start))
            start = index + 1
    ends.extend([len(tokens) - 1] * (len(tokens) - start))
    return tuple(starts), tuple(ends)


def _ends_sentence(lower: str, tokens: tuple[Token, ...], index: int) -> bool:
    token = tokens[index]
    if index + 1 == len(tokens):
        return True
    if token.word in _SENTENCE_MARKS:
        return tokens[index + 1].word not in _SENTENCE_MARKS
    following = tokens[index + 1]
    if "\n" in lower[token.end : following.start]:
        return True
    if token.word != "." or following.start == token.end:
        return False
    return not (index and tokens[index - 1].word in _ABBREVIATIONS)
