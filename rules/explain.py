"""The words around a diagnosis: likelihoods, reasons, alarms, what the result hangs on."""

from rules.belief import DECIMALS, beliefs, ranking, weights
from rules.choose import Option
from rules.model import NOT_LISTED, Cause, Evidence, Saying
from rules.result import (
    LEAST_SHOWN,
    MOST_SHOWN,
    WORTH_SHOWING,
    Alarm,
    Hanging,
    NotListed,
    RankedCause,
)
from rules.situation import Situation
from rules.state import plain

VERY_LIKELY, LIKELY, POSSIBLE, RULED_OUT = 0.90, 0.65, 0.20, 0.02
MOST_SHARE = 0.9
FAVOURITE = 0.35
ALARMING = 0.10
Said = list[tuple[Saying, str]]
SOMETHING_ELSE = "Something not on this list"
CLOSING = (
    "Two causes can be at work at once; look at the next one too if things do not improve.",
    "Look again in an hour if fish still breathe hard.",
    "Write down what you saw, what you did and when.",
)


def likelihood(belief: float, *, may_rule_out: bool = False) -> str:
    """The word for a belief."""
    belief = round(belief, DECIMALS)
    if may_rule_out and belief < RULED_OUT:
        return "ruled out"
    for least, word in ((VERY_LIKELY, "very likely"), (LIKELY, "likely"), (POSSIBLE, "possible")):
        if belief >= least:
            return word
    return "unlikely"


def share_text(belief: float) -> str:
    """A belief as people say it, never above 9 in 10."""
    tenths = min(9, round(round(belief, DECIMALS) * 10))
    return f"about {tenths} in 10" if tenths else "less than 1 in 10"


def shown_share(belief: float) -> float:
    """A belief as a share of 1, never above 0.9."""
    return min(MOST_SHARE, round(belief, 4))


def ranked_causes(here: Situation, options: tuple[Option, ...]) -> tuple[RankedCause, ...]:
    """The listed causes, first the one the answers speak for most."""
    said = _said(here)
    places = {item.id: place for place, item in enumerate(here.symptom.evidence)}
    by_gain = sorted(options, key=lambda option: (-option.gain, places[option.evidence.id]))
    order = ranking(here.belief)
    return tuple(_ranked(here, said, by_gain, rank, place) for rank, place in enumerate(order))


def not_listed(here: Situation) -> NotListed:
    """The share left for what is not on the list."""
    belief = here.belief_in(NOT_LISTED)
    return NotListed(SOMETHING_ELSE, likelihood(belief), shown_share(belief), share_text(belief))


def headline(here: Situation, causes: tuple[RankedCause, ...]) -> str:
    """How things stand, in one sentence."""
    belief = here.belief_in(causes[0].id)
    if round(belief, DECIMALS) < FAVOURITE:
        return "As far as your answers go, there is no favourite yet."
    first = causes[0]
    return (
        f"As far as your answers go, {first.likelihood} ({first.share_text}): "
        f"{_unstopped(first.label)}."
    )


def alarms(here: Situation) -> tuple[Alarm, ...]:
    """The urgent causes to act on now, in file order."""
    said = _said(here)
    found = []
    for cause in here.symptom.urgent_causes:
        dangers = [
            reason for saying, reason in said if saying.danger and saying.speaks_for(cause.id)
        ]
        belief = round(here.belief_in(cause.id), DECIMALS)
        risen = belief > round(here.start_of(cause.id), DECIMALS)
        if dangers or (belief >= ALARMING and risen):
            reasons = dangers or _reasons(said, cause, speaking_for=True) or [_risen(cause)]
            alarm = Alarm(cause.id, cause.name, tuple(reasons), cause.remedies, cause.article)
            found.append(alarm)
    return tuple(found)


def hanging(here: Situation) -> tuple[Hanging, ...]:
    """The answers without which another cause would come first."""
    first = ranking(here.belief)[0]
    found = []
    for evidence in here.symptom.evidence:
        if evidence.id not in here.given:
            continue
        rest = {key: value for key, value in here.given.items() if key != evidence.id}
        other = ranking(beliefs(here.scale, rest))[0]
        if other != first:
            name = here.symptom.causes[other].name
            found.append(Hanging(evidence.checks, _hanging_text(evidence, name)))
    return tuple(found)


def unchecked(here: Situation) -> tuple[str, ...]:
    """What to keep in mind about the urgent checks that gave no answer."""
    notes = []
    for evidence in here.unchecked:
        if not evidence.urgent:
            continue
        names = [c.name for c in here.symptom.urgent_causes if c.id in evidence.named]
        if names:
            causes = ", ".join(f"“{_unstopped(name)}”" for name in names)
            notes.append(
                f"{_subject(evidence)} could not be checked, which leaves {causes} open: "
                "act as if it were so, as far as that is harmless."
            )
    return tuple(notes)


