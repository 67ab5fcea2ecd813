"""Commands of the keeper's list of materials."""

from pathlib import Path

import click

from kb import materials
from kb.cli import Site, content_option, data_option, json_option, plainly, print_json
from kb.errors import KbError, NotFound
from kb.store import materials as kept
from kb.store.materials import Link, Material
from web import config
from web import content as site_content


@click.group("materials")
def materials_group() -> None:
    """What the keeper uses and where it is sold."""


@materials_group.command("list", epilog="Example: standpipe materials list --json")
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def list_command(site: Site, as_json: bool, data: Path | None, content: Path | None) -> None:
    """List every material."""
    found = kept.listed(site.database(data, content))
    if as_json:
        print_json([_json(material) for material in found])
        return
    for material in found:
        also = f" (also {', '.join(material.aliases)})" if material.aliases else ""
        click.echo(f"{material.name}{also}: {len(material.links)} links")


@materials_group.command("show", epilog='Example: standpipe materials show "test kit"')
@click.argument("name")
@json_option
@data_option
@content_option
@click.pass_obj
@plainly
def show_command(
    site: Site, name: str, as_json: bool, data: Path | None, content: Path | None
) -> None:
    """Show a material, and the articles that show it."""
    material = _named(site, name, data, content)
    found = site_content.load(config.content_folder(content))
    slugs = [
        slug
        for slug in found.library.articles
        if materials.named([material], slug, found.words_of(slug))
    ]
    if as_json:
        print_json(_json(material) | {"shown_on": slugs})
        return
    click.echo("\n".join(part for part in (material.name, material.remark) if part))
    for country, links in materials.by_country(material.links).items():
        for link in links:
            earns = " (a link that earns the keeper money)" if link.earns else ""
            click.echo(f"  {country}: {link.shop}: {link.link}{earns}")
    click.echo(f"Shown on: {', '.join(slugs) or 'no article'}")


@materials_group.command(
    "put", epilog='Example: standpipe materials put "test kit" --link DE "Shop" https://example.org'
)
@click.argument("name")
@click.option("--alias", "aliases", multiple=True, help="Another name.")
@click.option("--remark", default="", help="A remark shown on the answers.")
@click.option("--article", "articles", multiple=True, help="An article to show it on in any case.")
@click.option("--link", "links", type=(str, str, str), multiple=True, help="COUNTRY SHOP ADDRESS")
@click.option(
    "--earning-link", "earning", type=(str, str, str), multiple=True, help="The same, if it pays."
)
@data_option
@content_option
@click.pass_obj
@plainly
def put_command(
    site: Site,
    name: str,
    aliases: tuple[str, ...],
    remark: str,
    articles: tuple[str, ...],
    links: tuple[tuple[str, str, str], ...],
    earning: tuple[tuple[str, str, str], ...],
    data: Path | None,
    content: Path | None,
) -> None:
    """List a material, in the place of one of the same name; "" as country: anywhere."""
    sold = (*(Link(*parts) for parts in links), *(Link(*parts, True) for parts in earning))
    material = Material(name, aliases, remark, articles, sold)
    (found,) = materials.checked([material], _articles(content))
    kept.put(site.database(data, content), found)
    click.echo(f"“{found.name}” is kept.")


@materials_group.command("remove", epilog='Example: standpipe materials remove "test kit"')
@click.argument("name")
@data_option
@content_option
@click.pass_obj
@plainly
def remove_command(site: Site, name: str, data: Path | None, content: Path | None) -> None:
    """Take a material off the list."""
    material = _named(site, name, data, content)
    kept.remove(site.database(data, content), material.id)
    click.echo(f"“{material.name}” is gone.")


@materials_group.command("import", epilog="Example: standpipe materials import materials.csv")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@data_option
@content_option
@click.pass_obj
@plainly
def import_command(site: Site, file: Path, data: Path | None, content: Path | None) -> None:
    """Take in FILE (CSV or TOML), all of it or nothing; same names take their places."""
    form = file.suffix.lstrip(".").lower()
    if form not in materials.FORMATS:
        raise KbError(f"{file} must end in .csv or .toml.")
    try:
        text = file.read_bytes().decode("utf-8")
    except UnicodeDecodeError as error:
        raise KbError(f"{file} is not UTF-8 text (byte {error.start}).") from error
    found = materials.checked(materials.read(text, form), _articles(content))
    click.echo(f"{kept.put_all(site.database(data, content), found)} taken in.")


@materials_group.command("export", epilog="Example: standpipe materials export > materials.toml")
@click.option("--format", "form", type=click.Choice(materials.FORMATS), default="toml")
@data_option
@content_option
@click.pass_obj
@plainly
def export_command(site: Site, form: str, data: Path | None, content: Path | None) -> None:
    """Write the whole list to standard output, as it can be taken in again."""
    write = materials.to_csv if form == "csv" else materials.to_toml
    click.echo(write(kept.listed(site.database(data, content))), nl=False)


def _named(site: Site, name: str, data: Path | None, folder: Path | None) -> Material:
    for material in kept.listed(site.database(data, folder)):
        if material.name.casefold() == " ".join(name.split()).casefold():
            return material
    raise NotFound(f"There is no material “{name[:60]}”.")


def _articles(folder: Path | None) -> frozenset[str]:
    return frozenset(site_content.load(config.content_folder(folder)).library.articles)


def _json(material: Material) -> dict[str, object]:
    return {
        "name": material.name,
        "aliases": list(material.aliases),
        "remark": material.remark,
        "articles": list(material.articles),
        "links": [
            {"country": link.country, "shop": link.shop, "link": link.link, "earns": link.earns}
            for link in material.links
        ],
    }
