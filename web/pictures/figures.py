"""The figures of a report as a picture needs them: plain floats in base units, and short texts."""

from kb.calculators.model import Choice, Report
from kb.units import show


def given(report: Report, name: str) -> float | None:
    """An input in the base unit of its kind; None where none was given."""
    amount = report.inputs.get(name)
    item = report.calculator.input(name)
    if amount is None or amount.value is None or isinstance(item, Choice):
        return None
    return item.kind.to_base(float(amount.value), item.unit)


def needed(report: Report, name: str) -> float:
    """An input that is always there, in the base unit of its kind."""
    value = given(report, name)
    if value is None:
        raise KeyError(name)
    return value


def chosen(report: Report, name: str) -> str:
    """The option chosen."""
    return str(report.inputs[name].value)


def found(report: Report, name: str) -> float | None:
    """A result in the base unit of its kind; None where there is none."""
    value = report.results[name].value
    result = report.calculator.result(name)
    if value is None or isinstance(value, str) or result.kind is None:
        return None
    return result.kind.to_base(value, result.unit)


def worked_out(report: Report, name: str) -> float:
    """A result that is always there, in the base unit of its kind."""
    value = found(report, name)
    if value is None:
        raise KeyError(name)
    return value


def plain(value: float) -> str:
    """A number in a caption or table: three figures, no noughts that say nothing."""
    text = show(value)
    return text.rstrip("0").rstrip(".") if "." in text else text
