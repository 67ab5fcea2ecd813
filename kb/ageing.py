"""When something is old: the same day so many months earlier."""

import calendar
import datetime
from typing import TypeVar

_Day = TypeVar("_Day", bound=datetime.date)


def months_before(day: _Day, months: int) -> _Day:
    """The same day so many months earlier; the month's last day where it has no such day."""
    year, month = divmod(day.year * 12 + day.month - 1 - months, 12)
    if year < datetime.MINYEAR:
        return day.replace(year=datetime.MINYEAR, month=1, day=1)
    last = calendar.monthrange(year, month + 1)[1]
    return day.replace(year=year, month=month + 1, day=min(day.day, last))
