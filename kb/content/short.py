"""Short codes of articles, for links to paste: made from the slug, so a new title changes none."""

import hashlib
from collections.abc import Iterable

SIGNS = "23456789abcdefghjkmnpqrstuvwxyz"  # none that is taken for another
LENGTH = 5


def codes(slugs: Iterable[str]) -> dict[str, str]:
    """Each slug's code; where two would share one, the later in the alphabet has a longer one."""
    found: dict[str, str] = {}
    taken: set[str] = set()
    for slug in sorted(set(slugs)):
        signs = _signs(slug)
        length = next(n for n in range(LENGTH, len(signs) + 1) if signs[:n] not in taken)
        found[slug] = signs[:length]
        taken.add(signs[:length])
    return found


def _signs(slug: str) -> str:
    number = int.from_bytes(hashlib.sha256(slug.encode()).digest(), "big")
    signs = []
    while number:
        number, rest = divmod(number, len(SIGNS))
        signs.append(SIGNS[rest])
    return "".join(signs)
