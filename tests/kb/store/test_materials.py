"""Materials in the store."""

from dataclasses import replace

import pytest

from kb.errors import InputErrors, NotFound
from kb.store import materials, revision
from kb.store.materials import Link, Material

KIT = Material(
    "test kit", ("drop test", "Tröpfchentest"), "Drops, not strips.", ("iron",),
    (Link("DE", "Teichladen", "https://example.org/de", True), Link("", "Any", "https://e.org")),
)  # fmt: skip


def test_a_material_comes_back_as_it_was_put(db):
    number = materials.put(db, KIT)
    assert materials.listed(db) == (replace(KIT, id=number),)
    assert materials.get(db, number).names == ("test kit", "drop test", "Tröpfchentest")


def test_the_same_name_takes_the_place_with_all_its_links(db):
    first = materials.put(db, KIT)
    second = materials.put(db, Material("Test  Kit".replace("  ", " "), links=KIT.links[:1]))
    assert first == second
    (found,) = materials.listed(db)
    assert (found.name, found.aliases, found.links) == ("Test Kit", (), KIT.links[:1])


def test_a_changed_name_must_not_be_anothers(db):
    materials.put(db, KIT)
    other = materials.put(db, Material("acid"))
    with pytest.raises(InputErrors, match="another material “TEST KIT”"):
        materials.put(db, Material("TEST KIT", id=other))
    assert [material.name for material in materials.listed(db)] == ["acid", "test kit"]


def test_all_or_none_are_stored(db):
    materials.put(db, KIT)
    with pytest.raises(NotFound):
        materials.put_all(db, [Material("acid"), Material("base", id=99)])
    assert [material.name for material in materials.listed(db)] == ["test kit"]


def test_a_material_is_removed_with_its_links(db):
    materials.remove(db, materials.put(db, KIT))
    assert materials.listed(db) == ()
    assert db.table("material_links").count == 0


@pytest.mark.parametrize("act", [materials.get, materials.remove])
def test_an_unknown_material_is_named(db, act):
    with pytest.raises(NotFound, match="no material 9"):
        act(db, 9)


def test_the_revision_grows_with_every_change(db):
    seen = [revision.current(db)]
    number = materials.put(db, KIT)
    seen.append(revision.current(db))
    materials.remove(db, number)
    seen.append(revision.current(db))
    assert seen == sorted(set(seen))
