"""What was uploaded and not yet taken in: a folder each under the data folder, with what is known.

The name of the folder is random, so that nobody guesses it; what is done or given up is cleared.
"""

import json
import re
import secrets
import shutil
import time
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import IO

from kb.errors import KbError, NotFound
from kb.take_in import FORMATS

FOLDER = "uploads"
KEPT_S = 24 * 3600.0
WAITING, TAKING, DONE, FAILED = STATES = ("waiting", "taking", "done", "failed")
_TOKEN = re.compile(r"[0-9a-f]{32}")
_ENDINGS = {"csv": "csv", "jsonl": "jsonl", "ndjson": "jsonl", "txt": "text", "mbox": "mbox"}
_BLOCK = 1 << 20


@dataclass(frozen=True)
class Upload:
    """One upload: what it is called, where its questions come from, and how far it has got."""

    token: str
    name: str
    form: str
    place: str
    state: str = WAITING
    columns: Mapping[str, str] = field(default_factory=dict)
    done: int = 0
    total: int = 0
    logged: int = 0
    known: int = 0
    faults: tuple[tuple[int, str], ...] = ()
    refused: int = 0
    message: str = ""
    touched: float = 0.0


def keep(data: Path, source: IO[bytes], *, name: str, form: str, place: str) -> Upload:
    """Put an upload into a folder of its own."""
    upload = Upload(secrets.token_hex(16), name, form, place)
    folder = data / FOLDER / upload.token
    try:
        folder.mkdir(parents=True, mode=0o700)
        with file_of(data, upload).open("wb") as target:
            shutil.copyfileobj(source, target, _BLOCK)
    except OSError as error:
        shutil.rmtree(folder, ignore_errors=True)
        raise KbError(f"What you sent cannot be kept: {error.strerror}.") from error
    return write(data, upload)


def get(data: Path, token: str) -> Upload:
    """The upload of that name; raises NotFound."""
    note = data / FOLDER / token / "upload.json"
    try:
        if not _TOKEN.fullmatch(token):
            raise FileNotFoundError
        found = json.loads(note.read_text("utf-8"))
    except (OSError, ValueError) as error:
        raise NotFound("There is no such upload, or it was cleared away; send it again.") from error
    faults = tuple((int(line), str(reason)) for line, reason in found.pop("faults"))
    return Upload(**found, faults=faults)


def write(data: Path, upload: Upload) -> Upload:
    """Note how far an upload has got."""
    upload = replace(upload, touched=time.time())
    folder = data / FOLDER / upload.token
    partial = folder / f"upload.{secrets.token_hex(4)}"
    partial.write_text(json.dumps(asdict(upload), ensure_ascii=False), "utf-8")
    partial.replace(folder / "upload.json")
    return upload


def file_of(data: Path, upload: Upload) -> Path:
    """Where the upload itself lies."""
    return data / FOLDER / upload.token / f"upload.{upload.form}"


def drop_file(data: Path, upload: Upload) -> None:
    """Clear the upload itself and leave what is known of it."""
    file_of(data, upload).unlink(missing_ok=True)


def discard(data: Path, token: str) -> None:
    """Clear an upload away whole."""
    if _TOKEN.fullmatch(token):
        shutil.rmtree(data / FOLDER / token, ignore_errors=True)


def tidy(data: Path) -> None:
    """Clear away what nobody has touched for a day."""
    folder = data / FOLDER
    for entry in folder.iterdir() if folder.is_dir() else ():
        try:
            if time.time() - entry.stat().st_mtime > KEPT_S:
                shutil.rmtree(entry, ignore_errors=True)
        except OSError:
            continue  # another request cleared it in the same moment


def unfinished(data: Path) -> tuple[Upload, ...]:
    """The uploads that wait to be taken in, or were broken off."""
    folder = data / FOLDER
    found = []
    for entry in sorted(folder.iterdir()) if folder.is_dir() else ():
        try:
            upload = get(data, entry.name)
        except NotFound:
            continue
        if upload.state in (WAITING, TAKING):
            found.append(upload)
    return tuple(found)


def kind(name: str, start: bytes, said: str) -> str:
    """What kind of file this is: as said, by its name's ending, else by how it begins."""
    if said in FORMATS:
        return said
    ending = name.rpartition(".")[2].casefold()
    if ending in _ENDINGS:
        return _ENDINGS[ending]
    head = start.lstrip(b"\xef\xbb\xbf \r\n\t")
    if head.startswith(b"From "):
        return "mbox"
    return "jsonl" if head.startswith((b'{"', b"{ ")) else "text"
