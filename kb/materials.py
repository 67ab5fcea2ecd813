"""Materials in files, checked before they are stored, and found in the articles that name them."""

import csv
import io
import json
import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from kb import countries
from kb.content import render
from kb.content.load import Article
from kb.errors import InputErrors, InputProblem
from kb.fields import Fields, Problems, parse_toml
from kb.store.materials import Link, Material

COLUMNS = ("name", "aliases", "remark", "articles", "country", "shop", "link", "earns")
FORMATS = ("csv", "toml")
ANYWHERE = ""
ANYWHERE_WORDS = "anywhere"
LONGEST = {"name": 120, "alias": 120, "remark": 1000, "shop": 120, "link": 2000}
MOST = {"aliases": 40, "links": 100, "articles": 500}
_NAMED_IN = ("Short answer", "Why", "How", "Cautions")
_SEPARATOR = ";"
_FORMULA = ("=", "+", "-", "@", "\t", "\r")  # what a spreadsheet takes for a sum to work out
_WEB = re.compile(r"https?://[^\s<>\"]+")
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")
_YES, _NO = ("yes", "true", "1"), ("", "no", "false", "0")


def words_of(article: Article) -> str:
    """The words of an article in which materials are looked for, in small letters."""
    parts = (
        render.to_text(article.sections.get(heading, ""), block_for=lambda *_: "")
        for heading in _NAMED_IN
    )
    return " ".join(" ".join((article.title, *parts)).split()).casefold()


def named(materials: Iterable[Material], slug: str, words: str) -> tuple[Material, ...]:
    """The materials that an article names as whole words, or that name the article."""
    return tuple(
        material
        for material in materials
        if slug in material.articles or any(_in(name, words) for name in material.names)
    )


def by_country(links: Iterable[Link]) -> dict[str, tuple[Link, ...]]:
    """The links under the names of their countries; those for anywhere come last."""
    found: dict[str, list[Link]] = {}
    known = countries.names()
    order = {code: place for place, code in enumerate(known)}
    for link in sorted(links, key=lambda link: order.get(link.country, len(order))):
        found.setdefault(known.get(link.country, ANYWHERE_WORDS), []).append(link)
    return {country: tuple(entries) for country, entries in found.items()}


def tidy(material: Material) -> Material:
    """The same material with single spaces, each alias once, and countries in capitals."""
    name = _one_line(material.name)
    aliases = {_one_line(alias).casefold(): _one_line(alias) for alias in material.aliases}
    aliases.pop(name.casefold(), None)
    aliases.pop("", None)
    return replace(
        material,
        name=name,
        aliases=tuple(aliases.values()),
        remark="\n".join(line.strip() for line in material.remark.strip().splitlines()),
        articles=tuple(dict.fromkeys(slug.strip() for slug in material.articles if slug.strip())),
        links=tuple(
            Link(link.country.strip().upper(), _one_line(link.shop), link.link.strip(), link.earns)
            for link in material.links
        ),
    )


def faults(material: Material, articles: Collection[str]) -> Iterator[InputProblem]:
    """Everything that keeps a tidy material from being stored."""
    what = f"“{material.name[:40]}”" if material.name else "A material"
    yield from _text_faults(what, material)
    for part, most in MOST.items():
        count = len(getattr(material, part))
        if count > most:
            yield InputProblem(part, str(count), f"{what} has {count} {part}; keep to {most}.")
    for slug in material.articles:
        if slug not in articles:
            message = f"{what} names the article “{slug[:60]}”, which does not exist."
            yield InputProblem("articles", slug[:60], message)
    for link in material.links:
        yield from _link_faults(what, link)


def checked(materials: Iterable[Material], articles: Collection[str]) -> tuple[Material, ...]:
    """The materials made tidy; raises InputErrors with every fault of all of them."""
    found = tuple(tidy(material) for material in materials)
    problems = [fault for material in found for fault in faults(material, articles)]
    names = [material.name.casefold() for material in found]
    for material in found:
        if names.count(material.name.casefold()) > 1:
            message = f"“{material.name}” stands there twice."
            problems.append(InputProblem("name", material.name, message))
    if problems:
        raise InputErrors(dict.fromkeys(problems))
    return found


