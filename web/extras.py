"""What an article shows out of the database: recordings and materials. Without one, nothing."""

from dataclasses import dataclass

from flask import current_app

from kb.errors import StoreError
from kb.materials import named
from kb.recordings import in_words
from kb.store import materials, recordings
from kb.store.materials import Material
from web.database import database
from web.rendering import content, settings
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


def materials_for(slug: str) -> tuple[Material, ...]:
    """The materials an article names, of those there is something to say about."""
    try:
        found = materials.listed(database())
    except StoreError as error:
        current_app.logger.error("materials not shown: %s", error)
        return ()
    telling = (material for material in found if material.links or material.remark)
    return named(telling, slug, content().words_of(slug)) if found else ()
