"""Asking: the home page with its one box, the answer, and leaving a question for the keeper."""

import datetime
from typing import cast

from flask import (
    Blueprint,
    current_app,
    flash,
    redirect,
    render_template,
    request,
    session,
    url_for,
)
from flask.typing import ResponseReturnValue

from kb.answers import LONGEST_QUESTION, Answer, Answerer
from kb.errors import InputErrors, InputProblem, StoreError
from kb.grouping import Grouper
from kb.matching.beginnings import Lead, merged
from kb.store import questions as log
from kb.store.questions import LONGEST_FIELD, NewQuestion
from web import posting
from web.config import SITE_PLACE
from web.database import database
from web.limits import POSTING, limited
from web.rendering import content, link_for

blueprint = Blueprint("questions", __name__)
ASKED = "asked"
MOST_LEADS = 6
WORDS_TO_MATCH = 3  # fewer words are only looked up by their beginnings


def answerer() -> Answerer:
    """What answers on this site."""
    return content().answerer


def grouper() -> Grouper:
    """What puts this site's questions into groups."""
    found: Grouper = current_app.extensions["grouper"]
    return found


def log_question(question: NewQuestion, answer: Answer) -> int:
    """Put a question into the log and give its number."""
    now = datetime.datetime.now(datetime.UTC)
    number, _new = grouper().log(database(), question, answer.judgement, now=now, asked_again=True)
    return number


@blueprint.get("/")
def home() -> str:
    """The one box, and the ways to look around."""
    return render_template("questions/home.html", found=content(), longest=LONGEST_QUESTION)


@blueprint.post("/questions")
@limited(POSTING)
def ask() -> ResponseReturnValue:
    """Log the question and lead to its answer."""
    posting.only_if_wanted()
    text = _asked_text(request.form.get("q", ""))
    answer = answerer().answer(text)
    doubt = posting.why_not_logged(text)
    if doubt:
        session.pop(ASKED, None)
        flash(f"Your question is answered below, but was not passed on to the keeper. {doubt}")
        return redirect(url_for(".answers", q=text), 303)
    try:
        session[ASKED] = log_question(NewQuestion(text, SITE_PLACE), answer)
    except StoreError as error:  # the answer matters more to the asker than the log does to us
        session.pop(ASKED, None)
        current_app.logger.error("question not logged: %s", error)
    return redirect(url_for(".answers", q=text), 303)


@blueprint.get("/find")
def find() -> ResponseReturnValue:
    """Pages for a text that is still being typed, as list items; nothing of it is logged."""
    text = request.args.get("q", "").strip()[:LONGEST_QUESTION]
    return render_template("questions/found.html", found=_leads(text))


@blueprint.get("/answers")
def answers() -> ResponseReturnValue:
    """The answer to a question; the address can be passed on, and looking logs nothing."""
    text = request.args.get("q", "").strip()
    if not text:
        return redirect(url_for(".home"))
    answer = answerer().answer(text)
    return render_template(
        "questions/answers.html",
        answer=answer,
        pieces=marked(answer),
        best=content().library.articles[answer.best.slug] if answer.best else None,
        asked=session.get(ASKED) is not None,
    )


@blueprint.post("/questions/contact")
@limited(POSTING)
def contact() -> ResponseReturnValue:
    """Note where a reply reaches the person whose question was just logged."""
    posting.only_if_wanted()
    number = session.get(ASKED)
    if number is None:
        return redirect(url_for(".home"))
    name = _field("asked_by", "Name")
    link = _field("link", "Where a reply reaches you")
    log.add_contact(database(), cast(int, number), asked_by=name, link=link)
    session.pop(ASKED)
    return render_template("questions/left.html", name=name)


def marked(answer: Answer) -> list[tuple[str, str]]:
    """The question in pieces, each with the name of the reading it was taken for, or none."""
    pieces = []
    position = 0
    for reading in sorted(answer.readings.found, key=lambda item: item.start):
        if reading.start < position:
            continue
        pieces.append((answer.text[position : reading.start], ""))
        pieces.append((answer.text[reading.start : reading.end], reading.name))
        position = reading.end
    return [*pieces, (answer.text[position:], "")]


def _leads(text: str) -> list[dict[str, str]]:
    """Where the text may lead: what matching is sure of, then what begins with its words."""
    begun = content().beginnings.find(text, most=MOST_LEADS)
    matched: list[Lead] = []
    if text.count(" ") >= WORDS_TO_MATCH - 1:
        answer = answerer().answer(text)
        articles = answer.matches.articles[:3] if answer.best else ()
        sure = (*articles, *answer.matches.symptoms[:2], *answer.matches.calculators[:1])
        matched = [Lead(item.kind, item.slug, item.title, item.score) for item in sure]
    found = merged(matched, begun, most=MOST_LEADS)
    return [
        {"kind": lead.kind, "title": lead.title, "link": link_for(lead.kind, lead.slug, "")}
        for lead in found
    ]


def _asked_text(raw: str) -> str:
    text = raw.strip()
    if not text:
        message = "Write what you see, or what you want to know."
        raise InputErrors([InputProblem("Your question", "nothing", message)])
    return text


def _field(name: str, label: str) -> str | None:
    text = request.form.get(name, "").strip()
    if len(text) > LONGEST_FIELD:
        message = f"{label} has {len(text)} characters; use at most {LONGEST_FIELD}."
        raise InputErrors([InputProblem(name, f"{text[:40]}…", message)])
    return text or None
