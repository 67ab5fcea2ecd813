"""The balance of tank, filter and plants: nothing is lost, and the water, run for weeks, agrees."""

import math
from dataclasses import replace

import periodictable
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.science.balance import Loop, most_ammonia_g_day
from kb.science.nitrification import nitrate_rise_mg_l

TOPICS = ("balance",)
N_G_MOL = periodictable.formula("N").mass
CACO3_G_EQ = periodictable.formula("CaCO3").mass / 2
O2_G_MOL = periodictable.formula("O2").mass
SCHOOL = Loop(
    feed_g_day=200.0,
    protein_percent=32.0,
    volume_l=2000.0,
    flow_l_h=1500.0,
    filter_m2=20.0,
    rate=0.47,
    top_rate=1.64,
    plant_nitrogen=5.3,
    tan_limit=1.0,
    oxygen_supply=250.0,
)
loops = st.builds(
    Loop,
    feed_g_day=st.floats(1, 1e6),
    protein_percent=st.floats(10, 70),
    volume_l=st.floats(10, 1e7),
    flow_l_h=st.floats(1, 1e6),
    filter_m2=st.floats(0.1, 1e6),
    rate=st.floats(0.05, 4),
    top_rate=st.floats(1.6, 4.2),
    plant_nitrogen=st.just(0.0) | st.floats(1e-3, 1e5),
    tan_limit=st.floats(0.02, 1),
    oxygen_supply=st.none() | st.floats(1, 1e7),
    solids_removed=st.floats(0, 1),
    denitrified=st.floats(0, 0.8),
)


def flow_that_holds(*, tan_g_n_day, tank_tan_mg_l, filter_single_pass_efficiency):
    # a filter whose surface leaves just the share that is not taken up in one passage
    left = tank_tan_mg_l * (1 - filter_single_pass_efficiency)
    loop = replace(
        SCHOOL,
        feed_g_day=tan_g_n_day / SCHOOL.ammonia_per_feed,
        filter_m2=tan_g_n_day / (SCHOOL.rate * left**0.7),
    )
    flow = loop.passage * loop.flow_l_h / (tank_tan_mg_l - loop.filter_tan)
    assert replace(loop, flow_l_h=flow).tank_tan == pytest.approx(tank_tan_mg_l)
    return flow


QUANTITIES = {
    "flow_to_hold_tan_l_h": flow_that_holds,
    "nitrate_rise_mg_l_day": lambda tan_g_n_day, volume_l: nitrate_rise_mg_l(
        nitrogen_g_day=tan_g_n_day, volume_l=volume_l
    ),
}


def test_a_published_value_is_met(table_row):
    got = QUANTITIES[table_row.quantity](**table_row.given)

    assert got == pytest.approx(table_row.expected, abs=table_row.allowed), table_row.source


def settle(loop, *, filter_l=100.0, tank_l=400.0, days=40.0, step_days=1e-4):
    """TAN in tank and filter after ``days``, by small steps of the balance of either water.

    The inflows and the rate are written out anew: feed x protein x 0.092 (Hager et al. 2021 after
    Timmons & Ebeling 2013), rate x TAN^0.7 (Rusten et al. 2006).
    """
    tank = filtered = 0.0
    nitrified = 0.0
    given_off = loop.feed_g_day * loop.protein_percent / 100 * 0.092 * 1000
    flow = loop.flow_l_h * 24
    for _ in range(int(days / step_days)):
        moved = flow * (tank - filtered)
        taken = loop.filter_m2 * min(loop.rate * filtered**0.7, loop.top_rate) * 1000
        tank += (given_off - moved) / tank_l * step_days
        filtered = max(0.0, filtered + (moved - taken) / filter_l * step_days)
        nitrified += taken / 1000 * step_days
    return tank, filtered, nitrified


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"flow_l_h": 60.0},
        {"filter_m2": 6.0, "feed_g_day": 120.0},
        {"feed_g_day": 40.0, "rate": 0.2, "protein_percent": 45.0},
    ],
)
def test_the_water_settles_where_the_balance_says(changes):
    loop = replace(SCHOOL, **changes)
    tank, filtered, _ = settle(loop, step_days=2e-4 if loop.flow_l_h < 100 else 1e-4, days=20)

    assert loop.tank_tan == pytest.approx(tank, rel=1e-3)
    assert loop.filter_tan == pytest.approx(filtered, rel=1e-3)


