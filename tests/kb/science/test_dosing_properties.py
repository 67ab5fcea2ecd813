"""What holds for every water and every dose: conservation, order, round trips, an end."""

from dataclasses import fields, replace

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from kb.science.carbonate import (
    CACO3_MG_PER_EQ,
    Water,
    air_co2_mol_l,
    at_ph,
    from_reading,
    pressure_uatm,
    settle,
)
from kb.science.dosing import (
    add,
    after_dose,
    dose_for_ph,
    mix,
    most_that_dissolves,
    parts_for_step,
    saturation,
)
from kb.science.lowering import AcidAsk, plan_acid
from kb.science.raising import BaseAsk, plan_base
from kb.science.reach import OutOfReach
from kb.science.solve import root
from kb.science.substances import ACIDS, BASES, solution_density_g_ml

SUBSTANCES = [*BASES.values(), *ACIDS.values()]
bases, acids = st.sampled_from(list(BASES.values())), st.sampled_from(list(ACIDS.values()))
substances = st.sampled_from(SUBSTANCES)
temps = st.floats(0, 40)
doses = st.floats(1e-7, 0.01)
calm = settings(max_examples=60, deadline=None)


@st.composite
def waters(draw, low=5.0, high=9.5):
    water = from_reading(
        ph=draw(st.floats(low, high)),
        alkalinity_mg_l=draw(st.floats(1, 500)),
        temp_c=draw(temps),
        calcium_mg_l=draw(st.sampled_from([0.0, 20.0, 200.0])),
        ammonia_mg_l=draw(st.sampled_from([0.0, 0.5, 5.0])),
    )
    assume(water.carbon_mol_l > 0)
    return water


def attempt(plan, ask):
    try:
        return plan(ask)
    except OutOfReach as end:
        return end


@calm
@given(st.floats(5, 9.5), st.floats(5, 500), temps)
def test_a_reading_gives_back_its_own_ph_and_alkalinity(ph, alkalinity, temp_c):
    water = from_reading(ph=ph, alkalinity_mg_l=alkalinity, temp_c=temp_c)
    assume(water.carbon_mol_l > 0)

    assert settle(water).ph == pytest.approx(ph, abs=1e-6)
    assert at_ph(water, ph=ph)[0] * CACO3_MG_PER_EQ == pytest.approx(alkalinity, rel=1e-6)


@calm
@given(waters(), substances, doses)
def test_a_dose_conserves_alkalinity_and_carbon_while_gas_moves_carbon_alone(
    water, substance, mol_l
):
    dosed = add(water, substance, mol_l)
    closed = settle(dosed)
    air = settle(dosed, co2_mol_l=air_co2_mol_l(temp_c=water.temp_c))

    assert closed.carbon_mol_l == pytest.approx(dosed.carbon_mol_l, rel=1e-9)
    assert dosed.carbon_mol_l - water.carbon_mol_l == pytest.approx(
        substance.carbon * mol_l, rel=1e-6, abs=1e-12
    )
    alkalinity, _ = at_ph(dosed, ph=closed.ph)
    assert alkalinity == pytest.approx(dosed.alkalinity_eq_l, abs=1e-9)
    in_air, _ = at_ph(dosed, ph=air.ph, co2_mol_l=air.co2_mol_l)
    assert in_air == pytest.approx(dosed.alkalinity_eq_l, abs=1e-9)


@calm
@given(waters(), substances, doses, st.floats(1.05, 5))
def test_more_base_never_lowers_the_settled_ph_and_more_acid_never_raises_it(
    water, substance, mol_l, more
):
    held = settle(water).co2_mol_l
    less, greater = (
        settle(add(water, substance, amount), co2_mol_l=held).ph for amount in (mol_l, more * mol_l)
    )

    # more salt alone moves a pH by a little through the activities
    assert (greater - less) * substance.alkalinity >= -1e-3


@calm
@given(waters(high=8.0), bases, st.floats(0.02, 1.5))
def test_a_base_dose_for_a_settled_target_gives_that_target(water, base, rise):
    now = settle(water)
    target = now.ph + rise
    dose = dose_for_ph(water, base, ph=target, co2_mol_l=now.co2_mol_l)
    assume(dose is not None)

    after = settle(add(water, base, dose), co2_mol_l=now.co2_mol_l)
    assert after.ph == pytest.approx(target, abs=1e-4)


