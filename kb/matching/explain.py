"""Why a document matched, in a few plain words."""

from collections.abc import Callable, Sequence

from .normalise import words
from .vocabulary import Reading, Token

MOST_REASONS = 4
_LONGEST_QUOTE = 90
_SMALL = 0.01  # what a word is worth that tells nothing, so that longer runs win among such


def reasons(
    reading: Reading,
    stems: Sequence[str],
    wording: str,
    wording_stems: Sequence[str],
    telling: Callable[[str], float],
) -> tuple[str, ...]:
    """What the question shares with the nearest wording, and which of its words were read anew."""
    start, length = _best_run(stems, wording_stems, telling)
    found = []
    if length:
        shared = _shown(reading.tokens[start : start + length])
        found.append(f"“{shared}” as in “{_short(wording)}”")
    else:
        found.append(f"only loosely like “{_short(wording)}”")
    found += [f"read “{given}” as “{read}”" for given, read in reading.spellings]
    if not reading.meanings:
        return tuple(found[:MOST_REASONS])
    known, plain = set(wording_stems), " ".join(words(wording))
    present = {
        token.word for token, stem in zip(reading.tokens, stems, strict=True) if stem in known
    }
    found += [
        f"“{given}” means {phrase}"
        for given, phrase in reading.meanings
        if present.intersection(phrase.split()) and given not in plain
    ]
    return tuple(found[:MOST_REASONS])


def _best_run(
    first: Sequence[str], second: Sequence[str], telling: Callable[[str], float]
) -> tuple[int, int]:
    """Where in the first the most telling run shared with the second starts, and its length."""
    best = (0.0, 0, 0)
    places: dict[str, list[int]] = {}
    for other, stem in enumerate(second):
        places.setdefault(stem, []).append(other)
    before: dict[int, int] = {}
    for place, stem in enumerate(first):
        runs = {other: before.get(other - 1, 0) + 1 for other in places.get(stem, ())}
        before = runs
        if not runs:
            continue
        longest = max(runs.values())
        start = place - longest + 1
        weight = sum(telling(one) + _SMALL for one in first[start : place + 1])
        best = max(best, (weight, -start, longest))
    return -best[1], best[2]


def _shown(tokens: Sequence[Token]) -> str:
    shown = [token.shown for token in tokens if token.shown]
    return " ".join(shown or [token.word for token in tokens])


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST_QUOTE else text[: _LONGEST_QUOTE - 1].rstrip() + "…"
