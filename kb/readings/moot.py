"""Whether a sign of danger is none after all: long past, feared, asked in general, in jest."""

from collections.abc import Iterator

from .tokens import Found, Text, is_clause_break, words
from .vocabulary import FISH

LOOK_BACK = 14
NEAR = 9
_LED_IN = 25  # so far reaches what opens a question in general
_DEATHS = frozenset(("dying", "losing", "fishless dying", "toll"))
_BARE_DEATH = frozenset(("die", "dies", "lose", "death", "deaths", "dead", "mortality"))
_PREFACES = words("hi hello hey so and please also but or well question just ok okay , quick :")
_DOING = words("do does can could would will at when")
_ASKING = words("should what what's whats which how who where")
_BEING = words("is are")
_NOT_IN_GENERAL = words("to now can it")
_TURNING_ASIDE = words(", ; - ( but")
_OWN = words(
    "my our mine ours i i've i'm we we've us they they're them their he she him her his it's this "
    "they'd anyone anybody just now already these those today keeps someone somebody me kid son "
    "daughter child"
)
_PAST = words(
    "were was had thought died lost froze went took burnt broke fell found got hit came ran blew"
)
_PRESENT = words("are is they're i'm it's he's she's we're have has i've we've am")
_TURNING = words("but ;")
_TURNS = words(
    "turn switch shut keep leave stop unplug drain empty turned shutting turning drained"
)
_TURNERS = words("i we can to should you and could always when")


