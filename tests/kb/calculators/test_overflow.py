"""The overflow pipe: rim, mouth, and half of what it takes on paper."""

import pytest

from kb.calculators.overflow import OVERFLOW
from kb.errors import InputErrors

PIPE = {"bore": "50 mm", "water_over_lip": "10 mm"}


def values(**changes):
    report = OVERFLOW.run(PIPE | changes)
    return {name: amount.value for name, amount in report.results.items()}


def doubts(**changes):
    return " ".join(OVERFLOW.run(PIPE | changes).doubts)


# stormwater model documentation: weir 0.414, orifice 0.6; 1036.81 and 3756.55 L/h
@pytest.mark.parametrize(
    ("head", "capacity", "control"), [(10, 1036.81, "rim"), (40, 3756.55, "mouth")]
)
def test_a_50_mm_pipe_takes_what_the_published_coefficients_say(head, capacity, control):
    got = values(water_over_lip=head)

    assert got["capacity"] == pytest.approx(capacity, rel=0.001)
    assert got["control"] == control


# changes over at 0.36 D = 18.1 mm (the same note); 0.37 D = 18.5 mm (US Bureau of Reclamation)
@pytest.mark.parametrize(("head", "control"), [(18.1, "rim"), (18.12, "mouth")])
def test_the_mouth_drowns_at_0_36_of_the_bore(head, control):
    assert values(water_over_lip=head)["control"] == control


def test_both_sources_of_that_depth_are_named():
    assert "18.1 mm here" in doubts()
    assert "0.37 by a rule for vertical pipes (18.5 mm)" in doubts()


def test_half_is_what_to_count_on():
    got = values()

    assert got["safe_capacity"] == pytest.approx(got["capacity"] / 2)


def test_a_water_line_3_mm_off_is_reckoned_with():
    low, high = (values(water_over_lip=head)["capacity"] for head in (7, 13))

    assert (round(low, -1), round(high, -2)) == (610, 1500)
    assert "3 mm off makes it 610 to 1 500 L/h" in doubts().replace("\u202f", " ")


def test_a_pipe_near_the_change_is_said_to_gulp():
    assert "gulp" in doubts(water_over_lip=18)
    assert "gulp" not in doubts(water_over_lip=8)
    assert "gulp" not in doubts(water_over_lip=40)


def test_a_thin_sheet_of_water_is_doubted():
    assert "clings to the rim" in doubts(water_over_lip=3)
    assert "clings to the rim" not in doubts()


def test_a_second_overflow_is_asked_for():
    assert "second-overflow" in OVERFLOW.run(PIPE).cautions


# 1 inch is 25.4 mm (NIST Handbook 44)
def test_inches_give_the_same():
    american = values(bore="2 in", water_over_lip='0.5"')

    assert american == pytest.approx(values(bore="50.8 mm", water_over_lip="12.7 mm"))


@pytest.mark.parametrize(
    ("name", "value"), [("bore", "5 mm"), ("bore", "2 m"), ("water_over_lip", 0)]
)
def test_pipes_that_cannot_be_worked_with_are_refused(name, value):
    with pytest.raises(InputErrors, match="is outside what can be worked with"):
        values(**{name: value})
