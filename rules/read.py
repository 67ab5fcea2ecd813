"""Reading what all symptoms share: readings, tools, checks and causes."""

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TypeVar

from kb.calculators.model import Calculator
from kb.cautions import Caution
from kb.fields import Fields, is_slug
from kb.sources import Source
from kb.units import KINDS
from rules.model import (
    FACTORS,
    NO_ANSWER,
    NOT_LISTED,
    Answer,
    Cause,
    Check,
    Reading,
    Remedy,
    Saying,
    Tool,
)
from rules.state import RULES_KEY

T = TypeVar("T")
LONGEST_MINUTES = 240
LONGEST_WAIT_MINUTES = 20_160  # two weeks
CHECK_WORDS = ("ask", "minutes", "wait_minutes", "tool", "how", "reading", "answer")
RESERVED_ANSWERS = ("use", "id", "urgent", *NO_ANSWER, *CHECK_WORDS)


@dataclass
class Known:
    """What a rule file may refer to by id."""

    calculators: Mapping[str, Calculator]
    sources: Mapping[str, Source]
    cautions: Mapping[str, Caution]
    readings: dict[str, Reading] = field(default_factory=dict)
    tools: dict[str, Tool] = field(default_factory=dict)
    checks: dict[str, Check] = field(default_factory=dict)
    causes: dict[str, Cause] = field(default_factory=dict)


def read_readings(fields: Fields) -> dict[str, Reading]:
    """The readings of a file, one table an id."""
    return {key: _read_reading(key, fields.table(key)) for key in _ids(fields)}


def read_tools(fields: Fields) -> dict[str, Tool]:
    """The tools of a file, one table an id."""
    tools = {}
    for key in _ids(fields):
        table = fields.table(key)
        tools[key] = Tool(key, table.text("name"))
        table.finish()
    return tools


def read_checks(fields: Fields, known: Known) -> dict[str, Check]:
    """The checks of checks.toml by id."""
    found: dict[str, Check] = {}
    for table in fields.tables("check"):
        check, _ = read_check(table, known, ())
        table.finish()
        add_once(found, check.id, check, table)
    fields.finish()
    return found


def read_causes(fields: Fields, known: Known) -> dict[str, Cause]:
    """The causes of causes.toml by id."""
    found: dict[str, Cause] = {}
    for table in fields.tables("cause"):
        cause = read_cause(table, known)
        table.finish()
        add_once(found, cause.id, cause, table)
    fields.finish()
    return found


def read_check(
    fields: Fields, known: Known, causes: Collection[str]
) -> tuple[Check, dict[str, Saying]]:
    """One check in full, and what its answers say themselves (in a symptom file they may)."""
    id = fields.slug("id")
    if id == RULES_KEY:
        fields.problem(f"“{RULES_KEY}” is reserved; choose another id.", "id")
    reading = look_up(fields, "reading", known.readings)
    answers, sayings = read_answers(fields, known, causes, reading=reading, banded=bool(reading))
    if reading is None and len(answers) < 2:
        fields.problem("needs at least two answers, or a reading.", "answer")
    check = Check(
        id=id,
        ask=fields.text("ask"),
        minutes=read_minutes(fields, "minutes", LONGEST_MINUTES, None),
        answers=answers,
        reading=reading,
        tool=look_up(fields, "tool", known.tools),
        wait_minutes=read_minutes(fields, "wait_minutes", LONGEST_WAIT_MINUTES, 0.0),
        how=fields.text("how", ""),
        path=fields.path,
    )
    return check, sayings


def read_cause(fields: Fields, known: Known) -> Cause:
    """One cause in full."""
    id = fields.slug("id")
    if id == NOT_LISTED:
        fields.problem(f"“{NOT_LISTED}” is reserved; choose another id.", "id")
    remedies = tuple(_read_remedy(table, known) for table in fields.tables("remedy", required=True))
    if not remedies and fields.has("remedy"):
        fields.problem("must name at least one thing to do.", "remedy")
    return Cause(
        id=id,
        name=fields.text("name"),
        why=fields.text("why"),
        remedies=remedies,
        urgent=fields.flag("urgent"),
        article=fields.slug("article", ""),
        path=fields.path,
    )


def read_answers(
    fields: Fields,
    known: Known,
    causes: Collection[str],
    *,
    reading: Reading | None = None,
    banded: bool,
) -> tuple[tuple[Answer, ...], dict[str, Saying]]:
    """The list of answers of a check or a derived number, with the words in it."""
    answers: dict[str, Answer] = {}
    sayings = {}
    for table in fields.tables("answer"):
        answer = _read_answer(table, known, banded)
        said = read_saying(table, causes) if causes else None
        if said is not None and (said.words or said.because or said.danger):
            sayings[answer.id] = said
        table.finish()
        add_once(answers, answer.id, answer, table)
    listed = tuple(answers.values())
    if len(listed) == 1:
        fields.problem("needs at least two answers.", "answer")
    elif banded and listed:
        _check_bands(fields, listed, reading)
    return listed, sayings


