"""What no single file can see: causes out of reach, needless checks, hidden dangers."""

from collections.abc import Collection, Iterator
from itertools import combinations

from kb.errors import Problem
from rules.belief import beliefs, scale, shares
from rules.choose import FIRST_LOOK_MINUTES, plan
from rules.explain import ALARMING
from rules.model import UNKNOWN, Cause, Evidence, Rulebook, Symptom
from rules.simulate import CASES, simulate
from rules.situation import situation
from rules.wording import ERROR, REMARK, cause_faults, check_faults, symptom_faults

Found = Iterator[tuple[str, str, str]]  # level, place, message


def validate(
    rulebook: Rulebook,
    *,
    articles: Collection[str],
    sources: Collection[str] | None = None,
    sources_elsewhere: Collection[str] = (),
    cases: int = CASES,
) -> list[Problem]:
    """The faults of all rules together, errors and remarks; unused sources only if given."""
    problems = [
        Problem(symptom.path, place, f"{level}: {message}")
        for symptom in rulebook.symptoms.values()
        for level, place, message in _symptom(symptom, articles, cases)
    ]
    problems += _shared(rulebook, articles)
    problems += _unused(rulebook, sources or (), sources_elsewhere)
    return problems


def is_error(problem: Problem) -> bool:
    """Is it an error, and not only a remark?"""
    return problem.message.startswith(f"{ERROR}:")


def _shared(rulebook: Rulebook, articles: Collection[str]) -> Iterator[Problem]:
    inline = [cause for s in rulebook.symptoms.values() for cause in s.causes]
    for cause in _unique((*rulebook.causes.values(), *inline)):
        place = f"cause {cause.id}"
        if cause.article and cause.article not in articles:
            message = f"{ERROR}: there is no article “{cause.article}”."
            yield Problem(cause.path, place, message)
        for level, message in cause_faults(cause):
            yield Problem(cause.path, place, f"{level}: {message}")
    checks = [check for s in rulebook.symptoms.values() for check in s.checks]
    for check in {(c.path, c.id): c for c in (*rulebook.checks.values(), *checks)}.values():
        for level, message in check_faults(check):
            yield Problem(check.path, f"check {check.id}", f"{level}: {message}")


def _unique(causes: tuple[Cause, ...]) -> list[Cause]:
    return list({(cause.path, cause.id): cause for cause in causes}.values())


def _unused(
    rulebook: Rulebook, sources: Collection[str], elsewhere: Collection[str]
) -> Iterator[Problem]:
    symptoms = rulebook.symptoms.values()
    causes = {cause.id for symptom in symptoms for cause in symptom.causes}
    checks = {check.id for symptom in symptoms for check in symptom.checks}
    named = {a.source for symptom in symptoms for e in symptom.evidence for a in e.answers}
    named |= {a.source for check in rulebook.checks.values() for a in check.answers}
    for cause in rulebook.causes.values():
        if cause.id not in causes:
            yield Problem(cause.path, f"cause {cause.id}", f"{REMARK}: no symptom uses it.")
    for check in rulebook.checks.values():
        if check.id not in checks:
            yield Problem(check.path, f"check {check.id}", f"{REMARK}: no symptom uses it.")
    for source in sources:
        if source not in named and source not in elsewhere:
            yield Problem("kb/sources.toml", source, f"{REMARK}: nothing uses this source.")


def _symptom(symptom: Symptom, articles: Collection[str], cases: int) -> Found:
    if symptom.article and symptom.article not in articles:
        yield ERROR, "symptom", f"there is no article “{symptom.article}”."
    for level, message in symptom_faults(symptom):
        yield level, "symptom", message
    for cause in symptom.causes:
        yield from _cause(symptom, cause)
    for one, other in combinations(symptom.causes, 2):
        if not any(_tells_apart(item, one, other) for item in symptom.evidence):
            yield ERROR, f"cause {other.id}", f"no check tells it apart from “{one.id}”."
    yield from _checks(symptom)
    yield from _urgency(symptom)
    yield from _recognised(symptom, cases)


def _cause(symptom: Symptom, cause: Cause) -> Found:
    sayings = [saying for item in symptom.evidence for saying in item.sayings]
    place = f"cause {cause.id}"
    if not any(saying.speaks_for(cause.id) for saying in sayings):
        yield ERROR, place, "no answer speaks for it, so it can never come first."
    if not any(saying.speaks_against(cause.id) for saying in sayings):
        yield ERROR, place, "no answer speaks against it, so it can never be cleared."
    naming = sum(cause.id in item.named for item in symptom.evidence)
    if naming < 2:
        yield ERROR, place, f"must be named by at least two checks, not {naming}."
    if cause.urgent:
        yield from _urgent_cause(symptom, cause, place)


