"""Units of hardness: against a published table and a unit library, there and back."""

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.calculators.hardness import HARDNESS, UNITS
from kb.calculators.model import Report

RESULTS = {
    "mg-l-caco3": "mg_l_caco3",
    "dkh": "dkh",
    "dgh": "dkh",
    "meq-l": "meq_l",
    "mg-l-hco3": "mg_l_hco3",
    "fh": "fh",
    "clark": "clark",
    "gr-gal": "gr_gal",
}


def values(value, unit):
    report = HARDNESS.run({"value": value, "unit": unit})
    return {name: amount.value for name, amount in report.results.items()}


# factor table of an instrument maker: what one of each is in mg/L as CaCO3
@pytest.mark.parametrize(
    ("unit", "expected", "nearness"),
    [
        ("dkh", 17.9, 0.1),
        ("dgh", 17.9, 0.1),
        ("fh", 10.0, 0.02),
        ("meq-l", 50.0, 0.06),
        ("clark", 14.3, 0.06),
        ("gr-gal", 17.1, 0.06),
        ("mg-l-caco3", 1.0, 0),
    ],
)
def test_one_of_each_unit_is_what_the_table_says(unit, expected, nearness):
    assert values(1, unit)["mg_l_caco3"] == pytest.approx(expected, rel=0, abs=nearness)


# the same table: 1 meq/L is 2.8 German degrees; bicarbonate x 0.820 = mg/L as CaCO3
def test_two_more_factors_of_the_table():
    assert values(1, "meq-l")["dkh"] == pytest.approx(2.8, abs=0.01)
    assert values(100, "mg-l-hco3")["mg_l_caco3"] == pytest.approx(82.0, abs=0.05)


def test_the_grain_is_the_one_of_a_unit_library():
    grain = pint.UnitRegistry()("grain/gallon").to("mg/L").magnitude

    assert values(1, "gr-gal")["mg_l_caco3"] == pytest.approx(grain, rel=1e-6)


# molar masses 40.078 and 100.087: calcium is 40.04 % of chalk (atomic weights)
def test_calcium_is_what_chalk_holds():
    assert values(100, "mg-l-caco3")["calcium"] == pytest.approx(40.04, abs=0.01)


@given(value=st.floats(0.001, 20_000), unit=st.sampled_from(list(UNITS)))
def test_every_unit_gives_itself_back(value, unit):
    assert values(value, unit)[RESULTS[unit]] == pytest.approx(value, rel=1e-6)


def test_general_hardness_is_not_passed_off_as_bicarbonate():
    def words(unit):
        return HARDNESS.run({"value": 8, "unit": unit}).results["mg_l_hco3"].reading

    assert "only if all of it were carbonate hardness" in words("dgh")
    assert words("dkh") == "8 dKH is 174 mg/L of bicarbonate (HCO3), as an alkalinity."


def test_the_wrong_tables_are_warned_of():
    # 1 German degree is 10 mg/L of CaO, not of CaCO3; grains are mg/L divided by 17.1
    doubts = " ".join(HARDNESS.run({"value": 8, "unit": "dkh"}).doubts)

    assert "10 mg/L of CaO" in doubts
    assert "where one divides" in doubts


def test_a_unit_behind_the_number_is_sent_to_its_place(refused):
    assert refused(HARDNESS, {"value": "4 dKH", "unit": "dkh"}) == [
        (
            "value",
            "Value: “dKH” is not a unit of a bare number (choose the unit beside it); "
            "use none at all. Give a number from 0 to 20\u202f000.",
        )
    ]


def test_a_unit_is_known_in_any_case():
    assert values(4, "dKH") == values(4, "dkh")


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_any_input_gives_a_sound_report_or_a_named_refusal(answer, odd_values, data):
    found = answer(HARDNESS, {"value": 4, "unit": "dkh"} | data.draw(odd_values(HARDNESS)))
    if isinstance(found, Report):
        got = {name: amount.value for name, amount in found.results.items()}
        assert got["meq_l"] <= got["dkh"] <= got["mg_l_caco3"] <= got["mg_l_hco3"]
