"""The systems that have a book, and their figures."""

from collections.abc import Mapping

from flask import flash, redirect, render_template, url_for

from kb.bookkeeping.quantities import SUBSTANCES
from kb.bookkeeping.systems import FIGURES, as_written, read_system
from kb.errors import InputErrors, StoreError
from kb.science.substances import BASES
from kb.store import book
from kb.store.book import System
from web.book.shared import Answer, blueprint, faults_of, form_values, now, system_of
from web.database import database


@blueprint.get("/systems/new")
def new_system() -> Answer:
    """The form for another system."""
    return _form(None, {})


@blueprint.post("/systems/new")
def add_system() -> Answer:
    """Begin the book of another system."""
    sent = form_values()
    try:
        made = read_system(sent)
        number = book.add_system(database(), made, now=now())
    except InputErrors as error:
        return _form(None, sent, faults_of(error)), 422
    except StoreError as error:
        return _form(None, sent, {"name": str(error)}), 422
    flash(f"The book of “{made.name}” is begun.")
    return redirect(url_for(".enter", number=number), 303)


@blueprint.get("/<int:number>/system")
def figures(number: int) -> Answer:
    """A system's figures, to be changed."""
    return _form(system_of(number), {})


@blueprint.post("/<int:number>/system")
def change_system(number: int) -> Answer:
    """Put other figures in their place."""
    system, sent = system_of(number), form_values()
    try:
        book.change_system(database(), number, read_system(sent, system))
    except InputErrors as error:
        return _form(system, sent, faults_of(error)), 422
    except StoreError as error:
        return _form(system, sent, {"name": str(error)}), 422
    flash("The figures of the system are changed.")
    return redirect(url_for(".enter", number=number), 303)


def _form(
    system: System | None, sent: Mapping[str, str], faults: Mapping[str, str] | None = None
) -> str:
    return render_template(
        "book/system.html",
        system=system,
        systems=book.systems(database()),
        figures=FIGURES,
        bases={name: label for name, label in SUBSTANCES.items() if name in BASES},
        given={**(as_written(system) if system else {}), **sent},
        faults=faults or {},
    )
