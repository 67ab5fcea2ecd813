"""What an article shows out of the database: recordings that cover it. Without one, nothing."""

from dataclasses import dataclass

from flask import current_app

from kb.errors import StoreError
from kb.recordings import in_words
from kb.store import recordings
from web.database import database
from web.rendering import settings
from web.run_sheets import link_to


@dataclass(frozen=True)
class CoveredAt:
    """A recording that covers an article: its title, day, link and the time in words."""

    title: str
    day: str
    link: str
    words: str


def covered_at(slug: str) -> tuple[CoveredAt, ...]:
    """The recordings that cover an article, the newest first; none if the database is away."""
    try:
        found = recordings.covering(database(), slug)
    except StoreError as error:  # an article is worth reading without them
        current_app.logger.error("recordings not shown: %s", error)
        return ()
    return tuple(
        CoveredAt(
            entry.title,
            entry.published_at,
            link_to(settings(), entry.place, entry.link, entry.second),
            f"from {in_words(entry.second)} on" if entry.second else "from the start",
        )
        for entry in found
    )
