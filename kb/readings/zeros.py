"""Zeros said without a number: "no detectable ammonia", "nitrates none", "neither .. nor"."""

from .naming import NO_WORDS, Names
from .numbers import Figure
from .tokens import Text, words
from .vocabulary import DISSOLVED

_NEXT_TO_NONE = frozenset(("detectable", "measurable", "traceable", "visible"))
NONE_WORDS = frozenset(("none", "absent", "negative", "nothing"))
_TESTING = words("test tests kit strip strips tube drops reading readings level levels result")
_SHOWING = words(
    "shows show showed showing reads read says said gives gave registers comes came up still "
    "always detects finds measures is are was as at"
)
_SEEN = frozenset(("detectable", "detected", "measurable", "traceable"))
_TRACES = frozenset(("trace", "traces", "sign", "signs", "hint"))
_BEFORE_NONE = frozenset(("is", "are", ":", "=", "-"))
_ENDS = words("nor - ( ! and . , or detectable detected ; any anymore left in now today yet") | {""}


def said_to_be_none(text: Text, names: Names) -> tuple[Figure, ...]:
    """A figure of zero for each dissolved thing that is said not to be there."""
    found = []
    for index, word in enumerate(text.words):
        if index in names.figure_at:
            continue
        zero = None
        if word in NONE_WORDS or (word == "not" and text.word(index + 1) in _SEEN):
            zero = _none_behind(text, index, names)
        elif word in NO_WORDS:
            zero = _none_ahead(text, index, names)
        if zero:
            found.append(zero)
    return tuple(found)


def _none_behind(text: Text, index: int, names: Names) -> Figure | None:
    """The zero of "nitrates none"."""
    place = index - 1
    if text.word(place) in _SHOWING and text.word(index + 1) in _ENDS | {"at", "yet", "after"}:
        while text.word(place) in _SHOWING or text.word(place) in _TESTING:
            place -= 1
    elif text.word(index) == "nothing":
        return None
    else:
        place -= text.word(place) in _BEFORE_NONE
    mention = names.by_last.get(place)
    told = mention is not None and mention.label in DISSOLVED
    return Figure(0.0, 0.0, index, index) if told else None


def _none_ahead(text: Text, index: int, names: Names) -> Figure | None:
    """The zero of "no ammonia", "no trace of nitrite"."""
    between = int(text.word(index + 1) in _NEXT_TO_NONE)
    between += 2 * (text.word(index + 1) in _TRACES and text.word(index + 2) == "of")
    mention = names.by_first.get(index + 1 + between)
    if mention is None or mention.label not in DISSOLVED:
        return None
    if between or text.word(mention.last + 1) in _ENDS:
        return Figure(0.0, 0.0, index, index + between)
    return None
