"""Countries by their two letters of ISO 3166-1."""

from collections.abc import Mapping
from functools import cache
from importlib.resources import files

from kb.fields import Problems, read_table


@cache
def names() -> Mapping[str, str]:
    """The English name of every country by its code, in the order of the names."""
    problems = Problems()
    table = read_table(files("kb") / "countries.toml", path="kb/countries.toml", problems=problems)
    found = {code: table.text(code) for code in table.rest()}
    problems.raise_any()
    return dict(sorted(found.items(), key=lambda pair: pair[1]))
