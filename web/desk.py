"""The keeper's desk, behind the login: what was asked, in the order it is worked through."""

import datetime
from urllib.parse import urlsplit

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from flask_login import current_user, login_user, logout_user

from kb import judging
from kb.alarms import alarms
from kb.readings import read, urgency
from kb.store import acts, triage
from kb.store import questions as log
from kb.store.questions import Question
from kb.store.triage import ANSWERED, GAPS, SECTIONS, Pile
from web import looking
from web.database import database
from web.limits import LOGIN, limited
from web.rendering import content
from web.security import check_passphrase, only_the_keeper

blueprint = Blueprint("desk", __name__, url_prefix="/desk")
PAGE = 50
ON_THE_FRONT = 4
SECTION_WORDS = {
    "urgent": "May be an emergency",
    "answered": "An article answers",
    "doubtful": "Doubtful",
    "gaps": "Nothing answers",
    "chatter": "Asks nothing",
}


@blueprint.before_request
def _guard() -> ResponseReturnValue | None:
    return None if request.endpoint == "desk.login" else only_the_keeper()


@blueprint.app_context_processor
def _for_desk_pages() -> dict[str, object]:
    """What the frame of every desk page may ask for; nothing is counted before it does."""
    return {
        "desk_counts": lambda: triage.counts(database()),
        "state_counts": lambda: log.counts(database()),
        "last_act": lambda: acts.last(database()),
        "SECTION_WORDS": SECTION_WORDS,
    }


@blueprint.route("/login", methods=["GET", "POST"])
@limited(LOGIN)
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
    """Every section with its first questions; or one section, or the questions of one state."""
    state = request.args.get("state", "open")
    section = request.args.get("section", "")
    if state not in log.STATES or section not in ("", *SECTIONS):
        abort(404)
    if state != "open":
        return _of_state(state)
    waiting = looking.go_on()
    if section:
        return _section(section)
    return render_template(
        "desk/desk.html",
        sections={name: _rows(name, ON_THE_FRONT, 0) for name in SECTIONS},
        counts=triage.counts(database()),
        waiting=waiting,
        reasons=reasons,
    )


@blueprint.post("/look-again")
def look_again() -> ResponseReturnValue:
    """Have every open question matched once more, with what has been learnt since."""
    judging.again(database(), content().library)
    looking.go_on()
    flash("Every open question is being looked at again.")
    return redirect(url_for(".desk"), 303)


@blueprint.post("/undo")
def undo() -> ResponseReturnValue:
    """Take back one act; what was sent twice takes back nothing more."""
    act = request.form.get("act", 0, type=int)
    back = acts.undo(database(), act, now=datetime.datetime.now(datetime.UTC))
    if not back:
        flash("That was undone already; nothing was changed.")
        return redirect(url_for(".desk"), 303)
    count = f"Question {back[0]} is" if len(back) == 1 else f"{len(back)} questions are"
    flash(f"Undone: {count} as before.")
    return redirect(url_for("replying.question", number=back[0]), 303)


def reasons(question: Question) -> tuple[str, ...]:
    """Why a question may be an emergency: what its words say, and what its figures mean."""
    found = alarms(read(question.text), content().calculators)
    return (*urgency(question.text).reasons, *(alarm.sentence for alarm in found))


def page_number() -> int:
    """Which page of a list is asked for."""
    return min(max(request.args.get("page", 1, type=int), 1), 1_000_000)


def _section(section: str) -> str:
    page = page_number()
    return render_template(
        "desk/section.html",
        section=section,
        rows=_rows(section, PAGE, (page - 1) * PAGE),
        page=page,
        pages=-(-_row_count(section) // PAGE),
        reasons=reasons,
    )


def _rows(section: str, limit: int, offset: int) -> list[object]:
    """What a section lists: heaps under articles, groups, or single questions."""
    if section == ANSWERED:
        return list(triage.heaps(database(), section, limit=limit, offset=offset))
    if section == GAPS:
        return list(triage.gaps(database(), limit=limit, offset=offset))
    return list(triage.listed(database(), Pile(section), limit=limit, offset=offset))


def _row_count(section: str) -> int:
    if section == ANSWERED:
        return triage.articles(database(), section)
    if section == GAPS:
        return triage.gap_groups(database())
    return triage.size(database(), Pile(section))


def _of_state(state: str) -> str:
    page = page_number()
    return render_template(
        "desk/state.html",
        state=state,
        questions=log.listed(database(), state=state, limit=PAGE, offset=(page - 1) * PAGE),
        page=page,
        pages=-(-log.counts(database())[state] // PAGE),
    )


def _own_page(address: str) -> str:
    """An address on this site to go on to; anything else leads to the desk."""
    parts = urlsplit(address)
    if parts.scheme or parts.netloc or not address.startswith("/") or address[1:2] in ("/", "\\"):
        return url_for(".desk")
    return address
