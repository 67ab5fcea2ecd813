"""How often somebody has done something lately; kept so that a restart forgives nothing."""

import datetime

from sqlite_utils import Database

from kb.store.database import writing

LONGEST_S = 86_400.0
_SLACK_S = 60.0  # a stamp further ahead than this comes from a clock that has been set back


def take(
    db: Database, what: str, who: str, *, most: int, within_s: float, now: datetime.datetime
) -> float:
    """Seconds to wait until one more is allowed; nothing when this one was counted in.

    Stamps too old to matter are deleted on the way, and so are stamps out of the future: after the
    clock was set back they would hold an address for as long as the clock was wrong.
    """
    if not 0 < within_s <= LONGEST_S:
        raise ValueError(within_s)
    moment = now.timestamp()
    with writing(db):
        db.execute(
            "delete from limits where at < ? or at > ?", [moment - LONGEST_S, moment + _SLACK_S]
        )
        found = db.execute(
            "select at from limits where what = ? and who = ? and at > ? order by at desc limit ?",
            [what, who, moment - within_s, most],
        ).fetchall()
        if len(found) >= most:
            return max(1.0, float(found[-1][0]) + within_s - moment)
        db.table("limits").insert({"what": what, "who": who, "at": moment})
    return 0.0
