"""Whether a number tells of the asker's system now: no target, no past, nobody else's, no tap."""

from collections.abc import Mapping, Set
from dataclasses import dataclass

from .marks import MARKS
from .numbers import Figure
from .questions import offered_as_answer
from .times import came_from, no_longer
from .tokens import Found, Text, find_phrases, is_clause_break, words

NOTHING, WEAK, PLAIN, PRESENT = 0, 1, 2, 3
_BACK, _ON = 26, 10

_STARTERS = words("is are was were would will can could does do should did may might has")
_WHAT_STARTERS = words("what which who")
_PREFACES = words("hi hello hey so and please also but or well question just ok okay")
_LEAD_SKIP = words("about around approximately roughly like below under above over ~ at")
_OVER = words("raised harvested sold caught ate eaten slaughtered lost")
_CARRIED = frozenset(("target", "source", "other", "question", "if"))
_TIME_STARTS = frozenset(("now", "past", "weak"))
_LASTING = frozenset(("volume_l", "fish_count"))
_CHEMISTRY = words(
    "ph temperature_c ammonia_mg_l nitrite_mg_l nitrate_mg_l alkalinity_mg_l_caco3 oxygen_mg_l"
)


@dataclass(frozen=True)
class Setting:
    """The clause a figure stands in, and the marks before and after the figure there."""

    first: int
    last: int
    before: tuple[Found, ...]
    after: tuple[Found, ...]

    def has_before(self, *labels: str) -> bool:
        """Is one of these marks before the figure?"""
        return any(mark.label in labels for mark in self.before)

    def has_after(self, *labels: str) -> bool:
        """Is one of these marks after the figure?"""
        return any(mark.label in labels for mark in self.after)

    def near(self, *labels: str) -> bool:
        """Is one of these marks in the clause?"""
        return self.has_before(*labels) or self.has_after(*labels)

    def last_of(self, *labels: str) -> int:
        """The place of the last of these marks before the figure; -1 when there is none."""
        return max((mark.last for mark in self.before if mark.label in labels), default=-1)


@dataclass
class Contexts:
    """The marks of a text by place, and the verdict on the figure before, for lists."""

    text: Text
    marks: Mapping[int, Found]
    figure_at: Mapping[int, Figure]
    inside: Set[int]  # the tokens of marks of several words, but for the last of each
    previous: Figure | None = None
    reason: str = ""


def find_contexts(text: Text, figure_at: Mapping[int, Figure]) -> Contexts:
    """The context marks of a text."""
    marks = {mark.first: mark for mark in find_phrases(text, MARKS)}
    inside = {place for mark in marks.values() for place in range(mark.first, mark.last)}
    return Contexts(text, marks, figure_at, inside)


def standing(contexts: Contexts, figure: Figure, name: str, mention: Found | None = None) -> int:
    """NOTHING, WEAK, PLAIN or PRESENT: how well a figure tells of the system now."""
    text = contexts.text
    setting = _setting(contexts, figure, _from(contexts, figure, mention))
    reason = _reason_against(contexts, setting, figure, name, mention)
    if not reason and _carries(contexts, setting, figure, name):
        reason = contexts.reason
    contexts.previous, contexts.reason = figure, reason
    if reason:
        return NOTHING
    if no_longer(text, figure):
        return NOTHING
    present = setting.near("now")
    past = setting.near("past") or came_from(text, figure) or _ends_in_before(text, setting)
    if present and not came_from(text, figure):
        return PRESENT
    if past:
        lasting = name in _LASTING and not _is_over(text, setting)
        contexts.reason = "" if lasting else "past"
        return WEAK if lasting else NOTHING
    return WEAK if setting.near("weak") else PLAIN


def _is_over(text: Text, setting: Setting) -> bool:
    """Is it said to be so no more: "used to have 30 fish"?"""
    if not _OVER.isdisjoint(text.words[setting.first : setting.last + 1]):
        return True
    marks = (*setting.before, *setting.after)
    return any(text.word(mark.first) in ("used", "once", "had", "previously") for mark in marks)


