"""The errors raised on purpose: each says what is wrong, where, and what would be right."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class InputProblem:
    """One value that cannot be used: the input's name, what was given, and one sentence."""

    input: str
    given: str
    message: str


@dataclass(frozen=True)
class Problem:
    """One fault in a content file: the file, the place in it, and one sentence."""

    path: str
    place: str
    message: str

    def __str__(self) -> str:
        return f"{self.path}: {self.place}: {self.message}"


class KbError(Exception):
    """Anything wrong that a person can put right; the text is one sentence."""


class UnitError(KbError):
    """A text that is no number with a unit of the wanted kind."""


class NotFound(KbError):
    """A slug or id that names nothing."""


class StoreError(KbError):
    """The database is missing, damaged, locked, or not one of ours."""


class InputErrors(KbError):
    """All the values of one request that cannot be used."""

    def __init__(self, problems: Iterable[InputProblem]) -> None:
        self.problems = tuple(problems)
        super().__init__(" ".join(problem.message for problem in self.problems))


class ContentErrors(KbError):
    """All the faults found in content files."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))
