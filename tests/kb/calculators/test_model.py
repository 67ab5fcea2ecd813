"""What a declaration promises: reading, refusing, reporting."""

import json

import pytest

from kb.calculators.model import (
    Calculator,
    Choice,
    Example,
    Number,
    Outcome,
    Result,
    Step,
    refuse,
)
from kb.errors import InputErrors
from kb.units import COUNT, FLOW, MASS, PH, TIME, VOLUME

DENSITIES = {"lime": 0.5}


def compute(volume, flow, powder, pumps, target_ph, dose):
    if flow == 13:
        raise refuse("flow", "13 L/h", "Flow: 13 L/h brings bad luck.")
    minutes = None if flow is None else volume / flow * 60
    return Outcome(
        values={"time": minutes, "word": "slow" if flow else None, "dose_g": dose, "pumps": pumps},
        steps=(Step("volume / flow", f"{volume} / {flow}", f"{minutes} min", "common-practice"),),
        cautions=("label-and-law",),
        doubts=("Pumps lie.",),
    )


def declared(**changes):
    parts = {
        "id": "emptying",
        "title": "Emptying",
        "question": "How long does it take?",
        "inputs": (
            Number("volume", "Volume", VOLUME, "L", 10, 1000, usual=(50, 500)),
            Number("flow", "Flow", FLOW, "L/h", 1, 5000, optional=True),
            Choice("powder", "Powder", (("lime", "slaked lime"), ("shell", "shell"))),
            Number("pumps", "Pumps", COUNT, "", 1, 4, default=2),
            Number("target_ph", "Target", PH, "pH", 5, 9, optional=True),
            Number("dose", "Dose", MASS, "g", 0, 100, optional=True, spoons=("powder", DENSITIES)),
        ),
        "results": (
            Result("time", "Time", TIME, "h", reading=lambda v: f"{v['time']} min", main=True),
            Result("word", "Word", None),
            Result("dose_g", "Dose", MASS, "g"),
            Result("pumps", "Pumps", COUNT, "", digits=0),
        ),
        "compute": compute,
        "sources": ("common-practice",),
        "articles": ("emptying",),
        "examples": (Example({"volume": 100}, {"time": 1}, "common-practice"),),
        "one_of": (("target_ph", "dose"),),
    }
    return Calculator(**(parts | changes))


EMPTYING = declared()
GOOD = {"volume": "100", "flow": "50", "powder": "lime", "dose": "1"}


def problems(**changes):
    given = {name: value for name, value in (GOOD | changes).items() if value is not None}
    with pytest.raises(InputErrors) as error:
        EMPTYING.run(given)
    return [(problem.input, problem.given, problem.message) for problem in error.value.problems]


def test_a_result_comes_in_its_declared_unit():
    report = EMPTYING.run(GOOD)

    assert report.results["time"].value == 2
    assert report.results["time"].text == "2.00\u00a0h"
    assert report.results["time"].reading == "120.0 min"


@pytest.mark.parametrize("volume", [100, 100.0, "100", "100 L", "0.1 m3", "26.417205 gal"])
def test_a_value_may_come_with_its_own_unit(volume):
    report = EMPTYING.run(GOOD | {"volume": volume})

    assert report.inputs["volume"].value == pytest.approx(100)
    assert report.inputs["volume"].unit == "L"


def test_a_spoon_counts_where_the_powder_has_a_known_density():
    assert EMPTYING.run(GOOD | {"dose": "2 tsp"}).results["dose_g"].value == 2 * 5 * 0.5


def test_a_spoon_of_a_powder_of_unknown_density_is_refused():
    assert problems(powder="shell", dose="2 tsp") == [
        (
            "dose",
            "2 tsp",
            "Dose: “tsp” is not a unit of mass; use g, kg, mg, oz, lb. "
            "Give a number in g from 0 to 100.",
        )
    ]


def test_defaults_and_optional_values_need_not_be_given():
    report = EMPTYING.run({"volume": 100, "powder": "shell", "dose": 1})

    assert report.inputs["pumps"].value == 2
    assert "flow" not in report.inputs
    assert report.results["time"].value is None
    assert report.results["time"].text == "not worked out"
    assert report.results["time"].reading == ""


@pytest.mark.parametrize("blank", ["", "  ", "\t"])
def test_an_empty_field_of_a_form_counts_as_not_given(blank):
    assert "flow" not in EMPTYING.run(GOOD | {"flow": blank}).given


