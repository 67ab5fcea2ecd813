"""The figures of a report as a picture needs them: plain floats in base units, and short texts.

A report may be in metric or in US units; pictures reckon in base units and show the unit chosen.
"""

from kb.calculators.model import Amount, Report
from kb.units import figures, show


def given(report: Report, name: str) -> float | None:
    """An input in the base unit of its kind; None where none was given."""
    return _base(report.inputs.get(name))


def needed(report: Report, name: str) -> float:
    """An input that is always there, in the base unit of its kind."""
    return _sure(given(report, name), name)


def chosen(report: Report, name: str) -> str:
    """The option chosen."""
    return str(report.inputs[name].value)


def found(report: Report, name: str) -> float | None:
    """A result in the base unit of its kind; None where there is none."""
    return _base(report.results[name])


def worked_out(report: Report, name: str) -> float:
    """A result that is always there, in the base unit of its kind."""
    return _sure(found(report, name), name)


def shown(report: Report, name: str, value: float) -> float:
    """A base value of the kind of an input or result, in the unit that one is shown in."""
    amount = _amount(report, name)
    return value if amount.kind is None else amount.kind.from_base(value, amount.unit)


def unit(report: Report, name: str) -> str:
    """The unit that an input or result is shown in."""
    return _amount(report, name).unit


def plain(value: float, count: int = 3) -> str:
    """A number in a caption or table: a few figures, no noughts that say nothing."""
    text = show(figures(value, count))
    return text.rstrip("0").rstrip(".") if "." in text else text


def _amount(report: Report, name: str) -> Amount:
    return report.inputs[name] if name in report.inputs else report.results[name]


def _base(amount: Amount | None) -> float | None:
    if amount is None or amount.kind is None or not isinstance(amount.value, int | float):
        return None
    return amount.kind.to_base(float(amount.value), amount.unit)


def _sure(value: float | None, name: str) -> float:
    if value is None:
        raise KeyError(name)
    return value
