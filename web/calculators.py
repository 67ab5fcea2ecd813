"""The calculators: the index and one calculator, whose state is its address."""

from collections.abc import Callable, Mapping

from flask import Blueprint, render_template, request, session
from flask.typing import ResponseReturnValue

from kb.calculators.model import Calculator, Number, Report
from kb.errors import InputErrors, NotFound, UnitError
from kb.units import Kind, split_number, us_unit
from web.book import using
from web.pictures import picture_of
from web.rendering import content

blueprint = Blueprint("calculators", __name__)
UNITS, US, METRIC = "units", "us", "metric"
OWN_KEYS = ("work-out", UNITS)


def named(name: str) -> Calculator:
    """The calculator of that id; raises NotFound."""
    try:
        return content().calculators[name]
    except KeyError:
        raise NotFound(f"There is no calculator “{name[:60]}”.") from None


@blueprint.get("/calculators/")
def index() -> str:
    """Every calculator with the question it answers."""
    return render_template("calculators/index.html", groups=content().calculators_by_group)


@blueprint.get("/calculators/<name>")
def calculator(name: str) -> ResponseReturnValue:
    """One calculator; with values in the address, its result and the working."""
    found = named(name)
    sent = "work-out" in request.args
    in_us = _shown_in_us()
    given = {
        key: value for key, value in request.args.items() if value.strip() and key not in OWN_KEYS
    }
    if request.args.get(UNITS) == US:
        given = _with_units(found, given, us_unit)
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
    library = content().library.articles
    shown = report.in_us if report and in_us else report
    page = render_template(
        "calculators/calculator.html",
        calculator=found,
        given=given,
        report=shown,
        picture=picture_of(shown) if shown else None,
        in_us=in_us,
        this_link=_link_in(found, given, US if in_us else METRIC),
        other_link=_link_in(found, given, METRIC if in_us else US),
        problems=problems,
        symptoms=content().symptoms_of.get(("calculator", name), ()),
        ways=using.calculator_ways(found, given),
        articles=[library[slug] for slug in found.articles if slug in library],
    )
    return page, 422 if problems else 200


def _shown_in_us() -> bool:
    """Does the visitor want US units? The address says so, else what was chosen before."""
    chosen = request.args.get(UNITS)
    if chosen in (US, METRIC):
        session[UNITS] = chosen
    return session.get(UNITS) == US


def _with_units(
    found: Calculator, given: Mapping[str, str], unit_for: Callable[[Kind, str], str]
) -> dict[str, str]:
    """The values given, each bare number with its unit written out; the rest as it is."""
    units = {
        item.name: unit_for(item.kind, item.unit)
        for item in found.inputs
        if isinstance(item, Number)
    }
    return {
        name: f"{value.strip()} {units[name]}" if units.get(name) and _is_bare(value) else value
        for name, value in given.items()
    }


def _is_bare(value: str) -> bool:
    try:
        return not split_number(value)[1]
    except UnitError:
        return False  # the calculator says what is wrong with it


def _link_in(found: Calculator, given: Mapping[str, str], units: str) -> str:
    """The address of this page with the same figures, shown in the units named."""
    link = found.link(_with_units(found, given, lambda _kind, unit: unit))
    return f"{link}{'&' if '?' in link else '?'}{UNITS}={units}"
