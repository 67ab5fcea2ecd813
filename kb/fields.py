"""Strict reading of TOML tables: every value has a type, every key is known, every fault a place.

A reader never stops at the first fault: it notes it, returns something harmless, and goes on, so
that all faults of a file are reported together.
"""

import datetime
import re
import tomllib
from collections.abc import Mapping
from typing import Any, Protocol

from kb.errors import ContentErrors, Problem

_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")


class Readable(Protocol):
    """A file, or what importlib.resources gives for one."""

    @property
    def name(self) -> str: ...

    def read_bytes(self) -> bytes: ...


class Problems:
    """The faults found so far."""

    def __init__(self) -> None:
        self.found: list[Problem] = []

    def add(self, path: str, place: str, message: str) -> None:
        """Note one fault."""
        self.found.append(Problem(path, place, message))

    def raise_any(self) -> None:
        """Raise ContentErrors with all faults, if there is any."""
        if self.found:
            raise ContentErrors(self.found)


class Fields:
    """One TOML table being read; ``finish`` reports the keys nobody asked for."""

    def __init__(
        self, data: Mapping[str, object], *, path: str, place: str, problems: Problems
    ) -> None:
        self._data = data
        self._asked: dict[str, None] = {}
        self.path = path
        self.place = place
        self.problems = problems

    def problem(self, message: str, key: str = "") -> None:
        """Note a fault at this table, or at one of its keys."""
        self.problems.add(self.path, self._at(key), message)

    def has(self, key: str) -> bool:
        """Is the key there?"""
        self._asked[key] = None
        return key in self._data

    def text(self, key: str, default: str | None = None) -> str:
        """A text that is not empty; ``default`` makes it optional."""
        value = self._value(key, str, "a text in quotes", default)
        if value is None:
            return ""
        if not value.strip() and value != default:
            self.problem("is empty; write a text or leave the key out.", key)
        return str(value).strip()

    def slug(self, key: str, default: str | None = None) -> str:
        """A text of lower-case letters, digits and single hyphens."""
        value = self.text(key, default)
        if value and value != default and not is_slug(value):
            self.problem(f"“{value}” is no id; use small letters, digits and hyphens.", key)
        return value

    def texts(self, key: str, *, required: bool = False) -> tuple[str, ...]:
        """A list of texts, none empty, none twice."""
        values = self._value(key, list, "a list of texts", None if required else [])
        texts = tuple(str(value).strip() for value in values or ())
        for index, (value, text) in enumerate(zip(values or (), texts, strict=True)):
            if not isinstance(value, str) or not text:
                self.problem("must be a text that is not empty.", f"{key}[{index + 1}]")
            elif text in texts[:index]:
                self.problem(f"“{text}” stands there twice.", f"{key}[{index + 1}]")
        if required and values == []:
            self.problem("must name at least one.", key)
        return texts

    def number(
        self, key: str, default: float | None = None, *, optional: bool = False
    ) -> float | None:
        """A number; None when it is optional and missing."""
        if optional and not self.has(key):
            return None
        value = self._value(key, (int, float), "a number", default)
        return None if value is None else float(value)

    def flag(self, key: str) -> bool:
        """True or false; false when missing."""
        return bool(self._value(key, bool, "true or false", False))

    def date(self, key: str) -> datetime.date:
        """A date, written 2026-03-31 without quotes."""
        value = self._value(key, datetime.date, "a date such as 2026-03-31, without quotes", None)
        return value if isinstance(value, datetime.date) else datetime.date.min

    def word(self, key: str, allowed: tuple[str, ...], default: str | None = None) -> str:
        """One of a few words."""
        value = self.text(key, default)
        if value and value not in allowed:
            self.problem(f"“{value}” is not known; use {', '.join(allowed)}.", key)
            return allowed[0]
        return value or allowed[0]

    def table(self, key: str, *, required: bool = False) -> "Fields":
        """A table below this one; empty when missing."""
        value = self._value(key, dict, "a table", None if required else {})
        return self._below(value or {}, key)

    def tables(self, key: str, *, required: bool = False) -> tuple["Fields", ...]:
        """A list of tables."""
        values = self._value(key, list, "a list of tables", None if required else [])
        good = []
        for index, value in enumerate(values or ()):
            if isinstance(value, dict):
                good.append(self._below(value, f"{key}[{index + 1}]"))
            else:
                self.problem("must be a table.", f"{key}[{index + 1}]")
        return tuple(good)

    def rest(self) -> tuple[str, ...]:
        """The keys nobody has asked for so far."""
        return tuple(key for key in self._data if key not in self._asked)

    def finish(self) -> None:
        """Report every key that nobody asked for."""
        for key in self.rest():
            self.problem(f"is not known here; allowed are {', '.join(self._asked)}.", key)

    def _value(self, key: str, types: Any, wanted: str, default: Any) -> Any:
        if not self.has(key):
            if default is None:
                self.problem("is missing.", key)
            return default
        value = self._data[key]
        wrong_flag = isinstance(value, bool) and types is not bool
        if wrong_flag or not isinstance(value, types):
            self.problem(f"must be {wanted}, not {_shown(value)}.", key)
            return default
        return value

    def _below(self, data: Mapping[str, object], key: str) -> "Fields":
        return Fields(data, path=self.path, place=self._at(key), problems=self.problems)

    def _at(self, key: str) -> str:
        return ".".join(part for part in (self.place, key) if part) or "file"


def is_slug(text: str) -> bool:
    """Is this an id: small letters, digits and single hyphens?"""
    return bool(_ID.fullmatch(text))


def parse_toml(
    text: str, *, path: str, problems: Problems, first_line: int = 0
) -> dict[str, object]:
    """The table in a TOML text; a syntax fault is noted with its line and column."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        reason = re.sub(
            r"line (\d+)",
            lambda match: f"line {int(match[1]) + first_line}",
            str(error),
        )
        problems.add(path, "TOML", f"cannot be read: {reason}.")
        return {}


def read_text(file: Readable, *, path: str, problems: Problems) -> str:
    """The text of a UTF-8 file; anything else is noted."""
    try:
        return file.read_bytes().decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        problems.add(path, f"byte {error.start}", "is not UTF-8 text.")
    except OSError as error:
        problems.add(path, "file", f"cannot be read: {error.strerror}.")
    return ""


def read_table(file: Readable, *, path: str, problems: Problems) -> Fields:
    """The whole of a TOML file as one table."""
    data = parse_toml(read_text(file, path=path, problems=problems), path=path, problems=problems)
    return Fields(data, path=path, place="", problems=problems)


def _shown(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 40 else text[:37] + "..."
