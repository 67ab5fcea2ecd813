"""The book in and out: CSV to download, and files looked at before they are taken in."""

import re
import uuid

from flask import Response, flash, redirect, request, url_for
from werkzeug.datastructures import FileStorage

from kb.bookkeeping import present, tables, times
from kb.bookkeeping.quantities import label_of
from kb.bookkeeping.tables import FORMS, WIDE, read_csv, write_csv
from kb.errors import InputErrors, InputProblem
from kb.store import book
from kb.store.book import System
from web.book.entering import FROM_FILE
from web.book.shared import Answer, blueprint, now, page, system_of
from web.database import database

SHOWN = 12


@blueprint.get("/<int:number>/export.csv")
def export(number: int) -> Answer:
    """The whole book as CSV."""
    system = system_of(number)
    form = request.args.get("form", WIDE)
    if form not in FORMS:
        message = f"There is no form “{form[:20]}”; choose {' or '.join(FORMS)}."
        raise InputErrors([InputProblem("form", form[:20], message)])
    text = write_csv(book.entries(database(), number), form)
    name = re.sub(r"[^a-z0-9]+", "-", system.name.casefold()).strip("-") or "book"
    head = {"Content-Disposition": f'attachment; filename="{name}-{now():%Y-%m-%d}.csv"'}
    return Response(text, mimetype="text/csv", headers=head)


@blueprint.get("/<int:number>/take-in")
def take_in(number: int) -> Answer:
    """The form for a file, and the ways out."""
    return page("take_in", system_of(number), problems=(), text="")


@blueprint.post("/<int:number>/take-in")
def look_at(number: int) -> Answer:
    """What a file holds, before anything is written; or, that seen, take it in."""
    system = system_of(number)
    text = request.form.get("text", "")
    try:
        text = _text_of(request.files.get("file")) or text
        table = read_csv(text, now=now())
    except InputErrors as error:
        return page("take_in", system, problems=error.problems, text=text), 422
    if request.form.get("act") == "take-in":
        return _taken(system, table)
    new, saved = book.sorted_out(database(), number, table.entries)
    return page(
        "preview",
        system,
        table=table,
        saved=saved,
        first=new[:SHOWN],
        text=text,
        text_of=present.text_of,
        label_of=label_of,
        with_zone=times.with_zone,
    )


def _taken(system: System, table: tables.Table) -> Answer:
    batch = f"{FROM_FILE}{uuid.uuid4().hex}"
    saved = book.take_in(database(), system.id, batch, table.entries, now=now())
    left = (
        f", {len(table.faults)} broken {'line' if len(table.faults) == 1 else 'lines'} left out"
        if table.faults
        else ""
    )
    flash(f"{saved.new} taken in, {saved.known} known already{left}.")
    return redirect(url_for(".enter", number=system.id), 303)


def _text_of(file: FileStorage | None) -> str:
    if file is None or not file.filename:
        return ""
    content: bytes = file.read()
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        message = f"{file.filename[:60]}: line {line} is not UTF-8; save the file as UTF-8."
        raise InputErrors([InputProblem("file", file.filename[:60], message)]) from None
