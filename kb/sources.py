"""The bibliography: which published work a number comes from."""

from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files

from kb.fields import Fields, Problems, Readable, is_slug, read_table

COMMON_PRACTICE = "common-practice"


@dataclass(frozen=True)
class Source:
    """One published work, or the honest admission that there is none."""

    id: str
    title: str
    authors: str = ""
    year: str = ""
    where: str = ""
    note: str = ""

    @property
    def citation(self) -> str:
        """The source as one line of text."""
        head = f"{self.authors} {f'({self.year})' if self.year else ''}".strip()
        parts = (part for part in (head, self.title, self.where) if part)
        return ". ".join(part.rstrip(".") for part in parts) + "."


def shipped() -> Mapping[str, Source]:
    """The sources that come with Standpipe; raises ContentErrors when the file is broken."""
    problems = Problems()
    found = read(files("kb") / "sources.toml", path="kb/sources.toml", problems=problems)
    problems.raise_any()
    return found


def read(file: Readable, *, path: str, problems: Problems) -> dict[str, Source]:
    """The sources in a TOML file, one table an id."""
    table = read_table(file, path=path, problems=problems)
    found = {}
    for key in table.rest():
        if not is_slug(key):
            table.problem("is no id; use small letters, digits and hyphens.", key)
        found[key] = _read_source(key, table.table(key))
    return found


def _read_source(key: str, fields: Fields) -> Source:
    source = Source(
        id=key,
        title=fields.text("title"),
        authors=fields.text("authors", ""),
        year=fields.text("year", ""),
        where=fields.text("where", ""),
        note=fields.text("note", ""),
    )
    fields.finish()
    return source
