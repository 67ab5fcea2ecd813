"""Every example of every calculator, and what holds for all calculators alike."""

import importlib
import pkgutil

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import kb.calculators
from kb import sources
from kb.calculators import ALL
from kb.calculators.model import Calculator, Choice, Report

SOURCES = sources.shipped()
EXAMPLES = [
    pytest.param(calculator, example, id=f"{calculator.id}: {example.title or number}")
    for calculator in ALL.values()
    for number, example in enumerate(calculator.examples)
]
every_calculator = pytest.mark.parametrize("calculator_id", ALL)


@pytest.mark.parametrize(("calculator", "example"), EXAMPLES)
def test_an_example_gives_what_its_source_says(calculator, example):
    report = calculator.run(example.given)

    for name, expected in example.expect.items():
        got = report.results[name].value
        if isinstance(expected, str):
            assert got == expected, name
        else:
            assert got == pytest.approx(expected, rel=example.tolerance), name


@pytest.mark.parametrize(("calculator", "example"), EXAMPLES)
def test_an_example_has_nothing_unusual_and_names_a_source(calculator, example):
    assert calculator.run(example.given).remarks == ()
    assert example.source in SOURCES


def test_every_calculator_module_is_listed():
    found = {
        item.id
        for module in pkgutil.iter_modules(kb.calculators.__path__)
        for item in vars(importlib.import_module(f"kb.calculators.{module.name}")).values()
        if isinstance(item, Calculator)
    }

    assert found == set(ALL)
    assert all(calculator.id == name for name, calculator in ALL.items())


@every_calculator
def test_a_calculator_has_two_examples_and_known_sources(calculator_id):
    calculator = ALL[calculator_id]

    assert len(calculator.examples) >= 2
    assert calculator.sources
    assert set(calculator.sources) <= set(SOURCES)
    assert calculator.articles
    assert calculator.question.endswith("?")


@every_calculator
def test_two_or_three_results_are_the_ones_to_paste(calculator_id):
    calculator = ALL[calculator_id]

    assert 2 <= sum(result.main for result in calculator.results) <= 3


@every_calculator
def test_names_are_plain_and_results_do_not_shadow_each_other(calculator_id):
    calculator = ALL[calculator_id]

    names = [result.name for result in calculator.results]

    assert len(set(names)) == len(names)
    assert all(name.isidentifier() and name.islower() for name in names)
    assert all(item.label for item in (*calculator.inputs, *calculator.results))


def good_value(item):
    if isinstance(item, Choice):
        return st.sampled_from(item.ids)
    if item.kind.name != "number":
        return st.one_of(
            st.floats(item.minimum, item.maximum), st.sampled_from([item.minimum, item.maximum])
        )
    return st.integers(int(item.minimum), int(item.maximum))


def given_values(calculator, strategy):
    return st.fixed_dictionaries(
        {},
        optional={item.name: strategy(item) for item in calculator.inputs}
        | {"stray": st.text(max_size=5)},
    )


def full_values(calculator):
    required = {item.name: good_value(item) for item in calculator.inputs if item.required}
    optional = {item.name: good_value(item) for item in calculator.inputs if not item.required}
    return st.fixed_dictionaries(required, optional=optional)


@every_calculator
@settings(suppress_health_check=[HealthCheck.too_slow], deadline=None, max_examples=60)
@given(data=st.data())
def test_whatever_is_given_there_is_a_report_or_a_list_of_bad_inputs(
    calculator_id, raw_value, answer, data
):
    calculator = ALL[calculator_id]

    answer(calculator, data.draw(given_values(calculator, raw_value)))


@every_calculator
@settings(suppress_health_check=[HealthCheck.too_slow], deadline=None, max_examples=60)
@given(data=st.data())
def test_values_within_the_bounds_give_a_report_or_are_refused_for_each_other(
    calculator_id, answer, data
):
    calculator = ALL[calculator_id]
    result = answer(calculator, data.draw(full_values(calculator)))
    if isinstance(result, Report):
        return

    names = {item.name for item in calculator.inputs}
    assert {problem.input for problem in result.problems} <= names
    assert not any("is outside what" in problem.message for problem in result.problems)