@calm
@given(waters(low=6.0), acids, st.floats(0.05, 2))
def test_an_acid_dose_for_a_target_gives_that_target(water, acid, fall):
    target = max(4.6, settle(water).ph - fall)
    dose = dose_for_ph(water, acid, ph=target)

    assert dose is not None
    assert settle(add(water, acid, dose)).ph == pytest.approx(target, abs=1e-4)


@pytest.mark.parametrize("base", ["potassium-bicarbonate", "sodium-bicarbonate"])
def test_bicarbonate_shut_off_from_gas_has_a_ceiling_and_no_dose_beyond(base):
    """Near pH 8.3, where bicarbonate is all there is (source: stumm-morgan-1996)."""
    water = from_reading(ph=6.5, alkalinity_mg_l=40, temp_c=25)

    assert dose_for_ph(water, BASES[base], ph=7.5) > 0
    assert dose_for_ph(water, BASES[base], ph=8.6) is None


@calm
@given(
    waters(high=8.0),
    bases,
    st.floats(1e-6, 3e-3),
    st.sampled_from([0.1, 0.3, 0.5]),
)
def test_no_part_of_a_split_dose_moves_the_ph_further_than_the_step(water, base, mol_l, step):
    held = settle(water).co2_mol_l
    parts = parts_for_step(water, base, mol_l=mol_l, co2_mol_l=held, step=step)
    assume(parts <= 40)
    ph, now = settle(water).ph, water
    for _ in range(parts):
        now = add(now, base, mol_l / parts)
        at_once, settled = settle(now), settle(now, co2_mol_l=held)
        assert max(at_once.ph, settled.ph) - ph <= step + 1e-3
        ph, now = settled.ph, replace(now, carbon_mol_l=settled.carbon_mol_l)


@calm
@given(waters(), waters(), st.floats(0.1, 1000), st.floats(0.1, 1000))
def test_two_waters_mixed_keep_every_total(first, second, first_l, second_l):
    blend = mix(first, second, first_l=first_l, second_l=second_l)
    for field in fields(Water):
        a, b = getattr(first, field.name), getattr(second, field.name)
        whole = (a * first_l + b * second_l) / (first_l + second_l)
        if field.name != "ideal":
            assert getattr(blend, field.name) == pytest.approx(whole, rel=1e-9, abs=1e-15)


@calm
@given(temps, st.floats(200, 20000), st.sampled_from(["calcium-carbonate", "dolomite"]))
def test_what_dissolves_of_a_mineral_leaves_the_water_just_saturated(temp_c, uatm, name):
    mineral = BASES[name]
    held = air_co2_mol_l(temp_c=temp_c, uatm=uatm)
    pure = Water(temp_c=temp_c, alkalinity_eq_l=0, carbon_mol_l=0)
    most = most_that_dissolves(pure, mineral, co2_mol_l=held)
    full = add(pure, mineral, most)

    assert saturation(full, mineral.mineral, co2_mol_l=held) == pytest.approx(0, abs=1e-6)
    assert most_that_dissolves(full, mineral, co2_mol_l=held) == pytest.approx(0, abs=1e-8)


@calm
@given(temps, st.floats(100, 1e5))
def test_a_pressure_of_gas_and_what_it_dissolves_are_one_thing(temp_c, uatm):
    held = air_co2_mol_l(temp_c=temp_c, uatm=uatm)

    assert pressure_uatm(co2_mol_l=held, temp_c=temp_c) == pytest.approx(uatm)


@calm
@given(
    st.floats(-1e3, 1e3),
    st.floats(1e-9, 1e3),
    st.floats(-20, 20),
    st.sampled_from([1, 3, 9]),
)
@example(0.0, 1e-9, 20.0, 9)
def test_the_search_for_a_root_ends_and_brackets_it(place, width, slant, power):
    calls = 0

    def f(x):
        nonlocal calls
        calls += 1
        return (x - place) ** power * 2.0**slant

    low, high = place - width, place + 2 * width
    assume(f(low) * f(high) < 0)
    found = root(f, low, high)

    assert calls <= 110
    assert low <= found <= high
    assert found == pytest.approx(place, abs=1e-7 if power == 1 else 1e-7 + width / 100)


