"""Gaps: alike questions that nothing answers, put in order, and an article begun from them."""

import datetime
from pathlib import Path

from flask import (
    Blueprint,
    Response,
    current_app,
    flash,
    redirect,
    render_template,
    request,
    url_for,
)
from flask.typing import ResponseReturnValue

from kb import drafting
from kb.content.load import GROUPS, Article
from kb.errors import InputErrors, InputProblem, KbError
from kb.store import drafts, groups, triage
from kb.store.triage import GAPS, Pile
from web import config
from web.database import database
from web.desk import page_number
from web.rendering import content
from web.replying import learn_from
from web.security import only_the_keeper

blueprint = Blueprint("gaps", __name__, url_prefix="/desk/groups")
blueprint.before_request(only_the_keeper)
MEMBERS = 50
OTHERS = 200
LEARNT_AT_ONCE = 50
DRAFTS = "drafts"


@blueprint.get("/<int:number>")
def group(number: int) -> str:
    """One group: its questions, and what can be done with it."""
    found = groups.get(database(), number)
    page = page_number()
    members = groups.members(database(), number, limit=MEMBERS, offset=(page - 1) * MEMBERS)
    return render_template(
        "desk/group.html",
        group=found,
        members=members,
        page=page,
        pages=-(-found.questions // MEMBERS),
        others=[gap for gap in triage.gaps(database(), limit=OTHERS) if gap.group != number],
        drafts=drafts.of_group(database(), number),
        slug=drafting.slug_of(found.name),
        headings=GROUPS,
        folder=own_folder(),
        articles=content().library.groups(),
        pile=Pile(GAPS, group=number),
    )


@blueprint.post("/<int:number>/rename")
def rename(number: int) -> ResponseReturnValue:
    """Give the group a name of the keeper's."""
    groups.rename(database(), number, request.form.get("name", ""))
    flash("The group has its new name.")
    return _back(number)


@blueprint.post("/<int:number>/merge")
def merge(number: int) -> ResponseReturnValue:
    """Put another group's questions into this one; sent twice, the second finds nothing to do."""
    other = request.form.get("other", 0, type=int)
    name = groups.get(database(), other).name
    groups.merge(database(), number, other)
    flash(f"“{name}” is part of this group now.")
    return _back(number)


@blueprint.post("/<int:number>/split")
def split(number: int) -> ResponseReturnValue:
    """Give one question a group of its own."""
    question = request.form.get("question", 0, type=int)
    groups.split_off(database(), question)
    flash(f"Question {question} has a group of its own now.")
    return _back(number)


@blueprint.post("/<int:number>/answer")
def answer(number: int) -> ResponseReturnValue:
    """Note that one article answers all the group's open questions, and lead to their replies."""
    article = content().library.article(request.form.get("article", ""))
    count = learn_group(number, article)
    flash(f"Learnt: {count} questions ask for “{article.title}”.")
    return redirect(url_for("replying.heap", slug=article.slug), 303)


@blueprint.post("/<int:number>/draft")
def draft(number: int) -> ResponseReturnValue:
    """Begin an article from the group: a file in the own content folder, else one to download."""
    slug = request.form.get("slug", "").strip()
    text = drafted(
        number,
        slug=slug,
        title=request.form.get("title", ""),
        heading=request.form.get("heading", ""),
    )
    now = datetime.datetime.now(datetime.UTC)
    folder = own_folder()
    if folder is not None:
        write_draft(folder, slug, text)
    drafts.begin(database(), slug, group=number, now=now)
    if folder is None:
        headers = {"Content-Disposition": f'attachment; filename="{slug}.md"'}
        return Response(text, mimetype="text/markdown", headers=headers)
    flash(f"{DRAFTS}/{slug}.md is begun in {folder}; move it to articles/ when it is written.")
    return _back(number)


def learn_group(number: int, article: Article) -> int:
    """How many open questions of a group are now known to ask for the article."""
    groups.get(database(), number)
    waiting = groups.members(database(), number, state="open", limit=LEARNT_AT_ONCE)
    worded = [one for one in waiting if not one.forgotten]
    for one in worded:
        learn_from(one, article)
    return len(worded)


def drafted(number: int, *, slug: str, title: str, heading: str) -> str:
    """The text of an article begun from a group; raises InputErrors."""
    found = groups.get(database(), number)
    if slug in content().library.articles:
        message = f"There is an article “{slug}” already; give this one another name."
        raise InputErrors([InputProblem("slug", slug, message)])
    members = groups.members(database(), number, limit=4 * drafting.MOST_WORDINGS)
    return drafting.draft(
        title=title or found.name,
        slug=slug,
        group=heading,
        texts=[one.text for one in members if not one.forgotten],
        today=datetime.datetime.now(datetime.UTC).date(),
    )


def own_folder() -> Path | None:
    """The keeper's own content folder, if the site has one."""
    named = current_app.config.get("CONTENT")
    return config.content_folder(Path(named) if named else None)


def write_draft(folder: Path, slug: str, text: str) -> Path:
    """Write a draft where no page reads it yet; never over one that is there."""
    path = folder / DRAFTS / f"{slug}.md"
    try:
        path.parent.mkdir(exist_ok=True)
        with path.open("x", encoding="utf-8") as target:
            target.write(text)
    except FileExistsError as error:
        raise KbError(f"{path} is there already; nothing was written over it.") from error
    except OSError as error:
        raise KbError(f"{path} cannot be written: {error.strerror}.") from error
    return path


def _back(number: int) -> ResponseReturnValue:
    return redirect(url_for(".group", number=number), 303)
