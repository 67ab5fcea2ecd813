"""What the tests of all calculators share: values to try, and what a sound answer looks like."""

import math

import pytest
from hypothesis import strategies as st

from kb import cautions, sources
from kb.calculators.model import Choice, Report
from kb.errors import InputErrors

ODD = (
    0, -1, 1e-12, 1e12, True, "", "''", "much", "½", "-0", "1,5", "1,500", "1e400", "84F", "84 F",
    "4 dKH", "2 tsp", "5 mL", "1 L/", "12 bananas",
)  # fmt: skip


@pytest.fixture(scope="session")
def raw_value():
    """A function from an input to a strategy: what a person, or a machine gone wrong, may give."""
    return _raw_value


@pytest.fixture(scope="session")
def odd_values():
    """A function from a calculator to a strategy: raw values for some of its inputs."""

    def some(calculator):
        return st.lists(
            st.sampled_from(calculator.inputs), max_size=4, unique_by=lambda item: item.name
        ).flatmap(lambda items: st.fixed_dictionaries({i.name: _raw_value(i) for i in items}))

    return some


@pytest.fixture(scope="session")
def answer():
    """A function that runs a calculator: a report or the bad inputs, either found to be sound."""
    cited, warned = set(sources.shipped()), set(cautions.shipped())

    def run(calculator, raw):
        try:
            report = calculator.run(raw)
        except InputErrors as errors:
            _check_refusal(errors)
            return errors
        _check_report(report, cited, warned)
        return report

    return run


@pytest.fixture(scope="session")
def refused():
    """A function that runs a calculator and gives the input and the sentence of each refusal."""

    def problems(calculator, raw):
        with pytest.raises(InputErrors) as caught:
            calculator.run(raw)
        return [(problem.input, problem.message) for problem in caught.value.problems]

    return problems


def _raw_value(item):
    nonsense = st.one_of(
        st.text(max_size=80), st.floats(), st.integers(), st.booleans(), st.sampled_from(ODD)
    )
    if isinstance(item, Choice):
        return st.one_of(st.sampled_from(item.ids), nonsense)
    inside = st.floats(item.minimum, item.maximum)
    units = st.sampled_from([unit.symbol for unit in item.kind.units])
    in_base = st.floats(
        item.kind.to_base(item.minimum, item.unit), item.kind.to_base(item.maximum, item.unit)
    )
    written = st.builds(
        lambda value, unit: f"{item.kind.from_base(value, unit):.12f} {unit}", in_base, units
    )
    edges = st.sampled_from([item.minimum, item.maximum])
    return st.one_of(inside, edges, inside.map(lambda value: f"{value:.3f}"), written, nonsense)


def _check_refusal(errors):
    assert errors.problems
    for problem in errors.problems:
        assert problem.input
        assert problem.message.endswith((".", "?"))
        assert len(problem.given) <= 80


BALANCES = ("oxygen_margin", "nitrate_trend")  # what is left over or missing, by nature signed


def _check_report(report, cited, warned):
    assert isinstance(report, Report)
    for name, amount in report.results.items():
        if isinstance(amount.value, float):
            assert math.isfinite(amount.value), name
            assert amount.value >= 0 or name in BALANCES, name
        if amount.value is not None:
            assert amount.reading.strip(), name
            assert "None" not in amount.reading, name
            assert "nan" not in amount.reading.split(), name
    for step in report.steps:
        assert step.formula
        assert step.value
        assert not step.source or step.source in cited, step
    assert set(report.cautions) <= warned
    assert report.as_text()
    assert report.as_json()
    assert report.link.startswith(f"/calculators/{report.calculator.id}")
