"""Questions out of CSV, JSON Lines, plain text and mbox; broken lines named, the rest kept."""

import _csv
import codecs
import csv
import datetime
import email.policy
import json
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from email.message import EmailMessage
from email.parser import BytesParser
from email.utils import parsedate_to_datetime
from itertools import chain, islice
from pathlib import Path

from kb.errors import KbError
from kb.store.questions import LONGEST_FIELD, LONGEST_TEXT, NewQuestion, is_sound

FIELDS = ("text", "asked_by", "link", "asked_at", "place")
LONGEST_PLACE = 100
LARGEST_FILE = 200_000_000
LARGEST_LETTER = 4_000_000
LONGEST_LINE = 1_000_000
LONGEST_HEADERS = 20_000
# What the parser of letters raises for letters that no program has written.
UNREADABLE = (
    ValueError,
    LookupError,
    TypeError,
    AttributeError,
    OverflowError,
    RecursionError,
)
_BLOCK = 1 << 17
_OBJECTS_LOOKED_AT = 50
_ENDINGS = {
    ".csv": "csv",
    ".jsonl": "jsonl",
    ".ndjson": "jsonl",
    ".txt": "text",
    ".mbox": "mbox",
    ".mbx": "mbox",
}
FORMATS = ("csv", "jsonl", "text", "mbox")


@dataclass(frozen=True)
class Fault:
    """A line that could not be taken in, and why."""

    line: int
    reason: str


Taken = Iterator[NewQuestion | Fault]
Columns = Mapping[str, str]


def read_columns(text: str) -> dict[str, str]:
    """The column names in ``text=Comment,asked_by=Author``; raises KbError."""
    columns: dict[str, str] = {}
    for pair in filter(None, (part.strip() for part in text.split(","))):
        field, mark, column = (part.strip() for part in pair.partition("="))
        if not mark or field not in FIELDS or not column:
            raise KbError(
                f"“{pair}” is no mapping; write field=column with a field of {', '.join(FIELDS)}."
            )
        columns[field] = column
    return columns


def take_in(path: Path, *, place: str, columns: Columns, form: str | None = None) -> Taken:
    """Each question in a file, or the fault of its line; raises KbError for the file itself.

    The file is looked over first and then read as the questions are asked for.
    """
    form = form_of(path, form)
    _look_over(path, text=form != "mbox")
    if form == "mbox":
        return _mbox(path, place)
    if form == "text":
        return _plain(path, place)
    if form == "jsonl":
        return _json_lines(path, place, columns)
    return _csv_file(path, place, columns)


def form_of(path: Path, form: str | None = None) -> str:
    """What kind of file it is, by its ending if nobody says; raises KbError."""
    form = form or _ENDINGS.get(path.suffix.casefold())
    if form is None:
        raise KbError(f"{path.name}: say what it is with --format: {', '.join(FORMATS)}.")
    return form


def columns_in(path: Path, form: str | None = None) -> tuple[str, ...]:
    """The names of a file's columns, of JSON Lines those of its first objects; raises KbError."""
    form = form_of(path, form)
    if form not in ("csv", "jsonl"):
        return ()
    _look_over(path, text=True)
    if form == "csv":
        return tuple(_header(path))
    names: dict[str, None] = {}
    for _, part in islice(_lines(path, newline="\n"), _OBJECTS_LOOKED_AT):
        value = _json(part)
        names |= dict.fromkeys(value if isinstance(value, dict) else ())
    return tuple(names)


def _look_over(path: Path, *, text: bool) -> None:
    """Raise KbError unless the file can be read, is not too large, and is text if it must be."""
    with _told(path):
        if path.stat().st_size > LARGEST_FILE:
            raise KbError(f"{path} has over {LARGEST_FILE // 1_000_000} MB; cut it into parts.")
        with path.open("rb") as file:
            decoder = codecs.getincrementaldecoder("utf-8")()
            line, block = 1, b" "
            while text and block:
                block = file.read(_BLOCK)
                try:
                    decoder.decode(block, final=not block)
                except UnicodeDecodeError as error:
                    line += error.object[: error.start].count(b"\n")
                    raise KbError(
                        f"{path}: line {line} is not UTF-8 text; save the file as UTF-8."
                    ) from error
                line += block.count(b"\n")