def _reason_against(
    contexts: Contexts, setting: Setting, figure: Figure, name: str, mention: Found | None
) -> str:
    """Why a figure is no reading, apart from being old; empty when nothing speaks against it."""
    tests = (
        ("other", _others(contexts, setting, figure)),
        ("target", _target(contexts.text, setting, figure) and not _served(contexts, figure, name)),
        ("source", name in _CHEMISTRY and _source(setting)),
        ("air", name == "temperature_c" and _air(setting)),
        ("if", _condition(contexts.text, setting)),
        (
            "question",
            _general_question(contexts.text, setting, name)
            or offered_as_answer(contexts.text, figure, mention),
        ),
        ("step", _step(contexts.text, setting, figure, name)),
        ("calibrate", name == "ph" and setting.near("calibrate")),
    )
    return next((reason for reason, holds in tests if holds), "")


def _from(contexts: Contexts, figure: Figure, mention: Found | None) -> int:
    """The token the clause surely reaches back to: the name, unless another number is between."""
    if mention is None or mention.first > figure.first or figure.first - mention.first > _BACK:
        return figure.first
    between = range(mention.last + 1, figure.first)
    return figure.first if any(at in contexts.figure_at for at in between) else mention.first


def _setting(contexts: Contexts, figure: Figure, first: int) -> Setting:
    text = contexts.text
    floor = max(text.sentence_start[figure.first], figure.first - _BACK)
    led = False
    while first > floor and not _breaks(contexts, first - 1, led):
        first -= 1
        mark = contexts.marks.get(first)
        led = led or (mark is not None and mark.label in ("own", "water", "now"))
    last = figure.last
    ceiling = min(text.sentence_end[figure.first], figure.last + _ON)
    while last < ceiling and not _breaks_after(contexts, last + 1):
        last += 1
    before = _marks_in(contexts, first, figure.first - 1)
    after = _marks_in(contexts, figure.last + 1, last)
    return Setting(first, last, before, after)


def _marks_in(contexts: Contexts, first: int, last: int) -> tuple[Found, ...]:
    places = range(first, last + 1)
    return tuple(contexts.marks[place] for place in places if place in contexts.marks)


def _breaks(contexts: Contexts, index: int, led: bool) -> bool:
    """Does a clause end here, looking back; at an earlier figure when ``led`` in by "my" or so?"""
    if index in contexts.figure_at:
        return led or _time_led(contexts, index + 1)
    if _inside_mark(contexts, index):
        return False
    return is_clause_break(contexts.text, index)


def _breaks_after(contexts: Contexts, index: int) -> bool:
    if index in contexts.figure_at:
        return True
    if is_clause_break(contexts.text, index) and not _inside_mark(contexts, index):
        return True
    return _time_led(contexts, index)


def _inside_mark(contexts: Contexts, index: int) -> bool:
    """Is this token, such as the dash of "top-up water", part of a mark?"""
    return index in contexts.inside


def _time_led(contexts: Contexts, index: int) -> bool:
    """Does a word of time stand here that leads into the next number: "now 8.2"?"""
    mark = contexts.marks.get(index)
    if mark is None or mark.label not in _TIME_STARTS or mark.first == 0:
        return False
    if contexts.text.word(mark.first) in ("was", "were", "had", "still", "up", "down"):
        return False
    end = contexts.text.sentence_end[index]
    for place in range(mark.last + 1, min(mark.last + 6, end + 1)):
        if place in contexts.figure_at:
            return True
        if is_clause_break(contexts.text, place):
            return False
    return False


def _others(contexts: Contexts, setting: Setting, figure: Figure) -> bool:
    if setting.has_before("other"):
        reset = setting.last_of("own", "now")
        return reset < setting.last_of("other")
    if setting.has_after("other") and not setting.has_before("own"):
        return True
    return _led_by_other(contexts, setting)


def _led_by_other(contexts: Contexts, setting: Setting) -> bool:
    """Does "in your video, ..." or "my friend says that ..." earlier in the sentence lead in?"""
    start = max(contexts.text.sentence_start[setting.first], setting.first - _BACK)
    if setting.has_before("own"):
        return False
    ruled = False
    for place in range(start, setting.first):
        mark = contexts.marks.get(place)
        if mark and mark.label == "other":
            lead = {contexts.text.word(place - 1), contexts.text.word(place)}
            ruled = bool(lead & {"in", "on", "you", "from", "my", "a", "they", "according"})
        elif mark and mark.label == "own":
            ruled = False
    return ruled


