"""The safety sentences: each is written once and named by its id wherever it is needed."""

from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files

from kb.fields import Fields, Problems, Readable, is_slug, read_table

LEVELS = ("danger", "care", "note")


@dataclass(frozen=True)
class Caution:
    """One safety sentence; ``level`` is danger (people or fish may be hurt), care, or note."""

    id: str
    level: str
    text: str


def shipped() -> Mapping[str, Caution]:
    """The cautions that come with Standpipe; raises ContentErrors when the file is broken."""
    problems = Problems()
    found = read(files("kb") / "cautions.toml", path="kb/cautions.toml", problems=problems)
    problems.raise_any()
    return found


def read(file: Readable, *, path: str, problems: Problems) -> dict[str, Caution]:
    """The cautions in a TOML file, one table an id."""
    table = read_table(file, path=path, problems=problems)
    found = {}
    for key in table.rest():
        if not is_slug(key):
            table.problem("is no id; use small letters, digits and hyphens.", key)
        found[key] = _read_caution(key, table.table(key))
    return found


def _read_caution(key: str, fields: Fields) -> Caution:
    caution = Caution(id=key, level=fields.word("level", LEVELS), text=fields.text("text"))
    fields.finish()
    return caution
