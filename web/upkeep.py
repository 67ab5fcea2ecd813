"""Upkeep on the desk: what needs the keeper's hand."""

import datetime
from functools import partial

from flask import Blueprint, render_template, request
from sqlite_utils import Database

from kb import upkeep
from kb.upkeep import Upkeep
from web.config import Settings
from web.content import Content
from web.database import database
from web.rendering import content, settings
from web.security import only_the_keeper

blueprint = Blueprint("upkeep", __name__, url_prefix="/desk/upkeep")
blueprint.before_request(only_the_keeper)
COMPETING = "competing"
MOST_SHOWN = 40
MOST_TRIED = 250  # wordings, and logged questions: a page must not take long


@blueprint.get("/")
def index() -> str:
    """What needs a hand; which answers compete only when asked, for it takes a while."""
    report = report_on(
        database(),
        content(),
        settings(),
        now=datetime.datetime.now(datetime.UTC),
        with_competing=COMPETING in request.args,
        most_tried=MOST_TRIED,
    )
    return render_template(
        "upkeep/index.html",
        report=report,
        most=MOST_SHOWN,
        tried=MOST_TRIED,
        title=partial(upkeep.title, content().library),
    )


def report_on(
    db: Database,
    found: Content,
    chosen: Settings,
    *,
    now: datetime.datetime,
    with_competing: bool,
    most_tried: int | None = None,
) -> Upkeep:
    """The report on a site, as its page and its command show it."""
    return upkeep.look(
        db,
        found.library,
        now=now,
        review_months=chosen.review_months,
        unreached_months=chosen.unreached_months,
        address=chosen.address,
        exists=partial(exists, found),
        ranker=found.ranker if with_competing else None,
        most_tried=most_tried,
    )


def exists(found: Content, path: str) -> bool:
    """Does a path of this site lead somewhere? Those of no answer, symptom or sum count as so."""
    parts = path.partition("?")[0].partition("#")[0].strip("/").split("/")
    known = {
        "articles": found.library.articles,
        "a": set(found.short_codes.values()),
        "symptoms": found.rulebook.symptoms,
        "calculators": found.calculators,
    }
    return len(parts) != 2 or parts[0] not in known or parts[1] in known[parts[0]]
