"""Questions posted by the public: wanted at all, and by a person?

What looks like a program is answered all the same, since a wrong guess must not cost a worried
person the answer; it is only kept from the log, and the page says so.
"""

import datetime
import re

from flask import current_app, request
from itsdangerous import BadData, URLSafeTimedSerializer

from web.config import Settings
from web.errors import Refused

HIDDEN_FIELD = "homepage"
MOST_LINKS = 2
QUICKEST_S = 2.0
_LINK = re.compile(r"https?://|www\.|\[url|<a\s", re.IGNORECASE)
NOT_WANTED = (
    "Questions are not taken here at the moment; looking up an answer works as always, "
    "and nothing was logged."
)


def wanted() -> bool:
    """Does the keeper take questions from the public?"""
    settings: Settings = current_app.config["SETTINGS"]
    return settings.public_questions


def only_if_wanted() -> None:
    """Raise Refused when the keeper takes no questions."""
    if not wanted():
        raise Refused(403, NOT_WANTED)


def too_many_links(text: str) -> str | None:
    """The sentence that says that a text holds too many links, if it does."""
    links = len(_LINK.findall(text))
    if links <= MOST_LINKS:
        return None
    return f"It holds {links} links; at most {MOST_LINKS} are taken."


def why_not_logged(text: str) -> str | None:
    """Why a form with this text is not taken for a person's; None when it is."""
    if request.form.get(HIDDEN_FIELD):
        return "A field was filled in that people do not see."
    if _seconds_since_form() < current_app.config["QUICKEST_POST_S"]:
        return "It was sent the moment the page was there; please send it once more."
    return too_many_links(text)


def _seconds_since_form() -> float:
    """The age of the form, told by the time stamp in its token, whose signature has been checked.

    A stamp out of the future (the clock was set back) counts as old.
    """
    signer = URLSafeTimedSerializer(current_app.secret_key or "", salt="wtf-csrf-token")
    try:
        _value, made_at = signer.loads(request.form.get("csrf_token", ""), return_timestamp=True)
    except BadData:
        return float("inf")
    age_s: float = (datetime.datetime.now(datetime.UTC) - made_at).total_seconds()
    return age_s if age_s >= 0 else float("inf")
