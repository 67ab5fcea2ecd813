"""Articles from their files: front matter in TOML between ``+++`` lines, then Markdown."""

import datetime
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import TypeVar

from kb import cautions as caution_files
from kb import sources as source_files
from kb.cautions import Caution
from kb.content import drawings as drawing_files
from kb.content.drawings import Drawing
from kb.errors import NotFound
from kb.fields import Fields, Problems, is_slug, parse_toml, read_text
from kb.sources import Source

HEADINGS = ("Short answer", "Why", "How", "Cautions", "Sources")
GROUPS = (
    "Water chemistry",
    "Fish",
    "Solids and filters",
    "Flow and hardware",
    "Plants",
    "Running it",
)
CONFIDENCE = ("high", "medium", "low")
_FENCE = "+++"
WORDINGS_FILE = "wordings.toml"
_Entry = TypeVar("_Entry", Source, Caution)
_HEADING = re.compile(r"^## +(\S.*)$", re.MULTILINE)


@dataclass(frozen=True)
class Article:
    """One answer: the question it answers, how people ask it, and its sections in Markdown."""

    slug: str
    title: str
    group: str
    phrasings: tuple[str, ...]
    symptoms: tuple[str, ...]
    calculators: tuple[str, ...]
    related: tuple[str, ...]
    sources: tuple[str, ...]
    cautions: tuple[str, ...]
    reviewed: datetime.date
    confidence: str
    confidence_why: str
    sections: Mapping[str, str]
    path: str
    body_line: int

    @property
    def short_answer(self) -> str:
        """The section that stands alone as a reply, in Markdown."""
        return self.sections["Short answer"]


@dataclass(frozen=True)
class Library:
    """Everything there is to read: articles by slug, sources and cautions by id, drawings.

    ``wordings`` are further ways to ask for an article, beyond the phrasings in its own file.
    """

    articles: Mapping[str, Article]
    sources: Mapping[str, Source]
    cautions: Mapping[str, Caution]
    drawings: Mapping[str, Drawing] = field(default_factory=dict)
    wordings: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def article(self, slug: str) -> Article:
        """The article of that slug; raises NotFound."""
        try:
            return self.articles[slug]
        except KeyError:
            raise NotFound(f"There is no article “{slug[:60]}”.") from None

    def groups(self) -> dict[str, tuple[Article, ...]]:
        """The articles under each heading of the index, in order, empty groups left out."""
        grouped = {
            group: tuple(item for item in self.articles.values() if item.group == group)
            for group in GROUPS
        }
        return {group: items for group, items in grouped.items() if items}


def load(*more: Traversable) -> Library:
    """The shipped articles and those of further folders, a later slug replacing an earlier one.

    Each further folder may also hold ``sources.toml`` and ``cautions.toml`` of its own, and
    drawings in ``articles/drawings`` and further wordings in ``articles/wordings.toml``.
    Raises ContentErrors with every fault of every file.
    """
    problems = Problems()
    sources = dict(source_files.shipped())
    cautions = dict(caution_files.shipped())
    articles = _read_folder(files("articles"), "articles", problems)
    drawings = _read_drawings(files("articles"), "articles", problems)
    wordings = _read_wordings(files("articles"), "articles", problems)
    for folder in more:
        sources |= _read_ids(source_files.read, folder / "sources.toml", problems)
        cautions |= _read_ids(caution_files.read, folder / "cautions.toml", problems)
        articles |= _read_folder(folder / "articles", f"{folder.name}/articles", problems)
        drawings |= _read_drawings(folder / "articles", f"{folder.name}/articles", problems)
        for slug, more_of_it in _read_wordings(
            folder / "articles", f"{folder.name}/articles", problems
        ).items():
            wordings[slug] = (*wordings.get(slug, ()), *more_of_it)
    problems.raise_any()
    ordered = dict(sorted(articles.items()))
    return Library(ordered, sources, cautions, dict(sorted(drawings.items())), wordings)


