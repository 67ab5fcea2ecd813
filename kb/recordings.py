"""What comes out of a run sheet: times in words, links to a second, the text under a recording."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar
from urllib.parse import urlsplit

from kb.content.load import GROUPS, Article
from kb.fields import Fields
from kb.store.recordings import Item

DEFAULT_LINK = "{link}"
LONGEST_SECOND = 100 * 3600 - 1
LONGEST_TEXT = 100_000
START = "Start"
CHAPTERS = "In this recording:"
ANSWERS = "The answers in writing:"
_FIELD = re.compile(r"\{(\w*)\}")
_CLOCK = re.compile(r"(?:(?:(\d{1,2}):)?([0-5]?\d):([0-5]\d)|(\d{1,6}))", re.ASCII)
_Entry = TypeVar("_Entry", bound=Item)


@dataclass(frozen=True)
class RecordingPlace:
    """A place where recordings are shown: how a link carries a second, how long a text may be."""

    name: str
    second_link: str = DEFAULT_LINK
    longest_text: int = 0


@dataclass(frozen=True)
class Chapter:
    """Where something starts in a recording."""

    second: int
    title: str


@dataclass(frozen=True)
class Written:
    """An answer in writing that a recording mentions."""

    title: str
    link: str


@dataclass(frozen=True)
class Under:
    """The text to put under a recording, and the lines that had no room."""

    text: str
    left_out: tuple[str, ...]

    @property
    def length(self) -> int:
        """How long the text is."""
        return text_length(self.text)


def clock(second: int) -> str:
    """A second as h:mm:ss."""
    return f"{second // 3600}:{second // 60 % 60:02}:{second % 60:02}"


def read_clock(text: str) -> int | None:
    """The second in a text such as 1:02:03, 62:03 or 3723; None when it is none of them."""
    match = _CLOCK.fullmatch(text.strip().replace("：", ":"))
    if match:
        hours, minutes, seconds, alone = (int(part) if part else 0 for part in match.groups())
        found = alone if match[4] else hours * 3600 + minutes * 60 + seconds
        if found <= LONGEST_SECOND:
            return found
    return None


def in_words(second: int) -> str:
    """A second as one says it: 1 hour 2 minutes 3 seconds."""
    parts = ((second // 3600, "hour"), (second // 60 % 60, "minute"), (second % 60, "second"))
    said = [f"{count} {unit}{'s' if count != 1 else ''}" for count, unit in parts if count]
    return " ".join(said) or "the start"


def link_at(template: str, link: str, second: int | None) -> str:
    """The link to a second of a recording, by a place's template."""
    if second is None or "{second}" not in template:
        return link
    address, mark, fragment = link.partition("#")
    if "#" in template:
        address, mark, fragment = link.split("#")[0], "", ""
    tail = template.removeprefix("{link}").replace("{second}", str(second))
    if tail.startswith("?") and urlsplit(address).query:
        tail = f"&{tail[1:]}"
    return f"{address}{tail}{mark}{fragment}"


def read_place(fields: Fields) -> RecordingPlace:
    """A place out of the settings; every fault is noted."""
    template = fields.text("second_link", DEFAULT_LINK)
    unknown = set(_FIELD.findall(template)) - {"link", "second"}
    if not template.startswith("{link}") or template.count("{link}") != 1 or unknown:
        message = "must begin with {link} and may hold {second}, such as {link}#t={second}."
        fields.problem(message, "second_link")
    longest = fields.number("longest_text", 0) or 0
    if not 0 <= longest <= LONGEST_TEXT or longest != int(longest):
        message = f"must be a whole number from 0 (no limit) to {LONGEST_TEXT}."
        fields.problem(message, "longest_text")
    place = RecordingPlace(fields.text("name"), template, int(longest))
    fields.finish()
    return place


def by_topic(items: Iterable[_Entry], articles: Mapping[str, Article]) -> tuple[_Entry, ...]:
    """The items under the headings of their articles, in the order they have; the rest behind."""

    def heading(item: Item) -> int:
        article = articles.get(item.article or "")
        return GROUPS.index(article.group) if article else len(GROUPS)

    return tuple(sorted(items, key=heading))


def under_recording(
    title: str, chapters: Sequence[Chapter], answers: Sequence[Written], *, longest: int = 0
) -> Under:
    """The text to put under a recording, within a length (0: any).

    Chapters begin at 0:00:00.
    Whatever has no room goes as a whole line, the least needed first: the title, the titles of
    the answers, then answers and chapters from the end.
    A link is never cut.
    """
    times = [f"{clock(chapter.second)} {chapter.title}" for chapter in _from_the_start(chapters)]
    full = [f"{answer.title}\n{answer.link}" for answer in answers]
    bare = [answer.link for answer in answers]
    for head, links in (([title], full), ([], full), ([], bare)):
        text = _laid_out(head, times, links)
        if _fits(text, longest):
            return Under(text, ())
    left: list[str] = []
    while times or bare:
        left.append((bare or times).pop())
        if len(times) == 1 and not bare:
            left.append(times.pop())  # a start alone tells nothing
        text = _laid_out([], times, bare)
        if _fits(text, longest):
            return Under(text, tuple(reversed(left)))
    return Under("", tuple(reversed(left)))


def text_length(text: str) -> int:
    """How long a text is where signs beyond the common ones count twice."""
    return len(text.encode("utf-16-le", "surrogatepass")) // 2


def _from_the_start(chapters: Sequence[Chapter]) -> list[Chapter]:
    found = sorted(chapters, key=lambda chapter: chapter.second)
    if found and found[0].second > 0:
        found.insert(0, Chapter(0, START))
    return found


def _laid_out(head: list[str], times: list[str], links: list[str]) -> str:
    blocks = (head, [CHAPTERS, *times] if times else [], [ANSWERS, *links] if links else [])
    return "\n\n".join("\n".join(block) for block in blocks if block)


def _fits(text: str, longest: int) -> bool:
    return longest == 0 or text_length(text) <= longest
