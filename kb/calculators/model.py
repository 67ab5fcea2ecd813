"""What a calculator is: declared once, it serves commands, JSON, forms, articles and rules."""

import inspect
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from urllib.parse import urlencode

from kb.calculators.inputs import (
    Choice,
    Input,
    Number,
    Value,
    Values,
    describe_input,
    input_faults,
    read_inputs,
    refuse,
    span,
)
from kb.units import PH, Kind, decimals, decimals_for, show, show_plain, us_unit

__all__ = [
    "Amount",
    "Calculator",
    "Choice",
    "Example",
    "Input",
    "Number",
    "Outcome",
    "Report",
    "Result",
    "Step",
    "Value",
    "Values",
    "in_sentence",
    "refuse",
    "show_plain",
    "span",
]

Reading = Callable[[Values], str]


@dataclass(frozen=True)
class Result:
    """One thing worked out; a verdict has no kind and is a word with a sentence.

    ``digits`` are decimals, ``figures`` significant figures; the value itself is never rounded.
    """

    name: str
    label: str
    kind: Kind | None
    unit: str = ""
    digits: int | None = None
    reading: Reading | None = None
    main: bool = False
    figures: int | None = None


@dataclass(frozen=True)
class Step:
    """One line of the working: the formula, the numbers put in, what comes out, and its source."""

    formula: str
    numbers: str
    value: str
    source: str = ""


@dataclass(frozen=True)
class Outcome:
    """What ``compute`` gives back: values in base units, working, caution ids, honest doubts.

    ``sentences`` says a result in plain words where that takes more than its own value, or why
    there is none.
    """

    values: Values
    steps: tuple[Step, ...] = ()
    cautions: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    sentences: Mapping[str, str] = field(default_factory=dict)


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
    kind: Kind | None = None

    @property
    def in_us(self) -> "Amount":
        """The same amount in the unit used in the US, three figures, where that is another one."""
        unit = us_unit(self.kind, self.unit) if self.kind else self.unit
        if self.kind is None or unit == self.unit or not isinstance(self.value, float):
            return self
        value = self.kind.from_base(self.kind.to_base(self.value, self.unit), unit)
        return replace(self, value=_tidy(value), unit=unit, digits=None)

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
    def in_us(self) -> "Report":
        """The same calculation with its figures in US units."""
        return replace(
            self,
            inputs={name: amount.in_us for name, amount in self.inputs.items()},
            results={name: amount.in_us for name, amount in self.results.items()},
        )

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
        values = read_inputs(self.id, self.inputs, self.one_of, given)
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
            "inputs": [describe_input(item) for item in self.inputs],
            "exactly_one_of": [list(group) for group in self.one_of],
            "results": [
                {"name": result.name, "label": result.label, "unit": result.unit}
                for result in self.results
            ],
            "examples": [dict(example.given) for example in self.examples],
            "sources": list(self.sources),
            "articles": list(self.articles),
        }


def in_sentence(label: str) -> str:
    """A label as it stands inside a sentence: pH and abbreviations keep their capitals."""
    return label if label[:2].isupper() or label[1:2].isupper() else label[:1].lower() + label[1:]


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
        inputs[item.name] = Amount(
            item.label, _tidy(shown), item.unit, decimals(shown), kind=item.kind
        )
        if item.usual and not item.usual[0] <= shown <= item.usual[1]:
            low, high = (show_plain(edge) for edge in item.usual)
            remarks.append(
                f"{item.label}: {inputs[item.name].text} is unusual "
                f"(mostly {low} to {high} {item.unit}). Is it typed right?"
            )
    results = {result.name: _amount(result, outcome) for result in calculator.results}
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


def _amount(result: Result, outcome: Outcome) -> Amount:
    value = outcome.values[result.name]
    reading = _sentence(result, outcome)
    if isinstance(value, str) or value is None or result.kind is None:
        return Amount(result.label, value, result.unit, reading=reading)
    shown = _tidy(result.kind.from_base(value, result.unit))
    digits = result.digits
    if result.figures is not None:
        digits = max(0, decimals_for(shown, result.figures))
    return Amount(result.label, shown, result.unit, digits, reading, result.kind)


def _sentence(result: Result, outcome: Outcome) -> str:
    said = outcome.sentences.get(result.name)
    if said is not None:
        return said if said.startswith("pH") else said[:1].upper() + said[1:]
    if result.reading and outcome.values[result.name] is not None:
        return result.reading(outcome.values)
    return ""


def _tidy(value: float) -> float:
    return float(f"{value:.10g}")


def _check_declaration(calculator: Calculator) -> None:
    names = [item.name for item in calculator.inputs]
    taken = list(inspect.signature(calculator.compute).parameters)
    faults = []
    if sorted(names) != sorted(taken):
        faults.append(f"compute takes {taken}, the inputs are {names}")
    if len(set(names)) != len(names):
        faults.append("an input is declared twice")
    for item in calculator.inputs:
        faults += input_faults(item)
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
