"""An article begun from questions, and wordings put into an article's own file."""

import datetime
import json
import re
from collections.abc import Iterable, Mapping, Sequence

from kb.content.load import GROUPS, HEADINGS, read_article
from kb.errors import InputErrors, InputProblem, KbError
from kb.fields import Problems, is_slug

MOST_WORDINGS = 25
LONGEST_WORDING = 160
_PHRASINGS = re.compile(r"^phrasings = \[(.*?)^\]", re.MULTILINE | re.DOTALL)
_CONTROL = re.compile(r"[\x00-\x1f\x7f]+")
_TO_DO = {
    "Short answer": "Three or four sentences that stand alone as a reply.",
    "Why": "What lies behind it.",
    "How": "What to do, step by step.",
    "Cautions": "What can hurt people, fish or plants, and what to defer to.",
    "Sources": "Where each figure comes from.",
}


def slug_of(title: str) -> str:
    """An id made of a title's words."""
    words = re.findall(r"[a-z0-9]+", title.casefold())
    return "-".join(words)[:60].strip("-")


def draft(*, title: str, slug: str, group: str, texts: Iterable[str], today: datetime.date) -> str:
    """An article's file with its front matter filled in as far as the questions tell.

    Raises InputErrors for a title, slug or group that no article can have.
    """
    title = _one_line(title)
    problems = []
    if not title:
        problems.append(InputProblem("title", title, "Give the article a title: its question."))
    if not is_slug(slug):
        message = "The file's name must be small letters, digits and single hyphens."
        problems.append(InputProblem("slug", slug[:60], message))
    if group not in GROUPS:
        message = f"Choose one of {', '.join(GROUPS)}."
        problems.append(InputProblem("group", group[:60], message))
    if problems:
        raise InputErrors(problems)
    lists = "".join(f"{name} = []\n" for name in ("symptoms", "calculators", "related"))
    body = "".join(f"\n## {heading}\n\n{_TO_DO[heading]}\n" for heading in HEADINGS)
    return (
        f"+++\ntitle = {_quoted(title)}\ngroup = {_quoted(group)}\n"
        f"phrasings = [\n{_listed(wordings(texts))}]\n{lists}"
        f'sources = ["common-practice"]\ncautions = []\nreviewed = {today.isoformat()}\n'
        f'confidence = "low"\nconfidence_why = "Begun from questions; nothing looked up yet."\n'
        f"+++\n{body}"
    )


def wordings(texts: Iterable[str]) -> tuple[str, ...]:
    """Texts as wordings of an article: a line each, none twice, none too long, so many at most."""
    found: dict[str, str] = {}
    for text in texts:
        line = _one_line(text)
        if 0 < len(line) <= LONGEST_WORDING:
            found.setdefault(line.casefold(), line)
    return tuple(found.values())[:MOST_WORDINGS]


def as_toml(by_article: Mapping[str, Sequence[str]]) -> str:
    """Wordings article by article, ready to be pasted into each one's list of phrasings."""
    parts = (
        f"# articles/{slug}.md: into its list of phrasings\n{_listed(_lines(texts))}"
        for slug, texts in sorted(by_article.items())
    )
    return "\n".join(parts)


def with_wordings(text: str, more: Iterable[str], *, path: str) -> str:
    """An article's file with further phrasings; raises KbError when it cannot take them."""
    known = _read(text, path)
    had = {phrasing.casefold() for phrasing in known}
    new = tuple(line for line in _lines(more) if line.casefold() not in had)
    place = _PHRASINGS.search(text)
    if place is None:
        raise KbError(f"{path}: its list “phrasings” does not stand line by line; paste by hand.")
    before = place[1].rstrip()
    comma = "" if not before or before.endswith(",") else ","
    changed = f"{text[: place.start(1)]}{before}{comma}\n{_listed(new)}{text[place.end(1) :]}"
    if _read(changed, path) != (*known, *new):
        raise KbError(f"{path}: the wordings do not fit into its phrasings; paste by hand.")
    return changed


def _read(text: str, path: str) -> tuple[str, ...]:
    problems = Problems()
    article = read_article(text, slug="article", path=path, problems=problems)
    problems.raise_any()
    return article.phrasings if article else ()


def _lines(texts: Iterable[str]) -> tuple[str, ...]:
    lines = (_one_line(text) for text in texts)
    return tuple({line.casefold(): line for line in lines if line}.values())


def _listed(texts: Iterable[str]) -> str:
    return "".join(f"  {_quoted(text)},\n" for text in texts)


def _quoted(text: str) -> str:
    """A text as TOML writes it; JSON's strings are TOML's, once control characters are gone."""
    return json.dumps(text, ensure_ascii=False)


def _one_line(text: str) -> str:
    return " ".join(_CONTROL.sub(" ", text).split())
