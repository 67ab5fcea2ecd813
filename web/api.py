"""The same answers as JSON, in the shapes of the commands."""

from collections.abc import Mapping

from flask import Blueprint, current_app, jsonify, request
from flask.typing import ResponseReturnValue

from kb.errors import InputErrors, InputProblem, StoreError
from kb.store import questions as log
from kb.store.questions import LONGEST_FIELD, NewQuestion, is_sound
from web import posting, troubleshooting
from web.calculators import named
from web.config import SITE_PLACE
from web.database import database
from web.limits import POSTING, limited
from web.questions import answerer, log_question
from web.rendering import content
from web.security import csrf

blueprint = Blueprint("api", __name__)
csrf.exempt(blueprint)  # JSON bodies only: another site's form cannot send one


@blueprint.get("/healthz")
def health() -> ResponseReturnValue:
    """Is the content loaded and the database writable?"""
    try:
        log.check_writable(database())
    except StoreError as error:
        current_app.logger.error("health: %s", error)
        return jsonify(ok=False), 503
    return jsonify(ok=bool(content().library.articles))


@blueprint.get("/api/match")
def match() -> ResponseReturnValue:
    """Which article answers this question."""
    return jsonify(answerer().answer(request.args.get("q", "")).as_json())


@blueprint.get("/api/calculators/")
def calculators() -> ResponseReturnValue:
    """Every calculator, described."""
    return jsonify([item.describe() for item in content().calculators.values()])


@blueprint.get("/api/calculators/<name>")
def describe(name: str) -> ResponseReturnValue:
    """A calculator's inputs, results and examples."""
    return jsonify(named(name).describe())


@blueprint.post("/api/calculators/<name>")
def calculate(name: str) -> ResponseReturnValue:
    """A calculation."""
    return jsonify(named(name).run(_body()).as_json())


@blueprint.get("/api/symptoms/<slug>")
def diagnose(slug: str) -> ResponseReturnValue:
    """The diagnosis for the answers in the address."""
    return jsonify(troubleshooting.diagnose(slug, request.args).as_json())


@blueprint.get("/api/articles")
def articles() -> ResponseReturnValue:
    """Every article with its question."""
    return jsonify(
        [
            {"article": item.slug, "title": item.title, "group": item.group}
            for item in content().library.articles.values()
        ]
    )


@blueprint.post("/api/questions")
@limited(POSTING)
def ask() -> ResponseReturnValue:
    """Log a question and answer it."""
    posting.only_if_wanted()
    body = _body()
    problems: list[InputProblem] = []
    text = _text(body, "text", problems)
    asked_by = _text(body, "asked_by", problems, longest=LONGEST_FIELD)
    link = _text(body, "link", problems, longest=LONGEST_FIELD)
    if not text and not problems:
        problems.append(InputProblem("text", "", "Give the question as “text”."))
    links = posting.too_many_links(text)
    if links:
        problems.append(InputProblem("text", f"{text[:40]}…", links))
    if problems:
        raise InputErrors(problems)
    answer = answerer().answer(text)
    question = NewQuestion(text, SITE_PLACE, asked_by or None, link or None)
    number = log_question(question, answer)
    return jsonify(answer.as_json() | {"question": number}), 201


def _body() -> Mapping[str, object]:
    try:
        body = request.get_json(silent=True)
    except RecursionError:  # lists in lists in lists, without end
        body = None
    if not isinstance(body, dict):
        message = "Send a JSON object, with the header Content-Type: application/json."
        raise InputErrors([InputProblem("body", request.mimetype, message)])
    return body


def _text(
    body: Mapping[str, object], name: str, problems: list[InputProblem], longest: int = 10**9
) -> str:
    value = body.get(name, "")
    if not isinstance(value, str) or len(value) > longest or not is_sound(value):
        shown = str(value)[:40].encode("utf-8", "replace").decode()
        limit = f" of at most {longest} characters" if longest < 10**9 else ""
        problems.append(InputProblem(name, shown, f"{name} must be a text{limit}."))
        return ""
    return value.strip()
