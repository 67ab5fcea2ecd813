"""A run sheet with all that comes out of it: texts, replies, thanks, where things were covered."""

import datetime
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sqlite_utils import Database

from kb.content.load import Article
from kb.errors import InputErrors, InputProblem
from kb.recordings import (
    Chapter,
    RecordingPlace,
    Under,
    Written,
    clock,
    in_words,
    link_at,
    read_clock,
    under_recording,
)
from kb.store import places, recordings
from kb.store import replies as sent
from kb.store.places import Place
from kb.store.questions import LONGEST_FIELD, Question
from kb.store.recordings import Covered, Item, Recording
from web.config import Settings
from web.content import Content
from web.replies import greeting

ANYWHERE = RecordingPlace("any place")
UNTITLED = "A question from the audience"
LONGEST_TITLE = 120
LONGEST_LINK = 2000
_WEB = re.compile(r"https?://[^\s<>\"]+")


@dataclass(frozen=True)
class Line:
    """One item of a run sheet, its article, its askers, and where it was covered before."""

    item: Item
    article: Article | None
    askers: tuple[Question, ...]
    before: tuple[Recording, ...]

    @property
    def title(self) -> str:
        """What is said, in words that may be shown to anybody: never the askers' own."""
        return self.item.title or (self.article.title if self.article else UNTITLED)


@dataclass(frozen=True)
class Sheet:
    """A recording and its lines in order."""

    recording: Recording
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class ReadyReply:
    """A reply that tells where a question was answered."""

    question: Question
    article: str | None
    text: str


def read_sheet(db: Database, number: int, content: Content) -> Sheet:
    """A run sheet with its articles, askers and former recordings; raises NotFound."""
    before = recordings.covered_before(db, number)
    asked: dict[int, list[Question]] = {}
    for asker in recordings.askers(db, number):
        asked.setdefault(asker.item, []).append(asker.question)
    lines = (
        Line(
            item,
            content.library.articles.get(item.article or ""),
            tuple(asked.get(item.id, ())),
            before.get(item.article or "", ()),
        )
        for item in recordings.items(db, number)
    )
    return Sheet(recordings.get(db, number), tuple(lines))


def texts(
    sheet: Sheet, settings: Settings, content: Content
) -> tuple[tuple[RecordingPlace, Under], ...]:
    """The text under the recording for each place it may be shown at."""
    chapters = [
        Chapter(line.item.second, line.title)
        for line in sheet.lines
        if line.item.second is not None
    ]
    articles = {line.article.slug: line.article for line in sheet.lines if line.article}
    written = [
        Written(article.title, settings.address + content.short_path(article.slug))
        for article in articles.values()
    ]
    return tuple(
        (
            place,
            under_recording(sheet.recording.title, chapters, written, longest=place.longest_text),
        )
        for place in settings.recording_places or (ANYWHERE,)
    )


def replies(
    db: Database, sheet: Sheet, settings: Settings, content: Content
) -> tuple[ReadyReply, ...]:
    """A reply to everyone whose question the recording answers; none before it has a link.

    Each greets as its place wants it and is no longer than that allows.
    """
    if sheet.recording.link is None:
        return ()
    asked_in = {question.place for line in sheet.lines for question in line.askers}
    own = {place: places.get(db, place) for place in asked_in}
    return tuple(
        ReadyReply(
            question,
            line.article.slug if line.article else None,
            _reply(sheet.recording, line, question, own[question.place], settings, content),
        )
        for line in sheet.lines
        for question in line.askers
        if question.state != "set-aside" and not question.forgotten
    )


def mark_replied(
    db: Database, ready: Iterable[ReadyReply], question: int, *, now: datetime.datetime
) -> bool:
    """Note a ready reply as sent; false if its question is not open or not among them."""
    for reply in ready:
        if reply.question.id == question and reply.question.state == "open":
            sent.send(db, question, reply.text, article=reply.article, now=now)
            return True
    return False


def thanks(sheet: Sheet) -> tuple[str, ...]:
    """Those whose questions are answered, each once, by the names they gave."""
    names: dict[str, str] = {}
    for line in sheet.lines:
        for question in line.askers:
            if question.asked_by:
                names.setdefault(question.asked_by.casefold(), question.asked_by)
    return tuple(names.values())


