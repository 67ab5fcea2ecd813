"""What can be found: one answer with all the wordings people use to ask for it."""

from dataclasses import dataclass

from kb.errors import KbError

KINDS = ("article", "symptom", "calculator")


@dataclass(frozen=True)
class Document:
    """One thing a question can lead to; ``kind`` is article, symptom or calculator."""

    kind: str
    slug: str
    title: str
    wordings: tuple[str, ...]
    headings: tuple[str, ...]
    text: str

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise KbError(f"A document is of kind {', '.join(KINDS)}, not “{self.kind}”.")

    @property
    def asked(self) -> tuple[str, ...]:
        """The title and every wording, each once."""
        return tuple(dict.fromkeys((self.title, *self.wordings)))


@dataclass(frozen=True)
class Match:
    """A document that may answer the question; ``score`` runs from 0 to 1.

    Only articles say why.
    """

    kind: str
    slug: str
    title: str
    score: float
    why: tuple[str, ...]


@dataclass(frozen=True)
class PartMatches:
    """One of several questions in a text, and the articles that may answer it."""

    text: str
    verdict: str
    articles: tuple[Match, ...]


@dataclass(frozen=True)
class Matches:
    """Everything found for one question, best first; ``verdict`` judges the articles alone.

    ``parts`` is empty unless the text asks several questions.
    """

    verdict: str
    articles: tuple[Match, ...]
    symptoms: tuple[Match, ...]
    calculators: tuple[Match, ...]
    parts: tuple[PartMatches, ...] = ()