def _urgent_cause(symptom: Symptom, cause: Cause, place: str) -> Found:
    urgent = [item for item in symptom.evidence if item.urgent and cause.id in item.named]
    if not urgent:
        yield ERROR, place, "is urgent, but no urgent check names it."
    elif not _can_alarm(symptom, cause, urgent):
        yield ERROR, place, "cannot raise the alarm by urgent checks alone."
    if not any(cause.id in item.named for item in _first_two(symptom)):
        yield REMARK, place, "is urgent, but neither of the first two checks asked names it."


def _tells_apart(evidence: Evidence, one: Cause, other: Cause) -> bool:
    return any(s.factor(one.id) != s.factor(other.id) for s in evidence.sayings)


def _checks(symptom: Symptom) -> Found:
    feeding = {c.id for item in symptom.evidence if item.derived for c in item.checks}
    naming = {item.id for item in symptom.evidence if item.named}
    for check in symptom.checks:
        if check.id not in naming and check.id not in feeding:
            yield ERROR, f"check {check.id}", "names no cause and feeds no number worked out."
    for item in symptom.evidence:
        place = f"derived {item.id}" if item.derived else f"check {item.id}"
        if item.derived and not item.named:
            yield ERROR, place, "names no cause."
        if item.urgent and any(check.wait_minutes for check in item.checks):
            yield ERROR, place, "is urgent, so there must be no waiting."
        yield from _answers(symptom, item, place)
        yield from _twice(symptom, item, place)


def _answers(symptom: Symptom, item: Evidence, place: str) -> Found:
    urgent = [cause.id for cause in symptom.urgent_causes]
    for answer, saying in zip(item.answers, item.sayings, strict=True):
        confirmed = [cause for cause, word in saying.words.items() if word == "confirms"]
        if saying.danger and not any(saying.speaks_for(cause) for cause in urgent):
            yield ERROR, f"{place}.{answer.id}", "is a danger, but speaks for no urgent cause."
        if saying.words and not saying.because:
            message = "speaks for or against a cause without a reason; add because = “...”."
            yield ERROR, f"{place}.{answer.id}", message
        if len(confirmed) > 1:
            yield REMARK, f"{place}.{answer.id}", f"confirms {' and '.join(confirmed)} at once."


def _twice(symptom: Symptom, item: Evidence, place: str) -> Found:
    if item.derived is None:
        return
    inputs = {check.id for check in item.checks}
    for other in symptom.evidence:
        both = sorted(item.named & other.named)
        if other.id in inputs and both:
            yield REMARK, place, f"names {', '.join(both)}, as its own input “{other.id}” does."


def _urgency(symptom: Symptom) -> Found:
    looks = [
        item
        for item in symptom.evidence
        if item.urgent
        and not item.derived
        and item.checks[0].minutes <= FIRST_LOOK_MINUTES
        and item.checks[0].tool is None
    ]
    if symptom.urgent_causes and not looks:
        yield (
            ERROR,
            "check",
            f"there are urgent causes, but no urgent check of {FIRST_LOOK_MINUTES} minutes or less"
            " that needs no tool.",
        )


def _first_two(symptom: Symptom) -> list[Evidence]:
    """The evidence asked first, and the one asked next when the first is not known."""
    answers: dict[str, str | float] = {}
    asked = []
    for _ in range(2):
        following = plan(situation(symptom, answers, {})).next
        if following:
            name = following[0].together or following[0].check.id
            item = next(item for item in symptom.evidence if item.id == name)
            asked.append(item)
            answers |= {check.id: UNKNOWN for check in item.checks}
    return asked


def _can_alarm(symptom: Symptom, cause: Cause, urgent: list[Evidence]) -> bool:
    if any(s.danger and s.speaks_for(cause.id) for item in urgent for s in item.sayings):
        return True
    numbers = scale(symptom)
    place = numbers.causes.index(cause.id)
    given = {item.id: _best_answer(shares(item, numbers.causes), place) for item in urgent}
    belief = beliefs(numbers, given)[place]
    return belief >= ALARMING and belief > beliefs(numbers, {})[place]


def _best_answer(table: tuple[tuple[float, ...], ...], place: int) -> int:
    """The answer that speaks most for the cause, against one not on the list."""
    return max(range(len(table)), key=lambda row: table[row][place] / table[row][-1])


def _recognised(symptom: Symptom, cases: int) -> Found:
    for result in simulate(symptom, cases):
        if result.found * 2 < result.cases:
            taken = ", ".join(f"{cause} ({count})" for cause, count in result.taken_for)
            yield (
                REMARK,
                f"cause {result.cause}",
                f"is among the first three in only {result.found} of {result.cases} made-up cases"
                f" of its own; it is taken for {taken}.",
            )
