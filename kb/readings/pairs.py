"""Two things said close to each other that together tell of danger: "the blower … stopped"."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from .pair_words import PAIR_WORDS
from .tokens import Found, Text


@dataclass(frozen=True, slots=True)
class _Rule:
    label: str
    reach: int
    needs: str = ""  # a third group that must stand between or close by


_RULES: Mapping[tuple[str, str], _Rule] = {
    ("gills", "strained"): _Rule("gasping", 5),
    ("strained", "gills"): _Rule("gasping", 3),
    ("mouths", "up"): _Rule("gasping", 4),
    ("crowding", "oxygen place"): _Rule("crowding", 6),
    ("lying", "dry or low"): _Rule("crowding", 5),
    ("part", "gone"): _Rule("toll", 3),
    ("loss", "recently"): _Rule("toll", 7),
    ("another", "recently"): _Rule("toll", 3),
    ("few", "left"): _Rule("toll", 4),
    ("power", "cut"): _Rule("power", 4),
    ("support", "failed"): _Rule("air", 4),
    ("put out", "support"): _Rule("air", 2),
    ("vessel", "lost"): _Rule("leak", 4),
    ("burst", "vessel"): _Rule("leak", 3),
    ("plumbing", "broke"): _Rule("leak", 3),
    ("broke", "plumbing"): _Rule("leak", 1),
    ("heat source", "runaway"): _Rule("air", 4),
    ("poison", "spilled"): _Rule("poison", 8, "in the water"),
    ("spilled", "poison"): _Rule("poison", 8, "in the water"),
    ("chemical", "too much"): _Rule("poison", 7),
    ("too much", "chemical"): _Rule("poison", 7),
    ("poisoned", "victims"): _Rule("poison", 3),
    ("buzz", "touching"): _Rule("electric", 8),
    ("touching", "buzz"): _Rule("electric", 8),
    ("metal", "live"): _Rule("electric", 3),
    ("wiring", "unsafe"): _Rule("electric", 5),
    ("heater", "shattered"): _Rule("electric", 4),
    ("shattered", "heater"): _Rule("electric", 2),
    ("unsafe", "wiring"): _Rule("electric", 2),
    ("dripping", "wiring"): _Rule("electric", 6),
    ("caustic", "body"): _Rule("acid", 9, "contact"),
    ("body", "caustic"): _Rule("acid", 9, "contact"),
    ("ate", "not food"): _Rule("eaten", 9),
    ("not food", "ate"): _Rule("eaten", 6),
    ("meal", "sick"): _Rule("eaten", 12),
    ("sick", "meal"): _Rule("eaten", 8),
    ("fumes", "unwell"): _Rule("gas", 12),
    ("unwell", "fumes"): _Rule("gas", 12),
    ("breaker", "trips"): _Rule("electric", 5),
    ("trips", "breaker"): _Rule("electric", 3),
    ("cord", "damaged"): _Rule("electric", 5),
    ("damaged", "cord"): _Rule("electric", 3),
    ("strong acid", "erupted"): _Rule("acid", 12),
    ("erupted", "strong acid"): _Rule("acid", 12),
    ("limb", "infected"): _Rule("hurt", 12),
    ("infected", "limb"): _Rule("hurt", 5),
    ("mouths", "racing"): _Rule("gasping", 4),
    ("removed", "recently"): _Rule("toll", 7, "part"),
    ("recently", "removed"): _Rule("toll", 5, "part"),
    ("heater alone", "gave out"): _Rule("air", 3),
    ("put out", "power"): _Rule("power", 2),
    ("toxin", "extreme"): _Rule("extreme", 8),
    ("extreme", "toxin"): _Rule("extreme", 5),
    ("few", "remaining"): _Rule("leak", 7, "depth"),
    ("caustic", "clothes"): _Rule("acid", 8, "spilled"),
    ("limb", "caught"): _Rule("hurt", 4),
    ("gas", "warning"): _Rule("gas", 6),
    ("person", "badly off"): _Rule("hurt", 10),
}
_WIDEST = max(rule.reach for rule in _RULES.values())
_AROUND = 5
_WINDOW = 30
_PART = frozenset(("part",))
_PARTING = frozenset(("but", ";", "."))


@dataclass(frozen=True, slots=True)
class _Member:
    """A word or phrase of one or more groups, at its place."""

    groups: frozenset[str]
    first: int
    last: int


def _by_first_word() -> Mapping[str, tuple[tuple[tuple[str, ...], frozenset[str]], ...]]:
    groups: dict[tuple[str, ...], set[str]] = {}
    for group, phrases in PAIR_WORDS.items():
        for phrase in phrases.split("|"):
            groups.setdefault(tuple(phrase.split()), set()).add(group)
    table: dict[str, list[tuple[tuple[str, ...], frozenset[str]]]] = {}
    for words, names in groups.items():
        table.setdefault(words[0], []).append((words, frozenset(names)))
    return {
        first: tuple(sorted(entries, key=lambda entry: -len(entry[0])))
        for first, entries in table.items()
    }


_TABLE = _by_first_word()


def find_pairs(text: Text) -> tuple[Found, ...]:
    """The pairs that tell of danger, each from the first of its words to the last."""
    members = tuple(_members(text))
    partings = _partings(text)
    found = []
    for place, first in enumerate(members):
        for second in _following(text, members, place, partings):
            rule = _rule(first, second)
            near = members[max(0, place - _WINDOW) : place + _WINDOW]
            if rule and _has_need(text, near, rule.needs, first.first, second.last):
                found.append(Found(rule.label, first.first, second.last))
    return tuple(found)


def _members(text: Text) -> Iterator[_Member]:
    for index, token in enumerate(text.tokens):
        if token.kind == "number":
            yield _Member(_PART, index, index)
        for words, groups in _entries(text.word(index)):
            if len(words) == 1 or text.words[index + 1 : index + len(words)] == words[1:]:
                yield _Member(groups, index, index + len(words) - 1)


def _entries(word: str) -> tuple[tuple[tuple[str, ...], frozenset[str]], ...]:
    """The phrases that begin with this word, or with it less its "'s"."""
    return _TABLE.get(word) or (_TABLE.get(word[:-2], ()) if word.endswith("'s") else ())


def _partings(text: Text) -> list[int]:
    """For each token the next "but", ";" or end of its sentence at or behind it."""
    places = list(text.sentence_end)
    for index in range(len(places) - 1, -1, -1):
        if text.words[index] in _PARTING:
            places[index] = index
        elif index < text.sentence_end[index]:
            places[index] = places[index + 1]
    return places


def _following(
    text: Text, members: tuple[_Member, ...], place: int, partings: list[int]
) -> Iterator[_Member]:
    """The members behind one, in its sentence and within reach, up to a "but"."""
    first = members[place]
    stop = min(first.last + _WIDEST, partings[first.last])
    for at in range(place + 1, len(members)):
        second = members[at]
        if second.first > stop:
            return
        if second.first > first.last:
            yield second


def _rule(first: _Member, second: _Member) -> _Rule | None:
    """The rule that these two fill, if they are close enough."""
    gap = second.first - first.last
    for one in first.groups:
        for other in second.groups:
            rule = _RULES.get((one, other))
            if rule and gap <= rule.reach:
                return rule
    return None


def _has_need(text: Text, members: tuple[_Member, ...], needs: str, first: int, last: int) -> bool:
    if not needs:
        return True
    low = max(text.sentence_start[first], first - _AROUND)
    high = min(text.sentence_end[first], last + _AROUND)
    return any(needs in member.groups and low <= member.first <= high for member in members)