def test_a_search_without_a_crossing_is_refused():
    with pytest.raises(ValueError, match="no change of sign"):
        root(lambda x: x * x + 1, -1, 1)


@calm
@given(
    st.floats(1, 1e6), st.floats(4, 10), st.floats(0, 1000), temps,
    st.sampled_from(list(BASES)), st.floats(10, 100), st.floats(4, 9.5), st.floats(0, 500),
    st.floats(0, 50),
)  # fmt: skip
def test_a_plan_for_a_base_lands_on_its_target_or_says_why_not(
    volume, ph, alkalinity, temp_c, base, purity, target, calcium, ammonia
):
    ask = BaseAsk(
        volume, ph, alkalinity, temp_c, base, purity,
        target_ph=target, calcium=calcium, ammonia=ammonia,
    )  # fmt: skip
    plan = attempt(plan_base, ask)
    if isinstance(plan, OutOfReach):
        assert plan.why in ("no-carbon", "too-much-gas", "not-above", "too-much", "saturated")
        return
    again = plan_base(replace(ask, target_ph=None, dose_g=plan.mass_g))

    assert plan.after.settled.ph == pytest.approx(target, abs=1e-4)
    assert again.alkalinity == pytest.approx(plan.alkalinity, rel=1e-6)
    assert again.after.at_once.ph == pytest.approx(plan.after.at_once.ph, abs=1e-4)


@calm
@given(
    st.floats(1, 1e6), st.floats(4.5, 10), st.floats(0, 1000), temps, st.sampled_from(list(ACIDS)),
    st.floats(1, 38), st.floats(4.5, 9.5), st.booleans(),
)  # fmt: skip
def test_a_plan_for_an_acid_lands_on_its_target_or_says_why_not(
    volume, ph, alkalinity, temp_c, acid, strength, target, aerated
):
    ask = AcidAsk(volume, ph, alkalinity, temp_c, acid, strength, target_ph=target, aerated=aerated)
    plan = attempt(plan_acid, ask)
    if isinstance(plan, OutOfReach):
        assert plan.why in ("no-carbon", "too-much-gas", "not-below", "used-up")
        return
    reached = plan.after.aerated.ph if aerated else plan.after.at_once.ph
    again = plan_acid(replace(ask, target_ph=None, acid_l=plan.product_l))

    assert reached == pytest.approx(target, abs=1e-4)
    assert again.mol_l == pytest.approx(plan.mol_l, rel=1e-9)


def test_chalk_at_once_goes_no_further_than_the_shut_off_water_dissolves():
    water = from_reading(ph=6.5, alkalinity_mg_l=30, temp_c=20)
    chalk = BASES["calcium-carbonate"]
    done = after_dose(water, chalk, mol_l=0.001)

    assert done.at_once_eq_l < done.water.alkalinity_eq_l
    limit = add(water, chalk, most_that_dissolves(water, chalk))
    assert done.at_once.ph == pytest.approx(settle(limit).ph, abs=1e-6)


@pytest.mark.parametrize("acid", ["hydrochloric", "phosphoric", "sulphuric", "citric"])
def test_a_stronger_acid_is_never_lighter_up_to_its_usual_strength(acid):
    top = 60 if acid == "citric" else 96
    densities = [
        solution_density_g_ml(acid=acid, strength_percent=strength) for strength in range(top + 1)
    ]

    assert densities == sorted(densities)
    assert densities[0] == pytest.approx(0.998)


def test_bacteria_that_eat_citrate_leave_the_alkalinity_as_it_was():
    """Citric acid is C6H8O7 without charge: burnt to CO2 and water it takes no alkalinity."""
    water = from_reading(ph=7.8, alkalinity_mg_l=150, temp_c=22)
    citric = ACIDS["citric"]
    dosed = add(water, citric, 0.0005)
    eaten = replace(
        dosed, citrate_mol_l=0.0, alkalinity_eq_l=dosed.alkalinity_eq_l - citric.alkalinity * 0.0005
    )
    air = air_co2_mol_l(temp_c=22)

    assert settle(eaten, co2_mol_l=air).ph == pytest.approx(settle(water, co2_mol_l=air).ph)