def test_an_overrun_filter_lets_ammonia_climb_as_fast_as_the_balance_says():
    loop = replace(SCHOOL, filter_m2=3.0)
    early, late = (settle(loop, days=days)[0] for days in (10, 20))

    assert loop.overrun
    assert loop.tank_tan is None
    # tank and filter together hold 500 L; what is left over spreads over both
    assert (late - early) / 10 == pytest.approx(loop.left_over * 1000 / 500, rel=1e-2)


def test_at_the_most_feed_the_water_settles_just_at_the_limit():
    loop = replace(SCHOOL, plant_nitrogen=0.0, oxygen_supply=None)
    tank, _, _ = settle(replace(loop, feed_g_day=loop.feed_max), days=20)

    assert tank == pytest.approx(loop.tan_limit, rel=1e-3)


@given(loop=loops)
def test_no_nitrogen_is_lost_or_made(loop):
    out = (
        loop.kept
        + loop.urea
        + loop.settled
        + loop.left_over
        + loop.plant_nitrogen
        + loop.denitrified_nitrogen
        + loop.nitrate_change
    )

    assert out == pytest.approx(loop.feed_nitrogen, rel=1e-9, abs=1e-9 * loop.plant_nitrogen)
    assert min(loop.kept, loop.urea, loop.settled, loop.rotted, loop.left_over) >= 0


@given(loop=loops)
def test_the_nitrogen_shares_are_those_behind_0_092(loop):
    # 0.092 = 0.16 x 0.80 x 0.80 x 0.90 (Hager et al. 2021 after Timmons & Ebeling 2013), rounded
    protein = loop.feed_g_day * loop.protein_percent / 100

    assert loop.excreted == pytest.approx(protein * 0.092)
    assert loop.excreted + loop.urea == pytest.approx(protein * 0.16 * 0.8 * 0.8)
    assert loop.urea == pytest.approx(protein * 0.16 * 0.8 * 0.8 * 0.1, rel=0.02)


@given(loop=loops)
def test_equivalents_of_alkalinity_follow_the_ions(loop):
    # Electroneutrality: with the strong ions as they are, alkalinity (mol) gains a mole for each
    # NH4+ and loses one for each NO3-. Nitrifying takes an NH4+ and makes a NO3-; plants and
    # denitrifiers take a NO3-.
    nitrified = loop.nitrified / N_G_MOL
    no3_gone = (loop.plant_uptake + loop.denitrified_nitrogen) / N_G_MOL
    ammonium, nitrate = -nitrified, nitrified - no3_gone

    assert loop.alkalinity_use == pytest.approx(
        (nitrate - ammonium) * CACO3_G_EQ, rel=1e-4, abs=1e-9
    )


@given(loop=loops)
def test_bacteria_use_two_molecules_of_oxygen_an_atom_of_nitrogen(loop):
    expected = loop.nitrified / N_G_MOL * 2 * O2_G_MOL

    assert loop.oxygen_use - loop.oxygen_fish == pytest.approx(expected, rel=1e-3, abs=1e-6)


def tan(loop):
    return math.inf if loop.tank_tan is None else loop.tank_tan


@given(loop=loops, more=st.floats(1, 10))
def test_more_feed_never_lowers_ammonia_oxygen_use_or_nitrate(loop, more):
    fed = replace(loop, feed_g_day=loop.feed_g_day * more)

    assert tan(fed) >= tan(loop) * (1 - 1e-12)
    assert fed.oxygen_use >= loop.oxygen_use * (1 - 1e-12)
    assert fed.nitrate_change >= loop.nitrate_change - 1e-9 * abs(loop.nitrate_change)


