"""Markdown of articles as HTML or plain text, links, calculators and drawings worked in."""

import html
import re
import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType

from markdown_it import MarkdownIt
from markdown_it.token import Token

from kb.content.drawings import SVG, Drawing

SCHEMES = ("article", "symptom", "calculator", "source")
_SCHEME = re.compile(rf"({'|'.join(SCHEMES)}):([a-z0-9-]+)(\?[^#\s]*)?(#[a-z0-9-]+)?")
_MARKDOWN = MarkdownIt("js-default", {"linkify": False, "typographer": False})

Presets = dict[str, str]
LinkFor = Callable[[str, str, str], str]
BlockFor = Callable[[str, Presets], str]
Drawings = Mapping[str, Drawing]
NO_DRAWINGS: Drawings = MappingProxyType({})


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


@dataclass(frozen=True)
class DrawingBlock:
    """A drawing within an article: its name and its caption."""

    drawing: str
    caption: str


def to_html(
    markdown: str, *, link_for: LinkFor, block_for: BlockFor, drawings: Drawings = NO_DRAWINGS
) -> str:
    """Markdown as HTML; ``link_for`` gives addresses and ``block_for`` the calculators' HTML.

    Of a drawing that is not among ``drawings`` the caption is left.
    """
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
        if isinstance(block, Block):
            pieces.append(block_for(block.calculator, presets(block.toml)))
        else:
            pieces.append(_figure(block, drawings.get(block.drawing)))
        run = []
    pieces.append(_MARKDOWN.renderer.render(run, _MARKDOWN.options, {}))
    return "".join(pieces)


def to_text(markdown: str, *, block_for: BlockFor, drawings: Drawings = NO_DRAWINGS) -> str:
    """Markdown as plain text: links leave their words, lists keep their marks.

    A drawing is told in words; of one that is not among ``drawings`` the caption is left.
    """
    lines: list[str] = []
    counters: list[int] = []
    mark = ""
    for token in _parse(markdown):
        block = _as_block(token)
        if isinstance(block, Block):
            lines.append(block_for(block.calculator, presets(block.toml)))
        elif block:
            lines.append(_told(block, drawings.get(block.drawing)))
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
    found = (_as_block(token) for token in _parse(markdown))
    return tuple(block for block in found if isinstance(block, Block))


def drawing_blocks(markdown: str) -> tuple[DrawingBlock, ...]:
    """Every drawing block."""
    found = (_as_block(token) for token in _parse(markdown))
    return tuple(block for block in found if isinstance(block, DrawingBlock))


def without_blocks(markdown: str) -> str:
    """The Markdown without the lines of its blocks."""
    lines = markdown.split("\n")
    for token in reversed(_parse(markdown)):
        if token.map and _as_block(token):
            del lines[slice(*token.map)]
    return "\n".join(lines)


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


def headings(markdown: str) -> tuple[tuple[str, str], ...]:
    """Every heading within a section: the fragment that leads to it, and its words."""
    tokens = _parse(markdown)
    texts = (
        _plain(token)
        for before, token in pairwise(tokens)
        if before.type == "heading_open" and token.type == "inline"
    )
    return tuple((heading_id(text), text) for text in texts)


def heading_id(text: str) -> str:
    """The fragment that leads to a heading."""
    return re.sub(r"[^a-z0-9]+", "-", text.casefold()).strip("-")


def _parse(markdown: str) -> Sequence[Token]:
    return _MARKDOWN.parse(markdown)


def _as_block(token: Token) -> Block | DrawingBlock | None:
    if token.type != "fence":
        return None
    kind, _, name = " ".join(token.info.split()).partition(" ")
    if kind == "calculator":
        return Block(name, token.content)
    return DrawingBlock(name, token.content.strip()) if kind == "drawing" else None


def _figure(block: DrawingBlock, drawing: Drawing | None) -> str:
    caption = html.escape(block.caption)
    if drawing is None:
        return f"<p>{caption}</p>\n"
    title, words = f"drawing-{drawing.name}", f"drawing-{drawing.name}-words"
    description = html.escape(drawing.description)
    return (
        f'<figure class="picture drawing">\n<svg xmlns="{SVG}" viewBox="{drawing.view_box}"'
        f' role="img" aria-labelledby="{title}" aria-describedby="{words}" class="pic"'
        f' font-size="{drawing.text_size:.2f}" fill="none" stroke="none">'
        f'<title id="{title}">{html.escape(drawing.title)}</title>'
        f'<desc id="{words}">{description}</desc>\n{drawing.svg}\n</svg>\n'
        f"<figcaption>{caption}</figcaption>\n"
        f"<details><summary>In words</summary><p>{description}</p></details>\n</figure>\n"
    )


def _told(block: DrawingBlock, drawing: Drawing | None) -> str:
    return f"[Drawing: {drawing.title}. {drawing.description}]" if drawing else block.caption


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
