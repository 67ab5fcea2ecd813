"""Several vessels of one size: "two 55 gallon barrels", "3 x 1000 L", "15 fish in each"."""

from dataclasses import replace

from .numbers import Figure, single
from .spoken import NUMBER_WORDS
from .tokens import Text, words

_MOST = 50
_TIMES = frozenset(("x", "×", "*", "times"))
_VESSELS = words(
    "tanks barrels drums totes ibcs tubs ponds vats tank's cubes aquariums aquaria basins troughs "
    "bathtubs raceways pools containers"
)
_HOLDING = words("of with at holding each about around roughly a , : x are")
_ADJECTIVES = words("fish blue plastic round square big small large food grade used steel same")
_EACH = frozenset(("each", "apiece"))


def several_at(text: Text, index: int) -> Figure | None:
    """The volume of several vessels together, from the token that counts them."""
    count = _count(text, index)
    if count is None:
        return None
    behind = index + 1
    if text.word(behind) in _TIMES:
        return _many(text, index, count, behind + 1)
    if _vessels_within(text, behind, 3) is None:
        return _many(text, index, count, behind, before_vessels=True)
    place = _vessels_within(text, behind, 3) or behind
    while text.word(place + 1) in _HOLDING and place < behind + 6:
        place += 1
    return _many(text, index, count, place + 1)


def fish_in_each(text: Text, figure: Figure) -> int:
    """How many vessels hold so many fish "in each"; 1 when nothing is said of that."""
    last = min(text.sentence_end[figure.first], figure.last + 6)
    each = next((at for at in range(figure.last + 1, last + 1) if text.word(at) in _EACH), None)
    if each is None:
        return 1
    if text.word(each + 1) == "of" and (count := _count(text, each + 2)):
        return count
    for at in range(max(text.sentence_start[figure.first], figure.first - 12), figure.first):
        if (count := _count(text, at)) and _vessels_within(text, at + 1, 3) is not None:
            return count
    return 1


def _count(text: Text, index: int) -> int | None:
    word = text.word(index)
    value = float(word) if word.isdecimal() and len(word) < 3 else NUMBER_WORDS.get(word, 0.0)
    return int(value) if 2 <= value <= _MOST else None


def _many(
    text: Text, index: int, count: int, place: int, *, before_vessels: bool = False
) -> Figure | None:
    """The volume at a place times the count; None when no volume stands there."""
    one = single(text, place) if place < len(text.tokens) else None
    if one is None or one.kind != "volume" or one.unit == "mL":
        return None
    if before_vessels and _vessels_within(text, one.last + 1, 3) is None:
        return None
    last = one.last + (text.word(one.last + 1) in _EACH)
    return replace(one, low=one.low * count, high=one.high * count, first=index, last=last)


def _vessels_within(text: Text, index: int, reach: int) -> int | None:
    """The place of "tanks" or the like right here, past a few adjectives."""
    for place in range(index, index + reach):
        if text.word(place) in _VESSELS:
            return place
        if text.word(place) not in _ADJECTIVES:
            return None
    return None
