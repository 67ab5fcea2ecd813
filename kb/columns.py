"""Which of a file's columns is likely to hold what."""

from collections.abc import Mapping, Sequence

from kb.take_in import FIELDS

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


def _plain(name: str) -> str:
    return " ".join(name.casefold().replace("_", " ").replace("-", " ").split())