def asked_in_general(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    """Is it a question or a thought in general, with nothing about now behind its opening?"""
    sign = signs[place]
    if _opens_as_question(text, sign):
        return True
    first = max(text.sentence_start[sign.first], sign.first - _LED_IN)
    for other in reversed(signs[max(0, place - _LED_IN) : place]):
        if other.first < first:
            return False
        if other.label == "now":
            return False
        if other.label in ("general", "asked"):
            between = {text.word(at) for at in range(other.last + 1, sign.first + 1)}
            return not between & (_OWN if other.label == "asked" else _TURNING)
    return False


def _opens_as_question(text: Text, sign: Found) -> bool:
    """Does its clause open its sentence with "do", "what" or so, and name nobody of the asker's?"""
    place = text.sentence_start[sign.first]
    while text.word(place) in _PREFACES and place < sign.first:
        place += 1
    opening = text.word(place)
    if opening not in _openers(sign) or text.word(place + 1) in _NOT_IN_GENERAL:
        return False
    words_between = {text.word(at) for at in range(place, sign.last + 1)}
    return not words_between & (_OWN | _TURNING_ASIDE)


def _openers(sign: Found) -> frozenset[str]:
    """The words that open a question in general, by what the sign tells of."""
    if sign.label == "electric":
        return _DOING | _ASKING
    return _DOING | _BEING | (frozenset() if sign.label in ("gasping", "crowding") else _ASKING)


def in_jest(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    """Does somebody laugh in the same sentence?"""
    near = in_sentence(text, signs, place, 2 * LOOK_BACK)
    return any(sign.label == "joke" for sign in near)


def meant(text: Text, sign: Found) -> bool:
    """Does somebody turn it off on purpose: "can I turn the pump off", "we switch it off"?"""
    start = max(text.sentence_start[sign.first], sign.first - 4)
    lead = [text.word(index) for index in range(start, sign.last + 1)]
    turns = [at for at, word in enumerate(lead) if word in _TURNS]
    return any(at and lead[at - 1] in _TURNERS for at in turns)


def denied(text: Text, sign: Found) -> bool:
    """Is it said that there is none: "no tingle", "never smelled rotten eggs"?"""
    return bool(
        _lead(text, sign, 4)
        & {"no", "never", "not", "without", "didn't", "don't", "isn't", "doesn't"}
    )


def is_past_or_thought(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    """Is it denied, long ago, or only feared, with nothing about now beside it?"""
    if near(text, signs, place, "none") or _none_before(text, signs[place]):
        return True
    if signs[place].label in _DEATHS and _done_with(signs, place):
        return True
    if near(text, signs, place, "now"):
        return False
    if near(text, signs, place, "old"):
        return True
    sign = signs[place]
    said = {text.word(index) for index in range(sign.first, sign.last + 1)}
    base = bool(said & _BARE_DEATH)
    fear = _lead(text, sign, 6)
    if sign.label in _DEATHS:
        prevented = fear & {"prevent", "avoid", "preventing", "avoiding", "without", "never"}
        return bool(prevented) or (base and near(text, signs, place, "supposed"))
    return False


def _done_with(signs: tuple[Found, ...], place: int) -> bool:
    """Is it another's loss, or one that all is well after, with nothing about now beside it?"""
    around = signs[max(0, place - 6) : place + 12]
    labels = {sign.label for sign in around}
    return bool(labels & {"others", "solved"}) and "now" not in labels


def _none_before(text: Text, sign: Found) -> bool:
    """Does "none of my fish" or "no fish ever" lead into the sign?"""
    start = max(text.sentence_start[sign.first], sign.first - 7)
    lead = [text.word(index) for index in range(start, sign.first)]
    no_fish = any(word == "no" and lead[at + 1 : at + 2] and lead[at + 1] in FISH
                  for at, word in enumerate(lead))  # fmt: skip
    return "none" in lead or "nobody" in lead or no_fish


def near(
    text: Text, signs: tuple[Found, ...], place: int, *labels: str, skip: int | None = None
) -> bool:
    """Is one of these signs close by in the same clause, or leading into it?"""
    sign = signs[place]
    if "old" in labels and _led_by_old(text, signs, place):
        return True
    for other in in_sentence(text, signs, place, NEAR):
        if other.label not in labels or other is signs[skip if skip is not None else place]:
            continue
        ahead, behind = sorted((sign, other), key=lambda mark: mark.first)
        between = range(ahead.last + 1, behind.first - (other is behind and other.label == "old"))
        parts = is_clause_break if other.label == "now" else _parts
        if not any(parts(text, index) for index in between):
            return True
    return False


def over_again(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    """Is it told of what was, with a good end behind: "were gasping … back to normal"?"""
    later = signs[place + 1 : place + 12]
    over = next((at for at, sign in enumerate(later) if sign.label == "solved"), None)
    told = not _PAST.isdisjoint(_lead(text, signs[place], 4))
    return told and over is not None and "now" not in {sign.label for sign in later[over:]}


def _led_by_old(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    """Does "back in 1994" open the sentence of something told of in the past, with no "now"?"""
    sign = signs[place]
    first = text.sentence_start[sign.first]
    for other in reversed(signs[max(0, place - LOOK_BACK) : place]):
        if other.first < first or other.label == "now":
            return False
        if other.label == "old":
            said = text.words[max(first, sign.first - 3) : sign.last + 1]
            past = any(word in _PAST or word.endswith("ed") for word in said)
            return past and other.first - first < NEAR and _PRESENT.isdisjoint(said)
    return False


def _parts(text: Text, index: int) -> bool:
    """Does this token part a clause from the next, as "but" does?"""
    return is_clause_break(text, index) and text.word(index) in ("but", ";", "now", "however", ",")


def in_sentence(text: Text, signs: tuple[Found, ...], place: int, reach: int) -> Iterator[Found]:
    """The signs around one, itself left out, in its sentence and within reach."""
    sign = signs[place]
    first = max(text.sentence_start[sign.first], sign.first - reach)
    last = min(text.sentence_end[sign.first], sign.last + reach)
    for other in signs[max(0, place - reach) : place + reach + 1]:
        if other is not sign and first <= other.first and other.last <= last:
            yield other


def _lead(text: Text, sign: Found, count: int) -> set[str]:
    """The few words before a sign in its sentence."""
    first = max(text.sentence_start[sign.first], sign.first - count)
    return {text.word(index) for index in range(first, sign.first)}
