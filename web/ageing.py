"""Old questions lose their names and links: when the site starts, then once a day."""

import datetime
import logging
import threading
from pathlib import Path

from kb.ageing import months_before
from kb.errors import StoreError
from kb.store import open_database, people

DAY_S = 24 * 3600
LOG = logging.getLogger("standpipe")


def drop_old_names(path: Path, months: int, *, now: datetime.datetime) -> int:
    """Drop names and links older than so many months (0: never), and give how many."""
    if months == 0:
        return 0
    database = open_database(path)
    try:
        return people.drop_names(database, before=months_before(now, months))
    finally:
        database.close()


def every_day(path: Path, months: int, *, pause_s: float = DAY_S) -> threading.Event:
    """Drop old names now and once a day, away from requests; set the event to end it."""
    stop = threading.Event()

    def work() -> None:
        while True:
            try:
                dropped = drop_old_names(path, months, now=datetime.datetime.now(datetime.UTC))
                if dropped:
                    LOG.info("names and links of %d old questions are gone", dropped)
            except StoreError as error:  # the next day tries again
                LOG.error("old names not dropped: %s", error)
            if stop.wait(pause_s):
                return

    threading.Thread(target=work, name="old-names", daemon=True).start()
    return stop
