"""A ready reply: what is urgent, the short answer, and links with the asker's own figures.

It is as long as the place allows: links are never cut, the short answer ends with a whole sentence,
and what does not fit is left out, the least needed first.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from kb.answers import Answer, Way
from kb.content import render
from kb.content.load import HEADINGS, Article
from kb.content.render import heading_id
from web.rendering import absolute, article_text

MOST_CALCULATORS = 2
_SENTENCE_END = re.compile(r"(?<=[.!?…])[”\")]?\s+(?=[^\sa-z])")
_SHORTENED = ("e.g.", "i.e.", "approx.", "ca.", "no.", "vs.", "etc.", "max.", "min.", "fig.")


@dataclass(frozen=True)
class Manner:
    """How one place is replied to: the greeting, the most characters, a heading, a recording."""

    greeting: str = "Hi {name},"
    longest: int | None = None
    heading: str = ""
    covered: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Piece:
    """A part of the reply: where it stands, how much it is needed (0 must stay), its text.

    ``instead`` is a shorter text for it; when one of a chain does not fit, neither do the next.
    """

    place: int
    need: int
    text: str
    instead: str = ""
    chain: bool = False


_GREETING, _ALARM, _ANSWER, _LINKS = range(4)


def compose(
    answer: Answer, article: Article | None, *, name: str | None, manner: Manner | None = None
) -> str:
    """The reply as plain text, ready to paste; without an article, what the figures call for."""
    manner = manner or Manner()
    return fitted(list(_pieces(answer, article, name, manner)), manner.longest)


def fitted(pieces: Sequence[_Piece], longest: int | None) -> str:
    """The pieces that fit, joined; those that must stay are kept even when they are too long."""
    chosen = [piece for piece in pieces if piece.need == 0]
    broken: set[int] = set()
    for piece in sorted((one for one in pieces if one.need), key=lambda one: one.need):
        options = (piece, replace(piece, text=piece.instead))
        fitting = (
            one
            for one in options
            if one.text and (longest is None or len(_joined([*chosen, one])) <= longest)
        )
        found = None if piece.place in broken else next(fitting, None)
        if found:
            chosen.append(found)
        elif piece.chain:
            broken.add(piece.place)
    whole = _joined(chosen)
    if longest is not None and len(whole) > longest:  # not even the greeting fits beside the link
        whole = _joined([piece for piece in chosen if piece.place != _GREETING] or chosen)
    return whole


def greeting(words: str, name: str | None) -> str:
    """The greeting with the name given, or without one."""
    if name:
        return words.replace("{name}", name)
    return re.sub(r"\s*\{name\}", "", words)


def sentences(text: str) -> tuple[str, ...]:
    """The sentences of a plain text, in order, each with the space or line break before it."""
    found: list[str] = []
    for line in filter(str.strip, text.split("\n")):
        start, lead = 0, "\n" if found else ""
        for match in _SENTENCE_END.finditer(line):
            if line[start : match.end()].strip().casefold().endswith(_SHORTENED):
                continue
            found.append(lead + line[start : match.end()].rstrip())
            start, lead = match.end(), " "
        if line[start:].strip():
            found.append(lead + line[start:].rstrip())
    return tuple(found)


def headings(article: Article) -> tuple[tuple[str, str], ...]:
    """The headings a link can lead to, each with the fragment that leads there."""
    found = []
    for section in HEADINGS:
        found.append((section, heading_id(section)))
        within = render.headings(article.sections.get(section, ""))
        found += [(words, fragment) for fragment, words in within]
    return tuple(found)


def _pieces(
    answer: Answer, article: Article | None, name: str | None, manner: Manner
) -> Iterator[_Piece]:
    hello = greeting(manner.greeting, name)
    if hello:
        yield _Piece(_GREETING, 0, hello)
    for number, alarm in enumerate(answer.alarms):
        need = 1 if alarm.danger and number == 0 else 4
        whole = f"{alarm.sentence}\nFirst: {' '.join(alarm.first)}"
        yield _Piece(_ALARM, need, whole, f"First: {alarm.first[0]}" if need == 1 else "")
    if article:
        for number, part in enumerate(sentences(article_text(article.short_answer))):
            yield _Piece(_ANSWER, 2 if number == 0 else 5 + number, part, chain=True)
        anchor = f"#{manner.heading}" if manner.heading else ""
        address = absolute(f"/articles/{article.slug}{anchor}")
        yield _Piece(_LINKS, 0, f"The whole answer: {address}")
    for way in _fitting(answer, article):
        yield _Piece(_LINKS, 3, _line(way, "Find the cause"))
    for line in manner.covered:
        yield _Piece(_LINKS, 50, line)
    filled = [way for way in answer.calculators if way.filled]
    for number, way in enumerate(filled[:MOST_CALCULATORS]):
        yield _Piece(_LINKS, 60 + number, _line(way, way.title))


def _joined(pieces: Iterable[_Piece]) -> str:
    """The pieces in their places: a greeting, what is urgent, the answer, a link a line."""
    parts: dict[int, list[_Piece]] = {}
    for piece in pieces:
        parts.setdefault(piece.place, []).append(piece)
    between = {_GREETING: "", _ALARM: "\n\n", _ANSWER: "", _LINKS: "\n"}
    return "\n\n".join(
        between[place].join(piece.text for piece in sorted(parts[place], key=lambda one: one.need))
        for place in sorted(parts)
    )


def _fitting(answer: Answer, article: Article | None) -> tuple[Way, ...]:
    """The troubleshooting that belongs to the article chosen, else the likeliest."""
    own = [way for way in answer.symptoms if article and way.slug in article.symptoms]
    return tuple(own[:1] or answer.symptoms[:1])


def _line(way: Way, words: str) -> str:
    with_figures = " with your figures filled in" if "?" in way.link else ""
    return f"{words}{with_figures}: {absolute(way.link)}"
