"""Numbers that stand alone: pH by its decimals, warmth of the water, the fish of "18 of them"."""

from .naming import SUBJECTS, Names, led_by_time, nothing_counted
from .numbers import Figure
from .tokens import Text, words
from .vocabulary import FISH

_SOURCES = frozenset(("tap", "rain", "rainwater", "well", "source", "mains"))
_WARMTH = words("heater thermostat temp degrees warm cold air outside room outdoors")
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
    "get gets have find see "
    "is are at reads read says said shows showed sits still reading reading: stays tests tested "
    "measured measures it's gives gave around about got now ="
)
_AT = words("is at was it's water's")
_SWINGING = words("swings goes from between ranges varies fluctuates moves")
_LEFT = words("now left remain remaining alive survived survivors")
_FISH_BACK = 40
_MOVED = words("down up from back went gone dropped rose fell climbed crashed")
_AFTER_THEM = words(", . ; ! ? ) in all altogether now total swimming left together and at on with")
_GONE = words("lost died dead killed sold ate gave lose losing found buried another")


def of_water_unnamed(text: Text, figure: Figure, names: Names) -> str:
    """What "tap is 8.2 but tank 7.4" or "heater at 26 but water 21" tell of; empty if nothing."""
    if _is_ph_alone(text, figure, names):
        return "ph"
    near = {text.word(place) for place in range(figure.first - 4, figure.first)}
    if not near & SUBJECTS:
        return ""
    start = max(text.sentence_start[figure.first], figure.first - 20)
    end = min(text.sentence_end[figure.first], figure.last + 20)
    words = {text.word(place) for place in range(start, end + 1)}
    decimal = not float(figure.low).is_integer()
    if decimal and 5 <= figure.low <= figure.high <= 9.5 and words & _SOURCES:
        return "ph"
    if _is_warmth_alone(text, figure):
        return "temperature_c"
    beside = near & {"tank", "pond"} and words & {"room", "outside", "outdoors", "air"}
    warmth = (
        ("water" in near or beside) and 5 <= figure.low <= figure.high <= 40 and words & _WARMTH
    )
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


def of_them(text: Text, figure: Figure) -> bool:
    """Does it count the fish spoken of: "got 18 of them", "goldfish only, five of them"?"""
    behind = [text.word(figure.last + place) for place in (1, 2, 3)]
    if behind[:1] == ["-"] or behind[0] != "of" or behind[1] not in ("them", "those", "these"):
        return False
    if (behind[2] and behind[2] not in _AFTER_THEM) or not _whole(figure) or figure.low < 2:
        return False
    before = text.words[max(text.sentence_start[figure.first], figure.first - 4) : figure.first]
    if not _GONE.isdisjoint(before):
        return False
    start = max(0, figure.first - _FISH_BACK)
    return any(text.word(place) in FISH for place in range(start, figure.first))


def has_decimals(text: Text, figure: Figure) -> bool:
    """Is the number written with decimals, be they zero: "8.0", "eight point three"?"""
    said = {text.word(place) for place in range(figure.first, figure.last + 1)}
    return "point" in said or any("." in word or "," in word for word in said - {".", ","})


def _whole(figure: Figure) -> bool:
    return float(figure.low).is_integer() and float(figure.high).is_integer()


def _in_my_water(text: Text, figure: Figure) -> bool:
    """Is "in my tank" or "in our pond" said soon behind it?"""
    behind = text.words[figure.last + 1 : figure.last + 6]
    own = next((at for at, word in enumerate(behind) if word in ("my", "our")), len(behind))
    return bool(SUBJECTS & set(behind[own : own + 3])) and "in" in behind[:own]


def _all_told(text: Text, figure: Figure) -> bool:
    words_behind = [text.word(figure.last + place) for place in (1, 2)]
    return words_behind in (["in", "total"], ["all", "told"]) or words_behind[0] == "altogether"


def _is_loose(text: Text, figure: Figure) -> bool:
    after = text.word(figure.last + 1)
    return (
        after in _LEFT or after in ("in", "", "all", "altogether") or nothing_counted(text, figure)
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
    if _is_ph_by_time(text, figure, lead) or _is_of_drops(text, figure):
        return True
    said = bool(set(lead[-3:]) & _SAYS and set(lead) & (SUBJECTS | _TESTERS | _ASKER))
    if not said and lead[-1:] not in (["tank"], ["system"], ["pond"], ["sump"]):
        return False
    return nothing_counted(text, figure)


def _is_ph_by_time(text: Text, figure: Figure, lead: list[str]) -> bool:
    """Is it "currently at 7.8", "today 6.6", "from 7.2 down to 6.3", "after lime 6.5"?"""
    if [text.word(figure.last + place) for place in (1, 2)] == ["out", "of"]:
        return False
    if not nothing_counted(text, figure) or {"rated", "version", "score", "page"} & set(lead):
        return False
    if text.word(figure.first - 1) == "to" and _MOVED & set(lead):
        return True
    return led_by_time(text, figure)


def _is_of_drops(text: Text, figure: Figure) -> bool:
    """Is it what a test just spoken of gave: "the drops turned green, 7.5"?"""
    start = max(text.sentence_start[figure.first], figure.first - 7)
    told = not _TESTERS.isdisjoint(text.words[start : figure.first])
    return told and text.word(figure.first - 1) == "," and nothing_counted(text, figure)


def _is_warmth_alone(text: Text, figure: Figure) -> bool:
    """Is it "the water is 27" or "water at 75", with nothing behind that it could count?"""
    lead = [text.word(place) for place in range(max(0, figure.first - 3), figure.first)]
    swings = figure.is_range and bool({"water", "tank"} & set(lead) and set(lead) & _SWINGING)
    told = bool(_AT & set(lead)) and set(lead) <= _WATER_LEAD
    said = told and ("water" in lead or "water's" in lead or _in_the_water(text, figure))
    likely = 10 <= figure.low <= figure.high <= 40 or 50 <= figure.low <= figure.high <= 95
    return (said or swings) and likely and nothing_counted(text, figure)


def _in_the_water(text: Text, figure: Figure) -> bool:
    behind = [text.word(figure.last + place) for place in (1, 2, 3)]
    return behind[:2] == ["in", "the"] and behind[2] in ("tank", "water", "pond", "sump", "system")
