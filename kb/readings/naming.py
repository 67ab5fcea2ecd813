"""Which reading a number belongs to: by its unit, by the name beside it, or the talk before."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from .numbers import Figure
from .tokens import Found, Text, find_phrases, is_clause_break, words
from .vocabulary import (
    DISSOLVED,
    FILLER_MARKS,
    FILLERS,
    FISH,
    IN_MG_L,
    LINKS,
    NAMES,
    SAFE_AFTER_TOPIC,
)

_STEPS_BACK = 14
_TOPIC_BACK = 60
NO_WORDS = frozenset(("no", "neither", "nor"))
_BESIDE = frozenset(("both", "of", "for", "on", "the", "total", "in", "as"))
_JOINTS = frozenset((",", "/", "and", "&", "or", "+"))
_NO_COUNT = words(
    "fish tank tanks bed beds plants people kids pupils different more other others of ponds "
    "pumps tests videos buffer solution calibration weeks point points year years old new x % "
    "fishes tilapia trout koi goldfish bags"
)
_NUMBERED = words("# no number step part day week year episode version age aged model")
_SUBJECTS = frozenset(("tank", "water", "system", "mine", "mine's", "pond", "it", "it's"))
_SOURCES = frozenset(("tap", "rain", "rainwater", "well", "source", "mains"))
_WARMTH = frozenset(("heater", "thermostat", "temp", "degrees", "warm", "cold", "air", "outside"))
_WATER_LEAD = words(
    "was it's water's it the my our water is at now about around and with fish tank , ( ."
)
_PH_ALONE = 4.5, 9.9
_TESTERS = words(
    "colour color shade meter probe pen strip strips drops tester test kit card stick sticks "
    "monitor dip"
)
_ASKER = words("we we're i'm ours mine")
_SAYS = words(
    "is are at reads read says said shows showed sits still reading reading: stays tests tested "
    "measured measures it's gives gave around about got now ="
)
_AT = words("is at was it's water's")
_SWINGING = words("swings goes from between ranges varies fluctuates moves")
_LEFT = words("now left remain remaining alive survived survivors")
_FISH_BACK = 40
_STRANGE = 4  # so many words less one may be unknown in "the pH of our allotment pond is 7.9"
_TELLS = words("is at reads says shows : = was")
_OF = words("of in for from at")
_WAYS = frozenset(("to", "from", "by", "at", "below", "under", "again"))
_LEADERS = _SUBJECTS | {"now", "actual", "today", "currently"}


@dataclass
class Names:
    """The names in a text: by their last token, by their first, and those already spent."""

    by_last: Mapping[int, Found]
    by_first: Mapping[int, Found]
    before: tuple[Found | None, ...]  # for each token the last name that ends before it
    figure_at: Mapping[int, Figure]  # for each token of a figure the figure
    spent: set[int] = field(default_factory=set)


def find_names(text: Text, figures: tuple[Figure, ...]) -> Names:
    """All names of readings in a text, ready to be looked up from a number."""
    found = (*(_no_product(text, name) for name in find_phrases(text, NAMES)), *_plain_do(text))
    by_last = {name.last: name for name in found}
    before: list[Found | None] = []
    last: Found | None = None
    for index in range(len(text.tokens)):
        before.append(last)
        last = by_last.get(index, last)
    places = {token: figure for figure in figures for token in range(figure.first, figure.last + 1)}
    by_first = {name.first: name for name in found}
    return Names(by_last, by_first, tuple(before), places)


def names_of(text: Text, figure: Figure, names: Names) -> tuple[Found, ...]:
    """The name or names this number belongs to; none when no reading is meant."""
    if text.word(figure.first) in NO_WORDS and (none := _ahead(text, figure, names)):
        names.spent.add(none.last)
        return (none, *_joined_ahead(text, none, names))
    behind, linked = _walk_back(text, figure, names)
    if behind and behind.last not in names.spent:
        return _listed(text, behind, names)
    ahead = _ahead(text, figure, names)
    if ahead:
        names.spent.add(ahead.last)
        return (ahead, *_joined_ahead(text, ahead, names))
    if figure.kind == "concentration":
        return _loose(text, figure, names)
    topic = names.before[figure.first]
    if linked and topic and _topic_holds(text, figure, topic):
        return (topic,)
    return ()


def counts_something(text: Text, figure: Figure) -> bool:
    """Is a bare number followed by what it counts, or is it the number of a thing?"""
    word = text.word(figure.last + 1)
    if word == "/" and text.word(figure.last + 2) == "7" and figure.low == 24:
        return True
    if word == "of" and text.word(figure.last + 2) in ("ammonia", "nitrite", "nitrate"):
        return False
    numbered = float(figure.low).is_integer() and text.word(figure.first - 1) in _NUMBERED
    return word in _NO_COUNT or numbered


def of_water_unnamed(text: Text, figure: Figure, names: Names) -> str:
    """What "tap is 8.2 but tank 7.4" or "heater at 26 but water 21" tell of; empty if nothing."""
    if _is_ph_alone(text, figure, names):
        return "ph"
    near = {text.word(place) for place in range(figure.first - 4, figure.first)}
    if not near & _SUBJECTS:
        return ""
    start = max(text.sentence_start[figure.first], figure.first - 20)
    end = min(text.sentence_end[figure.first], figure.last + 20)
    words = {text.word(place) for place in range(start, end + 1)}
    decimal = not float(figure.low).is_integer()
    if decimal and 5 <= figure.low <= figure.high <= 9.5 and words & _SOURCES:
        return "ph"
    if _is_warmth_alone(text, figure):
        return "temperature_c"
    warmth = "water" in near and 5 <= figure.low <= figure.high <= 40 and words & _WARMTH
    return "temperature_c" if warmth else ""


def fish_left(text: Text, figure: Figure) -> bool:
    """Is it what is left of the fish: "so 30 now", "34 left", behind talk of fish?"""
    before = {text.word(figure.first - 1), text.word(figure.first - 2)}
    told = text.word(figure.last + 1) in _LEFT or bool(before & {"now", "left"})
    if text.word(figure.first - 1) in ("x", "×") and text.word(figure.first - 2) in FISH:
        return True
    told = told or _all_told(text, figure)
    if not told or not float(figure.low).is_integer() or not _is_loose(text, figure):
        return False
    start = max(0, figure.first - _FISH_BACK)
    return any(text.word(place) in FISH for place in range(start, figure.first))


def has_decimals(text: Text, figure: Figure) -> bool:
    """Is the number written with decimals, be they zero: "8.0", "eight point three"?"""
    said = {text.word(place) for place in range(figure.first, figure.last + 1)}
    return "point" in said or any("." in word or "," in word for word in said - {".", ","})


def _in_my_water(text: Text, figure: Figure) -> bool:
    """Is "in my tank" or "in our pond" said soon behind it?"""
    behind = text.words[figure.last + 1 : figure.last + 6]
    own = next((at for at, word in enumerate(behind) if word in ("my", "our")), len(behind))
    return bool(_SUBJECTS & set(behind[own : own + 3])) and "in" in behind[:own]


def _all_told(text: Text, figure: Figure) -> bool:
    words_behind = [text.word(figure.last + place) for place in (1, 2)]
    return words_behind in (["in", "total"], ["all", "told"]) or words_behind[0] == "altogether"


def _is_loose(text: Text, figure: Figure) -> bool:
    after = text.word(figure.last + 1)
    return (
        after in _LEFT or after in ("in", "", "all", "altogether") or _nothing_counted(text, figure)
    )


def _is_ph_alone(text: Text, figure: Figure, names: Names) -> bool:
    """Is it a decimal such as pH has, said of the water or of the test, with no other name?"""
    low, high = _PH_ALONE
    if figure.kind or not low <= figure.low <= figure.high <= high:
        return False
    topic = names.before[figure.first]
    if topic and topic.label != "ph" and topic.first >= text.sentence_start[figure.first]:
        return False
    if text.word(figure.last + 1) in ("on", "by", "with") and _TESTERS & {
        text.word(place) for place in range(figure.last + 2, figure.last + 5)
    }:
        return True
    if not has_decimals(text, figure):
        return False
    lead = [text.word(place) for place in range(max(0, figure.first - 4), figure.first)]
    end = min(text.sentence_end[figure.first], figure.last + 8)
    if lead[-1:] in (["tested"], ["measured"], ["read"]) and _TESTERS & {
        text.word(place) for place in range(figure.last + 1, end + 1)
    }:
        return True
    if (lead[-1:] == ["from"] and text.word(figure.last + 1) == "to") or _in_my_water(text, figure):
        return True
    said = bool(set(lead[-3:]) & _SAYS and set(lead) & (_SUBJECTS | _TESTERS | _ASKER))
    if not said and lead[-1:] not in (["tank"], ["system"], ["pond"], ["sump"]):
        return False
    return _nothing_counted(text, figure)


def _is_warmth_alone(text: Text, figure: Figure) -> bool:
    """Is it "the water is 27" or "water at 75", with nothing behind that it could count?"""
    lead = [text.word(place) for place in range(max(0, figure.first - 3), figure.first)]
    swings = figure.is_range and bool({"water", "tank"} & set(lead) and set(lead) & _SWINGING)
    told = bool(_AT & set(lead)) and set(lead) <= _WATER_LEAD
    said = told and ("water" in lead or "water's" in lead or _in_the_water(text, figure))
    likely = 10 <= figure.low <= figure.high <= 40 or 50 <= figure.low <= figure.high <= 95
    return (said or swings) and likely and _nothing_counted(text, figure)


def _in_the_water(text: Text, figure: Figure) -> bool:
    behind = [text.word(figure.last + place) for place in (1, 2, 3)]
    return behind[:2] == ["in", "the"] and behind[2] in ("tank", "water", "pond", "sump", "system")


def _no_product(text: Text, name: Found) -> Found:
    """The name itself, but pH alone where "pH down to 6.8" tells of no bottle."""
    if text.word(name.first) != "ph" or name.label or text.word(name.last + 1) not in _WAYS:
        return name
    return Found("ph", name.first, name.first)


def _plain_do(text: Text) -> tuple[Found, ...]:
    """DO in capitals, or before a number of mg/L, as dissolved oxygen."""
    found = []
    for index, token in enumerate(text.tokens):
        if token.word != "do" or text.word(index + 1) in ("level", "levels", "reading", "meter"):
            continue
        capitals = text.original[token.start : token.end] == "DO"
        following = index + 1 < len(text.tokens) and text.tokens[index + 1].kind == "number"
        unit = text.word(index + 2) in ("ppm", "mg", ".", ",", "", "\n")
        if (capitals and not text.original[:200].isupper()) or (following and unit):
            found.append(Found("oxygen_mg_l", index, index))
    return tuple(found)


def _walk_back(text: Text, figure: Figure, names: Names) -> tuple[Found | None, bool]:
    """The name reached through small words, and whether "it is", "now at" or the like led in."""
    links = crossed = False
    strange = _STRANGE if text.word(figure.first - 1) in _TELLS else 0
    index = figure.first - 1
    stop = max(text.sentence_start[figure.first], figure.first - _STEPS_BACK)
    while index >= stop:
        name = names.by_last.get(index)
        if name and (strange in (0, _STRANGE) or text.word(name.last + 1) in _OF):
            return name, False
        word = text.word(index)
        if index in names.figure_at and _went_from(text, figure, index, names):
            index -= 1
            continue
        if index in names.figure_at and names.figure_at[index].kind == "other":
            index -= 1
            continue
        if index in names.figure_at:
            return None, links or (crossed and not figure.kind)
        if not (word in FILLERS or word in FILLER_MARKS):
            if strange < 2 or is_clause_break(text, index):
                break
            strange -= 1
        links = links or (not crossed and word in LINKS)
        crossed = crossed or word == ","
        index -= 1
    ended = index < text.sentence_start[figure.first] or crossed
    ended = ended or (index >= 0 and is_clause_break(text, index))
    near = {text.word(place) for place in range(max(0, figure.first - 3), figure.first)}
    return None, links and (ended or bool(near & _LEADERS))


def _went_from(text: Text, figure: Figure, index: int, names: Names) -> bool:
    """Is it the 7.4 of "from 7.4 to 8.2", looking back from 8.2?"""
    floor = index - 6
    while index - 1 in names.figure_at and index > floor:
        index -= 1
    return text.word(figure.first - 1) == "to" and text.word(index - 1) == "from"


def _ahead(text: Text, figure: Figure, names: Names) -> Found | None:
    """The name right behind a number, as in "0 nitrites" or "2 ppm of ammonia"."""
    index = figure.last + 1
    steps = 3 if figure.kind == "concentration" else 2
    if text.word(index) == "(" and (name := names.by_first.get(index + 1)):
        return None if _has_own_number(text, name, names) else name
    while steps and text.word(index) in _BESIDE:
        index += 1
        steps -= 1
    return names.by_first.get(index)


def _listed(text: Text, name: Found, names: Names) -> tuple[Found, ...]:
    """The name, and those joined to it before: "ammonia and nitrite are both 0"."""
    group = [name]
    while len(group) < 4 and group[-1].label in DISSOLVED:
        place = group[-1].first - 1
        if place not in names.by_last:
            if text.word(place) not in _JOINTS:
                break
            place -= 1 + (text.word(place - 1) in _JOINTS)
        other = names.by_last.get(place)
        if other is None or other.label not in DISSOLVED or other.last in names.spent:
            break
        group.append(other)
    return tuple(reversed(group))


def _joined_ahead(text: Text, name: Found, names: Names) -> tuple[Found, ...]:
    """The names joined behind one: "zero ammonia and nitrite"."""
    group: list[Found] = []
    place = name.last + 1
    while text.word(place) in _JOINTS and name.label in DISSOLVED and len(group) < 3:
        other = names.by_first.get(place + 1)
        if other is None or other.label not in DISSOLVED or _has_own_number(text, other, names):
            break
        names.spent.add(other.last)
        group.append(other)
        place = other.last + 1
    return tuple(group)


def _has_own_number(text: Text, name: Found, names: Names) -> bool:
    """Is a number said right behind this name?"""
    for place in range(name.last + 1, name.last + 5):
        if place in names.figure_at:
            return True
        if text.word(place) == ")" or place in names.by_first or text.word(place) in _JOINTS:
            return False
    return False


def _loose(text: Text, figure: Figure, names: Names) -> tuple[Found, ...]:
    """For a number in mg/L, the last thing spoken of that is measured so."""
    name = names.before[figure.first]
    steps = 0
    while name and steps < 4 and name.label not in IN_MG_L:
        if name.label == "" and name.first >= text.sentence_start[figure.first]:
            return ()
        name, steps = names.before[name.first], steps + 1
    if name is None or not _topic_near(text, figure, name):
        return ()
    if name.last in names.spent and name.first >= text.sentence_start[figure.first]:
        return ()
    taken = any(place in names.figure_at for place in range(name.last + 1, figure.first))
    return () if taken and name.label not in DISSOLVED else (name,)


def _topic_near(text: Text, figure: Figure, name: Found) -> bool:
    start = text.sentence_start[figure.first]
    earlier = text.sentence_start[start - 1] if start else 0
    return name.first >= earlier and figure.first - name.last <= _TOPIC_BACK


def _topic_holds(text: Text, figure: Figure, topic: Found) -> bool:
    """May "it is 7.9" speak of the last thing named?"""
    if not topic.label or not _topic_near(text, figure, topic):
        return False
    return _nothing_counted(text, figure)


def _nothing_counted(text: Text, figure: Figure) -> bool:
    """Does a mark or a small word follow, not a thing the number could count?"""
    after = figure.last + 1
    if after >= len(text.tokens) or after > text.sentence_end[figure.first]:
        return True
    return text.tokens[after].kind == "mark" or text.word(after) in SAFE_AFTER_TOPIC