@contextmanager
def _told(path: Path) -> Iterator[None]:
    try:
        yield
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) else "it changed while it was read"
        raise KbError(f"{path} cannot be read: {reason}.") from error


def _lines(path: Path, *, newline: str) -> Iterator[tuple[int, str]]:
    """The numbered lines of a text file; of a line without end only the beginning."""
    with _told(path), path.open(encoding="utf-8-sig", newline=newline) as file:
        number = 0
        while line := file.readline(LONGEST_LINE):
            number += 1
            yield number, line
            while len(line) == LONGEST_LINE and not line.endswith("\n"):
                line = file.readline(LONGEST_LINE)


def _csv_file(path: Path, place: str, columns: Columns) -> Taken:
    names = _header(path)
    lookup = {field: columns.get(field, field) for field in FIELDS}
    missing = [name for field, name in lookup.items() if name not in names and field in columns]
    if lookup["text"] not in names:
        missing = list(dict.fromkeys([lookup["text"], *missing]))
    if missing:
        raise KbError(
            f"{path}: there is no column {', '.join(f'“{name}”' for name in missing)}; it has "
            f"{', '.join(names) or 'none'}. Name the columns with --map text=...,asked_by=..."
        )
    reader = _csv_reader(path)
    next(reader)
    return _csv_rows(reader, names, lookup, place)


def _header(path: Path) -> list[str]:
    reader = _csv_reader(path)
    try:
        return next(reader, [])
    except csv.Error as error:
        raise KbError(f"{path}: line 1 is no CSV row ({error}).") from error


def _csv_reader(path: Path) -> _csv.Reader:
    return csv.reader((line for _, line in _lines(path, newline="")), strict=True)


def _csv_rows(
    reader: _csv.Reader, names: list[str], lookup: Columns, place: str
) -> Taken:  # the reader is advanced by hand, so that one broken row does not end the file
    while True:
        line = reader.line_num + 1
        try:
            row = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            yield Fault(line, f"is no CSV row ({error}).")
            continue
        if not row:
            continue
        values = dict(zip(names, row, strict=False))
        yield _question(line, place, lambda f, v=values: v.get(lookup[f], ""))  # type: ignore[misc]


def _json_lines(path: Path, place: str, columns: Columns) -> Taken:
    for line, part in _lines(path, newline="\n"):
        if not part.strip():
            continue
        value = _json(part)
        if value is None:
            yield Fault(line, "is no JSON.")
            continue
        if isinstance(value, str):
            value = {columns.get("text", "text"): value}
        if not isinstance(value, dict):
            yield Fault(line, "must be a JSON object or a text in quotes.")
            continue
        yield _question(line, place, lambda f, v=value: v.get(columns.get(f, f), ""))  # type: ignore[misc]


def _json(text: str) -> object:
    """The value in a line of JSON, or None if it is none."""
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        return None


def _plain(path: Path, place: str) -> Taken:
    """One question a line or, if blank lines stand between some, one a block."""
    blocks = _has_blocks(path)
    begin, held, size = 0, list[str](), 0
    for line, part in chain(_lines(path, newline="\n"), [(0, "")]):
        if held and (not blocks or not part.strip()):
            words = "".join(held)
            yield _question(begin, place, lambda f, w=words: w if f == "text" else "")  # type: ignore[misc]
            held, size = [], 0
        if part.strip():
            begin = begin if held else line
            size += len(part)
            held += [part.replace("\r\n", "\n")] if size <= LONGEST_LINE else []


def _has_blocks(path: Path) -> bool:
    """Does a blank line stand between lines that are not blank?"""
    begun = gap = False
    for _, part in _lines(path, newline="\n"):
        full = bool(part.strip())
        if full and gap:
            return True
        begun, gap = begun or full, begun and not full
    return False


