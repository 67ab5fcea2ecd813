"""Recordings on the desk: the run sheet before, and what comes out of it afterwards."""

import datetime

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from kb import recordings as plain
from kb.errors import InputErrors, InputProblem
from kb.store import groups, recordings
from kb.store import questions as log
from web import run_sheets
from web.database import database
from web.rendering import content, settings
from web.run_sheets import Sheet, day_of, place_of, times_of, title_of, web_link
from web.security import only_the_keeper

blueprint = Blueprint("runsheet", __name__, url_prefix="/desk/recordings")
blueprint.before_request(only_the_keeper)
MOST_OFFERED = 12


@blueprint.get("/")
def index() -> str:
    """Every recording, and a form for a new one."""
    return render_template("runsheet/index.html", recordings=recordings.listed(database()))


@blueprint.post("/")
def plan() -> ResponseReturnValue:
    """Plan a recording."""
    title = title_of(request.form.get("title", ""), "The title")
    number = recordings.plan(
        database(), title, planned_for=_day("planned_for", "The day"), now=_now()
    )
    return redirect(url_for(".sheet", number=number), 303)


@blueprint.get("/<int:number>")
def sheet(number: int) -> str:
    """The run sheet with its forms, and what might still be put on it."""
    found = _sheet(number)
    on_it = {line.item.article for line in found.lines}
    waiting = [
        entry
        for entry in recordings.waiting(database(), limit=MOST_OFFERED + len(on_it))
        if entry.article not in on_it and entry.article in content().library.articles
    ]
    return render_template(
        "runsheet/sheet.html",
        sheet=found,
        waiting=waiting[:MOST_OFFERED],
        unanswered=groups.listed(database(), answered=False, limit=MOST_OFFERED),
        groups=content().library.groups(),
        longest=run_sheets.LONGEST_TITLE,
    )


@blueprint.get("/<int:number>/read")
def read(number: int) -> str:
    """The run sheet to read on a phone or to print."""
    return render_template("runsheet/read.html", sheet=_sheet(number))


@blueprint.post("/<int:number>/change")
def change(number: int) -> ResponseReturnValue:
    """Give a recording another title or day."""
    title = title_of(request.form.get("title", ""), "The title")
    recordings.change(database(), number, title, planned_for=_day("planned_for", "The day"))
    return redirect(url_for(".sheet", number=number), 303)


@blueprint.post("/<int:number>/remove")
def remove(number: int) -> ResponseReturnValue:
    """Take a recording away; its questions stay on the desk."""
    recordings.remove(database(), number)
    flash(f"Recording {number} is gone; its questions are still on the desk.")
    return redirect(url_for(".index"), 303)


@blueprint.post("/<int:number>/items")
def add(number: int) -> ResponseReturnValue:
    """Put an article, a question, a group of questions or a topic on the run sheet."""
    form, db = request.form, database()
    if form.get("article"):
        slug = content().library.article(form["article"]).slug
        recordings.add_article(db, number, slug, askers="askers" in form)
    elif form.get("group"):
        recordings.add_group(db, number, _whole(form["group"], "The group"), article=None)
    elif form.get("question"):
        asked = log.get(db, _whole(form["question"], "The question"))
        recordings.add_question(db, number, asked.id, article=run_sheets.surely(asked, content()))
    else:
        recordings.add_topic(db, number, title_of(form.get("title", ""), "The topic"))
    return redirect(url_for(".sheet", number=number, _anchor="add"), 303)


@blueprint.get("/add")
def choose() -> str:
    """Choose the recording in which a question is to be answered."""
    asked = log.get(database(), _whole(request.args.get("question", ""), "The question"))
    planned = [entry for entry in recordings.listed(database()) if not entry.link]
    return render_template("runsheet/choose.html", question=asked, recordings=planned)


@blueprint.post("/<int:number>/order")
def order(number: int) -> ResponseReturnValue:
    """Put the items in the order of their topics."""
    found = recordings.items(database(), number)
    wanted = plain.by_topic(found, content().library.articles)
    recordings.put_in_order(database(), number, [item.id for item in wanted])
    return redirect(url_for(".sheet", number=number), 303)


@blueprint.post("/items/<int:item>")
def change_item(item: int) -> ResponseReturnValue:
    """Move an item, take it off, or give it another title or article."""
    found, act = recordings.item(database(), item), request.form.get("act", "")
    if act in ("up", "down"):
        recordings.move(database(), item, -1 if act == "up" else 1)
    elif act == "off":
        recordings.remove_item(database(), item)
    else:
        given = request.form.get("title", "")
        title = title_of(given, "The title") if given.strip() else None
        slug = request.form.get("article") or None
        if slug and slug != found.article:
            content().library.article(slug)
        recordings.change_item(database(), item, title=title, article=slug)
    anchor = None if act == "off" else f"item-{item}"
    return redirect(url_for(".sheet", number=found.recording, _anchor=anchor), 303)


@blueprint.route("/<int:number>/afterwards", methods=["GET", "POST"])
def afterwards(number: int) -> ResponseReturnValue:
    """Put in where the recording is and when each item starts."""
    found = _sheet(number)
    if request.method == "POST":
        _enter(found)
        return redirect(url_for(".texts", number=number), 303)
    return render_template("runsheet/afterwards.html", sheet=found)


@blueprint.get("/<int:number>/texts")
def texts(number: int) -> str:
    """What comes out of a recording: texts to put under it, replies, thanks."""
    found = _sheet(number)
    return render_template(
        "runsheet/texts.html",
        sheet=found,
        texts=run_sheets.texts(found, settings(), content()),
        replies=run_sheets.replies(database(), found, settings(), content()),
        thanks=run_sheets.thanks(found),
    )


@blueprint.post("/<int:number>/replies/<int:question>")
def replied(number: int, question: int) -> ResponseReturnValue:
    """Note that the ready reply was sent; sending the form twice notes it once."""
    ready = run_sheets.replies(database(), _sheet(number), settings(), content())
    if run_sheets.mark_replied(database(), ready, question, now=_now()):
        flash(f"Question {question} is marked as replied.")
    return redirect(url_for(".texts", number=number, _anchor="replies"), 303)


def _sheet(number: int) -> Sheet:
    return run_sheets.read_sheet(database(), number, content())


def _enter(sheet: Sheet) -> None:
    """Check all that was put in, then store all of it."""
    form = request.form
    raw = {line.item.id: form.get(f"second-{line.item.id}", "") for line in sheet.lines}
    seconds = times_of(sheet.lines, raw)
    link = web_link(form.get("link", ""), "The link")
    day = _day("published_on", "The day") or _now().date()
    recordings.enter(
        database(),
        sheet.recording.id,
        link=link,
        place=place_of(form.get("place", ""), settings()),
        published_on=day if link else None,
        seconds=seconds,
    )


def _day(name: str, label: str) -> datetime.date | None:
    return day_of(request.form.get(name, ""), label)


def _whole(raw: str, label: str) -> int:
    if not raw.isascii() or not raw.isdigit() or len(raw) > 12:
        message = f"{label} must be given by its number, not “{raw[:20]}”."
        raise InputErrors([InputProblem(label, raw[:20], message)])
    return int(raw)


def _now() -> datetime.datetime:
    return datetime.datetime.now(datetime.UTC)
