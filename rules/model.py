"""What a rule file says once read: checks, causes, symptoms, what answers say of causes."""

from collections.abc import Mapping
from dataclasses import dataclass

from kb.cautions import Caution
from kb.errors import NotFound
from kb.units import Kind

UNKNOWN = "unknown"
CANT_MEASURE = "cant-measure"
NO_ANSWER = (UNKNOWN, CANT_MEASURE)
HOW_OFTEN = {"common": 4, "occasional": 2, "rare": 1}  # parts among those who see the symptom
NOT_LISTED = "not-listed"
NOT_LISTED_PARTS = 2
FACTORS = {"confirms": 8.0, "likely": 2.0, "unlikely": 0.5, "rules_out": 0.125}
SPEAKS_FOR = ("confirms", "likely")


@dataclass(frozen=True)
class Reading:
    """A number that can be measured; minimum and maximum are in ``unit``."""

    id: str
    name: str
    kind: Kind
    unit: str
    minimum: float
    maximum: float


@dataclass(frozen=True)
class Tool:
    """Something one needs for a check and may not have."""

    id: str
    name: str


@dataclass(frozen=True)
class Answer:
    """One answer of a check; of a number, the band up to ``below`` (excluded; None: no end)."""

    id: str
    text: str
    below: float | None = None
    source: str = ""


@dataclass(frozen=True)
class Check:
    """Something to look at in the system: a choice of answers, or a number with its reading."""

    id: str
    ask: str
    minutes: float
    answers: tuple[Answer, ...] = ()
    reading: Reading | None = None
    tool: Tool | None = None
    wait_minutes: float = 0.0
    how: str = ""
    path: str = ""

    @property
    def cost(self) -> float:
        """What asking it costs the reader, in minutes: waiting counts a twentieth."""
        return self.minutes + self.wait_minutes / 20 + 1


@dataclass(frozen=True)
class Remedy:
    """Something to do about a cause."""

    title: str
    steps: tuple[str, ...]
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True)
class Cause:
    """Something that may be wrong, with its remedies, gentlest first."""

    id: str
    name: str
    why: str
    remedies: tuple[Remedy, ...]
    urgent: bool = False
    article: str = ""
    path: str = ""


@dataclass(frozen=True)
class Saying:
    """What one answer says about the causes of a symptom: cause id to word."""

    words: Mapping[str, str]
    because: str = ""
    danger: bool = False

    def factor(self, cause: str) -> float:
        """The factor of this answer for a cause; 1 for a cause not named."""
        word = self.words.get(cause)
        return 1.0 if word is None else FACTORS[word]

    def speaks_for(self, cause: str) -> bool:
        """Does this answer speak for the cause?"""
        return self.words.get(cause) in SPEAKS_FOR

    def speaks_against(self, cause: str) -> bool:
        """Does this answer speak against the cause?"""
        return cause in self.words and not self.speaks_for(cause)


@dataclass(frozen=True)
class Derived:
    """How a number is worked out from checks: calculator, result, and input = check."""

    calculator: str
    result: str
    inputs: Mapping[str, str]
    label: str
    unit: str


@dataclass(frozen=True)
class Evidence:
    """A check or a derived number with one saying for each of its answers."""

    id: str
    answers: tuple[Answer, ...]
    sayings: tuple[Saying, ...]
    checks: tuple[Check, ...]
    urgent: bool = False
    derived: Derived | None = None

    @property
    def named(self) -> frozenset[str]:
        """The causes that at least one answer names."""
        return frozenset(cause for saying in self.sayings for cause in saying.words)


@dataclass(frozen=True)
class Suspect:
    """A cause under one symptom, and how often it is the cause there."""

    cause: Cause
    how_often: str


@dataclass(frozen=True)
class Symptom:
    """One symptom file: its causes, all its checks, and the evidence, all in file order."""

    id: str
    title: str
    summary: str
    do_first: tuple[str, ...]
    suspects: tuple[Suspect, ...]
    checks: tuple[Check, ...]
    evidence: tuple[Evidence, ...]
    article: str = ""
    fingerprint: str = ""
    path: str = ""

    @property
    def causes(self) -> tuple[Cause, ...]:
        """The causes in file order."""
        return tuple(suspect.cause for suspect in self.suspects)

    @property
    def urgent_causes(self) -> tuple[Cause, ...]:
        """The causes that can kill fish within the hour."""
        return tuple(cause for cause in self.causes if cause.urgent)


@dataclass(frozen=True)
class Rulebook:
    """All rules: symptoms by slug, and what they share."""

    symptoms: Mapping[str, Symptom]
    checks: Mapping[str, Check]
    causes: Mapping[str, Cause]
    readings: Mapping[str, Reading]
    tools: Mapping[str, Tool]
    fingerprint: str

    def symptom(self, slug: str) -> Symptom:
        """The symptom of that slug; raises NotFound with the known ones."""
        if slug not in self.symptoms:
            known = ", ".join(self.symptoms) or "none at all"
            raise NotFound(f"There is no symptom “{slug[:60]}”; known are {known}.")
        return self.symptoms[slug]
