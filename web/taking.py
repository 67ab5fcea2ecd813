"""Taking an upload in, in the background of the site; a page tells how far it has got."""

import logging
import threading
from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path

from flask import Flask

from kb import intake
from kb.errors import KbError
from kb.intake import MakeAnswerer, Progress
from kb.store import open_database
from web import content as site_content
from web import uploads
from web.config import content_folder
from web.database import path_of
from web.rendering import content
from web.uploads import DONE, FAILED, TAKING, WAITING, Upload

LOG = logging.getLogger("standpipe")
UNFORESEEN = "Something went wrong on our side. It has been noted."
MANY = 3000  # questions for which further processes are started
_at_work: set[str] = set()
_lock = threading.Lock()


def begin(app: Flask, token: str, columns: Mapping[str, str]) -> None:
    """Begin to take an upload in, or go on with one, unless that is going on or done already."""
    data: Path = app.config["DATA"]
    with _lock:  # what is not at work has said on the disk how it ended
        upload = uploads.get(data, token)
        if token in _at_work or upload.state == DONE:
            return
        chosen = columns if upload.state == WAITING else upload.columns
        upload = uploads.write(data, replace(upload, state=TAKING, columns=chosen))
        _at_work.add(token)
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
    except Exception:
        LOG.exception("taking in stopped")
        uploads.write(data, replace(upload, state=FAILED, message=UNFORESEEN))
    finally:
        _at_work.discard(upload.token)


def _take(app: Flask, data: Path, upload: Upload) -> Upload:
    path = uploads.file_of(data, upload)
    found = intake.preview(
        path, place=upload.place, columns=upload.columns, form=upload.form, most=0
    )
    total = found.questions
    upload = uploads.write(data, replace(upload, total=total))
    make, workers = _matching(app, total)
    db = open_database(path_of(app))
    try:
        steps = intake.take_in_file(
            db,
            path,
            place=upload.place,
            columns=upload.columns,
            form=upload.form,
            make=make,
            grouper=app.extensions["grouper"],
            workers=workers,
        )
        for progress in steps:
            upload = uploads.write(data, _noted(upload, progress))
    finally:
        db.close()
    return upload


def _matching(app: Flask, total: int) -> tuple[MakeAnswerer, int | None]:
    """What matches: this process with what it has loaded, or for a long file others beside it."""
    if total < MANY:
        answerer = content().answerer
        return lambda: answerer, 1
    named = app.config.get("CONTENT")
    folder = content_folder(Path(named) if named else None)
    return partial(site_content.answerer, folder, path_of(app)), None


def _noted(upload: Upload, progress: Progress) -> Upload:
    return replace(
        upload,
        done=progress.logged + progress.known,
        logged=progress.logged,
        known=progress.known,
        refused=progress.refused,
        faults=tuple((fault.line, fault.reason) for fault in progress.faults),
    )
