"""The pipe: worked figures, settling, and pipes that cannot be."""

import math

import fluids
import pytest

from kb.calculators.pipe import PIPE
from kb.errors import InputErrors

HOSE = {"flow": "1500 L/h", "bore": "25 mm", "length": "5 m"}


def values(**changes):
    report = PIPE.run(HOSE | changes)
    return {name: amount.value for name, amount in report.results.items()}


def reading(name, **changes):
    return PIPE.run(HOSE | changes).results[name].reading


def refusal(**changes):
    with pytest.raises(InputErrors) as error:
        PIPE.run(HOSE | changes)
    (problem,) = error.value.problems
    return problem


# fluids 1.3.1, an independent library, at 20 C: 0.849 m/s and 0.189 m; 0.33 m/s and 0.024 m
@pytest.mark.parametrize(
    ("changes", "speed", "height"),
    [
        ({}, 0.848826, 0.188599),
        ({"bore": "40 mm", "length": "6 m"}, 0.3316, 0.0242),
        ({"flow": 3000, "bore": 32, "length": 10, "fittings_k": 3}, 1.0362, 0.559284),
    ],
)
def test_speed_and_height_lost_are_those_of_an_independent_library(changes, speed, height):
    got = values(**changes)

    assert got["velocity"] == pytest.approx(speed, rel=0.001)
    assert got["head_loss"] == pytest.approx(height, rel=0.01)


# Junge et al. 2020: 0.7 to 1.0 m/s keeps solids moving
@pytest.mark.parametrize(
    ("speed", "settle", "words"),
    [
        (0.33, "yes", "Solids will settle"),
        (0.699, "yes", "Solids will settle"),
        (0.7, "no", "the guide is 0.7 to 1.0 m/s"),
        (0.99, "no", "the guide is 0.7 to 1.0 m/s"),
        (1.01, "no", "are carried along"),
    ],
)
def test_solids_settle_under_0_7_metres_a_second(speed, settle, words):
    flow = speed * math.pi / 4 * 0.025**2 * 3.6e6

    assert values(flow=f"{flow:.9f}")["solids_settle"] == settle
    assert words in reading("solids_settle", flow=f"{flow:.9f}")


def test_the_two_ends_of_the_guide_are_named_as_a_doubt():
    assert any("from 0.7 to 1.0 m/s" in doubt for doubt in PIPE.run(HOSE).doubts)


# 27.5 mm for 0.7 m/s with 1500 L/h: geometry
def test_the_widest_bore_that_carries_solids_is_said():
    got = values(bore="40 mm")["bore_for_solids"]

    assert got == pytest.approx(27.53, abs=0.005)
    assert values(bore=got * 0.9999)["solids_settle"] == "no"
    assert values(bore=got * 1.0001)["solids_settle"] == "yes"


@pytest.mark.parametrize(
    ("flow", "regime"), [(100, "laminar"), (200, "transitional"), (1500, "turbulent")]
)
def test_the_kind_of_flow_is_named(flow, regime):
    assert values(flow=flow)["regime"] == regime


def test_flow_between_two_states_is_given_as_a_range():
    doubts = PIPE.run(HOSE | {"flow": 200}).doubts

    assert any("flips between two states" in doubt for doubt in doubts)


# fluids: K of a bend adds K v2/2g
def test_fittings_cost_height_of_their_own():
    more = values(fittings_k=2)["head_loss"] - values()["head_loss"]

    assert more == pytest.approx(fluids.head_from_K(K=2, V=values()["velocity"]), rel=1e-6)


def test_no_fittings_is_a_doubt_that_says_what_a_bend_costs():
    assert any("No fittings are counted" in doubt for doubt in PIPE.run(HOSE).doubts)
    assert not any("No fittings" in doubt for doubt in PIPE.run(HOSE | {"fittings_k": 1}).doubts)


def test_cold_water_costs_more_height():
    assert values(temperature="5 °C")["head_loss"] > values(temperature="30 °C")["head_loss"]


def test_a_wall_too_rough_for_the_formula_is_refused():
    problem = refusal(roughness="2 mm")

    assert (problem.input, problem.given) == ("roughness", "2 mm")
    assert "here 1.25 mm" in problem.message


@pytest.mark.parametrize(("bore", "roughness"), [("25 mm", 1.25), ("3 mm", 0.15), ("1 in", 1.27)])
def test_the_roughest_wall_that_is_allowed_works(bore, roughness):
    assert values(bore=bore, roughness=roughness, flow=20)["head_loss"] > 0


def test_water_faster_than_any_pipe_takes_is_refused():
    problem = refusal(flow="100000 L/h")

    assert problem.input == "flow"
    assert "would run at 56.6 m/s" in problem.message
    assert "a bore of at least 59.5 mm" in problem.message


def test_a_roaring_pipe_is_said_to_be_too_narrow():
    assert any("go a size up" in doubt for doubt in PIPE.run(HOSE | {"flow": 3000}).doubts)


# 1 inch is 25.4 mm, 1 foot 0.3048 m, 1 US gallon 3.785411784 L (NIST Handbook 44)
def test_inches_feet_and_gallons_give_the_same():
    american = values(
        flow="396.2580786 gal/h", bore="0.98425196850 in", length="16.404199475 ft",
        temperature="68 F",
    )  # fmt: skip

    metric = values()
    words = {name for name, value in metric.items() if isinstance(value, str)}

    assert all(american[name] == metric[name] for name in words)
    assert all(
        american[name] == pytest.approx(metric[name], rel=1e-7) for name in metric.keys() - words
    )


def test_water_at_freezing_in_fahrenheit_works():
    assert values(temperature="32 F") == values(temperature=0)