def _target(text: Text, setting: Setting, figure: Figure) -> bool:
    if _lead(text, figure) == "to" and _aims(text, setting, figure):
        return True
    place = setting.last_of("target")
    if place >= 0 and setting.last_of("now", "own") <= place:
        between = [mark for mark in setting.before if mark.first > place]
        changes = any(mark.label in ("change", "moved") for mark in between)
        if not (changes and _lead(text, figure) in ("of", "from", "is", "it's", "at")):
            return not any(mark.label == "not" for mark in setting.before)
    if place >= 0 and _wants_now(text, place) and not _owned_after(text, setting, place):
        return True
    if _bounded(text, figure) and setting.has_before("change"):
        return not setting.has_before("not", "now") and not _kept(text, setting)
    return _said_ideal_after(text, setting, figure)


def _wants_now(text: Text, place: int) -> bool:
    """Is the mark a plain wish, which "my" does not take back: "I want my pH at 6.5"?"""
    return text.word(place) in ("want", "like", "aiming", "for", "keep", "be", "ideal", "at")


def _owned_after(text: Text, setting: Setting, place: int) -> bool:
    """Does a change verb or a present tense after the wish bring in the figure of today?"""
    mys = {mark.first for mark in setting.before if text.word(mark.last) in ("my", "our")}
    later = [mark for mark in setting.before if mark.first > place]
    return any(
        mark.label in ("change", "moved", "now") or (mark.label == "own" and mark.first not in mys)
        for mark in later
    )


def _bounded(text: Text, figure: Figure) -> bool:
    words = ("below", "under", "above", "between", "at", "over")
    return text.word(figure.first - 1) in words and text.word(figure.first - 2) not in (
        "is", "was", "just", "are", "it's", "sitting", "sits", "stays", "stuck",
    )  # fmt: skip


def _served(contexts: Contexts, figure: Figure, name: str) -> bool:
    """Is it the tank or the fish that something is wanted for: "best pump for a 600 L tank"?"""
    lead = [contexts.text.word(place) for place in range(figure.first - 3, figure.first)]
    return name in _LASTING and "for" in lead


def _kept(text: Text, setting: Setting) -> bool:
    """Is it told as a fact: "we keep the water at 24 C"?"""
    verbs = [mark.first for mark in setting.before if mark.label == "change"]
    asking = ("do", "can", "should", "could", "would", "how", "to", "when", "did")
    told = text.word(verbs[0] - 1) in ("i", "we", "you'll") if verbs else False
    return told and text.word(verbs[0] - 2) not in asking


def _aims(text: Text, setting: Setting, figure: Figure) -> bool:
    """With "to" before the number: is it what the asker would like, not where it went?"""
    verbs = [mark for mark in setting.before if mark.label in ("change", "moved", "target", "not")]
    if any(mark.label == "not" for mark in verbs):
        return False
    if any(mark.label in ("change", "target") for mark in verbs):
        return not _told(text, verbs)
    return False


def _told(text: Text, verbs: list[Found]) -> bool:
    """Is the last real verb a past one, such as "lowered it to" or "I got it down to"?"""
    real = [mark for mark in verbs if text.word(mark.first) not in ("up", "down", "back")]
    return bool(real) and real[-1].label == "moved"


def _lead(text: Text, figure: Figure) -> str:
    """The word that leads into a figure: "to", "of", "from", "is"."""
    place = figure.first - 1
    while text.word(place) in _LEAD_SKIP and place > figure.first - 4:
        if text.word(place) == "at" and text.word(place - 1) != "to":
            return "at"
        place -= 1
    return text.word(place)


def _said_ideal_after(text: Text, setting: Setting, figure: Figure) -> bool:
    """Is the number followed by "is ideal", "would be best", "is my goal"?"""
    for mark in setting.after:
        if mark.label == "target" and mark.first <= figure.last + 6:
            between = [text.word(place) for place in range(figure.last + 1, mark.first + 1)]
            return bool({"is", "are", "would", "as", "being", "should"} & set(between))
    return False


