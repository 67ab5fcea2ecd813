"""Questions out of CSV, JSON Lines, plain text and mbox; broken lines named, the rest kept."""

import _csv
import csv
import datetime
import email.policy
import io
import json
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from email.message import EmailMessage
from email.parser import BytesParser
from email.utils import parsedate_to_datetime
from pathlib import Path

from kb.errors import KbError
from kb.store.questions import LONGEST_FIELD, LONGEST_TEXT, NewQuestion

FIELDS = ("text", "asked_by", "link", "asked_at")
LARGEST_FILE = 200_000_000
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
    """Each question in a file, or the fault of its line; raises KbError for the file itself."""
    form = form or _ENDINGS.get(path.suffix.casefold())
    if form is None:
        raise KbError(f"{path.name}: say what it is with --format: {', '.join(FORMATS)}.")
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise KbError(f"{path} has over {LARGEST_FILE // 1_000_000} MB; cut it into parts.")
        raw = path.read_bytes()
    except OSError as error:
        raise KbError(f"{path} cannot be read: {error.strerror}.") from error
    if form == "mbox":
        return _mbox(raw, place)
    text = _decoded(raw, path)
    if form == "text":
        return _plain(text, place)
    if form == "jsonl":
        return _json_lines(text, place, columns)
    return _csv_file(text, place, columns, path)


def _decoded(raw: bytes, path: Path) -> str:
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise KbError(f"{path}: line {line} is not UTF-8 text; save the file as UTF-8.") from error


def _csv_file(text: str, place: str, columns: Columns, path: Path) -> Taken:
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    names = next(reader, [])
    lookup = {field: columns.get(field, field) for field in FIELDS}
    missing = [name for field, name in lookup.items() if name not in names and field in columns]
    if lookup["text"] not in names:
        missing = list(dict.fromkeys([lookup["text"], *missing]))
    if missing:
        raise KbError(
            f"{path}: there is no column {', '.join(f'“{name}”' for name in missing)}; it has "
            f"{', '.join(names) or 'none'}. Name the columns with --map text=...,asked_by=..."
        )
    return _csv_rows(reader, names, lookup, place)


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


def _json_lines(text: str, place: str, columns: Columns) -> Taken:
    for line, part in enumerate(text.split("\n"), start=1):
        if not part.strip():
            continue
        try:
            value = json.loads(part)
        except (ValueError, RecursionError):
            yield Fault(line, "is no JSON.")
            continue
        if isinstance(value, str):
            value = {columns.get("text", "text"): value}
        if not isinstance(value, dict):
            yield Fault(line, "must be a JSON object or a text in quotes.")
            continue
        yield _question(line, place, lambda f, v=value: v.get(columns.get(f, f), ""))  # type: ignore[misc]


def _plain(text: str, place: str) -> Taken:
    text = text.replace("\r\n", "\n")
    blocks = re.search(r"\S[^\n]*\n[ \t]*\n+[ \t]*\S", text)
    line = 1
    for part in re.split(r"(\n[ \t]*\n+|\n)" if not blocks else r"(\n[ \t]*\n+)", text):
        if part.strip():
            yield _question(line, place, lambda f, p=part: p if f == "text" else "")  # type: ignore[misc]
        line += part.count("\n")


def _mbox(raw: bytes, place: str) -> Taken:
    parser = BytesParser(policy=email.policy.default)
    line = 1
    for part in re.split(rb"(?m)^(?=From )", raw):
        if part.strip():
            yield _letter(line, place, parser, part)
        line += part.count(b"\n")


def _letter(
    line: int, place: str, parser: "BytesParser[EmailMessage]", part: bytes
) -> NewQuestion | Fault:
    head, _, rest = part.partition(b"\n")
    try:
        message = parser.parsebytes(rest if head.startswith(b"From ") else part)
        body = message.get_body(preferencelist=("plain", "html"))
        words = body.get_content() if body else ""
        sender = str(message.get("from", ""))
        name = re.sub(r"\s*<[^>]*>", "", sender).strip(' "') or sender
        date = message.get("date")
        values = {
            "text": f"{message.get('subject', '')}\n{_unquoted(words)}".strip(),
            "asked_by": name,
            "link": str(message.get("message-id", "")),
            "asked_at": parsedate_to_datetime(str(date)).isoformat() if date else "",
        }
    except (ValueError, LookupError, TypeError, AttributeError) as error:
        return Fault(line, f"is no letter that can be read ({error}).")
    return _question(line, place, lambda field: values[field])


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
    if not words["text"]:
        return Fault(line, "has no text.")
    if len(words["text"]) > LONGEST_TEXT:
        return Fault(line, f"has {len(words['text'])} characters; at most {LONGEST_TEXT} are kept.")
    for field in ("asked_by", "link"):
        if len(words[field]) > LONGEST_FIELD:
            return Fault(line, f"{field} has more than {LONGEST_FIELD} characters.")
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


def _moment(text: str) -> datetime.datetime:
    moment = datetime.datetime.fromisoformat(text)
    moment = moment if moment.tzinfo else moment.replace(tzinfo=datetime.UTC)
    return moment.astimezone(datetime.UTC)
