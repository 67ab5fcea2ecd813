"""Which check comes next: first look, urgent measurements, search, clearing a danger, stop."""

from dataclasses import dataclass

from rules.belief import DECIMALS, Outlook, outlook, ranking
from rules.model import NOT_LISTED, Check, Evidence
from rules.situation import Situation

FIRST_LOOK, URGENT, SEARCH, CLEAR, STOP = (
    "first-look",
    "urgent-measurement",
    "search",
    "clear-a-danger",
    "stop",
)
FIRST_LOOK_MINUTES = 2
WORTH_CLEARING = 0.03  # belief in an urgent cause from which it is worth a check
SURE = 0.60  # belief in the first cause from which searching ends, if twice the second
LEAST_GAIN, LEAST_RATE = 0.05, 0.01
LEAST_GAIN_CLEARING = 0.02
OFFERED = 3
CLEAR_ENOUGH = "clear enough to act"
NOTHING_LEFT = "nothing left would change the picture"


@dataclass(frozen=True)
class NextCheck:
    """A check worth asking now, and why; checks ``together`` make one number."""

    check: Check
    why: str
    phase: str
    together: str = ""


@dataclass(frozen=True)
class Plan:
    """The phase, its checks in the order of asking, why to stop, and all that is open."""

    phase: str
    next: tuple[NextCheck, ...]
    stop: str
    open: tuple["Option", ...]


@dataclass(frozen=True)
class Option:
    """One open piece of evidence with what it is worth."""

    evidence: Evidence
    outlook: Outlook
    gain: float
    rate: float


def plan(here: Situation) -> Plan:
    """What to ask next, by the first rule that applies."""
    options = _options(here)
    for phase, find in (
        (FIRST_LOOK, _first_look),
        (URGENT, _urgent),
        (SEARCH, _search),
        (CLEAR, _clearing),
    ):
        found = find(here, options)
        if found:
            return Plan(phase, _ask(here, phase, found), "", options)
    return Plan(STOP, (), CLEAR_ENOUGH if is_sure(here) else NOTHING_LEFT, options)


def is_sure(here: Situation) -> bool:
    """Does the first cause stand out far enough to act on?"""
    order = ranking(here.belief)
    first = round(here.belief[order[0]], DECIMALS)
    others = [belief for place, belief in enumerate(here.belief) if place != order[0]]
    return first >= SURE and first >= 2 * round(max(others), DECIMALS)


def _options(here: Situation) -> tuple[Option, ...]:
    """The open evidence, best gain for its cost first; ties stay in file order."""
    found = []
    for evidence in here.open:
        ahead = outlook(here.scale, evidence, here.belief)
        gain = round(ahead.gain, 6)
        rate = round(ahead.gain / here.cost(evidence), 6)
        found.append(Option(evidence, ahead, gain + 0.0, rate + 0.0))
    return tuple(sorted(found, key=lambda option: -option.rate))


def _first_look(here: Situation, options: tuple[Option, ...]) -> list[Option]:
    return [
        option
        for option in options
        if option.evidence.urgent
        and option.evidence.derived is None
        and option.evidence.checks[0].minutes <= FIRST_LOOK_MINUTES
    ]


def _urgent(here: Situation, options: tuple[Option, ...]) -> list[Option]:
    return [o for o in options if o.evidence.urgent and _dangers(here, o.evidence)]


def _search(here: Situation, options: tuple[Option, ...]) -> list[Option]:
    if is_sure(here):
        return []
    return [o for o in options if o.gain >= LEAST_GAIN and o.rate >= LEAST_RATE][:OFFERED]


def _clearing(here: Situation, options: tuple[Option, ...]) -> list[Option]:
    return [o for o in options if o.gain >= LEAST_GAIN_CLEARING and _others(here, o.evidence)][
        :OFFERED
    ]


def _dangers(here: Situation, evidence: Evidence) -> list[str]:
    """The names of the urgent causes this evidence names that are worth clearing."""
    return [
        cause.name
        for cause in here.symptom.urgent_causes
        if cause.id in evidence.named
        and round(here.belief_in(cause.id), DECIMALS) >= WORTH_CLEARING
    ]


def _others(here: Situation, evidence: Evidence) -> list[str]:
    first = here.symptom.causes[ranking(here.belief)[0]].name
    return [name for name in _dangers(here, evidence) if name != first]


def _ask(here: Situation, phase: str, options: list[Option]) -> tuple[NextCheck, ...]:
    asked: dict[str, NextCheck] = {}
    for option in options:
        why = _why(here, phase, option)
        together = option.evidence.id if option.evidence.derived else ""
        for check in here.open_checks(option.evidence):
            asked.setdefault(check.id, NextCheck(check, why, phase, together))
    return tuple(asked.values())


def _why(here: Situation, phase: str, option: Option) -> str:
    if phase == SEARCH:
        return f"Tells apart {' and '.join(_quoted(_most_moved(here, option.outlook)))}."
    if phase == CLEAR:
        return (
            f"Could show or clear a danger: {', '.join(_quoted(_others(here, option.evidence)))}."
        )
    named = option.evidence.named
    urgent = [cause.name for cause in here.symptom.urgent_causes if cause.id in named]
    rest = [cause.name for cause in here.symptom.causes if cause.id in named]
    return f"Could show or clear {', '.join(_quoted(urgent or rest))}."


def _most_moved(here: Situation, ahead: Outlook) -> list[str]:
    names = {cause.id: cause.name for cause in here.symptom.causes}
    moved = sorted(
        (-round(move, DECIMALS), place)
        for place, move in enumerate(ahead.moves)
        if here.scale.causes[place] != NOT_LISTED
    )
    return [names[here.scale.causes[place]] for _, place in moved[:2]]


def _quoted(names: list[str]) -> list[str]:
    return [f"“{name}”" for name in names]
