"""What one article cannot see: links that lead nowhere, numbers without source, lonely pages."""

import re
import tomllib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from urllib.parse import parse_qsl

from kb.calculators.model import Calculator
from kb.content import render
from kb.content.drawings import Drawing
from kb.content.load import Article, Library
from kb.errors import InputErrors, Problem
from kb.sources import COMMON_PRACTICE

WORDS = (300, 900)
PHRASINGS = (12, 25)
SENTENCES = (2, 4)
DRAWING_SENTENCES = (2, 5)
DRAWING_UNDER = ("Why", "How")
HARDEST = 40.0  # readability index of Björnsson 1968: 40 and less is plain, 50 and more is hard
LONG_WORD = 6
_UNIT = (
    r"%|°|mg|g|kg|mL|L|m|mm|cm|m²|m³|°C|°F|C|F|dKH|ppm|kPa|W|kWh|V|mA|gal|in|ft|lb|oz"
    r"|minutes?|hours?|days?|weeks?|months?|years?|times|degrees?|fish|spoons?|teaspoons?"
)
_FIGURE = re.compile(rf"(?<![\w.])\d+(?:[.,]\d+)?\s*(?:{_UNIT})(?![\w])|\bpH(?: of)? \d")
_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_RISK = re.compile(
    r"\b(acids?|hydroxide|lime|caustic|bleach|chlorine|chloramine|salt|copper|medicines?"
    r"|plugs?|mains|electric\w*|hydrogen sulphide)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Targets:
    """What articles may point at: symptom slugs, and calculators by id."""

    symptoms: frozenset[str]
    calculators: Mapping[str, Calculator]


def validate(library: Library, targets: Targets) -> list[Problem]:
    """Every fault in the sum of the articles, in file order."""
    checks = (_names, _links, _blocks, _drawings, _numbers, _shape, _safety)
    found = _findings(library, targets, checks)
    return found + _shared_phrasings(library) + _islands(library) + _drawing_files(library)


def broken(library: Library, targets: Targets) -> list[Problem]:
    """The faults with which a page could not be shown: names and links that lead nowhere."""
    return _findings(library, targets, (_names, _links, _blocks, _drawings))


def _findings(library: Library, targets: Targets, checks: Iterable["_Check"]) -> list[Problem]:
    return [
        Problem(article.path, place, message)
        for article in library.articles.values()
        for check in checks
        for place, message in check(article, library, targets)
    ]


Finding = Iterable[tuple[str, str]]
_Check = Callable[[Article, Library, Targets], Finding]


def _names(article: Article, library: Library, targets: Targets) -> Finding:
    known: tuple[tuple[str, tuple[str, ...], Iterable[str]], ...] = (
        ("symptoms", article.symptoms, targets.symptoms),
        ("calculators", article.calculators, targets.calculators),
        ("related", article.related, library.articles),
        ("sources", article.sources, library.sources),
        ("cautions", article.cautions, library.cautions),
    )
    for key, named, allowed in known:
        for name in named:
            if name not in allowed:
                yield key, f"“{name}” does not exist."
    if article.slug in article.related:
        yield "related", "names the article itself."
    used = {link.target for _, link in _all_links(article) if link and link.scheme == "source"}
    cited = set(article.sources) - {COMMON_PRACTICE}
    for name in sorted(used - cited - {COMMON_PRACTICE}):
        yield "sources", f"“{name}” is cited in the text but not listed."
    for name in sorted(cited - used):
        yield "sources", f"“{name}” is listed but never cited in the text."


def _links(article: Article, library: Library, targets: Targets) -> Finding:
    exists: dict[str, Callable[[str], bool]] = {
        "article": library.articles.__contains__,
        "symptom": targets.symptoms.__contains__,
        "calculator": targets.calculators.__contains__,
        "source": library.sources.__contains__,
    }
    for href, link in _all_links(article):
        if link is None and not href.startswith(("https://", "http://", "#")):
            yield "link", f"“{href}” has no known scheme; use {', '.join(exists)} or https."
        elif link and not exists[link.scheme](link.target):
            yield "link", f"“{href}” leads nowhere."
        elif link and link.scheme == "calculator":
            yield from _preset_names(href, link, targets)


def _preset_names(href: str, link: render.Link, targets: Targets) -> Finding:
    known = {item.name for item in targets.calculators[link.target].inputs}
    for name, _ in parse_qsl(link.tail.lstrip("?").split("#")[0]):
        if name not in known:
            yield "link", f"“{href}” fills in “{name}”, which {link.target} does not ask."


def _blocks(article: Article, library: Library, targets: Targets) -> Finding:
    for markdown in article.sections.values():
        for block in render.blocks(markdown):
            calculator = targets.calculators.get(block.calculator)
            if calculator is None:
                yield "calculator block", f"there is no calculator “{block.calculator}”."
                continue
            try:
                calculator.run(render.presets(block.toml))
            except tomllib.TOMLDecodeError as error:
                yield f"calculator {block.calculator}", f"presets cannot be read: {error}."
            except InputErrors as error:
                yield f"calculator {block.calculator}", str(error)


def _drawings(article: Article, library: Library, targets: Targets) -> Finding:
    seen: set[str] = set()
    for heading, block in _drawing_blocks(article):
        place = f"drawing {block.drawing}".strip()
        if block.drawing not in library.drawings:
            yield place, f"there is no drawing “{block.drawing}”."
        if block.drawing in seen:
            yield place, "is shown twice; once is enough."
        if heading not in DRAWING_UNDER:
            yield place, f"stands under {heading}; put it under {' or '.join(DRAWING_UNDER)}."
        if not block.caption or "\n" in block.caption:
            yield place, "must hold one line, its caption."
        seen.add(block.drawing)


def _numbers(article: Article, library: Library, targets: Targets) -> Finding:
    sourced = ""
    for heading in ("Why", "How", "Cautions"):
        for passage in render.passages(article.sections[heading]):
            backed = _is_backed(passage)
            sourced += passage if backed else ""
            for figure in _FIGURE.findall(_without_links(passage)) if not backed else ():
                yield heading, f"“{figure}” has neither a source nor the words “common practice”."
    for figure in _FIGURE.findall(_without_links(article.short_answer)):
        if not all(number in sourced for number in _NUMBER.findall(figure)):
            yield "Short answer", f"“{figure}” is not found again beside a source further down."
    for _, block in _drawing_blocks(article):
        for figure in _FIGURE.findall(_words_of(block, library.drawings.get(block.drawing))):
            if not all(number in sourced for number in _NUMBER.findall(figure)):
                yield f"drawing {block.drawing}", f"“{figure}” is nowhere beside a source here."


def _words_of(block: render.DrawingBlock, drawing: Drawing | None) -> str:
    words = (drawing.title, drawing.description, drawing.labels) if drawing else ()
    return " ".join((block.caption, *words))


def _is_backed(passage: str) -> bool:
    return any(
        mark in passage.casefold() for mark in ("](source:", "common practice", "](calculator:")
    )


def _shape(article: Article, library: Library, targets: Targets) -> Finding:
    words = sum(len(render.without_blocks(text).split()) for text in article.sections.values())
    if not WORDS[0] <= words <= WORDS[1]:
        yield "body", f"has {words} words; write {WORDS[0]} to {WORDS[1]}."
    count = len(article.phrasings)
    if not PHRASINGS[0] <= count <= PHRASINGS[1]:
        yield "phrasings", f"has {count}; write {PHRASINGS[0]} to {PHRASINGS[1]}."
    ease = _readability(article)
    if ease > HARDEST:
        yield "body", f"has a readability index of {ease:.0f}; write it as easy as {HARDEST:.0f}."
    if len(render.passages(article.short_answer)) != 1:
        yield "Short answer", "must be a single paragraph."
    sentences = len(re.findall(r"[.!?](?:\s|$)", article.short_answer))
    if not SENTENCES[0] <= sentences <= SENTENCES[1]:
        yield "Short answer", f"has {sentences} sentences; write {SENTENCES[0]} to {SENTENCES[1]}."


def _readability(article: Article) -> float:
    """Words a sentence plus the per cent of words over six letters (Björnsson's index, LIX)."""
    passages = [
        re.sub(r"\([^()]*\)", "", _without_links(passage))
        for heading in ("Short answer", "Why", "How", "Cautions")
        for passage in render.passages(article.sections[heading])
    ]
    words = [word for passage in passages for word in re.findall(r"[^\W\d_]+", passage)]
    sentences = sum(max(1, len(re.findall(r"[.!?:](?:\s|$)", passage))) for passage in passages)
    if not words:
        return 0.0
    long = sum(len(word) > LONG_WORD for word in words)
    return len(words) / sentences + 100 * long / len(words)


def _safety(article: Article, library: Library, targets: Targets) -> Finding:
    text = " ".join(article.sections[heading] for heading in ("Short answer", "How"))
    risk = _RISK.search(_without_links(text))
    if risk and not article.cautions:
        yield "cautions", f"the text speaks of “{risk[0]}” but names no caution."


def _shared_phrasings(library: Library) -> list[Problem]:
    owner: dict[str, Article] = {}
    problems = [
        Problem("articles/wordings.toml", slug, "is no article.")
        for slug in library.wordings
        if slug not in library.articles
    ]
    for article in library.articles.values():
        more = library.wordings.get(article.slug, ())
        for phrasing in (article.title, *article.phrasings, *more):
            key = " ".join(re.findall(r"\w+", phrasing.casefold()))
            first = owner.setdefault(key, article)
            if first is not article:
                message = f"“{phrasing}” also stands in {first.path}."
                problems.append(Problem(article.path, "phrasings", message))
    return problems


def _islands(library: Library) -> list[Problem]:
    reached = {
        target
        for article in library.articles.values()
        for target in (
            *article.related,
            *(link.target for _, link in _all_links(article) if link and link.scheme == "article"),
        )
        if target != article.slug
    }
    return [
        Problem(article.path, "related", "no other article leads here.")
        for article in library.articles.values()
        if article.slug not in reached
    ]


def _drawing_files(library: Library) -> list[Problem]:
    own = any(not _is_shipped(article.path) for article in library.articles.values())
    used = {
        block.drawing
        for article in library.articles.values()
        for _, block in _drawing_blocks(article)
    }
    problems = []
    for drawing in library.drawings.values():
        sentences = len(re.findall(r"[.!?](?:\s|$)", drawing.description))
        low, high = DRAWING_SENTENCES
        if not low <= sentences <= high:
            message = f"has {sentences} sentences; write {low} to {high}."
            problems.append(Problem(drawing.path, "desc", message))
        # an article of one's own may stand in place of the shipped one that shows it
        if drawing.name not in used and not (own and _is_shipped(drawing.path)):
            problems.append(Problem(drawing.path, "file", "no article shows it."))
    return problems


def _is_shipped(path: str) -> bool:
    return path.split("/")[:-1] in (["articles"], ["articles", "drawings"])


def _drawing_blocks(article: Article) -> list[tuple[str, render.DrawingBlock]]:
    return [
        (heading, block)
        for heading, text in article.sections.items()
        for block in render.drawing_blocks(text)
    ]


def _all_links(article: Article) -> list[tuple[str, render.Link | None]]:
    return [pair for text in article.sections.values() for pair in render.links(text)]


def _without_links(markdown: str) -> str:
    return re.sub(r"\]\([^)]*\)", "]", markdown)
