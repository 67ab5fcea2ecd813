"""The calculators: the index and one calculator, whose state is its address."""

from collections.abc import Mapping

from flask import Blueprint, render_template, request
from flask.typing import ResponseReturnValue

from kb.calculators.model import Calculator, Report
from kb.errors import InputErrors, NotFound
from web.rendering import content

blueprint = Blueprint("calculators", __name__)


def named(name: str) -> Calculator:
    """The calculator of that id; raises NotFound."""
    try:
        return content().calculators[name]
    except KeyError:
        raise NotFound(f"There is no calculator “{name[:60]}”.") from None


@blueprint.get("/calculators/")
def index() -> str:
    """Every calculator with the question it answers."""
    return render_template("calculators/index.html", calculators=content().calculators.values())


@blueprint.get("/calculators/<name>")
def calculator(name: str) -> ResponseReturnValue:
    """One calculator; with values in the address, its result and the working."""
    found = named(name)
    sent = "work-out" in request.args
    given = {
        key: value for key, value in request.args.items() if value.strip() and key != "work-out"
    }
    report: Report | None = None
    problems: Mapping[str, str] = {}
    if given or sent:
        try:
            report = found.run(given)
        except InputErrors as error:
            problems = {
                problem.input: problem.message
                for problem in error.problems
                if sent or problem.input in given  # a link may fill in only some of the figures
            }
    page = render_template(
        "calculators/calculator.html",
        calculator=found,
        given=given,
        report=report,
        problems=problems,
        articles=[content().library.articles[slug] for slug in found.articles],
    )
    return page, 422 if problems else 200