def _mbox(path: Path, place: str) -> Taken:
    parser = BytesParser(policy=email.policy.default)
    for line, letter in _letters(path):
        if letter.strip():
            yield _letter(line, place, parser, letter)


def _letters(path: Path) -> Iterator[tuple[int, bytes]]:
    """Each letter with the line it begins on; of a very long one only the beginning."""
    with _told(path), path.open("rb") as file:
        begin, held, size, number, fresh = 1, list[bytes](), 0, 1, True
        while part := file.readline(LONGEST_LINE):
            if fresh and part.startswith(b"From ") and held:
                yield begin, b"".join(held)
                begin, held, size = number, [], 0
            size += len(part)
            held += [part] if size <= LARGEST_LETTER else []
            fresh = part.endswith(b"\n")
            number += fresh
        yield begin, b"".join(held)


def _letter(
    line: int, place: str, parser: "BytesParser[EmailMessage]", part: bytes
) -> NewQuestion | Fault:
    head, _, rest = part.partition(b"\n")
    headers = re.split(rb"\r?\n\r?\n", part, maxsplit=1)[0]
    if len(headers) > LONGEST_HEADERS:  # reading them takes the square of their length
        return Fault(line, f"has headers of over {LONGEST_HEADERS} bytes.")
    try:
        message = parser.parsebytes(rest if head.startswith(b"From ") else part)
        body = message.get_body(preferencelist=("plain", "html"))
        words = body.get_content() if body else ""
        sender = str(message.get("from", ""))[:LONGEST_TEXT]
        name = re.sub(r"<[^<>]*>", "", sender).strip(' "') or sender
        date = message.get("date")
        values = {
            "text": f"{message.get('subject', '')}\n{_unquoted(words)}".strip(),
            "asked_by": name,
            "link": str(message.get("message-id", "")),
            "asked_at": parsedate_to_datetime(str(date)).isoformat() if date else "",
        }
    except UNREADABLE as error:
        return Fault(line, f"is no letter that can be read ({error}).")
    return _question(line, place, lambda field: values.get(field, ""))


def _unquoted(words: str) -> str:
    """A letter's own words: no tags, no lines quoted from the one it answers."""
    plain = re.sub(r"<[^<>]{0,1000}>", " ", words)
    return "\n".join(part for part in plain.splitlines() if not part.lstrip().startswith(">"))


def _question(line: int, place: str, get: Callable[[str], object]) -> NewQuestion | Fault:
    found = {field: get(field) for field in FIELDS}
    for field, value in found.items():
        if value is not None and not isinstance(value, str | int | float):
            return Fault(line, f"{field} must be a text.")
    words = {field: str(value or "").strip() for field, value in found.items()}
    place = words["place"] = " ".join(words["place"].split()) or place
    wrong = _wrong(words)
    if wrong:
        return Fault(line, wrong)
    asked_at = None
    if words["asked_at"]:
        try:
            asked_at = _moment(words["asked_at"])
        except (ValueError, OverflowError):
            return Fault(
                line, f"“{words['asked_at'][:40]}” is no date; write it like 2026-03-31 18:05."
            )
    return NewQuestion(
        words["text"], place, words["asked_by"] or None, words["link"] or None, asked_at
    )


def _wrong(words: Mapping[str, str]) -> str:
    """What keeps these words from being logged, if anything does."""
    if not words["text"]:
        return "has no text."
    if not all(is_sound(word) for word in words.values()):
        return "holds halves of signs that are no text."
    if len(words["text"]) > LONGEST_TEXT:
        return f"has {len(words['text'])} characters; at most {LONGEST_TEXT} are kept."
    for field, longest in (
        ("asked_by", LONGEST_FIELD),
        ("link", LONGEST_FIELD),
        ("place", LONGEST_PLACE),
    ):
        if len(words[field]) > longest:
            return f"{field} has more than {longest} characters."
    return ""


def _moment(text: str) -> datetime.datetime:
    moment = datetime.datetime.fromisoformat(text)
    moment = moment if moment.tzinfo else moment.replace(tzinfo=datetime.UTC)
    return moment.astimezone(datetime.UTC)
