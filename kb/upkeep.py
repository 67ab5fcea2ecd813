"""What needs the keeper's hand: answers to review, asked again, in each other's way, unreached."""

import datetime
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from itertools import chain
from typing import TypeVar

from sqlite_utils import Database

from kb.ageing import months_before
from kb.content import render
from kb.content.load import Article, Library
from kb.matching.limits import SCORE_AT_POSSIBLE
from kb.matching.rank import Ranker
from kb.store import upkeep as log

MONTH = datetime.timedelta(days=30)
RISING_BY = 3
RISING_TIMES = 1.5
LEAST_COMPETING = 2  # one wording alone may be an accident
NEAR = 0.9  # of the first answer's score
RECENT = 300
REPLIES = 20_000
MOST_ASKED = 20
_WEB = re.compile(r"https?://[^\s<>\"“”]+")
Exists = Callable[[str], bool]
_Item = TypeVar("_Item")


@dataclass(frozen=True)
class Due:
    """An answer not reviewed for longer than set."""

    article: str
    reviewed: str


@dataclass(frozen=True)
class AskedAgain:
    """An answer after which people asked again, or whose words were put again."""

    article: str
    people: int
    repeats: int


@dataclass(frozen=True)
class Competing:
    """Two answers in each other's way: own wordings that find the other too, logged near ties."""

    first: str
    second: str
    wordings: int
    logged: int


@dataclass(frozen=True)
class Broken:
    """A link that leads nowhere, with where it stands and why."""

    place: str
    link: str
    reason: str


@dataclass(frozen=True)
class Asked:
    """How many questions an answer had in the last thirty days, and in the thirty before."""

    article: str
    now: int
    before: int

    @property
    def rising(self) -> bool:
        """Has it grown by three questions at least, and by half?"""
        return self.now - self.before >= RISING_BY and self.now >= RISING_TIMES * self.before


@dataclass(frozen=True)
class Unreached:
    """An answer no logged question was matched to for longer than set; ``last`` if ever."""

    article: str
    last: str | None


@dataclass(frozen=True)
class Upkeep:
    """Everything that needs the keeper's hand; ``competing`` is None if not looked for."""

    due: tuple[Due, ...]
    again: tuple[AskedAgain, ...]
    competing: tuple[Competing, ...] | None
    broken: tuple[Broken, ...]
    asked: tuple[Asked, ...]
    unreached: tuple[Unreached, ...]
    log_begins: str | None

    def as_json(self) -> dict[str, object]:
        """The report for programs."""
        report = asdict(self)
        report["asked"] = [asdict(entry) | {"rising": entry.rising} for entry in self.asked]
        return report


def look(
    db: Database,
    library: Library,
    *,
    now: datetime.datetime,
    review_months: int,
    unreached_months: int,
    address: str,
    exists: Exists,
    ranker: Ranker | None = None,
    most_tried: int | None = None,
) -> Upkeep:
    """What needs a hand now; with a ranker also which answers compete, as far as tried.

    ``exists`` tells whether a path of this site, at ``address``, leads somewhere.
    """
    return Upkeep(
        due=due(library, now.date(), review_months),
        again=_again(db, library),
        competing=competing(ranker, library, log.recent_texts(db, limit=RECENT), most=most_tried)
        if ranker
        else None,
        broken=tuple(_broken(db, library, address, exists)),
        asked=_asked(db, library, now),
        unreached=_unreached(db, library, months_before(now, unreached_months)),
        log_begins=log.log_begins(db),
    )


def due(library: Library, today: datetime.date, months: int) -> tuple[Due, ...]:
    """The answers last reviewed more than so many months ago, the oldest first."""
    limit = months_before(today, months)
    found = [article for article in library.articles.values() if article.reviewed < limit]
    found.sort(key=lambda article: article.reviewed)
    return tuple(Due(article.slug, article.reviewed.isoformat()) for article in found)