def _source(setting: Setting) -> bool:
    place = setting.last_of("source")
    if place >= 0:
        return setting.last_of("water") <= place and not _back_in_tank(setting)
    return setting.has_after("source") and not setting.has_before("water")


def _back_in_tank(setting: Setting) -> bool:
    return any(mark.label == "water" for mark in setting.after[:1])


def _air(setting: Setting) -> bool:
    place = setting.last_of("air")
    if place >= 0:
        inside = any(mark.label == "water" for mark in setting.after)
        return setting.last_of("water") < place and not inside
    return setting.has_after("air") and not setting.near("water")


def _condition(text: Text, setting: Setting) -> bool:
    if setting.has_before("if event"):
        return True
    place = setting.last_of("if")
    if place < 0:
        return False
    following = {text.word(place + 1), text.word(place + 2)}
    verbs = {text.word(index) for index in range(place, setting.last + 1)}
    event = verbs & {"goes", "gets", "drops", "reaches", "hits", "falls", "rises", "went", "were"}
    return not (following & {"my", "our", "i", "mine"}) or bool(event)


def _general_question(text: Text, setting: Setting, name: str) -> bool:
    """Is it a question in general, such as "is pH 8 too high?", with no word of an own system?"""
    if setting.has_before("own", "now") or (
        setting.has_after("own") and setting.has_after("water")
    ):
        return False
    place = text.sentence_start[setting.first] if name == "flow_l_h" else setting.first
    while text.word(place) in _PREFACES or (place < setting.last and is_clause_break(text, place)):
        place += 1
    if text.word(place) in _WHAT_STARTERS:
        return text.asks(place) and name not in _LASTING
    oxygen = name == "oxygen_mg_l" and text.word(place) == "do"
    if text.word(place) not in _STARTERS or oxygen:
        return False
    start = text.sentence_start[place]
    return text.asks(place) or (place - start < 3 and not _explains(text, setting))


def _explains(text: Text, setting: Setting) -> bool:
    """Does "why", "how" or "help" lead in, so that the number is the asker's after all?"""
    words_before = {text.word(place) for place in range(setting.first, setting.last)}
    return bool(words_before & {"why", "how", "help", "fix"})


def _step(text: Text, setting: Setting, figure: Figure, name: str) -> bool:
    """Is it a change, not a level: "dropped 2 degrees", "by 0.5", "3 degrees warmer"?"""
    if name not in _CHEMISTRY:
        return False
    if text.word(figure.first - 1) == "by":
        return True
    if any(mark.label == "step" and mark.first <= figure.last + 2 for mark in setting.after):
        return True
    verbs = "dropped rose risen fell fallen drop raise climbed increased decreased up down jumped"
    return figure.kind == "degrees" and text.word(figure.first - 1) in verbs.split()


def _ends_in_before(text: Text, setting: Setting) -> bool:
    """Does the clause end in "before", as "it was 7.4 before" does, or begin "before lime"?"""
    start = setting.first + (text.tokens[setting.first].kind == "mark")
    if text.word(start) == "before" and text.word(start + 1) not in ("i", "we", "you", "adding"):
        return True
    return text.word(setting.last) == "before" or (
        text.word(setting.last - 1) == "before" and text.tokens[setting.last].kind == "mark"
    )


def _carries(contexts: Contexts, setting: Setting, figure: Figure, name: str) -> bool:
    """Does what held for the figure before go on in this clause of the same list?"""
    previous = contexts.previous
    if previous is None or contexts.reason not in _CARRIED:
        return False
    if previous.first < contexts.text.sentence_start[figure.first]:
        return False
    if contexts.reason == "source" and name not in _CHEMISTRY:
        return False
    between = range(previous.last + 1, figure.first)
    if len(between) > 8 or setting.near("own", "now", "water"):
        return False
    words = {contexts.text.word(place) for place in between}
    return not words & {"but", "is", "it's", "are", "reads", "mine", "while", "though", "however"}