@given(loop=loops, more=st.floats(1, 10))
def test_more_surface_flow_or_air_never_lowers_the_most_feed(loop, more):
    better = (
        replace(loop, filter_m2=loop.filter_m2 * more),
        replace(loop, flow_l_h=loop.flow_l_h * more),
        replace(loop, oxygen_supply=loop.oxygen_supply and loop.oxygen_supply * more),
    )

    slack = 1 - 1e-6
    # surface lets more nitrate be made, so that plants may begin to bind: ammonia alone is judged
    assert better[0].feed_by_ammonia >= loop.feed_by_ammonia * slack
    assert better[1].feed_max >= loop.feed_max * slack
    assert better[2].feed_max >= loop.feed_max * slack


def excess(loop, feed):
    """How far a feed is over the limit that binds, from the state of the water alone."""
    fed = replace(loop, feed_g_day=feed)
    return {
        "ammonia": lambda: tan(fed) - fed.tan_limit,
        "turnover": lambda: tan(fed) - fed.tan_limit,
        "oxygen": lambda: fed.oxygen_use - fed.oxygen_supply,
        "plants": lambda: fed.nitrate_change,
    }[loop.limit]()


@settings(max_examples=200)
@given(loop=loops)
def test_the_limit_is_just_met_at_the_most_feed(loop):
    assert 0 < loop.feed_max < math.inf
    assert excess(loop, loop.feed_max * (1 - 1e-4)) < 0
    assert excess(loop, loop.feed_max * (1 + 1e-4)) > 0


@settings(max_examples=200)
@given(loop=loops)
def test_at_the_most_feed_no_other_limit_is_broken(loop):
    fed = replace(loop, feed_g_day=loop.feed_max)

    assert tan(fed) <= fed.tan_limit * (1 + 1e-6)
    if fed.oxygen_margin is not None:
        assert fed.oxygen_margin >= -1e-9 * fed.oxygen_supply
    if fed.plant_nitrogen > 0:
        assert fed.nitrate_change <= 1e-9 * fed.plant_nitrogen


@given(loop=loops)
def test_filter_and_flow_together_carry_no_more_than_either_alone(loop):
    assert loop.feed_by_ammonia <= loop.feed_by_filter * (1 + 1e-6)
    assert loop.feed_by_ammonia <= loop.feed_by_turnover * (1 + 1e-6)


@pytest.mark.parametrize(
    ("changes", "limit"),
    [
        ({"plant_nitrogen": 50.0, "oxygen_supply": 1e5}, "ammonia"),
        ({"plant_nitrogen": 50.0, "flow_l_h": 20.0, "oxygen_supply": 1e5}, "turnover"),
        ({"plant_nitrogen": 50.0, "oxygen_supply": 40.0}, "oxygen"),
        ({"plant_nitrogen": 1.0}, "plants"),
    ],
)
def test_each_limit_can_bind(changes, limit):
    assert replace(SCHOOL, **changes).limit == limit


def test_with_an_endless_flow_only_the_filter_counts():
    most = most_ammonia_g_day(tan_limit=1.0, flow_l_h=1e9, filter_m2=20, rate=0.5, top_rate=2)

    assert most == pytest.approx(10.0, rel=1e-5)


def test_with_an_endless_filter_only_the_flow_counts():
    # 1000 L/h at 1 mg/L carry 24 g a day
    most = most_ammonia_g_day(tan_limit=1.0, flow_l_h=1000, filter_m2=1e9, rate=0.5, top_rate=2)

    assert most == pytest.approx(24.0, rel=1e-5)


def test_without_plants_or_known_air_only_ammonia_limits():
    bare = replace(SCHOOL, plant_nitrogen=0.0, oxygen_supply=None)

    assert set(bare.limits) == {"ammonia"}
    assert bare.oxygen_margin is None


def test_solids_left_to_rot_add_a_fifth_of_the_nitrogen():
    rotting = replace(SCHOOL, solids_removed=0.0)

    assert rotting.ammonia - SCHOOL.ammonia == pytest.approx(200 * 0.32 * 0.16 * 0.2)
    assert rotting.settled == 0
