"""Materials: what the keeper uses, what else it is called, and where it is sold."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from sqlite_utils import Database

from kb.errors import InputErrors, InputProblem, NotFound
from kb.store import revision
from kb.store.database import told_plainly, writing


@dataclass(frozen=True)
class Link:
    """Where a material is sold in a country, and whether the link earns the keeper money."""

    country: str
    shop: str
    link: str
    earns: bool = False


@dataclass(frozen=True)
class Material:
    """Something one buys; ``articles`` are those that show it although they do not name it."""

    name: str
    aliases: tuple[str, ...] = ()
    remark: str = ""
    articles: tuple[str, ...] = ()
    links: tuple[Link, ...] = ()
    id: int = 0

    @property
    def names(self) -> tuple[str, ...]:
        """Everything it is called."""
        return (self.name, *self.aliases)


def listed(db: Database) -> tuple[Material, ...]:
    """Every material by name."""
    with told_plainly("The database"):
        links: dict[int, list[Link]] = {}
        for row in db.query("select * from material_links order by material, id"):
            links.setdefault(row["material"], []).append(_link(row))
        rows = db.query("select * from materials order by plain")
        return tuple(_material(row, links.get(row["id"], [])) for row in rows)


def get(db: Database, number: int) -> Material:
    """The material of that number; raises NotFound."""
    for material in listed(db):
        if material.id == number:
            return material
    raise NotFound(f"There is no material {number}.")


def put(db: Database, material: Material) -> int:
    """Store a material, in the place of the one of its number or name, and give its number.

    Raises NotFound for a number that is not there, InputErrors for a name another one has.
    """
    with writing(db):
        plain = _plain(material.name)
        same = next(db.query("select id from materials where plain = ?", [plain]), None)
        if material.id and same and same["id"] != material.id:
            message = f"There is another material “{material.name}”; give this one another name."
            raise InputErrors([InputProblem("name", material.name, message)])
        row: dict[str, Any] = {
            "name": material.name,
            "plain": plain,
            "aliases": json.dumps(material.aliases, ensure_ascii=False),
            "remark": material.remark,
            "articles": json.dumps(material.articles, ensure_ascii=False),
        }
        number = material.id or (int(same["id"]) if same else 0)
        if number:
            get(db, number)
            db.table("materials").update(number, row)
            db.execute("delete from material_links where material = ?", [number])
        else:
            number = int(str(db.table("materials").insert(row).last_pk))
        for link in material.links:
            db.table("material_links").insert(
                {
                    "material": number,
                    "country": link.country,
                    "shop": link.shop,
                    "link": link.link,
                    "earns": int(link.earns),
                }
            )
        revision.grow(db)
        return number


def put_all(db: Database, materials: Iterable[Material]) -> int:
    """Store all of these or none, each in the place of one of its name; gives how many."""
    with writing(db):
        return len([put(db, material) for material in materials])


def remove(db: Database, number: int) -> None:
    """Take a material away; raises NotFound."""
    with writing(db):
        get(db, number)
        db.execute("delete from material_links where material = ?", [number])
        db.execute("delete from materials where id = ?", [number])
        revision.grow(db)


def _material(row: dict[str, Any], links: list[Link]) -> Material:
    return Material(
        name=row["name"],
        aliases=tuple(json.loads(row["aliases"])),
        remark=row["remark"],
        articles=tuple(json.loads(row["articles"])),
        links=tuple(links),
        id=row["id"],
    )


def _link(row: dict[str, Any]) -> Link:
    return Link(row["country"], row["shop"], row["link"], bool(row["earns"]))


def _plain(name: str) -> str:
    return " ".join(name.split()).casefold()
