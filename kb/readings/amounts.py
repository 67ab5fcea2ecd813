"""Amounts: what was put in the water, feed a day, fish, the water in the tank and its flow."""

from collections.abc import Sequence
from dataclasses import replace

from kb.units import TEASPOON_ML

from .numbers import Figure
from .tokens import Found, Text, phrase_at, phrase_table, words
from .vocabulary import FISH, FISH_TRAITS, NOT_FISH

SUBSTANCES = phrase_table(
    {
        "other": "phosphoric acid|hydrochloric acid|muriatic acid|citric acid|nitric acid|"
        "sulphuric acid|sulfuric acid|acetic acid|acid|vinegar|white vinegar|lemon juice|ph down|"
        "ph up|lime|garden lime|agricultural lime|dolomite lime|dolomite|calcium carbonate|"
        "potassium hydroxide|potassium carbonate|sodium bicarbonate|sodium carbonate|"
        "baking soda|bicarb|bicarbonate of soda|soda ash|shell grit|oyster shell|crushed coral|"
        "limestone|chalk|salt|sea salt|pool salt|table salt|iron chelate|chelated iron|iron|"
        "epsom salt|epsom salts|magnesium sulphate|magnesium sulfate|seaweed extract|seaweed|"
        "seaweed solution|dechlorinator|sodium thiosulphate|sodium thiosulfate|vitamin c|"
        "ascorbic acid|ammonia|ammonia solution|ammonium chloride|hydrogen peroxide|peroxide|"
        "bleach|formalin|potassium permanganate|copper sulphate|copper sulfate|methylene blue|"
        "molasses|gypsum|urea|potassium sulphate|potassium sulfate|calcium chloride|"
        "potassium nitrate|calcium nitrate|potash|water conditioner|conditioner|magnesium|"
        "calcium|potassium|humic acid|bacteria|starter bacteria|washing soda|caustic potash",
        "hydrated lime": "hydrated lime|slaked lime|calcium hydroxide|builders lime|builder's lime",
        "potassium bicarbonate": "potassium bicarbonate|pot bicarb|potassium bicarb",
    }
)
# Bulk densities: hydrated lime 450 to 500 kg/m3, maker's data sheet to AS 1672 (middle taken);
# potassium bicarbonate 65 lb/ft3, maker's specification.
_POWDER_G_ML = {"hydrated lime": 0.475, "potassium bicarbonate": 1.041}
_LIQUIDS = frozenset(("vinegar", "acid", "juice", "solution", "peroxide", "formalin", "bleach"))
_SPOON_ML = {"tsp": TEASPOON_ML, "tbsp": 3 * TEASPOON_ML}
_DOSING = words(
    "added add adding adds dosed dosing dose doses put puts putting poured pour use used using "
    "mixed tipped dumped gave treated dropped went squirted sprinkled threw stirred daily"
)
_BEFORE_SUBSTANCE = words(
    "of the some a food grade strong diluted pure % percent my our concentrated powdered liquid "
    "fine dry premixed"
)
_FEEDING = words(
    "feed feeding feeds fed food eat eats eating pellets ration rations feedings flakes"
)
_NOT_FEED = words("fish tilapia trout each bag bags sack sacks bucket tub carp koi catfish body")
_DAILY = words("day daily days everyday")
_TIMES = {"once": 1.0, "twice": 2.0, "thrice": 3.0, "two": 2.0, "three": 3.0, "four": 4.0}
_DEATH = words("died dead die dying killed lost losing gasping floating sick jumped missing")
_NOT_ALL = words("more another extra additional other first last")
_CONTAINERS = words(
    "bucket buckets jug bottle bottles bag bags sack pot pots can cans watering media gravel "
    "hydroton clay pump pumps heater freezer jerry jar container water-change change changes"
)
_MOVING = words(
    "changed change added add drained drain removed remove replaced replace poured pour exchange "
    "exchanged topped adding replacing lose loses losing lost top evaporates use used took"
)
_LESSER = words("sump bed beds growbed growbeds filter settler biofilter swirl")
_GROSS = words("tank tanks system pond ibc tote volume total litre gallon")
_AIRY = frozenset(("air", "aerator", "blower", "airpump", "airstone", "airstones", "compressor"))


def dose_of(text: Text, figure: Figure) -> tuple[str, Figure] | None:
    """What was put in and how much, in g or ml; None when it is no dose or cannot be converted."""
    substance = _substance(text, figure)
    if substance is None:
        return None
    words = " ".join(text.word(place) for place in range(substance.first, substance.last + 1))
    amount = _in_g_or_ml(figure, substance.label, words)
    if amount is None or not _was_dosed(text, figure, substance):
        return None
    return words, amount


def is_of_substance(text: Text, figure: Figure) -> bool:
    """Does a number tell an amount of some substance, dosed or not?"""
    return _substance(text, figure) is not None


def feed_a_day(text: Text, figure: Figure) -> Figure | None:
    """The grams of feed a day; None when the mass is no daily feed."""
    after = _window(text, figure.last + 1, figure.last + 8, text.sentence_end[figure.first])
    before = _window(text, max(text.sentence_start[figure.first], figure.first - 12),
                     figure.first - 1, figure.first)  # fmt: skip
    if not _FEEDING & {*before, *after} or _NOT_FEED & set(after[:3]) or "bag" in before[-3:]:
        return None
    close = {*before[-5:], *after[:2]}
    weekly = {"week", "weekly", "month", "monthly", "cubic"} & set(after)
    if weekly or not (_daily(after, before) or _FEEDING & close):
        return None
    return _scaled(figure, _times_a_day(after) * _times_before(before))


