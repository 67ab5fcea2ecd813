"""Errors as a page in the site's own look, or as JSON under /api."""

import logging
from collections.abc import Mapping

from flask import Flask, jsonify, render_template, request
from flask.typing import ResponseReturnValue
from flask_wtf.csrf import CSRFError
from werkzeug.exceptions import HTTPException

from kb.errors import InputErrors, InputProblem, KbError, NotFound, StoreError

LATER = frozenset({429, 500, 503})  # what may go right when tried again
LOG = logging.getLogger("standpipe")


class Refused(Exception):
    """A request that is understood and not carried out, with the sentence that says why."""

    def __init__(self, code: int, sentence: str, headers: Mapping[str, str] | None = None) -> None:
        self.code = code
        self.sentence = sentence
        self.headers = dict(headers or {})
        super().__init__(sentence)


LONGEST_SHOWN = 200
_KEPT_HEADERS = ("Allow", "Retry-After")
_SENTENCES = {
    400: "The request could not be understood.",
    403: "This page is not for you.",
    404: "There is no page at this address.",
    405: "This address does not take that kind of request.",
    413: "What was sent is too large.",
    429: "That was too much in too short a time. Please wait a few minutes and try again.",
    500: "Something went wrong on our side. It has been noted; nothing you sent was half saved.",
    414: "The address is too long. Ask with fewer words, or by the form.",
    503: "The question log cannot be reached just now. Articles and calculators still work.",
}


def register(app: Flask) -> None:
    """Answer every error with one clear sentence."""
    app.register_error_handler(InputErrors, _bad_input)
    app.register_error_handler(NotFound, lambda error: _say(404, str(error)))
    app.register_error_handler(StoreError, _no_store)
    app.register_error_handler(KbError, lambda error: _say(422, str(error)))
    app.register_error_handler(Refused, _refused)
    app.register_error_handler(CSRFError, _stale_form)
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(Exception, _unexpected)


def problem_json(problem: InputProblem) -> dict[str, str]:
    """One input problem in the shape of the JSON contract."""
    return {"input": problem.input, "given": problem.given, "message": problem.message}


def _bad_input(error: InputErrors) -> ResponseReturnValue:
    if _wants_json():
        return jsonify(errors=[problem_json(problem) for problem in error.problems]), 422
    return render_template("errors/input.html", problems=error.problems), 422


def _no_store(error: StoreError) -> ResponseReturnValue:
    LOG.error("%s", error)
    return _say(503, _SENTENCES[503])


def _refused(error: Refused) -> ResponseReturnValue:
    return _say(error.code, error.sentence, error.headers)


def _stale_form(_error: CSRFError) -> ResponseReturnValue:
    return _say(
        400, "This form is too old or came from elsewhere. Go back, reload the page, try again."
    )


def _http(error: HTTPException) -> ResponseReturnValue:
    if error.code is None or error.code < 400:
        return error.get_response()
    kept = {name: value for name, value in error.get_headers() if name in _KEPT_HEADERS}
    return _say(error.code, _SENTENCES.get(error.code, error.description or error.name), kept)


def _unexpected(error: Exception) -> ResponseReturnValue:
    LOG.error("%s %s", request.method, request.path, exc_info=error)
    return _say(500, _SENTENCES[500])


def _say(code: int, sentence: str, headers: Mapping[str, str] | None = None) -> ResponseReturnValue:
    kept = dict(headers or {})
    if _wants_json():
        given = request.path[:LONGEST_SHOWN]
        return jsonify(errors=[{"input": "", "given": given, "message": sentence}]), code, kept
    page = render_template("errors/page.html", code=code, sentence=sentence, later=code in LATER)
    return page, code, kept


def _wants_json() -> bool:
    return request.path.startswith("/api/")
