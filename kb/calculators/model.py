"""What a calculator is: declared once, it serves commands, JSON, forms, articles and rules."""

import inspect
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from urllib.parse import urlencode

from kb.errors import InputErrors, InputProblem, UnitError
from kb.units import COUNT, PH, Kind, decimals, show, spoon_units

Value = float | str | None
Values = Mapping[str, Value]
Reading = Callable[[Values], str]


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


@dataclass(frozen=True)
class Result:
    """One thing worked out; a verdict has no kind and is a word with a sentence."""

    name: str
    label: str
    kind: Kind | None
    unit: str = ""
    digits: int | None = None
    reading: Reading | None = None
    main: bool = False


@dataclass(frozen=True)
class Step:
    """One line of the working: the formula, the numbers put in, what comes out, and its source."""

    formula: str
    numbers: str
    value: str
    source: str = ""


@dataclass(frozen=True)
class Outcome:
    """What ``compute`` gives back: values in base units, working, caution ids, honest doubts."""

    values: Values
    steps: tuple[Step, ...] = ()
    cautions: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Example:
    """Inputs with the results they must give (in the declared units), and who says so."""

    given: Mapping[str, str | float]
    expect: Mapping[str, float | str]
    source: str
    tolerance: float = 0.01
    title: str = ""


@dataclass(frozen=True)
class Amount:
    """A value with its unit, as given or worked out, and what it means in plain words."""

    label: str
    value: float | str | None
    unit: str
    digits: int | None = None
    reading: str = ""

    @property
    def text(self) -> str:
        """The value with its unit, for people."""
        if self.value is None:
            return "not worked out"
        if isinstance(self.value, str):
            return self.value
        shown = show(self.value, self.digits)
        if self.unit in ("", PH.base):  # the label says pH already
            return shown
        return f"{shown}%" if self.unit == "%" else f"{shown}\u00a0{self.unit}"


@dataclass(frozen=True)
class Report:
    """One calculation with all that is said about it."""

    calculator: "Calculator"
    given: Mapping[str, str]
    inputs: Mapping[str, Amount]
    results: Mapping[str, Amount]
    steps: tuple[Step, ...]
    cautions: tuple[str, ...]
    doubts: tuple[str, ...]
    remarks: tuple[str, ...]

    @property
    def link(self) -> str:
        """The address of this very calculation."""
        return self.calculator.link(self.given)

    def as_json(self) -> dict[str, object]:
        """The report in the shape of the JSON contract."""
        return {
            "calculator": self.calculator.id,
            "inputs": {
                name: {"value": amount.value, "unit": amount.unit}
                for name, amount in self.inputs.items()
            },
            "results": {
                name: {
                    "value": amount.value,
                    "unit": amount.unit,
                    "reading": amount.reading,
                }
                for name, amount in self.results.items()
            },
            "steps": [
                {
                    "formula": step.formula,
                    "numbers": step.numbers,
                    "value": step.value,
                    "source": step.source,
                }
                for step in self.steps
            ],
            "cautions": list(self.cautions),
            "doubts": list(self.doubts),
            "remarks": list(self.remarks),
            "sources": list(self.calculator.sources),
            "link": self.link,
        }

    def as_text(self) -> str:
        """The lines one pastes under a question: what was given and what it comes to."""
        given = ", ".join(
            f"{in_sentence(amount.label)} {amount.text}" for amount in self.inputs.values()
        )
        lines = [f"{self.calculator.title} ({given}):"]
        for name, amount in self.results.items():
            if amount.value is None or not self.calculator.result(name).main:
                continue
            lines.append(f"- {amount.label}: {amount.reading or amount.text}")
        return "\n".join(lines)


@dataclass(frozen=True)
class Calculator:
    """A calculator; ``run`` takes raw values by input name and gives a Report."""

    id: str
    title: str
    question: str
    inputs: tuple[Input, ...]
    results: tuple[Result, ...]
    compute: Callable[..., Outcome]
    sources: tuple[str, ...]
    articles: tuple[str, ...]
    examples: tuple[Example, ...]
    one_of: tuple[tuple[str, ...], ...] = ()
    _inputs: Mapping[str, Input] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_inputs", {item.name: item for item in self.inputs})
        _check_declaration(self)

    def input(self, name: str) -> Input:
        """The input of that name."""
        return self._inputs[name]

    def result(self, name: str) -> Result:
        """The result of that name."""
        return next(result for result in self.results if result.name == name)

    def run(self, raw: Mapping[str, object]) -> Report:
        """The report for raw values; raises InputErrors naming every value that cannot be used."""
        given = {name: value for name, value in raw.items() if str(value).strip() != ""}
        problems: list[InputProblem] = []
        values = _read_all(self, given, problems)
        if problems:
            raise InputErrors(problems)
        outcome = self.compute(**values)
        return _report(self, given, values, outcome)

    def link(self, given: Mapping[str, object]) -> str:
        """The address of this calculator with values filled in."""
        known = {name: str(given[name]) for name in self._inputs if name in given}
        return f"/calculators/{self.id}" + (f"?{urlencode(known)}" if known else "")

    def describe(self) -> dict[str, object]:
        """Inputs, results and examples in plain data, for JSON and help."""
        return {
            "calculator": self.id,
            "title": self.title,
            "question": self.question,
            "inputs": [_describe_input(item) for item in self.inputs],
            "exactly_one_of": [list(group) for group in self.one_of],
            "results": [
                {"name": result.name, "label": result.label, "unit": result.unit}
                for result in self.results
            ],
            "examples": [dict(example.given) for example in self.examples],
            "sources": list(self.sources),
            "articles": list(self.articles),
        }


