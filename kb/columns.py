"""The columns a file of questions has, and which of them is likely to hold what."""

import csv
import itertools
import json
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from kb.errors import KbError
from kb.take_in import FIELDS

LOOKED_AT = 200  # lines of JSON whose names are read
_LIKELY: Mapping[str, tuple[str, ...]] = {
    "text": (
        "text", "question", "comment", "message", "body", "content", "comment text", "words",
        "description", "post",
    ),
    "asked_by": (
        "asked by", "author", "name", "user", "username", "user name", "handle", "from", "sender",
        "commenter", "author name", "who",
    ),
    "link": ("link", "url", "permalink", "address", "comment link", "comment url", "web address"),
    "asked_at": (
        "asked at", "date", "time", "when", "published", "published at", "created", "created at",
        "timestamp", "date and time", "sent", "posted",
    ),
    "place": ("place",),
}  # fmt: skip


def names(path: Path, form: str) -> tuple[str, ...]:
    """The names a CSV or JSON Lines file gives its columns; none for other kinds of file."""
    try:
        with path.open(encoding="utf-8-sig", newline="") as lines:
            if form == "csv":
                return tuple(name for name in next(csv.reader(lines), []) if name.strip())
            if form == "jsonl":
                return _json_names(itertools.islice(lines, LOOKED_AT))
    except UnicodeDecodeError as error:
        raise KbError(f"{path.name} is not UTF-8 text; save the file as UTF-8.") from error
    except (OSError, csv.Error) as error:
        raise KbError(f"{path.name} cannot be read: {error}.") from error
    return ()


def likely(found: Sequence[str], remembered: Mapping[str, str] | None = None) -> dict[str, str]:
    """Which column holds which field: as remembered, where it is there, else by its name."""
    plain = {_plain(name): name for name in reversed(found)}
    chosen = {}
    for field in FIELDS:
        known = (remembered or {}).get(field)
        guess = next((plain[word] for word in _LIKELY[field] if word in plain), None)
        column = known if known in found else guess
        if column:
            chosen[field] = column
    return chosen


def _json_names(lines: Iterable[str]) -> tuple[str, ...]:
    found: dict[str, None] = {}
    for line in lines:
        try:
            value = json.loads(line)
        except (ValueError, RecursionError):
            continue
        if isinstance(value, dict):
            found |= dict.fromkeys(str(name) for name in value)
    return tuple(found)


def _plain(name: str) -> str:
    return " ".join(name.casefold().replace("_", " ").replace("-", " ").split())