def read_article(text: str, *, slug: str, path: str, problems: Problems) -> Article | None:
    """The article in a text; None when its front matter cannot be told from its body."""
    front, body, body_line = _split(text)
    if front is None:
        problems.add(path, "line 1", "must begin with front matter between two lines “+++”.")
        return None
    data = parse_toml(front, path=path, problems=problems, first_line=1)
    if not data:
        return None
    fields = Fields(data, path=path, place="", problems=problems)
    sections = _sections(body, path=path, problems=problems)
    article = Article(
        slug=slug,
        title=fields.text("title"),
        group=fields.word("group", GROUPS),
        phrasings=fields.texts("phrasings", required=True),
        symptoms=fields.texts("symptoms"),
        calculators=fields.texts("calculators"),
        related=fields.texts("related"),
        sources=fields.texts("sources", required=True),
        cautions=fields.texts("cautions"),
        reviewed=fields.date("reviewed"),
        confidence=fields.word("confidence", CONFIDENCE),
        confidence_why=fields.text("confidence_why"),
        sections=sections,
        path=path,
        body_line=body_line,
    )
    fields.finish()
    return article


def _read_ids(
    read: Callable[..., dict[str, _Entry]], file: Traversable, problems: Problems
) -> dict[str, _Entry]:
    return read(file, path=file.name, problems=problems) if file.is_file() else {}


def _read_folder(folder: Traversable, shown: str, problems: Problems) -> dict[str, Article]:
    found: dict[str, Article] = {}
    for file in _markdown_files(folder):
        slug, path = file.name.removesuffix(".md"), f"{shown}/{file.name}"
        if not is_slug(slug):
            problems.add(path, "file name", "must be small letters, digits and hyphens.")
        text = read_text(file, path=path, problems=problems)
        article = read_article(text, slug=slug, path=path, problems=problems) if text else None
        if article:
            found[slug] = article
    return found


def _read_drawings(folder: Traversable, shown: str, problems: Problems) -> dict[str, Drawing]:
    return drawing_files.read_folder(folder / "drawings", f"{shown}/drawings", problems)


def _read_wordings(
    folder: Traversable, shown: str, problems: Problems
) -> dict[str, tuple[str, ...]]:
    """Further wordings by article: one key a slug, its value a list of texts."""
    file, path = folder / WORDINGS_FILE, f"{shown}/{WORDINGS_FILE}"
    if not file.is_file():
        return {}
    text = read_text(file, path=path, problems=problems)
    data = parse_toml(text, path=path, problems=problems) if text else None
    fields = Fields(data or {}, path=path, place="", problems=problems)
    found = {slug: fields.texts(slug, required=True) for slug in data or {}}
    fields.finish()
    return found


def _markdown_files(folder: Traversable) -> Iterable[Traversable]:
    if not folder.is_dir():
        return ()
    return sorted(
        (file for file in folder.iterdir() if file.name.endswith(".md")), key=lambda file: file.name
    )


def _split(text: str) -> tuple[str | None, str, int]:
    lines = text.split("\n")
    if lines[0].strip() != _FENCE:
        return None, text, 1
    for number, line in enumerate(lines[1:], start=1):
        if line.strip() == _FENCE:
            return "\n".join(lines[1:number]), "\n".join(lines[number + 1 :]), number + 2
    return None, text, 1


def _sections(body: str, *, path: str, problems: Problems) -> dict[str, str]:
    parts = [part.rstrip(" ") for part in _HEADING.split(body)]
    if parts[0].strip():
        problems.add(path, "body", f"must begin with the heading “## {HEADINGS[0]}”.")
    found = dict(zip(parts[1::2], (part.strip() for part in parts[2::2]), strict=True))
    if tuple(parts[1::2]) != HEADINGS:
        got = ", ".join(parts[1::2]) or "none"
        problems.add(path, "headings", f"must be {', '.join(HEADINGS)}, in this order; got {got}.")
    for heading in HEADINGS:
        if heading in found and not found[heading]:
            problems.add(path, heading, "is empty.")
    return {heading: found.get(heading, "") for heading in HEADINGS}