def refuse(name: str, given: object, message: str) -> InputErrors:
    """The error for one input that is a number, but not one that can be worked with here."""
    return InputErrors([InputProblem(name, str(given), message)])


def in_sentence(label: str) -> str:
    """A label as it stands inside a sentence: pH and abbreviations keep their capitals."""
    return label if label[:2].isupper() or label[1:2].isupper() else label[:1].lower() + label[1:]


def span(item: Number) -> str:
    """The allowed range of an input, for people."""
    return f"{show_plain(item.minimum)} to {show_plain(item.maximum)} {item.unit}".strip()


def show_plain(value: float) -> str:
    """A number without rounding tricks: as many decimals as it was declared with."""
    return show(value, 0) if value == int(value) else f"{value:g}"


def _read_all(
    calculator: Calculator, given: Mapping[str, object], problems: list[InputProblem]
) -> dict[str, Value]:
    for name in given:
        if name not in calculator._inputs:
            known = ", ".join(calculator._inputs)
            message = f"There is no input “{str(name)[:40]}”; {calculator.id} takes {known}."
            problems.append(InputProblem(str(name)[:40], str(given[name])[:80], message))
    values: dict[str, Value] = {}
    for item in calculator.inputs:
        if isinstance(item, Choice):
            values[item.name] = _read_choice(item, given, problems)
    for item in calculator.inputs:
        if isinstance(item, Number):
            values[item.name] = _read_number(item, given, values, problems)
    for group in calculator.one_of:
        _check_one_of(calculator, group, given, problems)
    return {item.name: values[item.name] for item in calculator.inputs}


def _read_choice(
    item: Choice, given: Mapping[str, object], problems: list[InputProblem]
) -> str | None:
    if item.name not in given:
        if item.required:
            problems.append(_missing(item, f"Choose one of {', '.join(item.ids)}."))
        return item.default
    text = str(given[item.name]).strip()
    for option in item.ids:
        if text.casefold() == option.casefold():
            return option
    message = f"{item.label}: “{text[:40]}” is not offered; choose {', '.join(item.ids)}."
    problems.append(InputProblem(item.name, text[:80], message))
    return item.default


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
    if not _within(
        value,
        kind.to_base(item.minimum, item.unit),
        kind.to_base(item.maximum, item.unit),
    ):
        message = f"{item.label}: {str(raw)[:60]} is outside what can be worked with, {span(item)}."
        problems.append(InputProblem(item.name, str(raw)[:80], message))
        return None
    if item.kind is COUNT and value != int(value):
        message = f"{item.label}: {raw} must be a whole number, {span(item)}."
        problems.append(InputProblem(item.name, str(raw)[:80], message))
        return None
    return value


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
    calculator: Calculator,
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


def _report(
    calculator: Calculator,
    given: Mapping[str, object],
    values: Values,
    outcome: Outcome,
) -> Report:
    inputs = {}
    remarks = []
    for item in calculator.inputs:
        value = values[item.name]
        if value is None:
            continue
        if isinstance(item, Choice):
            inputs[item.name] = Amount(
                item.label, value, "", reading=dict(item.options)[str(value)]
            )
            continue
        shown = item.kind.from_base(float(value), item.unit)
        inputs[item.name] = Amount(item.label, _tidy(shown), item.unit, decimals(shown))
        if item.usual and not item.usual[0] <= shown <= item.usual[1]:
            low, high = (show_plain(edge) for edge in item.usual)
            remarks.append(
                f"{item.label}: {inputs[item.name].text} is unusual "
                f"(mostly {low} to {high} {item.unit}). Is it typed right?"
            )
    results = {result.name: _amount(result, outcome.values) for result in calculator.results}
    return Report(
        calculator=calculator,
        given={name: str(value) for name, value in given.items()},
        inputs=inputs,
        results=results,
        steps=outcome.steps,
        cautions=outcome.cautions,
        doubts=outcome.doubts,
        remarks=tuple(remarks),
    )


def _amount(result: Result, values: Values) -> Amount:
    value = values[result.name]
    reading = result.reading(values) if result.reading and value is not None else ""
    if isinstance(value, str) or value is None or result.kind is None:
        return Amount(result.label, value, result.unit, reading=reading)
    shown = result.kind.from_base(value, result.unit)
    return Amount(result.label, _tidy(shown), result.unit, result.digits, reading)


def _tidy(value: float) -> float:
    return float(f"{value:.10g}")


def _describe_input(item: Input) -> dict[str, object]:
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


def _check_declaration(calculator: Calculator) -> None:
    names = [item.name for item in calculator.inputs]
    taken = list(inspect.signature(calculator.compute).parameters)
    faults = []
    if sorted(names) != sorted(taken):
        faults.append(f"compute takes {taken}, the inputs are {names}")
    if len(set(names)) != len(names):
        faults.append("an input is declared twice")
    for item in calculator.inputs:
        faults += _choice_faults(item) if isinstance(item, Choice) else _number_faults(item)
    for result in calculator.results:
        if result.kind is not None:
            result.kind.unit(result.unit)
    faults += [
        f"one_of names {name}, which is no optional input"
        for group in calculator.one_of
        for name in group
        if name not in names or calculator.input(name).required
    ]
    if faults:
        raise ValueError(f"calculator {calculator.id}: {'; '.join(faults)}")


def _choice_faults(item: Choice) -> list[str]:
    if item.default is not None and item.default not in item.ids:
        return [f"{item.name}: the default {item.default} is no option"]
    return []


def _number_faults(item: Number) -> list[str]:
    item.kind.unit(item.unit)
    inside = item.default is None or item.minimum <= item.default <= item.maximum
    ordered = item.minimum < item.maximum
    return [] if inside and ordered else [f"{item.name}: default or bounds are out of order"]
