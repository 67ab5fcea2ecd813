"""Materials in files, their faults, and where articles name them."""

import pycountry
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb import countries, materials
from kb.errors import InputErrors
from kb.store.materials import Link, Material

KIT = Material(
    "test kit", ("drop test", "=danger"), "Drops, not strips.\nTwo lines, “quoted” \"so\".",
    ("iron",), (Link("DE", "-Teichladen", "https://example.org/de?a=1", True),
                Link("", "Any", "https://example.org")),
)  # fmt: skip
ARTICLES = {"iron", "cloudy-water"}


def test_the_countries_are_those_of_iso_3166_1():
    # pycountry, the ISO 3166-1 list kept by the Debian project
    assert set(countries.names()) == {country.alpha_2 for country in pycountry.countries}
    assert all(name.strip() == name and name for name in countries.names().values())


@pytest.mark.parametrize("form", materials.FORMATS)
def test_a_list_is_read_back_as_it_was_written(form):
    found = [KIT, Material("acid")]
    write = materials.to_csv if form == "csv" else materials.to_toml
    assert materials.checked(materials.read(write(found), form), ARTICLES) == tuple(found)


texts = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Zl", "Zp")), max_size=30
)
names = st.from_regex(r"[=+@-]?[a-zé]{2}[a-z ]{0,8}[a-z]", fullmatch=True)
lists = st.lists(
    st.builds(
        Material,
        names,
        st.lists(names, max_size=3).map(tuple),
        texts,
        st.just(()),
        st.lists(
            st.builds(
                Link, st.sampled_from(["", "DE", "US"]), names, st.just("https://example.org/a"),
                st.booleans(),
            ),
            max_size=3,
        ).map(tuple),
    ),
    max_size=4,
    unique_by=lambda material: materials.tidy(material).name.casefold(),
)  # fmt: skip


@given(lists)
def test_any_sound_list_survives_both_kinds_of_file(found):
    tidy = materials.checked(found, ())
    for form, write in (("csv", materials.to_csv), ("toml", materials.to_toml)):
        assert materials.checked(materials.read(write(tidy), form), ()) == tidy


def test_no_cell_of_the_csv_is_taken_for_a_formula():
    for line in materials.to_csv([KIT, Material("+acid")]).splitlines()[1:]:
        assert not line.startswith(("=", "+", "-", "@"))
    assert ",'-Teichladen," in materials.to_csv([KIT])


@pytest.mark.parametrize(
    ("material", "said"),
    [
        (Material(" "), "A material needs a name"),
        (Material("x"), "no word of two letters"),
        (Material("acid" * 40), "its name has 160 signs; use at most 120"),
        (Material("acid", ("a;b",)), "holds “;”"),
        (Material("acid", remark="x" * 1001), "its remark has 1001 signs"),
        (Material("acid", remark="\x07"), "control character"),
        (Material("acid", articles=("nothing",)), "names the article “nothing”"),
        (Material("acid", links=(Link("DE", "", "https://e.org"),)), "without the name of a shop"),
        (Material("acid", links=(Link("Germany", "a", "https://e.org"),)), "“GERMANY” is no"),
        (Material("acid", links=(Link("XX", "a", "https://e.org"),)), "“XX” is no country"),
        (Material("acid", links=(Link("DE", "a", "javascript:alert(1)"),)), "http:// or https://"),
        (Material("acid", links=(Link("DE", "a", "https://e.org/ x"),)), "http:// or https://"),
        (Material("acid", links=(Link("DE", "a", "https://e.org"),) * 101), "has 101 links"),
    ],
)
def test_what_cannot_be_kept_is_named(material, said):
    with pytest.raises(InputErrors, match=said):
        materials.checked([material], ARTICLES)


def test_every_fault_is_told_at_once():
    with pytest.raises(InputErrors) as caught:
        materials.checked([Material(" "), Material("acid"), Material("Acid ")], ())
    assert len(caught.value.problems) == 3


@pytest.mark.parametrize(
    ("text", "form", "said"),
    [
        ("name,colour\nacid,red\n", "csv", "there is colour"),
        ("shop\nx\n", "csv", "there is no name"),
        ("", "csv", "there is no name"),
        ('name\n"acid\n', "csv", "cannot be read"),
        ("name,earns\nacid,perhaps\n", "csv", "Row 1: earns is “perhaps”"),
        ("name,remark\nacid,a,b\n", "csv", "Row 1 has more cells"),
        ("material = 1\n", "toml", "must be a list of tables"),
        ("[[material]]\nname = \n", "toml", "cannot be read"),
        ('[[material]]\nname = "a"\ncolour = "red"\n', "toml", "is not known here"),
        ('[[material]]\nname = "a"\n[[material.link]]\nshop = "b"\n', "toml", "link: is missing"),
    ],
)
def test_a_file_that_cannot_be_read_is_refused_with_its_reason(text, form, said):
    with pytest.raises(InputErrors, match=said):
        materials.read(text, form)


def test_several_lines_of_a_name_are_one_material():
    text = "name,aliases,country,shop,link\nacid,sour; tart,DE,A,https://a.org\nAcid ,,US,B,https://b.org\n"
    (found,) = materials.checked(materials.read(text, "csv"), ())
    assert found.aliases == ("sour", "tart")
    assert [link.country for link in found.links] == ["DE", "US"]


@pytest.mark.parametrize(
    ("name", "words", "there"),
    [
        ("hydrochloric acid", "use hydrochloric acid.", True),
        ("Hydrochloric  Acid", "use hydrochloric acid.", True),
        ("acid", "acidity is another word", False),
        ("acid", "an acid-base pair", True),
        ("pvc pipe 1.5", "a pvc pipe 1.5 is", True),
        ("kit", "kits", False),
        ("lösung", "die lösung hilft", True),
    ],
)
def test_names_are_found_as_whole_words(name, words, there):
    assert bool(materials.named([Material(name)], "iron", words)) is there


def test_an_article_is_searched_in_its_title_and_sections_but_not_its_sources(library):
    article = library.article("lowering-ph")
    words = materials.words_of(article)
    assert materials.named([Material("hydrochloric acid")], "lowering-ph", words)
    assert "how do i bring ph down safely?" in words
    assert materials.named([Material("nothing", articles=("lowering-ph",))], "lowering-ph", words)


def test_links_stand_by_country_and_those_for_anywhere_last():
    links = (Link("", "z", ""), Link("US", "y", ""), Link("DE", "x", ""), Link("DE", "w", ""))
    found = materials.by_country(links)
    assert list(found) == ["Germany", "United States", "anywhere"]
    assert [link.shop for link in found["Germany"]] == ["x", "w"]