def to_csv(materials: Iterable[Material]) -> str:
    """The materials as CSV, a line a link; no cell is taken for a formula."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for material in materials:
        own = (
            material.name,
            f"{_SEPARATOR} ".join(material.aliases),
            material.remark,
            f"{_SEPARATOR} ".join(material.articles),
        )
        for link in material.links or (Link("", "", ""),):
            row = (*own, link.country, link.shop, link.link, "yes" if link.earns else "")
            writer.writerow([_defused(cell) for cell in row])
    return out.getvalue()


def to_toml(materials: Iterable[Material]) -> str:
    """The materials as TOML, a table each."""
    tables = []
    for material in materials:
        lines = ["[[material]]", f"name = {_quoted(material.name)}"]
        for key, values in (("aliases", material.aliases), ("articles", material.articles)):
            if values:
                lines.append(f"{key} = [{', '.join(map(_quoted, values))}]")
        if material.remark:
            lines.append(f"remark = {_quoted(material.remark)}")
        for link in material.links:
            lines += ["", "[[material.link]]"]
            if link.country:
                lines.append(f"country = {_quoted(link.country)}")
            lines += [f"shop = {_quoted(link.shop)}", f"link = {_quoted(link.link)}"]
            if link.earns:
                lines.append("earns = true")
        tables.append("\n".join(lines))
    return "\n\n".join(tables) + "\n" if tables else ""


def read(text: str, form: str) -> tuple[Material, ...]:
    """The materials in a text; raises InputErrors with every fault of its form."""
    return _from_csv(text) if form == "csv" else _from_toml(text)


def _from_toml(text: str) -> tuple[Material, ...]:
    problems = Problems()
    data = parse_toml(text.replace("\r\n", "\n"), path="materials", problems=problems)
    fields = Fields(data, path="materials", place="", problems=problems)
    found = tuple(_material(table) for table in fields.tables("material"))
    fields.finish()
    if problems.found:
        raise InputErrors(
            InputProblem(fault.place, "", f"{fault.place}: {fault.message}")
            for fault in problems.found
        )
    return found


def _material(fields: Fields) -> Material:
    links = []
    for table in fields.tables("link"):
        links.append(
            Link(
                table.text("country", ANYWHERE),
                table.text("shop"),
                table.text("link"),
                table.flag("earns"),
            )
        )
        table.finish()
    material = Material(
        name=fields.text("name"),
        aliases=fields.texts("aliases"),
        remark=fields.text("remark", ""),
        articles=fields.texts("articles"),
        links=tuple(links),
    )
    fields.finish()
    return material


def _from_csv(text: str) -> tuple[Material, ...]:
    problems: list[InputProblem] = []
    found: dict[str, Material] = {}
    try:
        reader = csv.DictReader(io.StringIO(text.removeprefix("\ufeff")), strict=True)
        rows, columns = list(reader), list(reader.fieldnames or ())
    except csv.Error as error:
        message = f"The CSV cannot be read: {error}."
        raise InputErrors([InputProblem("file", "", message)]) from None
    unknown = [column for column in columns if column not in COLUMNS]
    if unknown or "name" not in columns:
        shown = ", ".join(unknown) or "no name"
        message = f"The columns must be among {', '.join(COLUMNS)}, with name; there is {shown}."
        raise InputErrors([InputProblem("columns", shown, message)])
    for number, row in enumerate(rows, start=1):
        if None in row:
            message = f"Row {number} has more cells than there are columns."
            problems.append(InputProblem("row", str(number), message))
        cells = {column: _plain_cell(row.get(column)) for column in COLUMNS}
        key = _one_line(cells["name"]).casefold()
        known = found.get(key, Material(cells["name"]))
        found[key] = _with_row(known, cells, number, problems)
    if problems:
        raise InputErrors(problems)
    return tuple(found.values())


def _with_row(
    material: Material, cells: Mapping[str, str], number: int, problems: list[InputProblem]
) -> Material:
    earns = cells["earns"].strip().casefold()
    if earns not in (*_YES, *_NO):
        message = f"Row {number}: earns is “{earns[:20]}”; write yes or leave it empty."
        problems.append(InputProblem("earns", earns[:20], message))
    links = material.links
    if any(cells[key].strip() for key in ("country", "shop", "link")):
        links = (*links, Link(cells["country"], cells["shop"], cells["link"], earns in _YES))
    return replace(
        material,
        aliases=(*material.aliases, *cells["aliases"].split(_SEPARATOR)),
        remark=material.remark or cells["remark"],
        articles=(*material.articles, *cells["articles"].split(_SEPARATOR)),
        links=links,
    )


def _text_faults(what: str, material: Material) -> Iterator[InputProblem]:
    texts: Sequence[tuple[str, str]] = (
        ("name", material.name),
        *(("alias", alias) for alias in material.aliases),
        ("remark", material.remark),
        *(("shop", link.shop) for link in material.links),
    )
    for kind, text in texts:
        if not text and kind in ("name", "shop"):
            words = "needs a name" if kind == "name" else "has a link without the name of a shop"
            yield InputProblem(kind, "", f"{what} {words}.")
        elif len(text) > LONGEST[kind]:
            message = f"{what}: its {kind} has {len(text)} signs; use at most {LONGEST[kind]}."
            yield InputProblem(kind, text[:40], message)
        elif _CONTROL.search(text):
            message = f"{what}: its {kind} holds a control character; take it out."
            yield InputProblem(kind, "", message)
        elif kind == "alias" and _SEPARATOR in text:
            message = f"{what}: “{text[:40]}” holds “{_SEPARATOR}”, which parts names in files."
            yield InputProblem(kind, text[:40], message)
        elif kind in ("name", "alias") and not re.search(r"\w{2}", text):
            yield InputProblem(kind, text, f"{what}: “{text}” has no word of two letters or more.")


def _link_faults(what: str, link: Link) -> Iterator[InputProblem]:
    if len(link.link) > LONGEST["link"] or not _WEB.fullmatch(link.link):
        message = (
            f"{what}: the link “{link.link[:60]}” cannot be used; give one address that begins "
            f"with http:// or https:// and has at most {LONGEST['link']} signs."
        )
        yield InputProblem("link", link.link[:60], message)
    if link.country != ANYWHERE and link.country not in countries.names():
        message = (
            f"{what}: “{link.country[:20]}” is no country; use two letters such as DE or US "
            "(ISO 3166-1), or leave it empty for anywhere."
        )
        yield InputProblem("country", link.country[:20], message)


def _in(name: str, words: str) -> bool:
    plain = _one_line(name).casefold()
    return plain in words and bool(re.search(rf"(?<!\w){re.escape(plain)}(?!\w)", words))


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)  # a JSON text is a TOML text


def _defused(cell: str) -> str:
    return f"'{cell}" if cell.startswith(_FORMULA) else cell


def _plain_cell(cell: str | None) -> str:
    text = cell or ""
    return text[1:] if text[:1] == "'" and text[1:].startswith(_FORMULA) else text
