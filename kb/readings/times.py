"""Whether a number is of now or of before: "up from 7.4", "not 8 any more"."""

from .numbers import Figure
from .tokens import Text

_WENT = frozenset(("went", "dropped", "rose", "fell", "climbed", "crashed", "gone", "jumped"))
_NOT = frozenset(("isn't", "not", "aren't", "ain't", "wasn't", "isnt"))


def no_longer(text: Text, figure: Figure) -> bool:
    """Is it said to be so no more: "isn't 8 any more", "no longer 2 ppm"?"""
    before = [text.word(place) for place in range(figure.first - 4, figure.first)]
    if "longer" in before and "no" in before:
        return True
    after = [text.word(place) for place in range(figure.last + 1, figure.last + 4)]
    more = "anymore" in after or ("any" in after and "more" in after)
    return more and bool(_NOT & set(before))


def came_from(text: Text, figure: Figure) -> bool:
    """Is it the first of "went from 7.4 to 8.2" or "up from 7.4"?"""
    if text.word(figure.first - 1) in _WENT and text.word(figure.last + 1) == "to":
        return not figure.is_range
    if text.word(figure.first - 1) != "from" or figure.is_range:
        return False
    before = {text.word(place) for place in range(figure.first - 6, figure.first - 1)}
    asked = {"lower", "reduce", "bring", "get", "raise", "drop", "increase", "take", "decrease"}
    moved = {"went", "gone", "dropped", "rose", "risen", "climbed", "jumped", "fell", "fallen",
             "increased", "decreased", "up", "down", "crept", "shot", "came", "moved", "changed",
             "spiked", "crashed", "drops", "goes", "brought", "lowered", "raised",
             "got"}  # fmt: skip
    return bool(before & moved) and not before & asked
