"""Ammonia from feed, alkalinity and base; worked values stand in tables/."""

import periodictable
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.science.nitrification import (
    ALKALINITY_PER_N,
    CACO3_G_EQ,
    NITROGEN_COMPOUND_G_MOL,
    FeedDay,
    ammonia_nitrogen_g_day,
    base_g,
    nitrogen_from,
)

# periodictable is an independent list of atomic weights
EQUIVALENTS = {
    "calcium-hydroxide": ("Ca(OH)2", 2),
    "potassium-hydroxide": ("KOH", 1),
    "potassium-bicarbonate": ("KHCO3", 1),
    "calcium-carbonate": ("CaCO3", 2),
}


@pytest.mark.parametrize("base", EQUIVALENTS)
def test_a_base_weighs_what_its_atoms_weigh(base):
    formula, equivalents = EQUIVALENTS[base]
    gram_equivalent = periodictable.formula(formula).mass / equivalents

    assert base_g(alkalinity_g=CACO3_G_EQ, base=base) == pytest.approx(gram_equivalent, rel=1e-4)


@pytest.mark.parametrize("compound", NITROGEN_COMPOUND_G_MOL)
def test_the_nitrogen_of_a_compound_is_what_its_atoms_say(compound):
    share = periodictable.formula("N").mass / periodictable.formula(compound).mass

    assert nitrogen_from(mass=1, compound=compound) == pytest.approx(share, rel=1e-4)


def test_a_gram_of_nitrogen_uses_7_14_grams_of_alkalinity():
    # standard stoichiometry, 2 equivalents a mole; US EPA 1975
    assert abs(ALKALINITY_PER_N - 7.14) < 0.01


def test_two_published_ways_to_the_ammonia_of_feed_agree_within_5_percent():
    # FAO 589, appendix 4: feed x protein x 0.16 x 0.61 x 1.2 gives g NH3; 200 g at 32 % make 7.5 g
    fao = nitrogen_from(mass=7.5, compound="NH3")

    assert ammonia_nitrogen_g_day(feed_g_day=200, protein_percent=32) == pytest.approx(
        fao, rel=0.05
    )


@given(
    feed=st.floats(1, 1e6),
    protein=st.floats(10, 70),
    nitrified=st.floats(0, 100),
    recovered=st.floats(0, 80),
    top_up=st.floats(0, 1e6),
    alkalinity=st.floats(0, 1000),
)
def test_the_range_holds_the_estimate_and_nothing_is_ever_negative(
    feed, protein, nitrified, recovered, top_up, alkalinity
):
    day = FeedDay(feed, protein, nitrified, recovered, top_up, alkalinity)

    assert 0 <= day.use_low <= day.use * (1 + 1e-9) + 1e-300
    assert day.use <= day.use_high * (1 + 1e-9)
    assert 0 <= day.needed <= day.use
