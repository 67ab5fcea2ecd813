"""Taking an upload in, in the background of the site; a page tells how far it has got."""

import datetime
import logging
import threading
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from flask import Flask

from kb.errors import KbError
from kb.store import open_database
from kb.store import questions as log
from kb.store.questions import NewQuestion
from kb.take_in import Fault, take_in
from web import uploads
from web.database import path_of
from web.rendering import content
from web.uploads import DONE, FAILED, Upload

LOG = logging.getLogger("standpipe")
SHOWN = 10
MOST_FAULTS = 200
AT_ONCE = 100
_at_work: set[str] = set()
_lock = threading.Lock()


@dataclass(frozen=True)
class Preview:
    """What a file holds: its first questions, how many are good, and the lines that are not."""

    first: tuple[NewQuestion, ...]
    good: int
    faults: tuple[Fault, ...]
    refused: int


def preview(path: Path, upload: Upload, columns: Mapping[str, str]) -> Preview:
    """What would be taken in; raises KbError for a file that cannot be read at all."""
    first: list[NewQuestion] = []
    faults: list[Fault] = []
    good = refused = 0
    for item in take_in(path, place=upload.place, columns=columns, form=upload.form):
        if isinstance(item, Fault):
            refused += 1
            if len(faults) < MOST_FAULTS:
                faults.append(item)
        else:
            good += 1
            if len(first) < SHOWN:
                first.append(item)
    return Preview(tuple(first), good, tuple(faults), refused)


def begin(app: Flask, upload: Upload) -> None:
    """Begin to take an upload in, unless that is going on already."""
    with _lock:
        if upload.token in _at_work:
            return
        _at_work.add(upload.token)
    worker = threading.Thread(target=_run, args=(app, upload), name="taking", daemon=True)
    worker.start()


def at_work(token: str) -> bool:
    """Is this upload being taken in just now by this process?"""
    return token in _at_work


def _run(app: Flask, upload: Upload) -> None:
    data: Path = app.config["DATA"]
    try:
        with app.app_context():
            done = _take(app, data, upload)
        uploads.write(data, replace(done, state=DONE))
        uploads.drop_file(data, upload)
    except KbError as error:
        LOG.error("taking in stopped: %s", error)
        uploads.write(data, replace(upload, state=FAILED, message=str(error)))
    finally:
        _at_work.discard(upload.token)


def _take(app: Flask, data: Path, upload: Upload) -> Upload:
    path = uploads.file_of(data, upload)
    found = preview(path, upload, upload.columns)
    note = replace(
        upload,
        done=0,
        logged=0,
        known=0,
        total=found.good,
        refused=found.refused,
        faults=tuple((fault.line, fault.reason) for fault in found.faults),
    )
    db = open_database(path_of(app))
    try:
        answerer = content().answerer
        items = take_in(path, place=upload.place, columns=upload.columns, form=upload.form)
        for item in items:
            if isinstance(item, Fault):
                continue
            now = datetime.datetime.now(datetime.UTC)
            _, new = log.log(db, item, answerer.answer(item.text).judgement, now=now)
            note = replace(
                note, done=note.done + 1, logged=note.logged + new, known=note.known + (not new)
            )
            if note.done % AT_ONCE == 0:
                uploads.write(data, note)
    finally:
        db.close()
    return note
