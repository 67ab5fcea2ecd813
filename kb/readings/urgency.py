"""Whether a text tells of fish that may be dying now, or of a person who may be in danger.

Better one alarm too many than one missed; but a figure of speech, a death long ago and "nobody
died" are no alarm.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from .around import circumstances
from .moot import (
    LOOK_BACK,
    NEAR,
    asked_in_general,
    denied,
    in_jest,
    in_sentence,
    is_past_or_thought,
    meant,
    near,
    over_again,
)
from .pairs import find_pairs
from .signs import SIGNS
from .tokens import Found, Text, cut, find_phrases, is_clause_break, words
from .vocabulary import FISH
from .weighing import weigh

FISH_REASON = "fish may be dying now"
PERSON_REASON = "a person may be in danger"
BY_RULE, URGENT_FROM = 2.3, -0.2  # chosen on texts held out when the weights were made
LONG_AGO = 2.5  # what a text weighs less that tells of the past and of nothing now
_ELLIPTIC = 3  # so soon in a sentence a sign needs no subject: "upside down since noon"

_AROUND = 60
_PERSONAL = frozenset(("electric", "acid", "gas", "hurt", "eaten"))
_WEAK_GAS = frozenset(("headache", "coughing", "collapsed", "nauseous", "dizzy", "bit", "bites"))
_ONLY_FISH = words(
    "gills gill gasping gasp gasps gulping gulp panting belly bellies mouths surface twitching "
    "suffocating breathing breathe"
)
_NOT_ABOUT_PEOPLE = frozenset(("fish", "other"))


@dataclass(frozen=True)
class Urgency:
    """Is it urgent, and which words say so and why; ``fishless`` when no fish are in there."""

    urgent: bool
    reasons: tuple[str, ...]
    fishless: bool = False


def urgency(text: str) -> Urgency:
    """Whether someone must act now, with the words that say so; 20,000 characters are read.

    Rules and the weight of all words together decide: words that weigh much need no rule, and a
    rule counts for nothing where they weigh very little.
    """
    parts = cut(text)
    around = circumstances(parts)
    ruled = _by_rules(parts, around)
    weight = weigh(parts, around)
    beside = BY_RULE if ruled.urgent else -LONG_AGO * _tells_of_the_past(around)
    if weight.danger + beside <= URGENT_FROM:
        return Urgency(False, (), ruled.fishless)
    if ruled.urgent:
        return ruled
    why = FISH_REASON if weight.fish > 0 else PERSON_REASON
    if ruled.fishless and why == FISH_REASON:
        return ruled
    return Urgency(True, (_in_quotes(parts, weight.first, weight.last, why),), ruled.fishless)


def _tells_of_the_past(around: tuple[Found, ...]) -> bool:
    """Is the past spoken of, and neither anything now nor anybody by "they"?"""
    labels = {mark.label for mark in around}
    return "old" in labels and not labels & {"now", "they"}


def by_rules(text: str) -> Urgency:
    """What the rules alone say of a text."""
    parts = cut(text)
    return _by_rules(parts, circumstances(parts))


def _by_rules(text: Text, around: tuple[Found, ...]) -> Urgency:
    signs = _signs(text, around)
    fishless = any(sign.label == "fishless" for sign in signs)
    reasons = dict.fromkeys(_reasons(text, signs, fishless))
    return Urgency(bool(reasons), tuple(reasons), fishless)


def _signs(text: Text, around: tuple[Found, ...]) -> tuple[Found, ...]:
    """The signs, their circumstances and the fish of a text, in its order."""
    phrases = find_phrases(text, SIGNS)
    harmless = _places(phrase for phrase in phrases if phrase.label in ("saying", "none"))
    pairs = (
        pair
        for pair in find_pairs(text)
        if pair.first not in harmless and pair.last not in harmless
    )
    taken = _places((*phrases, *around))
    fish = (name for name in find_phrases(text, FISH) if name.first not in taken)
    return tuple(sorted((*phrases, *around, *pairs, *fish), key=lambda sign: sign.first))


def _places(found: Iterable[Found]) -> set[int]:
    return {place for phrase in found for place in range(phrase.first, phrase.last + 1)}


def _reasons(text: Text, signs: tuple[Found, ...], fishless: bool) -> Iterator[str]:
    """The reasons, of those of one kind whose words overlap the first."""
    shown = {PERSON_REASON: -3, FISH_REASON: -3}
    for place, sign in enumerate(signs):
        why = _why(text, signs, place, fishless)
        if why and sign.first - 2 > shown[why]:
            shown[why] = sign.last + 2
            yield _quoted(text, sign, why)


def _why(text: Text, signs: tuple[Found, ...], place: int, fishless: bool) -> str:
    if _endangers_a_person(text, signs, place):
        return PERSON_REASON
    return FISH_REASON if not fishless and _kills_fish(text, signs, place) else ""


def _endangers_a_person(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    if signs[place].label == "bleach":
        return _mixed(text, signs, place)
    return (
        signs[place].label in _PERSONAL
        and _hurts_a_person(text, signs, place)
        and not asked_in_general(text, signs, place)
    )


def _kills_fish(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    """Does this sign tell of fish that may be dying now?"""
    sign = signs[place]
    judge = _JUDGES.get(sign.label)
    if judge is None or in_jest(text, signs, place):
        return False
    return judge(text, signs, place) and not asked_in_general(text, signs, place)


def _distressed(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    if is_past_or_thought(text, signs, place) or over_again(text, signs, place):
        return False
    return _fish_meant(text, signs, place)


def _crowding(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    """Do fish crowd, or lie, where they should not, and not for food?"""
    if near(text, signs, place, "feeding"):
        return False
    return _distressed(text, signs, place)


def _losing(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    close = _fish_close_behind(text, signs[place])
    return close and not is_past_or_thought(text, signs, place)


def _toll(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    """Is a part of the fish said to be gone, with nothing else that could be meant?"""
    span = tuple(in_sentence(text, signs, place, NEAR))
    if any(near.label in ("other", "thing") for near in span):
        return False
    return not is_past_or_thought(text, signs, place)


def _failing(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    """Is power, air or water gone, now, and neither meant so nor for the sake of argument?"""
    if meant(text, signs[place]) or near(text, signs, place, "old", "supposed", "none"):
        return False
    later = signs[place + 1 : place + 20]
    if any(sign.label == "solved" for sign in later):
        return False
    return not any(near.label == "other" and _inside(near, signs[place]) for near in later)


def _inside(inner: Found, outer: Found) -> bool:
    return outer.first <= inner.first <= inner.last <= outer.last


def _poisoned(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    return not near(text, signs, place, "old", "supposed", "none")


def _unwell(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    """Do fish look ill right behind something that may have made them so?"""
    if _subject(text, signs, place) not in ("fish", "they") or near(
        text, signs, place, "mild", "feeding"
    ):
        return False
    caused = any(sign.label == "cause" for sign in signs[max(0, place - 12) : place + 13])
    return caused and not is_past_or_thought(text, signs, place)


def _extreme(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    """Is a poison in the water beyond all measure, and not in an empty tank that cycles?"""
    around = signs[max(0, place - _AROUND) : place + _AROUND]
    cycling = any(sign.label == "cycling" for sign in around)
    return not cycling and _failing(text, signs, place)


def _calling(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    return not near(text, signs, place, "old", "saying")


_Judge = Callable[[Text, tuple[Found, ...], int], bool]
_JUDGES: Mapping[str, _Judge] = {
    "dying": _distressed,
    "gasping": _distressed,
    "crowding": _crowding,
    "losing": _losing,
    "fishless dying": _toll,
    "toll": _toll,
    "power": _failing,
    "air": _failing,
    "leak": _failing,
    "poison": _poisoned,
    "unwell": _unwell,
    "extreme": _extreme,
    "help": _calling,
}


def _hurts_a_person(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    sign = signs[place]
    word = text.word(sign.first)
    if (word in _WEAK_GAS or sign.label == "hurt") and _subject(
        text, signs, place
    ) in _NOT_ABOUT_PEOPLE:
        return False
    if word == "headache" and not near(text, signs, place, "gas", "acid", "acids", skip=place):
        return False
    if word in ("never", "no") or (sign.label == "acid" and near(text, signs, place, "kitchen")):
        return False
    if sign.label == "gas" and "egg" in word and near(text, signs, place, "mild"):
        return False
    old = near(text, signs, place, "old") and not near(text, signs, place, "now")
    return not old and not denied(text, sign)


def _mixed(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    """Are bleach or chlorine and an acid or ammonia spoken of as being mixed?"""
    span = tuple(in_sentence(text, signs, place, LOOK_BACK))
    labels = {sign.label for sign in span}
    words = {text.word(sign.first) for sign in span if sign.label == "mixing"}
    strong = words & {"mix", "mixed", "mixing", "mixes", "together", "combine", "combined"}
    poured = words & {"poured", "added", "fell"} and "bleach" in text.word(signs[place].first)
    return "acids" in labels and bool(strong or poured)


def _fish_meant(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    """Is it fish that the sign tells of, or nothing else that could be meant?"""
    sign = signs[place]
    following = signs[place + 1] if place + 1 < len(signs) else None
    if following and following.first <= sign.last + 3 and following.label in ("fish", "other"):
        between = {text.word(index) for index in range(sign.last + 1, following.first)}
        if not between & {"and", "but", "in", "on", "with", "the", ",", "from", "of"}:
            return following.label == "fish"
    subject = _subject(text, signs, place)
    if subject == "other":
        beside = {near.label for near in in_sentence(text, signs, place, LOOK_BACK)}
        return "fish" in beside and "other" not in beside
    if subject in ("fish", "they"):
        return True
    said = set(text.words[sign.first : sign.last + 1])
    soon = sign.first - text.sentence_start[sign.first] <= _ELLIPTIC
    if not subject and (soon or said & _ONLY_FISH):
        return not any(near.label == "other" for near in in_sentence(text, signs, place, NEAR))
    return sign.label == "dying" and _fish_anywhere_near(text, signs, place)


def _subject(text: Text, signs: tuple[Found, ...], place: int) -> str:
    """The nearest noun in this sentence or the one before: "fish", "other", "they", or empty."""
    sign = signs[place]
    pronoun = ""
    start = text.sentence_start[sign.first]
    before = text.sentence_start[start - 1] if start else 0
    for earlier in reversed(signs[max(0, place - 12) : place]):
        if earlier.first < before or sign.first - earlier.last > 3 * LOOK_BACK:
            break
        if earlier.label == "fish":
            return "fish"
        if earlier.label == "other" and not _apart(text, earlier, sign):
            return "other"
        same = earlier.first >= start
        pronoun = pronoun or ("they" if earlier.label == "they" and same else "")
    return pronoun


def _apart(text: Text, noun: Found, sign: Found) -> bool:
    """Does a new clause begin between a thing and the sign, so that it is not meant?"""
    if sign.label not in ("gasping", "crowding"):
        return False
    return any(is_clause_break(text, at) for at in range(noun.last + 1, sign.first))


def _fish_anywhere_near(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    return any(sign.label == "fish" for sign in in_sentence(text, signs, place, LOOK_BACK))


def _fish_close_behind(text: Text, sign: Found) -> bool:
    """Is it fish that were lost: "lost 3 fish", "losing one a day"?"""
    words = [text.word(index) for index in range(sign.last + 1, sign.last + 6)]
    fish = any(word in FISH for word in words)
    return fish and text.word(sign.last + 1) not in ("power", "interest", "weight", "track")


def _quoted(text: Text, sign: Found, why: str) -> str:
    """The words around a sign and what they may mean."""
    first = max(text.sentence_start[sign.first], sign.first - 2)
    last = min(text.sentence_end[sign.first], sign.last + 2)
    return _in_quotes(text, first, last, why)


def _in_quotes(text: Text, first: int, last: int, why: str) -> str:
    words = text.original[text.tokens[first].start : text.tokens[last].end]
    return f"“{' '.join(words.split())}”: {why}"