def fish_behind(text: Text, figure: Figure) -> Found | None:
    """The fish a number counts: "25 tilapia", "30 small red fish"; None when it counts no fish."""
    place = figure.last + 1
    while text.word(place) in FISH_TRAITS and place < figure.last + 5:
        fish = phrase_at(text, place, FISH)
        if fish:
            break
        place += 1
    found = phrase_at(text, place, FISH)
    if found is None:
        return None
    while (longer := phrase_at(text, found.last + 1, FISH)) is not None:
        found = longer
    ahead = text.word(found.last + 1)
    return None if ahead in NOT_FISH or _only_some(text, figure, found) else found


def is_tank_volume(text: Text, figure: Figure) -> bool:
    """Is it the water of tank or system, not of a lesser vessel, nor water moved or carried?"""
    after = _clause_after(text, figure, 4)
    before = _clause_before(text, figure, 6)
    moved = bool(_MOVING & set(before[-4:])) and not {"for", "to", "in"} & set(before[-2:])
    rate = bool({"per", "each"} & {*after[:1], *before[-1:]})
    if moved or rate or _CONTAINERS & set(after[:3]):
        return False
    if {"change", "changes"} & set(after[:4]) or (after[:1] == ["of"] and not _GROSS & set(after)):
        return after[1:2] == ["water"] and not _MOVING & set(before)
    own = next((word for word in after if word in _LESSER | _GROSS), "")
    ruling = own or next((word for word in reversed(before) if word in _LESSER | _GROSS), "")
    return ruling not in _LESSER


def is_water_flow(text: Text, figure: Figure) -> bool:
    """Is the flow one of water, not of air?"""
    near = {*_clause_before(text, figure, 6), *_clause_after(text, figure, 4)}
    return not near & _AIRY


def _window(text: Text, first: int, last: int, limit: int) -> list[str]:
    return [text.word(place) for place in range(max(first, 0), min(last, limit) + 1)]


def _clause_after(text: Text, figure: Figure, count: int) -> list[str]:
    words: list[str] = []
    for place in range(
        figure.last + 1, min(figure.last + count, text.sentence_end[figure.first]) + 1
    ):
        if text.tokens[place].kind == "mark" or text.word(place) in ("but", "and", "with"):
            break
        words.append(text.word(place))
    return words


def _clause_before(text: Text, figure: Figure, count: int) -> list[str]:
    words: list[str] = []
    start = max(text.sentence_start[figure.first], figure.first - count)
    for place in range(figure.first - 1, start - 1, -1):
        if text.word(place) in (",", "but", "and", ";", "with"):
            break
        words.append(text.word(place))
    return words[::-1]


def _substance(text: Text, figure: Figure) -> Found | None:
    place = figure.last + 1
    while text.word(place) in _BEFORE_SUBSTANCE or (
        place < len(text.tokens) and text.tokens[place].kind == "number"
    ):
        if place > figure.last + 6:
            return None
        place += 1
    found = phrase_at(text, place, SUBSTANCES)
    return found or _substance_before(text, figure)


def _substance_before(text: Text, figure: Figure) -> Found | None:
    for place in range(max(text.sentence_start[figure.first], figure.first - 4), figure.first):
        found = phrase_at(text, place, SUBSTANCES)
        if found and found.last < figure.first:
            between = {text.word(index) for index in range(found.last + 1, figure.first)}
            return found if between <= {",", "(", ":", "about", "at", "dose", "-"} else None
    return None


def _was_dosed(text: Text, figure: Figure, substance: Found) -> bool:
    start = max(text.sentence_start[figure.first], figure.first - 12)
    around = {text.word(place) for place in range(start, substance.last + 5)}
    return bool(around & _DOSING) or {"a", "day"} <= around or {"per", "day"} <= around


def _in_g_or_ml(figure: Figure, label: str, words: str) -> Figure | None:
    if figure.kind == "spoon":
        millilitres = _SPOON_ML[figure.unit]
        if label in _POWDER_G_ML:
            return _scaled(replace(figure, unit="g"), millilitres * _POWDER_G_ML[label])
        liquid = words.split()[-1] in _LIQUIDS and "citric" not in words
        return _scaled(replace(figure, unit="ml"), millilitres) if liquid else None
    if figure.kind == "mass":
        return replace(figure, unit="g")
    return _scaled(replace(figure, unit="ml"), 1000.0) if figure.kind == "volume" else None


def _scaled(figure: Figure, factor: float) -> Figure:
    return replace(figure, low=figure.low * factor, high=figure.high * factor)


def _daily(after: Sequence[str], before: Sequence[str]) -> bool:
    return bool(_DAILY & {*after[:6], *before[-4:]})


def _times_a_day(after: Sequence[str]) -> float:
    for place, word in enumerate(after[:5]):
        if word in ("once", "twice", "thrice") and _DAILY & set(after[place:]):
            return _TIMES[word]
        if word in ("times", "x") and place and _DAILY & set(after[place:]):
            said = after[place - 1]
            return float(said) if said in ("1", "2", "3", "4", "5", "6") else _TIMES.get(said, 1.0)
    return 1.0


def _times_before(before: Sequence[str]) -> float:
    """The 2 of "2 x 25 g"."""
    said = before[-2] if len(before) > 1 and before[-1] in ("x", "×", "times") else ""
    return float(said) if said in ("2", "3", "4", "5", "6") else 1.0


def _only_some(text: Text, figure: Figure, fish: Found) -> bool:
    """Are these only some of the fish: those that died, those added?"""
    after = set(_clause_after(text, Figure(0, 0, fish.first, fish.last), 4))
    before = set(_clause_before(text, figure, 4))
    between = {text.word(place) for place in range(figure.last + 1, fish.first)}
    if (_NOT_ALL & before) or (_NOT_ALL & between) or text.word(figure.first - 1) == "per":
        return True
    return bool(_DEATH & (after | before | between)) and "all" not in before