def read_saying(fields: Fields, causes: Collection[str]) -> Saying:
    """What one answer says about the causes of a symptom."""
    words: dict[str, str] = {}
    for word in FACTORS:
        for cause in fields.texts(word):
            if cause not in causes:
                known = ", ".join(causes)
                fields.problem(f"“{cause}” is no cause here; known are {known}.", word)
            elif cause in words and words[cause] != word:
                fields.problem(f"“{cause}” is named under {words[cause]} already.", word)
            words.setdefault(cause, word)
    return Saying(words, fields.text("because", ""), fields.flag("danger"))


def read_minutes(fields: Fields, key: str, most: int, default: float | None) -> float:
    """Minutes within the allowed span."""
    value = fields.number(key, default)
    if value is None:
        return 0.0
    if not 0 <= value <= most:
        fields.problem(f"must be from 0 to {most} minutes, not {value:g}.", key)
    return value


def look_up(fields: Fields, key: str, known: Mapping[str, T]) -> T | None:
    """The thing an id names; None when the key is missing or, with a problem, unknown."""
    id = fields.text(key, "")
    if id and id not in known:
        fields.problem(f"“{id}” is not known; known are {', '.join(known) or 'none'}.", key)
    return known.get(id)


def add_once(found: dict[str, T], id: str, item: T, fields: Fields) -> None:
    """Keep ``item`` under its id; an id that is there already is a problem."""
    if id in found:
        fields.problem(f"“{id}” stands there twice.", "id")
    found.setdefault(id, item)


def _ids(fields: Fields) -> list[str]:
    for key in fields.rest():
        if not is_slug(key):
            fields.problem("is no id; use small letters, digits and hyphens.", key)
    return list(fields.rest())


def _read_reading(key: str, fields: Fields) -> Reading:
    kind = look_up(fields, "kind", KINDS) or KINDS["number"]
    unit = fields.text("unit", "")
    symbols = [item.symbol for item in kind.units]
    if fields.text("kind") in KINDS and unit not in symbols:
        fields.problem(f"“{unit}” is no unit of {kind.name}; use {', '.join(symbols)}.", "unit")
    minimum, maximum = fields.number("minimum") or 0.0, fields.number("maximum") or 0.0
    if minimum >= maximum:
        fields.problem("must be above minimum.", "maximum")
    reading = Reading(key, fields.text("name"), kind, unit, minimum, maximum)
    fields.finish()
    return reading


def _read_remedy(fields: Fields, known: Known) -> Remedy:
    ids = fields.texts("cautions")
    for id in ids:
        if id not in known.cautions:
            fields.problem(f"“{id}” is no caution of the list.", "cautions")
    remedy = Remedy(
        title=fields.text("title"),
        steps=fields.texts("steps", required=True),
        cautions=tuple(known.cautions[id] for id in ids if id in known.cautions),
    )
    fields.finish()
    return remedy


def _read_answer(fields: Fields, known: Known, banded: bool) -> Answer:
    id = fields.slug("id")
    if id in RESERVED_ANSWERS:
        fields.problem(f"“{id}” is reserved; choose another id.", "id")
    text = fields.text("text")
    if not banded:
        return Answer(id, text)
    below = fields.number("below", optional=True)
    source = fields.text("source", "")
    if below is not None and not source:
        fields.problem("is missing; name the source of this threshold.", "source")
    if source and source not in known.sources:
        fields.problem(f"“{source}” is no source of the bibliography.", "source")
    return Answer(id, text, below, source)


def _check_bands(fields: Fields, answers: tuple[Answer, ...], reading: Reading | None) -> None:
    edges = [answer.below for answer in answers]
    if edges[-1] is not None:
        fields.problem("does not cover all numbers: the last answer has no “below”.", "answer")
    if None in edges[:-1]:
        fields.problem("does not cover all numbers: only the last has no “below”.", "answer")
    numbers = [edge for edge in edges if edge is not None]
    if any(low >= high for low, high in pairwise(numbers)):
        fields.problem("is out of order: each “below” must be above the one before.", "answer")
    low, high = (reading.minimum, reading.maximum) if reading else (-math.inf, math.inf)
    for edge in numbers:
        if not low < edge < high:
            fields.problem(f"has an edge at {edge:g}, outside {low:g} to {high:g}.", "answer")
