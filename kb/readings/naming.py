"""Which reading a number belongs to: by its unit, by the name beside it, or the talk before."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from .numbers import Figure
from .tokens import Found, Text, find_phrases, is_clause_break, words
from .vocabulary import (
    DISSOLVED,
    FILLER_MARKS,
    FILLERS,
    IN_MG_L,
    LINKS,
    NAMES,
    SAFE_AFTER_TOPIC,
)

_STEPS_BACK = 14
_TOPIC_BACK = 60
NO_WORDS = frozenset(("no", "neither", "nor"))
_BESIDE = frozenset(("by", "both", "of", "for", "on", "the", "total", "in", "as"))
_JOINTS = frozenset((",", "/", "and", "&", "or", "+"))
_DO_SAYS = words(
    "is was at down reads reading dropped drops fell around about = : went stays sits only hovers "
    "crashed has measures tested shows"
)
_DOERS = words("i we you they to what can will could should would that he she people people's")
_NO_COUNT = words(
    "fish tank tanks bed beds plants people kids pupils different more other others of ponds "
    "pumps tests videos buffer solution calibration weeks point points year years old new x % "
    "fishes tilapia trout koi goldfish bags"
)
_NUMBERED = words("# no number step part day week year episode version age aged model")
SUBJECTS = frozenset(("tank", "water", "system", "mine", "mine's", "pond", "it", "it's"))
_STRANGE = 4  # so many words less one may be unknown in "the pH of our allotment pond is 7.9"
_TELLS = words("is at reads says shows : = was")
_OF = words("of in for from at")
_WAYS = frozenset(("to", "from", "by", "at", "below", "under", "again"))
_TIME_BACK = 6
_TIMES = words("after afterwards now today currently presently before meanwhile later")
_LEADERS = SUBJECTS | {"now", "actual", "today", "currently"}


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
    units = {place for figure in figures if figure.kind == "alkalinity"
             for place in range(figure.first + 1, figure.last + 1)}  # fmt: skip
    found = tuple(name for name in found if name.first not in units)
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
    if topic and topic.last == figure.first - 2 and text.word(figure.first - 1) == "?":
        return (topic,) if topic.label and nothing_counted(text, figure) else ()
    led = linked or (not figure.kind and led_by_time(text, figure))
    if led and topic and _topic_holds(text, figure, topic):
        return (topic,)
    return ()


def led_by_time(text: Text, figure: Figure) -> bool:
    """Does "after the water change" or "now" in its own clause lead into a bare number?"""
    place = figure.first - 1
    while place >= max(text.sentence_start[figure.first], figure.first - _TIME_BACK):
        if text.word(place) in _TIMES:
            return True
        if text.tokens[place].kind != "word" or text.word(place) in ("and", "but"):
            return False
        place -= 1
    return False


def counts_something(text: Text, figure: Figure) -> bool:
    """Is a bare number followed by what it counts, or is it the number of a thing?"""
    word = text.word(figure.last + 1)
    if word == "/" and text.word(figure.last + 2) == "7" and figure.low == 24:
        return True
    if word == "of" and text.word(figure.last + 2) in ("ammonia", "nitrite", "nitrate"):
        return False
    numbered = float(figure.low).is_integer() and text.word(figure.first - 1) in _NUMBERED
    return word in _NO_COUNT or numbered


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
        if (
            (capitals and not text.original[:200].isupper())
            or (following and unit)
            or _small_do(text, index)
        ):
            found.append(Found("oxygen_mg_l", index, index))
    return tuple(found)


def _small_do(text: Text, index: int) -> bool:
    """Is it oxygen in small letters: "do is down to 3", with the number soon behind a verb?"""
    if text.word(index + 1) not in _DO_SAYS or text.word(index - 1) in _DOERS:
        return False
    for place in range(index + 2, index + 7):
        if place < len(text.tokens) and text.tokens[place].kind == "number":
            return True
        if text.word(place) not in FILLERS:
            return False
    return False


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
    return nothing_counted(text, figure)


def nothing_counted(text: Text, figure: Figure) -> bool:
    """Does a mark or a small word follow, not a thing the number could count?"""
    after = figure.last + 1
    if after >= len(text.tokens) or after > text.sentence_end[figure.first]:
        return True
    if text.word(after) == "over":
        return text.word(after + 1) in ("night", "the", "a", "last")
    return text.tokens[after].kind == "mark" or text.word(after) in SAFE_AFTER_TOPIC
