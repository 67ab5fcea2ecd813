"""Iron: masses of product, and the limits of chelates that two sources give."""

import pytest

from kb.science.iron import CHELATES, product_g, suits

TOPICS = ("iron_dosing",)


def test_a_published_value_is_met(table_row):
    given = table_row.given
    got = product_g(
        volume_l=given["volume_l"],
        target_mg_l=given["target_fe_mg_l"],
        present_mg_l=given.get("current_fe_mg_l", 0),
        iron_percent=given["product_fe_pct"],
    )

    assert got == pytest.approx(table_row.expected, rel=0, abs=table_row.allowed), table_row.source


def test_iron_that_is_there_already_is_never_taken_out():
    assert product_g(volume_l=1000, target_mg_l=1, present_mg_l=2, iron_percent=6) == 0


# A chelate maker's page: EDTA to pH 6, DTPA to 7, EDDHA to 8.5. An agronomy page citing Norvell
# 1972: 6.5, 7.5 and 9. Both at the edge, between them, and beyond.
@pytest.mark.parametrize(
    ("chelate", "ph", "verdict"),
    [
        ("EDTA", 6.0, "fits"),
        ("EDTA", 6.1, "borderline"),
        ("EDTA", 6.5, "borderline"),
        ("EDTA", 6.6, "unsuited"),
        ("DTPA", 7.0, "fits"),
        ("DTPA", 7.5, "borderline"),
        ("DTPA", 7.6, "unsuited"),
        ("EDDHA", 8.5, "fits"),
        ("EDDHA", 9.0, "borderline"),
        ("EDDHA", 9.1, "unsuited"),
    ],
)
def test_the_verdict_follows_both_sources(chelate, ph, verdict):
    assert suits(chelate=chelate, ph=ph) == verdict


def test_the_stricter_source_is_never_the_more_generous_one():
    assert all(limit.strict < limit.generous for limit in CHELATES.values())