def competing(
    ranker: Ranker, library: Library, logged: Sequence[str], *, most: int | None = None
) -> tuple[Competing, ...]:
    """Pairs of answers in each other's way, the worst first.

    An own wording counts when it makes another answer possible, although it is the first one's;
    a logged question counts when the second answer comes near the first.
    At most so many of each are tried, at even steps; when all are, one alone does not count.
    """
    least = LEAST_COMPETING if most is None else 1
    wordings: dict[tuple[str, str], int] = {}
    ties: dict[tuple[str, str], int] = {}
    own = [(item.slug, text) for item in library.articles.values() for text in item.phrasings]
    for slug, text in _at_even_steps(own, most):
        for match in ranker.match(text, limit=2).articles:
            if match.slug != slug and match.score >= SCORE_AT_POSSIBLE:
                _count(wordings, slug, match.slug)
    for text in _at_even_steps(logged, most):
        found = ranker.match(text, limit=2)
        best = found.articles
        if found.verdict != "none" and len(best) == 2 and best[1].score >= NEAR * best[0].score:
            _count(ties, best[0].slug, best[1].slug)
    pairs = (
        Competing(*pair, wordings.get(pair, 0), ties.get(pair, 0))
        for pair in dict.fromkeys(chain(wordings, ties))
        if wordings.get(pair, 0) + ties.get(pair, 0) >= least
    )
    return tuple(
        sorted(pairs, key=lambda pair: (-pair.wordings - pair.logged, pair.first, pair.second))
    )


def outside_links(db: Database, library: Library) -> Iterator[tuple[str, str]]:
    """Every link to another site, with where it stands."""
    for article in library.articles.values():
        for markdown in article.sections.values():
            for href, link in render.links(markdown):
                if link is None and href.startswith(("http://", "https://")):
                    yield f"answer “{article.title}”", href
    for source in library.sources.values():
        for text in (source.where, source.note):
            yield from ((f"source {source.id}", link) for link in web_links(text))
    yield from log.stored_links(db)


def web_links(text: str) -> tuple[str, ...]:
    """The web addresses in a text, without the mark that ends their sentence."""
    return tuple(link.rstrip(".,;:!?)") for link in _WEB.findall(text))


def _at_even_steps(items: Sequence[_Item], most: int | None) -> Sequence[_Item]:
    return items[:: max(1, -(-len(items) // most))] if most else items


def _count(pairs: dict[tuple[str, str], int], one: str, other: str) -> None:
    pair = (one, other) if one < other else (other, one)
    pairs[pair] = pairs.get(pair, 0) + 1


def _again(db: Database, library: Library) -> tuple[AskedAgain, ...]:
    found = [
        AskedAgain(slug, again.people, again.repeats)
        for slug, again in log.asked_again(db).items()
        if slug in library.articles
    ]
    return tuple(sorted(found, key=lambda entry: (-entry.people, -entry.repeats, entry.article)))


def _asked(db: Database, library: Library, now: datetime.datetime) -> tuple[Asked, ...]:
    this = log.asked_between(db, now - MONTH, now + datetime.timedelta(seconds=1))
    last = log.asked_between(db, now - 2 * MONTH, now - MONTH)
    found = [
        Asked(slug, count, last.get(slug, 0))
        for slug, count in this.items()
        if slug in library.articles
    ]
    found.sort(key=lambda entry: (-entry.now, entry.article))
    rising = [entry for entry in found[MOST_ASKED:] if entry.rising]
    return (*found[:MOST_ASKED], *rising)


def _unreached(db: Database, library: Library, since: datetime.datetime) -> tuple[Unreached, ...]:
    last: Mapping[str, str] = log.last_reached(db)
    limit = since.astimezone(datetime.UTC).isoformat(timespec="seconds")
    found = [
        Unreached(slug, last.get(slug)) for slug in library.articles if last.get(slug, "") < limit
    ]
    return tuple(sorted(found, key=lambda entry: (entry.last or "", entry.article)))


def _broken(db: Database, library: Library, address: str, exists: Exists) -> Iterator[Broken]:
    for slug, place in log.articles_named(db).items():
        if slug not in library.articles:
            yield Broken(place, f"/articles/{slug}", "there is no such answer any more")
    for number, text in log.replies_with_links(db, limit=REPLIES):
        for link in web_links(text):
            path = link.removeprefix(address)
            if link.startswith(f"{address}/") and not exists(path):
                yield Broken(f"reply to question {number}", link, "no page is there any more")


def title(library: Library, slug: str) -> str:
    """The title of an article, or its slug if it is gone."""
    article: Article | None = library.articles.get(slug)
    return article.title if article else slug
