"""Markdown of articles as HTML or as plain text, links and calculator blocks worked in."""

import html
import re
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from markdown_it import MarkdownIt
from markdown_it.token import Token

SCHEMES = ("article", "symptom", "calculator", "source")
_SCHEME = re.compile(rf"({'|'.join(SCHEMES)}):([a-z0-9-]+)(\?[^#\s]*)?(#[a-z0-9-]+)?")
_MARKDOWN = MarkdownIt("js-default", {"linkify": False, "typographer": False})

Presets = dict[str, str]
LinkFor = Callable[[str, str, str], str]
BlockFor = Callable[[str, Presets], str]


@dataclass(frozen=True)
class Link:
    """A link within the content: scheme, target and what follows it (query and fragment)."""

    scheme: str
    target: str
    tail: str


@dataclass(frozen=True)
class Block:
    """A calculator block: the calculator's id and the presets as written."""

    calculator: str
    toml: str


def to_html(markdown: str, *, link_for: LinkFor, block_for: BlockFor) -> str:
    """Markdown as HTML; ``link_for`` gives addresses and ``block_for`` the calculators' HTML."""
    pieces: list[str] = []
    run: list[Token] = []
    for token in _parse(markdown):
        block = _as_block(token)
        if block is None:
            _point_links(token, link_for)
            _name_heading(token, run)
            run.append(token)
            continue
        pieces.append(_MARKDOWN.renderer.render(run, _MARKDOWN.options, {}))
        pieces.append(block_for(block.calculator, presets(block.toml)))
        run = []
    pieces.append(_MARKDOWN.renderer.render(run, _MARKDOWN.options, {}))
    return "".join(pieces)


def to_text(markdown: str, *, block_for: BlockFor) -> str:
    """Markdown as plain text: links leave their words, lists keep their marks."""
    lines: list[str] = []
    counters: list[int] = []
    mark = ""
    for token in _parse(markdown):
        block = _as_block(token)
        if block:
            lines.append(block_for(block.calculator, presets(block.toml)))
        elif token.type == "bullet_list_open":
            counters.append(-1)
        elif token.type == "ordered_list_open":
            counters.append(0)
        elif token.type.endswith("_list_close"):
            counters.pop()
        elif token.type == "list_item_open":
            counters[-1] += counters[-1] >= 0
            mark = f"{counters[-1]}. " if counters[-1] > 0 else "- "
        elif token.type == "inline":
            lines.append(f"{'  ' * (len(counters) - 1)}{mark}{_plain(token)}")
            mark = ""
    return "\n".join(lines)


def links(markdown: str) -> tuple[tuple[str, Link | None], ...]:
    """Every link as written, with what it means within the content (None: an address outside)."""
    hrefs = (
        str(child.attrGet("href"))
        for token in _parse(markdown)
        for child in token.children or ()
        if child.type == "link_open"
    )
    return tuple((href, read_link(href)) for href in hrefs)


def blocks(markdown: str) -> tuple[Block, ...]:
    """Every calculator block."""
    return tuple(block for token in _parse(markdown) if (block := _as_block(token)))


def passages(markdown: str) -> tuple[str, ...]:
    """Every paragraph, list item and heading, as written in Markdown."""
    return tuple(token.content for token in _parse(markdown) if token.type == "inline")


def read_link(href: str) -> Link | None:
    """What a link means within the content; None when it leads elsewhere."""
    match = _SCHEME.fullmatch(html.unescape(href))
    return Link(match[1], match[2], (match[3] or "") + (match[4] or "")) if match else None


def presets(toml: str) -> Presets:
    """The presets of a calculator block as texts; raises tomllib.TOMLDecodeError."""
    return {key: str(value) for key, value in tomllib.loads(toml).items()}


def heading_id(text: str) -> str:
    """The fragment that leads to a heading."""
    return re.sub(r"[^a-z0-9]+", "-", text.casefold()).strip("-")


def _parse(markdown: str) -> Sequence[Token]:
    return _MARKDOWN.parse(markdown)


def _as_block(token: Token) -> Block | None:
    info = token.info.split()
    if token.type != "fence" or info[:1] != ["calculator"]:
        return None
    return Block(" ".join(info[1:]), token.content)


def _point_links(token: Token, link_for: LinkFor) -> None:
    for child in token.children or ():
        if child.type != "link_open":
            continue
        link = read_link(str(child.attrGet("href")))
        if link:
            child.attrSet("href", link_for(link.scheme, link.target, link.tail))
        else:
            child.attrSet("rel", "noopener noreferrer")


def _name_heading(token: Token, before: Sequence[Token]) -> None:
    if token.type == "inline" and before and before[-1].type == "heading_open":
        before[-1].attrSet("id", heading_id(_plain(token)))


def _plain(token: Token) -> str:
    words = []
    for child in token.children or ():
        if child.type in ("softbreak", "hardbreak"):
            words.append(" ")
        elif child.type in ("text", "code_inline"):
            words.append(child.content)
    return "".join(words)
