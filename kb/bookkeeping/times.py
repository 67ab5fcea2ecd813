"""When something was measured: read as people write it, and said as people say it."""

import datetime
import re

from kb.errors import KbError

EARLIEST = datetime.datetime(1990, 1, 1, tzinfo=datetime.UTC)
CLOCKS_DIFFER = datetime.timedelta(hours=1)
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
NOON = datetime.time(12)
ALLOWED = "write it like 2026-03-31 18:05"
_DAY_FIRST = re.compile(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})(?:[ ,T]+(\d{1,2}):(\d{2}))?")


def read_time(text: str, *, now: datetime.datetime) -> datetime.datetime:
    """A moment as written, by the clock of this machine if no zone is named; a date means noon.

    Raises KbError with one sentence when it is none, lies ahead, or lies too far back.
    """
    moment = _moment(" ".join(text.split()))
    if moment.tzinfo is None:
        moment = moment.astimezone()
    if moment > now + CLOCKS_DIFFER:
        if moment.astimezone().date() == now.astimezone().date():
            return now.replace(microsecond=0)  # today, as a date alone, before noon
        raise KbError(f"“{text[:40]}” is still to come; give when it was measured.")
    if moment < EARLIEST:
        raise KbError(f"“{text[:40]}” is too long ago; give a date from 1990 on.")
    return moment


def as_written(moment: datetime.datetime) -> str:
    """A moment by the clock of this machine, as a date field of a form wants it."""
    return moment.astimezone().strftime("%Y-%m-%dT%H:%M")


def with_zone(moment: datetime.datetime) -> str:
    """A moment by the clock of this machine with its zone, so that it means the same elsewhere."""
    return moment.astimezone().isoformat(sep=" ", timespec="seconds")


def spoken(moment: datetime.datetime, *, now: datetime.datetime) -> str:
    """A moment in a few words: today 08:10, yesterday 18:30, 3 days ago, 2026-03-31."""
    here, today = moment.astimezone(), now.astimezone().date()
    days = (today - here.date()).days
    if days == 0:
        return f"today {here:%H:%M}"
    if days == 1:
        return f"yesterday {here:%H:%M}"
    if 1 < days < 15:
        return f"{days} days ago"
    return f"{here:%Y-%m-%d}"


def day(moment: datetime.datetime) -> str:
    """The day of a moment, for people: 1 Apr 2026."""
    here = moment.astimezone()
    return f"{here.day} {MONTHS[here.month - 1]} {here.year}"


def _moment(text: str) -> datetime.datetime:
    try:
        day_first = _DAY_FIRST.fullmatch(text)
        if day_first:
            day, month, year, hour, minute = (int(part or 0) for part in day_first.groups())
            return datetime.datetime(year, month, day, hour if day_first[4] else 12, minute)
        if re.fullmatch(r"\d{4}-\d\d-\d\d", text):
            return datetime.datetime.combine(datetime.date.fromisoformat(text), NOON)
        return datetime.datetime.fromisoformat(text)
    except ValueError:
        if re.match(r"\d{1,2}/\d{1,2}/\d{2,4}", text):
            raise KbError(f"“{text[:40]}” can be read two ways; {ALLOWED}.") from None
        raise KbError(f"“{text[:40]}” is no date; {ALLOWED}.") from None
