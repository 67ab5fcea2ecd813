"""Overflow pipes against weir and orifice formulas of an independent library.

Worked values stand in tables/overflow_pipe.csv.
"""

import math

import pytest
from fluids.fittings import entrance_sharp
from fluids.open_flow import Q_weir_rectangular_full_Kindsvater_Carter
from hypothesis import given
from hypothesis import strategies as st

from kb.science.overflow_pipe import (
    changeover_m,
    orifice_l_h,
    overflow_l_h,
    ruled_by_rim,
    weir_l_h,
)

bores = st.floats(0.01, 0.5)


# Kindsvater & Carter measured sharp straight weirs; a thin rim rolled out straight is one. With a
# high crest (5 m of water below) nothing but the rim counts. Theirs holds from 30 mm of water up.
@given(bore=st.floats(0.2, 0.5), share=st.floats(0.45, 1))
def test_water_over_the_rim_is_as_over_a_straight_weir_of_the_same_length(bore, share):
    head = share * changeover_m(bore_m=bore)
    straight = Q_weir_rectangular_full_Kindsvater_Carter(h1=head, h2=5, b=math.pi * bore) * 3.6e6

    assert overflow_l_h(bore_m=bore, water_over_lip_m=head) == pytest.approx(straight, rel=0.12)


# A sharp mouth with a full pipe behind it loses K = 0.57 (fluids), and nothing flows faster than
# falling freely: the 0.6 of an open hole is the cautious figure of the two.
@given(bore=bores, times=st.floats(1, 20))
def test_a_drowned_mouth_takes_less_than_a_pipe_that_runs_full(bore, times):
    head = times * changeover_m(bore_m=bore) * (1 + 1e-9)
    area = math.pi / 4 * bore**2
    full = area * math.sqrt(2 * 9.80665 * head / (1 + entrance_sharp())) * 3.6e6

    assert 0.7 * full < overflow_l_h(bore_m=bore, water_over_lip_m=head) < full


@given(bore=bores)
def test_both_formulas_give_the_same_where_they_meet(bore):
    head = changeover_m(bore_m=bore)

    assert weir_l_h(bore_m=bore, head_m=head) == pytest.approx(
        orifice_l_h(bore_m=bore, head_m=head)
    )


# 0.37 D: US Bureau of Reclamation's rule for vertical pipes
@given(bore=bores)
def test_the_change_comes_where_the_rule_for_vertical_pipes_has_it(bore):
    assert changeover_m(bore_m=bore) / bore == pytest.approx(0.37, abs=0.01)


@given(bore=bores, head=st.floats(1e-4, 1), more=st.floats(1.001, 3))
def test_more_water_over_the_lip_and_a_wider_pipe_take_more(bore, head, more):
    takes = overflow_l_h(bore_m=bore, water_over_lip_m=head)

    assert overflow_l_h(bore_m=bore, water_over_lip_m=head * more) > takes
    assert overflow_l_h(bore_m=bore * more, water_over_lip_m=head) > takes


@given(bore=bores, head=st.floats(1e-4, 1))
def test_the_smaller_of_the_two_formulas_rules(bore, head):
    rim, mouth = weir_l_h(bore_m=bore, head_m=head), orifice_l_h(bore_m=bore, head_m=head)

    assert overflow_l_h(bore_m=bore, water_over_lip_m=head) == pytest.approx(min(rim, mouth))
    assert ruled_by_rim(bore_m=bore, head_m=head) or mouth <= rim * (1 + 1e-9)