def test_an_option_is_known_in_any_case():
    assert EMPTYING.run(GOOD | {"powder": " LIME "}).inputs["powder"].value == "lime"


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        (
            {"volume": None},
            ("volume", "", "Volume is missing. Give a number in L from 10 to 1\u202f000."),
        ),
        (
            {"volume": "9 L"},
            (
                "volume",
                "9 L",
                "Volume: 9 L is outside what can be worked with, 10 to 1\u202f000 L.",
            ),
        ),
        (
            {"volume": "nan"},
            (
                "volume",
                "nan",
                "Volume: “nan” is not a number. Give a number in L from 10 to 1\u202f000.",
            ),
        ),
        (
            {"volume": "1,500"},
            (
                "volume",
                "1,500",
                "Volume: “1,500” can be read two ways: write 1500 or 1.500. "
                "Give a number in L from 10 to 1\u202f000.",
            ),
        ),
        (
            {"powder": "flour"},
            ("powder", "flour", "Powder: “flour” is not offered; choose lime, shell."),
        ),
        ({"powder": None}, ("powder", "", "Powder is missing. Choose one of lime, shell.")),
        (
            {"pumps": "1.5"},
            ("pumps", "1.5", "Pumps: 1.5 must be a whole number, 1 to 4."),
        ),
        (
            {"target_ph": "7"},
            (
                "dose",
                "1",
                "Give exactly one of target_ph or dose; target_ph and dose were given together.",
            ),
        ),
        ({"dose": None}, ("target_ph", "", "Give exactly one of target_ph or dose.")),
        ({"flow": "13"}, ("flow", "13 L/h", "Flow: 13 L/h brings bad luck.")),
        (
            {"colour": "blue"},
            (
                "colour",
                "blue",
                "There is no input “colour”; emptying takes volume, flow, powder, pumps, "
                "target_ph, dose.",
            ),
        ),
    ],
)
def test_every_bad_input_is_named(changes, expected):
    assert problems(**changes) == [expected]


def test_all_bad_inputs_come_back_together():
    found = problems(volume="9", powder="flour", pumps="1.5", colour="blue")

    assert [name for name, _, _ in found] == ["colour", "powder", "volume", "pumps"]


@pytest.mark.parametrize("value", [True, float("inf"), float("nan"), "x" * 500, [], {}, "1e999"])
def test_a_value_that_is_no_number_is_refused(value):
    (found,) = problems(volume=value)

    assert found[0] == "volume"
    assert len(found[1]) <= 80
    assert len(found[2]) < 200


def test_a_bound_given_in_another_unit_does_not_fall_outside():
    assert EMPTYING.run(GOOD | {"volume": "264.17205235814845 gal"}).inputs["volume"].value == 1000


def test_an_unusual_value_is_worked_with_and_remarked_on():
    report = EMPTYING.run(GOOD | {"volume": "600 L"})

    assert report.remarks == (
        "Volume: 600\u00a0L is unusual (mostly 50 to 500 L). Is it typed right?",
    )


def test_the_link_leads_to_the_same_calculation():
    assert EMPTYING.run(GOOD).link == "/calculators/emptying?volume=100&flow=50&powder=lime&dose=1"
    assert EMPTYING.link({}) == "/calculators/emptying"
    assert EMPTYING.link({"volume": "4 ft³", "stray": 1}).endswith("?volume=4+ft%C2%B3")


def test_the_report_has_the_shape_of_the_json_contract():
    data = json.loads(json.dumps(EMPTYING.run(GOOD).as_json()))

    assert data["calculator"] == "emptying"
    assert data["inputs"]["flow"] == {"value": 50, "unit": "L/h"}
    assert data["results"]["time"] == {"value": 2, "unit": "h", "reading": "120.0 min"}
    assert data["steps"][0].keys() == {"formula", "numbers", "value", "source"}
    assert data["cautions"] == ["label-and-law"]
    assert data["sources"] == ["common-practice"]
    assert data["doubts"] == ["Pumps lie."]


def test_the_text_to_paste_has_only_the_main_results():
    lines = EMPTYING.run(GOOD).as_text().splitlines()

    assert lines[0].startswith("Emptying (volume 100\u00a0L, flow 50\u00a0L/h")
    assert lines[1:] == ["- Time: 120.0 min"]


def test_the_description_names_units_bounds_and_choices():
    described = EMPTYING.describe()
    volume, _, powder, *_ = described["inputs"]

    assert volume["unit"] == "L"
    assert (volume["minimum"], volume["maximum"], volume["required"]) == (10, 1000, True)
    assert powder["choices"] == {"lime": "slaked lime", "shell": "shell"}
    assert described["exactly_one_of"] == [["target_ph", "dose"]]


def with_input(item):
    return (*EMPTYING.inputs[:-1], item)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"inputs": EMPTYING.inputs[:-1]}, "compute takes"),
        ({"inputs": (*EMPTYING.inputs, EMPTYING.inputs[0])}, "compute takes"),
        (
            {"inputs": with_input(Number("dose", "Dose", MASS, "g", 0, 10, default=11))},
            "dose: default or bounds are out of order",
        ),
        (
            {"inputs": with_input(Number("dose", "Dose", MASS, "g", 10, 0, optional=True))},
            "dose: default or bounds are out of order",
        ),
        (
            {"inputs": with_input(Choice("dose", "Dose", (("a", "A"),), default="b"))},
            "dose: the default b is no option",
        ),
        ({"one_of": (("volume", "dose"),)}, "one_of names volume, which is no optional input"),
        ({"one_of": (("mass", "dose"),)}, "one_of names mass, which is no optional input"),
    ],
)
def test_a_faulty_declaration_is_found_when_it_is_made(changes, message):
    with pytest.raises(ValueError, match=message):
        declared(**changes)


@pytest.mark.parametrize(
    "changes",
    [
        {"inputs": with_input(Number("dose", "Dose", MASS, "L", 0, 10, optional=True))},
        {"results": (Result("time", "Time", TIME, "kg"),)},
    ],
)
def test_a_unit_of_another_kind_is_found_when_the_declaration_is_made(changes):
    with pytest.raises(Exception, match="is not a unit of"):
        declared(**changes)
