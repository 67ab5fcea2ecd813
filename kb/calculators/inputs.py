"""What a calculator asks for, and how what people give is read: every fault named, none guessed."""

from collections.abc import Mapping
from dataclasses import dataclass

from kb.errors import InputErrors, InputProblem, UnitError
from kb.units import COUNT, Kind, show_plain, spoon_units

Value = float | str | None
Values = Mapping[str, Value]


@dataclass(frozen=True)
class Number:
    """A number to be given; minimum, maximum, usual and default are in ``unit``."""

    name: str
    label: str
    kind: Kind
    unit: str
    minimum: float
    maximum: float
    usual: tuple[float, float] | None = None
    default: float | None = None
    optional: bool = False
    help: str = ""
    spoons: tuple[str, Mapping[str, float]] | None = None

    @property
    def required(self) -> bool:
        """Must it be given?"""
        return self.default is None and not self.optional


@dataclass(frozen=True)
class Choice:
    """One of a few named options, each an id with its label."""

    name: str
    label: str
    options: tuple[tuple[str, str], ...]
    default: str | None = None
    help: str = ""

    @property
    def required(self) -> bool:
        """Must it be given?"""
        return self.default is None

    @property
    def ids(self) -> tuple[str, ...]:
        """The ids of the options."""
        return tuple(option for option, _ in self.options)


Input = Number | Choice


def refuse(name: str, given: object, message: str) -> InputErrors:
    """The error for one input that is a number, but not one that can be worked with here."""
    return InputErrors([InputProblem(name, str(given), message)])


def span(item: Number) -> str:
    """The allowed range of an input, for people."""
    return f"{show_plain(item.minimum)} to {show_plain(item.maximum)} {item.unit}".strip()


def read_inputs(
    name: str,
    inputs: tuple[Input, ...],
    one_of: tuple[tuple[str, ...], ...],
    given: Mapping[str, object],
) -> dict[str, Value]:
    """The values in base units by input name; raises InputErrors naming each that is unusable."""
    problems = _strangers(name, inputs, given)
    values: dict[str, Value] = {}
    for item in inputs:
        if isinstance(item, Choice):
            values[item.name] = _read_choice(item, given, problems)
    for item in inputs:  # after the choices: what a spoon weighs hangs on the powder chosen
        if isinstance(item, Number):
            values[item.name] = _read_number(item, given, values, problems)
    for group in one_of:
        _check_one_of(group, given, problems)
    if problems:
        raise InputErrors(problems)
    return {item.name: values[item.name] for item in inputs}


def _strangers(
    name: str, inputs: tuple[Input, ...], given: Mapping[str, object]
) -> list[InputProblem]:
    known = [item.name for item in inputs]
    return [
        InputProblem(
            str(key)[:40],
            str(given[key])[:80],
            f"There is no input “{str(key)[:40]}”; {name} takes {', '.join(known)}.",
        )
        for key in given
        if key not in known
    ]


def _read_choice(
    item: Choice, given: Mapping[str, object], problems: list[InputProblem]
) -> str | None:
    if item.name not in given:
        if item.required:
            problems.append(_missing(item, f"Choose one of {', '.join(item.ids)}."))
        return item.default
    text = str(given[item.name]).strip()
    for option in item.ids:
        if _letters(text) == _letters(option):
            return option
    message = f"{item.label}: “{text[:40]}” is not offered; choose {', '.join(item.ids)}."
    problems.append(InputProblem(item.name, text[:80], message))
    return item.default


def _letters(text: str) -> str:
    """Letters and digits alone, so that “meq/L” means meq-l and “dKH” means dkh."""
    return "".join(letter for letter in text.casefold() if letter.isalnum())


def _read_number(
    item: Number,
    given: Mapping[str, object],
    values: Values,
    problems: list[InputProblem],
) -> float | None:
    kind = _kind_with_spoons(item, values)
    if item.name not in given:
        if item.required:
            problems.append(_missing(item, f"Give {_wanted(item)}."))
        return None if item.default is None else kind.to_base(item.default, item.unit)
    raw = given[item.name]
    try:
        value = kind.parse(raw, item.unit)
    except UnitError as error:
        allowed = f" Give {_wanted(item)}."
        problems.append(InputProblem(item.name, str(raw)[:80], f"{item.label}: {error}{allowed}"))
        return None
    low, high = kind.to_base(item.minimum, item.unit), kind.to_base(item.maximum, item.unit)
    if not _within(value, low, high):
        message = f"{item.label}: {str(raw)[:60]} is outside what can be worked with, {span(item)}."
        problems.append(InputProblem(item.name, str(raw)[:80], message))
        return None
    if item.kind is COUNT and value != int(value):
        message = f"{item.label}: {raw} must be a whole number, {span(item)}."
        problems.append(InputProblem(item.name, str(raw)[:80], message))
        return None
    return min(max(value, low), high)


def _within(value: float, low: float, high: float) -> bool:
    slack = 1e-9 * max(abs(low), abs(high))  # a bound given in another unit must not fall outside
    return low - slack <= value <= high + slack


def _kind_with_spoons(item: Number, values: Values) -> Kind:
    if item.spoons is None:
        return item.kind
    powder, densities = item.spoons
    density = densities.get(str(values.get(powder)))
    return item.kind if density is None else item.kind.with_units(*spoon_units(density))


def _check_one_of(
    group: tuple[str, ...],
    given: Mapping[str, object],
    problems: list[InputProblem],
) -> None:
    present = [name for name in group if name in given]
    if len(present) == 1:
        return
    names = ", ".join(group[:-1]) + f" or {group[-1]}"
    if not present:
        problems.append(InputProblem(group[0], "", f"Give exactly one of {names}."))
    for name in present[1:]:
        message = f"Give exactly one of {names}; {' and '.join(present)} were given together."
        problems.append(InputProblem(name, str(given[name])[:80], message))


def _missing(item: Input, wanted: str) -> InputProblem:
    return InputProblem(item.name, "", f"{item.label} is missing. {wanted}")


def _wanted(item: Number) -> str:
    unit = f" in {item.unit}" if item.unit else ""
    return f"a number{unit} from {show_plain(item.minimum)} to {show_plain(item.maximum)}"


def describe_input(item: Input) -> dict[str, object]:
    """An input in plain data, for JSON and help."""
    common: dict[str, object] = {
        "name": item.name,
        "label": item.label,
        "required": item.required,
        "default": item.default,
        "help": item.help,
    }
    if isinstance(item, Choice):
        return common | {"choices": dict(item.options)}
    units = [unit.symbol for unit in item.kind.units]
    return common | {
        "unit": item.unit,
        "units": units,
        "minimum": item.minimum,
        "maximum": item.maximum,
    }


def input_faults(item: Input) -> list[str]:
    """What is wrong with a declaration."""
    return _choice_faults(item) if isinstance(item, Choice) else _number_faults(item)


def _choice_faults(item: Choice) -> list[str]:
    if item.default is not None and item.default not in item.ids:
        return [f"{item.name}: the default {item.default} is no option"]
    return []


def _number_faults(item: Number) -> list[str]:
    item.kind.unit(item.unit)
    inside = item.default is None or item.minimum <= item.default <= item.maximum
    ordered = item.minimum < item.maximum
    return [] if inside and ordered else [f"{item.name}: default or bounds are out of order"]
