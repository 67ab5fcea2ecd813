"""Where I get it: listed once on the desk, shown on every answer that names it."""

import re
from dataclasses import replace
from html import unescape

import pytest

from kb.store import materials
from kb.store.materials import Link

NEW = "/desk/materials/new"
ACID = {
    "id": "0", "name": "hydrochloric acid", "aliases": "muriatic acid\nspirits of salt",
    "remark": "I take the one for bricklayers.", "country-0": "DE", "shop-0": "Baumarkt",
    "link-0": "https://example.org/de", "earns-0": "1", "country-2": "", "shop-2": "Garden club",
    "link-2": "https://example.org/club",
}  # fmt: skip


def section(page):
    return " ".join(page.split('id="where-i-get-it"')[1].split("</section>")[0].split())


def test_what_is_listed_once_stands_on_every_answer_that_names_it(keeper, walker, log):
    assert keeper.post(NEW, "/desk/materials/save", **ACID).status_code == 303
    found = section(walker.text("/articles/lowering-ph"))
    assert "I take the one for bricklayers." in found
    assert (
        'Germany: <a href="https://example.org/de" rel="sponsored noopener">Baumarkt</a>'
        " (a link that earns the keeper money)" in found
    )
    assert '<a href="https://example.org/club" rel="noopener">Garden club</a> </li>' in found
    assert "where-i-get-it" not in walker.text("/articles/birds-and-frights")


def test_none_is_shipped(walker):
    assert "where-i-get-it" not in walker.text("/articles/lowering-ph")


def test_a_declared_answer_shows_it_too(keeper, walker):
    keeper.post(NEW, "/desk/materials/save", **ACID, articles="birds-and-frights")
    assert "bricklayers" in section(walker.text("/articles/birds-and-frights"))


def test_a_material_is_changed_and_taken_away(keeper, walker, log):
    keeper.post(NEW, "/desk/materials/save", **ACID)
    page = "/desk/materials/1"
    text = keeper.text(page)
    assert 'value="https://example.org/de"' in text
    assert text.count('name="shop-') == 2 + 3
    keeper.post(page, "/desk/materials/save", **(ACID | {"id": "1", "name": "phosphoric acid"}))
    (found,) = materials.listed(log)
    assert (found.name, found.links[0]) == (
        "phosphoric acid", Link("DE", "Baumarkt", "https://example.org/de", True),
    )  # fmt: skip
    keeper.post(page, f"{page}/remove")
    assert "where-i-get-it" not in walker.text("/articles/lowering-ph")


@pytest.mark.parametrize("form", ["csv", "toml"])
def test_the_list_leaves_and_comes_back_as_a_file(keeper, log, form):
    keeper.post(NEW, "/desk/materials/save", **ACID)
    file = keeper.get(f"/desk/materials/materials.{form}").get_data(as_text=True)
    before = materials.listed(log)
    materials.remove(log, 1)
    keeper.post("/desk/materials/", "/desk/materials/take-in", form=form, text=file)
    assert [replace(m, id=1) for m in materials.listed(log)] == list(before)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"link-0": "javascript:alert(1)"}, "begins with http:// or https://"),
        ({"country-0": "XX"}, "“XX” is no country"),
        ({"shop-0": ""}, "without the name of a shop"),
        ({"name": ""}, "needs a name"),
        ({"articles": "nothing"}, "which does not exist"),
    ],
)
def test_bad_input_is_named_and_nothing_is_stored(keeper, log, change, said):
    got = keeper.post(NEW, "/desk/materials/save", **(ACID | change))
    assert got.status_code == 422
    assert said in unescape(got.get_data(as_text=True))
    assert materials.listed(log) == ()


@pytest.mark.parametrize(
    ("fields", "code"),
    [
        ({"form": "csv", "text": ""}, 422),
        ({"form": "csv", "text": "name\n"}, 303),
        ({"form": "xml", "text": "x"}, 404),
        ({"form": "csv", "text": "colour\nred"}, 422),
    ],
)
def test_a_list_that_cannot_be_read_is_refused(keeper, fields, code):
    got = keeper.post("/desk/materials/", "/desk/materials/take-in", **fields)
    assert got.status_code == code


def test_a_general_disclosure_stands_at_the_foot_of_every_page(app, walker):
    said = "Some links earn the club money."
    app.config["SETTINGS"] = replace(app.config["SETTINGS"], disclosure=said)
    for address in ("/", "/articles/lowering-ph", "/nowhere"):
        assert said in walker.text(address).split("<footer>")[1]


def test_a_remark_cannot_smuggle_markup(keeper, walker):
    keeper.post(NEW, "/desk/materials/save", **(ACID | {"remark": "<script>alert(1)</script>"}))
    page = walker.client.get("/articles/lowering-ph").get_data(as_text=True)
    assert not re.search(r"<script>alert", page)


@pytest.mark.parametrize("part", ["", "new", "1", "materials.csv"])
def test_the_list_is_the_keepers_alone(walker, part):
    assert walker.get(f"/desk/materials/{part}").location.startswith("/desk/login")
