"""Where a site keeps its data and its own content, and what its keeper has set."""

import os
import secrets
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from platformdirs import user_data_path

from kb.errors import KbError
from kb.fields import Fields, Problems, read_table
from kb.recordings import RecordingPlace, read_place
from kb.store import places

SETTINGS_FILE = "settings.toml"
SITE_PLACE = "this site"
DEFAULT_ADDRESS = "http://127.0.0.1:8750"
MOST_MONTHS = 1200


@dataclass(frozen=True)
class Settings:
    """What a keeper may set in settings.toml."""

    name: str = "Standpipe"
    address: str = DEFAULT_ADDRESS
    places: tuple[str, ...] = (SITE_PLACE,)
    questions_an_hour: int = 20
    longest_reply: int = 2000
    greeting: str = "Hi {name},"
    recording_places: tuple[RecordingPlace, ...] = ()
    disclosure: str = ""
    keep_names_months: int = 24
    review_months: int = 12
    unreached_months: int = 6
    public_questions: bool = True
    other_addresses: tuple[str, ...] = ()


def read_settings(folder: Path | None) -> Settings:
    """The settings of a content folder; the usual ones where it sets nothing."""
    file = folder / SETTINGS_FILE if folder else None
    if folder is not None and not folder.is_dir():
        raise KbError(f"There is no content folder {folder}; make one with “standpipe new DIR”.")
    if file is None or not file.is_file():
        return Settings()
    problems = Problems()
    fields = read_table(file, path=str(file), problems=problems)
    usual = Settings()
    address = fields.text("address", usual.address).rstrip("/")
    if not address.startswith(("http://", "https://")):
        fields.problem("must begin with http:// or https://.", "address")
    hourly = fields.number("questions_an_hour", usual.questions_an_hour) or 0
    if not 1 <= hourly <= 10_000:
        fields.problem("must be from 1 to 10000.", "questions_an_hour")
    longest = fields.number("longest_reply", usual.longest_reply) or 0
    greeting = fields.text("greeting", usual.greeting)
    for key, fault in (
        ("longest_reply", places.check_longest(int(longest))),
        ("greeting", places.check_greeting(greeting)),
    ):
        if fault:
            fields.problem(fault, key)
    others = tuple(text.rstrip("/") for text in fields.texts("other_addresses"))
    for other in others:
        if not other.startswith(("http://", "https://")):
            fields.problem(
                f"“{other[:60]}” must begin with http:// or https://.", "other_addresses"
            )
    settings = Settings(
        name=fields.text("name", usual.name),
        address=address,
        places=tuple(dict.fromkeys((SITE_PLACE, *fields.texts("places")))),
        questions_an_hour=int(hourly),
        longest_reply=int(longest),
        greeting=greeting,
        recording_places=_recording_places(fields),
        disclosure=fields.text("disclosure", usual.disclosure),
        keep_names_months=_months(fields, "keep_names_months", usual.keep_names_months, least=0),
        review_months=_months(fields, "review_months", usual.review_months),
        unreached_months=_months(fields, "unreached_months", usual.unreached_months),
        public_questions=fields.flag("public_questions")
        if fields.has("public_questions")
        else True,
        other_addresses=others,
    )
    fields.finish()
    problems.raise_any()
    return settings


def at(settings: Settings, host: str, port: int) -> Settings:
    """The same settings with the address the site is served at."""
    shown = f"[{host}]" if ":" in host else host
    return replace(settings, address=f"http://{shown}:{port}")


def content_folder(option: Path | None, environment: Mapping[str, str] = os.environ) -> Path | None:
    """The keeper's own content: the option, else STANDPIPE_CONTENT, else none."""
    named = environment.get("STANDPIPE_CONTENT", "")
    return option or (Path(named) if named else None)


def data_folder(
    option: Path | None, content: Path | None, environment: Mapping[str, str] = os.environ
) -> Path:
    """The data folder, made if new."""
    folder = data_place(option, content, environment)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise KbError(f"The data folder {folder} cannot be made: {error.strerror}.") from error
    return folder


def data_place(
    option: Path | None, content: Path | None, environment: Mapping[str, str] = os.environ
) -> Path:
    """Where data lie: the option, STANDPIPE_DATA, beside own content, or at home."""
    named = environment.get("STANDPIPE_DATA", "")
    beside = content / "data" if content else None
    return option or (Path(named) if named else beside) or user_data_path("standpipe")


def secret_key(folder: Path) -> bytes:
    """The key that signs cookies, made once and readable by its owner alone."""
    file = folder / "secret.key"
    try:
        if not file.exists():
            _write_once(file, secrets.token_bytes(32))
        key = file.read_bytes()
    except OSError as error:
        raise KbError(f"{file} cannot be used: {error.strerror}.") from error
    if len(key) < 32:
        raise KbError(f"{file} is too short to be a key; delete it and start again.")
    return key


def _months(fields: Fields, key: str, usual: int, *, least: int = 1) -> int:
    found = fields.number(key, usual)
    if found is None or found != int(found) or not least <= found <= MOST_MONTHS:
        never = ", where 0 means never" if least == 0 else ""
        fields.problem(f"must be a whole number from {least} to {MOST_MONTHS}{never}.", key)
        return usual
    return int(found)


def _recording_places(fields: Fields) -> tuple[RecordingPlace, ...]:
    found = tuple(read_place(table) for table in fields.tables("recording_place"))
    names = [place.name for place in found]
    for name in sorted({name for name in names if names.count(name) > 1}):
        fields.problem(f"“{name}” stands there twice.", "recording_place")
    return found


def _write_once(file: Path, content: bytes) -> None:
    partial = file.with_name(f"{file.name}.{os.getpid()}")
    handle = os.open(partial, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as stream:
        stream.write(content)
    try:
        os.link(partial, file)
    except FileExistsError:
        pass  # another process made the key in the same moment; that one counts
    finally:
        partial.unlink()
