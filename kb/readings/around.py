"""The circumstances told in a text: its phrases, and years long past."""

import re

from .circumstances import CIRCUMSTANCES
from .tokens import Found, Text, find_phrases

_LONG_PAST = re.compile(r"19[3-9]\d|20[01]\d|202[0-4]")
_BEFORE_YEARS = frozenset(("in", "of", "since", "was", "back", "winter", "summer", "from", "until"))


def circumstances(text: Text) -> tuple[Found, ...]:
    """The phrases around a danger in the order of the text, a year long past as "old"."""
    phrases = find_phrases(text, CIRCUMSTANCES)
    years = [
        Found("old", place, place)
        for place, word in enumerate(text.words)
        if len(word) == 4 and _LONG_PAST.fullmatch(word) and text.word(place - 1) in _BEFORE_YEARS
    ]
    if not years:
        return phrases
    taken = {place for phrase in phrases for place in range(phrase.first, phrase.last + 1)}
    further = (year for year in years if year.first not in taken)
    return tuple(sorted((*phrases, *further), key=lambda found: found.first))
