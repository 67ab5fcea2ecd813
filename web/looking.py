"""The new look at open questions, and groups for those without, in the background of the site."""

import logging
import threading

from flask import Flask, current_app

from kb import judging
from kb.errors import KbError
from kb.store import groups, open_database
from web.database import database, path_of
from web.rendering import content

LOG = logging.getLogger("standpipe")
_busy = threading.Lock()


def go_on() -> int:
    """How many open questions wait for a new look, which is begun if there are any."""
    waiting = judging.waiting(database(), content().library)
    if (waiting or groups.ungrouped(database(), limit=1)) and _busy.acquire(blocking=False):
        app: Flask = current_app._get_current_object()  # type: ignore[attr-defined]
        threading.Thread(target=_run, args=(app,), daemon=True, name="looking").start()
    return waiting


def finish(app: Flask) -> None:
    """Look at all that waits and group what has no group, here and now."""
    db = open_database(path_of(app))
    try:
        with app.app_context():
            while judging.step(db, content().answerer):
                pass
            app.extensions["grouper"].catch_up(db)
    finally:
        db.close()


def _run(app: Flask) -> None:
    try:
        finish(app)
    except KbError as error:
        LOG.error("the new look at open questions stopped: %s", error)
    finally:
        _busy.release()
