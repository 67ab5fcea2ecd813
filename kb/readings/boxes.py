"""The volume of a tank from its sides: "2m x 1m x 0.5m", "4x2x2 ft", "2 m long, 1 m wide"."""

import math
import re

from kb.units import LENGTH

from .numbers import Figure, with_fraction
from .tokens import Text, words

_LENGTH_UNIT = re.compile(
    r"[ -]{0,2}(metres?|meters?|m|cm|mm|feet|foot|ft|inch(?:es)?|in(?= ?x|$|[ .,)])|'|\")"
    r"(?![a-wyz0-9])"
)
_LENGTH_NAMES = {"inches": "in"}
_BY = frozenset(("x", "×", "by", "*"))
_SIDE_WORDS = words("long wide deep high tall in length width depth height water")
_BETWEEN_SIDES = frozenset((",", "and", "&", "by", "x", "the", "is", "with", "filled", "to"))

_ACROSS = frozenset(("diameter", "across", "diam", "dia"))
_DIAMETER = frozenset(("diameter", "diam", "dia"))
_DEEP = words("deep high tall depth height full")
_FILLED = words("filled depth deep height level full high")
_NO_WATER = words("gravel media clay sand soil pebbles stones bed beds hydroton insulation")
_DEPTH_WITHIN = 12

Side = tuple[float, str]


def box_at(text: Text, index: int) -> Figure | None:
    """Three sides as a volume in m³; two alone, an area, as a number that is no reading."""
    if text.tokens[index].kind != "number":
        return None
    return _crossed(text, index) or _cylinder(text, index) or _described(text, index)


def _crossed(text: Text, index: int) -> Figure | None:
    """Sides with an x between them."""
    sides: list[Side] = []
    place = index
    while len(sides) < 4:
        if place >= len(text.tokens) or text.tokens[place].kind != "number":
            return None
        side, after = _side(text, place)
        sides.append(side)
        if text.word(after) not in _BY:
            break
        place = after + 1
    if len(sides) < 2:
        return None
    deep = _depth(text, after) if len(sides) == 2 and any(unit for _, unit in sides) else None
    if deep:
        return _box_figure([*sides, deep[0]], index, deep[1])
    return _box_figure(sides, index, after - 1)


def _cylinder(text: Text, index: int) -> Figure | None:
    """A round tank: "1.5 m in diameter and 70 cm deep"."""
    wide, after = _side(text, index)
    if not wide[1]:
        return None
    behind = {text.word(after), text.word(after + 1)}
    before = {text.word(place) for place in range(index - 4, index)}
    deep = _depth(text, after) if _ACROSS & behind or _DIAMETER & before else None
    if deep is None:
        return None
    height, last = deep
    across_m, height_m = (
        LENGTH.to_base(value, _LENGTH_NAMES.get(unit, unit)) for value, unit in (wide, height)
    )
    volume_m3 = math.pi / 4 * across_m**2 * height_m
    return Figure(volume_m3, volume_m3, index, last, "volume", "m³")


def _depth(text: Text, start: int) -> tuple[Side, int] | None:
    """A length said to be the depth, soon behind the other sides, and its last token."""
    for place in range(start, min(start + _DEPTH_WITHIN, len(text.tokens))):
        if text.tokens[place].kind != "number":
            continue
        side, after = _side(text, place)
        lead = {text.word(at) for at in range(max(start, place - 4), place)}
        if lead & _NO_WATER:
            return None
        if side[1] and text.words[after : after + 2] == ("of", "water"):
            return side, after + 1
        if side[1] and (text.word(after) in _DEEP or lead & _FILLED):
            return side, after if text.word(after) in _DEEP else after - 1
        return None
    return None


def _box_figure(sides: list[Side], first: int, last: int) -> Figure | None:
    known = [unit for _, unit in sides if unit]
    if len(sides) != 3 or not known:
        return None if len(sides) == 2 and not known else Figure(0.0, 0.0, first, last, "other")
    volume_m3 = 1.0
    for value, unit in sides:
        name = _LENGTH_NAMES.get(unit or known[-1], unit or known[-1])
        volume_m3 *= LENGTH.to_base(value, name)
    return Figure(volume_m3, volume_m3, first, last, "volume", "m³")


def _described(text: Text, index: int) -> Figure | None:
    """Sides named in words: 2 m long, 1 m wide and 0.5 m deep."""
    sides: list[Side] = []
    place = index
    while len(sides) < 3 and place < len(text.tokens) and text.tokens[place].kind == "number":
        side, after = _side(text, place)
        if not side[1] or text.word(after) not in _SIDE_WORDS:
            return None
        sides.append(side)
        last = place = after
        while text.word(place) in _SIDE_WORDS or (
            len(sides) < 3 and text.word(place) in _BETWEEN_SIDES
        ):
            last = place if text.word(place) in _SIDE_WORDS else last
            place += 1
    return _box_figure(sides, index, last) if len(sides) == 3 else None


def _side(text: Text, place: int) -> tuple[Side, int]:
    """A length with its unit, empty when it has none, and the token behind it."""
    value, last = with_fraction(text, place)
    match = _LENGTH_UNIT.match(text.lower, text.tokens[last].end)
    after = text.token_at_or_after(last + 1, match.end()) if match else last + 1
    return (value, match.group(1) if match else ""), after
