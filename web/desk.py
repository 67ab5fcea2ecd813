"""The keeper's desk, behind the login: what was asked, and a reply to copy."""

import datetime
from urllib.parse import urlsplit

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from flask_login import current_user, login_user, logout_user

from kb.content.load import Article
from kb.errors import InputErrors, InputProblem
from kb.store import questions as log
from kb.store import replies as sent
from web import questions, replies
from web.database import database
from web.rendering import content
from web.security import LOGIN_LIMIT, check_passphrase, limiter, only_the_keeper

blueprint = Blueprint("desk", __name__, url_prefix="/desk")
PAGE = 50
LONGEST_REPLY = 10_000


@blueprint.before_request
def _guard() -> ResponseReturnValue | None:
    return None if request.endpoint == "desk.login" else only_the_keeper()


@blueprint.route("/login", methods=["GET", "POST"])
@limiter.limit(LOGIN_LIMIT, methods=["POST"])
def login() -> ResponseReturnValue:
    """Ask for the passphrase and let the keeper in."""
    if current_user.is_authenticated:
        return redirect(url_for(".desk"))
    wrong = False
    if request.method == "POST":
        keeper = check_passphrase(database(), request.form.get("passphrase", ""))
        if keeper:
            login_user(keeper)
            return redirect(_own_page(request.args.get("next", "")))
        wrong = True
    page = render_template("desk/login.html", wrong=wrong, next=request.args.get("next", ""))
    return page, 403 if wrong else 200


@blueprint.post("/logout")
def logout() -> ResponseReturnValue:
    """Leave the desk."""
    logout_user()
    return redirect(url_for("questions.home"))


@blueprint.get("/")
def desk() -> str:
    """The questions in one state, urgent ones first."""
    state = request.args.get("state", "open")
    if state not in log.STATES:
        abort(404)
    page = max(request.args.get("page", 1, type=int), 1)
    counts = log.counts(database())
    found = log.listed(database(), state=state, limit=PAGE, offset=(page - 1) * PAGE)
    return render_template(
        "desk/desk.html",
        state=state,
        counts=counts,
        questions=found,
        page=page,
        pages=-(-counts[state] // PAGE),
        articles=content().library.articles,
    )


@blueprint.get("/questions/<int:number>")
def question(number: int) -> str:
    """One question with what is known about it and a reply to copy."""
    found = log.get(database(), number)
    answer = questions.answerer().answer(found.text)
    chosen = _chosen(request.args.get("article"), answer.best.slug if answer.best else None)
    return render_template(
        "desk/question.html",
        question=found,
        answer=answer,
        pieces=questions.marked(answer),
        chosen=chosen,
        reply=replies.compose(answer, chosen, name=found.asked_by),
        sent=sent.of_question(database(), number),
        groups=content().library.groups(),
    )


@blueprint.post("/questions/<int:number>/reply")
def reply(number: int) -> ResponseReturnValue:
    """Note the reply as sent."""
    text = request.form.get("text", "").strip()
    if not 0 < len(text) <= LONGEST_REPLY:
        message = f"The reply has {len(text)} characters; write 1 to {LONGEST_REPLY}."
        raise InputErrors([InputProblem("reply", f"{text[:40]}…", message)])
    article = request.form.get("article") or None
    if article:
        content().library.article(article)
    now = datetime.datetime.now(datetime.UTC)
    sent.send(database(), number, text, article=article, now=now)
    flash(f"Question {number} is marked as replied.")
    return redirect(url_for(".desk"), 303)


@blueprint.post("/questions/<int:number>/state")
def move(number: int) -> ResponseReturnValue:
    """Set a question aside, or open it again."""
    state = request.form.get("state", "")
    if state not in log.STATES:
        abort(404)
    log.set_state(database(), number, state)
    words = {"open": "is open again", "set-aside": "is set aside", "replied": "is replied"}
    flash(f"Question {number} {words[state]}.")
    return redirect(url_for(".desk"), 303)


@blueprint.post("/questions/<int:number>/forget")
def forget(number: int) -> ResponseReturnValue:
    """Remove the asker's name, link and words."""
    log.forget(database(), number)
    flash(f"Name, link and words of question {number} are gone; it still counts.")
    return redirect(url_for(".desk"), 303)


def _chosen(slug: str | None, best: str | None) -> Article | None:
    """The article to reply with: the one picked, none if none was picked, else the best."""
    named = best if slug is None else slug
    return content().library.article(named) if named else None


def _own_page(address: str) -> str:
    """An address on this site to go on to; anything else leads to the desk."""
    parts = urlsplit(address)
    if parts.scheme or parts.netloc or not address.startswith("/") or address[1:2] in ("/", "\\"):
        return url_for(".desk")
    return address