def link_to(settings: Settings, place: str | None, link: str, second: int | None) -> str:
    """The link to a second, as the recording's place wants it."""
    places = {entry.name: entry for entry in settings.recording_places}
    return link_at(places.get(place or "", ANYWHERE).second_link, link, second)


def covered_line(covered: Covered, settings: Settings) -> str:
    """Where a question was answered, in a line for a reply: time in words, then the link."""
    link = link_to(settings, covered.place, covered.link, covered.second)
    return f"Answered in “{covered.title}”{_from(covered.second)}: {link}"


def surely(asked: Question, content: Content) -> str | None:
    """The article that surely answers a question and still exists."""
    known = asked.article in content.library.articles
    return asked.article if known and asked.verdict == "strong" else None


def title_of(raw: str, label: str) -> str:
    """A title in one line; raises InputErrors when it is missing or too long."""
    title = " ".join(raw.split())
    if not 0 < len(title) <= LONGEST_TITLE:
        message = f"{label} has {len(title)} characters; write 1 to {LONGEST_TITLE}."
        raise InputErrors([InputProblem(label, title[:40], message)])
    return title


def web_link(raw: str, label: str) -> str | None:
    """A link that begins with http:// or https://, or none; raises InputErrors."""
    link = raw.strip()
    if not link:
        return None
    if len(link) > LONGEST_LINK or not _WEB.fullmatch(link):
        message = (
            f"{label} “{link[:60]}” cannot be used; give one address that begins with "
            f"http:// or https:// and has at most {LONGEST_LINK} characters."
        )
        raise InputErrors([InputProblem(label, link[:60], message)])
    return link


def place_of(raw: str, settings: Settings) -> str | None:
    """The place a recording is shown at: one of the settings', or none; raises InputErrors."""
    names = [place.name for place in settings.recording_places]
    place = raw.strip()
    if place and place not in names:
        known = ", ".join(names) or "none; add a [[recording_place]] to the settings"
        message = f"“{place[:LONGEST_FIELD]}” is no place for recordings; known are {known}."
        raise InputErrors([InputProblem("place", place[:40], message)])
    return place or None


def day_of(raw: str, label: str) -> datetime.date | None:
    """A date written 2026-03-31, or none; raises InputErrors."""
    text = raw.strip()
    try:
        return datetime.date.fromisoformat(text) if text else None
    except ValueError:
        message = f"{label} “{text[:20]}” is no date; write it like 2026-03-31."
        raise InputErrors([InputProblem(label, text[:20], message)]) from None


def times_of(lines: Iterable[Line], raw: Mapping[int, str]) -> dict[int, int | None]:
    """The second at which each item starts; raises InputErrors with every fault."""
    problems: list[InputProblem] = []
    found: dict[int, int | None] = {}
    for line in lines:
        text = raw.get(line.item.id, "").strip()
        second = read_clock(text) if text else None
        if text and second is None:
            message = f"“{line.title}” cannot start at “{text[:20]}”; write h:mm:ss or seconds."
            problems.append(InputProblem(line.title, text[:20], message))
        elif second is not None and second in found.values():
            message = f"Two items start at {clock(second)}; each needs a second of its own."
            problems.append(InputProblem(line.title, text[:20], message))
        found[line.item.id] = second
    if problems:
        raise InputErrors(problems)
    return found


def _reply(
    recording: Recording,
    line: Line,
    question: Question,
    place: Place,
    settings: Settings,
    content: Content,
) -> str:
    """The reply without what its place has no room for; the link to the recording stays."""
    second = line.item.second
    link = link_to(settings, recording.place, recording.link or "", second)
    hello = greeting(place.greeting or settings.greeting, question.asked_by)
    told = f"Your question is answered in “{recording.title}”{_from(second)}:\n{link}"
    written = ""
    if line.article:
        address = settings.address + content.short_path(line.article.slug)
        written = f"The answer in writing: {address}"
    longest = place.longest_reply or settings.longest_reply
    for parts in ((hello, told, written), (hello, told), (told,)):
        text = "\n\n".join(part for part in parts if part)
        if len(text) <= longest:
            return text
    return link


def _from(second: int | None) -> str:
    return f", from {in_words(second)} on" if second else ""