def _ranked(
    here: Situation, said: Said, by_gain: list[Option], rank: int, place: int
) -> RankedCause:
    cause = here.symptom.causes[place]
    belief = here.belief[place]
    against = _reasons(said, cause, speaking_for=False)
    excluded = any(saying.words.get(cause.id) == "rules_out" for saying, _ in said)
    return RankedCause(
        id=cause.id,
        label=cause.name,
        why=cause.why,
        urgent=cause.urgent,
        likelihood=likelihood(belief, may_rule_out=excluded and not cause.urgent),
        share=shown_share(belief),
        share_text=share_text(belief),
        reasons_for=tuple(_reasons(said, cause, speaking_for=True)),
        reasons_against=tuple(against),
        missing=_missing(here, by_gain, cause),
        better_explained_by="" if against else _better(here, place),
        remedies=cause.remedies,
        article=cause.article,
        shown=rank < LEAST_SHOWN or (rank < MOST_SHOWN and round(belief, 9) >= WORTH_SHOWING),
    )


def _said(here: Situation) -> Said:
    """What the answers given say, each with its sentence, in file order."""
    return [
        (evidence.sayings[here.given[evidence.id]], _sentence(here, evidence))
        for evidence in here.symptom.evidence
        if evidence.id in here.given
    ]


def _reasons(said: Said, cause: Cause, *, speaking_for: bool) -> list[str]:
    return [
        reason
        for saying, reason in said
        if (saying.speaks_for(cause.id) if speaking_for else saying.speaks_against(cause.id))
    ]


def _sentence(here: Situation, evidence: Evidence) -> str:
    place = here.given[evidence.id]
    because = evidence.sayings[place].because
    said = f"{_subject(evidence)}: {_answer(here, evidence, place)}"
    return f"{_unstopped(said)}. {because}".strip()


def _answer(here: Situation, evidence: Evidence, place: int) -> str:
    if evidence.derived:
        worked_out = here.derived[evidence.id].value or 0.0
        return f"{plain(float(f'{worked_out:.2g}'))} {evidence.derived.unit}".strip()
    value = here.answers[evidence.id]
    if isinstance(value, str):
        return evidence.answers[place].text
    reading = evidence.checks[0].reading
    unit = reading.unit if reading and reading.unit != "pH" else ""
    return f"{plain(value)} {unit}".strip()


def _subject(evidence: Evidence) -> str:
    if evidence.derived:
        return evidence.derived.label
    check = evidence.checks[0]
    return f"“{check.ask}”" if check.reading is None else _unstopped(check.ask.rstrip("?"))


def _missing(here: Situation, by_gain: list[Option], cause: Cause) -> tuple[str, ...]:
    """The open checks that name the cause, best gain first."""
    found: dict[str, None] = {}
    for option in by_gain:
        if cause.id in option.evidence.named:
            found |= dict.fromkeys(check.id for check in here.open_checks(option.evidence))
    return tuple(found)


def _better(here: Situation, place: int) -> str:
    """The cause that rose, if this one fell for no other reason; else nothing."""
    if round(here.belief[place], DECIMALS) >= round(here.start[place], DECIMALS):
        return ""
    moved = [round(now - before - base, DECIMALS) + 0.0 for now, before, base in _relative(here)]
    risen = [
        other
        for other in range(len(here.symptom.causes))
        if other != place
        and moved[other] > max(0.0, moved[place])
        and round(here.belief[other], DECIMALS) > round(here.start[other], DECIMALS)
    ]
    if moved[place] < 0 or not risen:
        return ""
    best = max(risen, key=lambda other: (moved[other], -other))
    return here.symptom.causes[best].name


def _relative(here: Situation) -> list[tuple[float, float, float]]:
    """For each cause: its log weight now and at the start, and how far an untouched cause moved."""
    now, start = weights(here.scale, here.given), here.scale.start
    base = now[-1] - start[-1]
    return [(after, before, base) for after, before in zip(now, start, strict=True)]


def _hanging_text(evidence: Evidence, other: str) -> str:
    subject = _subject(evidence)
    again = "look" if evidence.checks[0].reading is None else "measure it"
    return (
        f"The first place hangs on {subject}: without it, “{_unstopped(other)}” would come first."
        f" Please {again} again; if the second answer differs, answer “unknown” and go on."
    )


def _risen(cause: Cause) -> str:
    return (
        f"No answer speaks for “{_unstopped(cause.name)}” by itself, but others have become less"
        " likely, so this one weighs more. Nothing has cleared it yet."
    )


def _unstopped(text: str) -> str:
    return text.rstrip(" .")
