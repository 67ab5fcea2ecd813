"""Hardness: a figure of hardness or alkalinity in the units that other people use."""

from kb.calculators.model import (
    Calculator,
    Choice,
    Example,
    Number,
    Outcome,
    Result,
    Step,
    show_plain,
)
from kb.science.hardness import calcium_mg_l
from kb.units import ALKALINITY, CONCENTRATION, Kind, Unit, figures

BARE = Kind("a bare number (choose the unit beside it)", (Unit("", 1.0),))
UNITS = {
    "mg-l-caco3": ("mg/L as CaCO₃", "mg/L CaCO₃ (ppm)"),
    "dkh": ("dKH", "German degrees of carbonate hardness, dKH"),
    "dgh": ("dKH", "German degrees of general hardness, dGH or °dH"),
    "fh": ("°fH", "French degrees, °fH"),
    "meq-l": ("meq/L", "meq/L"),
    "mg-l-hco3": ("mg/L HCO₃", "mg/L HCO₃ (bicarbonate)"),
    "clark": ("°Clark", "English degrees, °Clark"),
    "gr-gal": ("gr/gal", "grains to the US gallon"),
}
"""The unit of kb.units and the label, by the id of the choice."""

WRITTEN = {"dgh": "dGH"}
GENERAL, CARBONATE = ("dgh",), ("dkh", "mg-l-hco3")


def compute(value: float, unit: str) -> Outcome:
    """The same hardness in each of the other units."""
    symbol = UNITS[unit][0]
    mg_l = ALKALINITY.to_base(value, symbol)
    dkh = ALKALINITY.from_base(mg_l, "dKH")
    meq_l = ALKALINITY.from_base(mg_l, "meq/L")
    bicarbonate = ALKALINITY.from_base(mg_l, "mg/L HCO₃")
    given = f"{_three(value)} {WRITTEN.get(unit, symbol)}"
    return Outcome(
        values={
            "mg_l_caco3": mg_l,
            "dkh": mg_l,
            "meq_l": mg_l,
            "mg_l_hco3": bicarbonate,
            "fh": mg_l,
            "clark": mg_l,
            "gr_gal": mg_l,
            "calcium": calcium_mg_l(hardness_mg_l=mg_l),
        },
        steps=_steps(value, unit, mg_l),
        cautions=("calculation-not-promise",),
        doubts=_doubts(unit, mg_l),
        sentences={
            "mg_l_caco3": f"{given} is {_three(mg_l)} mg/L as CaCO3.",
            "dkh": f"{given} is {_three(dkh)} German degrees (dKH, dGH).",
            "meq_l": f"{given} is {_three(meq_l)} meq/L.",
            "mg_l_hco3": _bicarbonate_sentence(given, bicarbonate, unit),
            "fh": f"{given} is {_three(ALKALINITY.from_base(mg_l, '°fH'))} French degrees.",
            "clark": f"{given} is {_three(ALKALINITY.from_base(mg_l, '°Clark'))} English degrees.",
            "gr_gal": (
                f"{given} is {_three(ALKALINITY.from_base(mg_l, 'gr/gal'))} grains to the "
                "US gallon."
            ),
            "calcium": _calcium_sentence(given, mg_l, unit),
        },
    )


def _bicarbonate_sentence(given: str, bicarbonate: float, unit: str) -> str:
    if unit in GENERAL:
        return (
            f"{given} would be {_three(bicarbonate)} mg/L of bicarbonate only if all of it were "
            "carbonate hardness; general hardness does not say."
        )
    return f"{given} is {_three(bicarbonate)} mg/L of bicarbonate (HCO3), as an alkalinity."


def _calcium_sentence(given: str, mg_l: float, unit: str) -> str:
    amount = f"{_three(calcium_mg_l(hardness_mg_l=mg_l))} mg/L of calcium"
    if unit in CARBONATE:
        return (
            f"{given} would stand for {amount} only if it were general hardness, all of it from "
            "calcium; alkalinity does not say."
        )
    return f"{given}, read as general hardness all from calcium, is {amount}."


def _steps(value: float, unit: str, mg_l: float) -> tuple[Step, ...]:
    symbol = UNITS[unit][0]

    def out(target: str, label: str) -> Step:
        factor = ALKALINITY.unit(target).factor
        return Step(
            f"{label} = mg/L as CaCO3 / {_four(factor)}",
            f"{_four(mg_l)} / {_four(factor)}",
            f"{_four(mg_l / factor)} {target}",
            "iupac-atomic-weights",
        )

    factor = ALKALINITY.unit(symbol).factor
    return (
        Step(
            f"mg/L as CaCO3 = value × {_four(factor)}",
            f"{_four(value)} × {_four(factor)}",
            f"{_four(mg_l)} mg/L as CaCO3",
            "hardness-units-table",
        ),
        out("dKH", "German degrees"),
        out("meq/L", "meq/L"),
        out("mg/L HCO₃", "mg/L of bicarbonate"),
    )


def _doubts(unit: str, mg_l: float) -> tuple[str, ...]:
    half = ALKALINITY.to_base(0.5, "dKH")
    doubts = [
        "Alkalinity (carbonate hardness, KH) and general hardness (GH) share these units but are "
        "two things: the one is what acid uses up, the other calcium and magnesium.",
        "One drop of a common kit is one German degree (common practice): half a degree either "
        f"way is {_three(max(0.0, mg_l - half))} to {_three(mg_l + half)} mg/L.",
        "Beware of tables: some give 1 German degree as 10 mg/L of CaCO3 (it is 10 mg/L of CaO, "
        "17.8 of CaCO3), others multiply mg/L by 17.1 to get grains where one divides.",
    ]
    if unit == "mg-l-hco3":
        doubts.append("Above pH 8.3 part of an alkalinity is carbonate and not bicarbonate.")
    return tuple(doubts)


def _three(value: float) -> str:
    return _figures(value, 3)


def _four(value: float) -> str:
    return _figures(value, 4)


def _figures(value: float, count: int) -> str:
    return "less than 0.001" if 0 < value < 0.001 else show_plain(figures(value, count))


INPUTS = (
    Number(
        "value", "Value", BARE, "", minimum=0, maximum=20_000, usual=(0, 1000),
        help="The number alone; its unit is chosen beside it.",
    ),
    Choice(
        "unit", "Unit", tuple((name, label) for name, (_, label) in UNITS.items()),
        help="ppm on a kit mostly means mg/L as CaCO₃.",
    ),
)  # fmt: skip
HARDNESS = Calculator(
    id="hardness",
    title="Units of hardness and alkalinity",
    question="What is my hardness or alkalinity in other units?",
    inputs=INPUTS,
    results=(
        Result("mg_l_caco3", "mg/L as CaCO₃", ALKALINITY, "mg/L as CaCO₃", main=True),
        Result("dkh", "German degrees", ALKALINITY, "dKH", main=True),
        Result("meq_l", "Milliequivalents", ALKALINITY, "meq/L"),
        Result("mg_l_hco3", "Bicarbonate", CONCENTRATION, "mg/L"),
        Result("fh", "French degrees", ALKALINITY, "°fH"),
        Result("clark", "English degrees", ALKALINITY, "°Clark"),
        Result("gr_gal", "Grains to the US gallon", ALKALINITY, "gr/gal"),
        Result("calcium", "Calcium, if all of it is calcium", CONCENTRATION, "mg/L"),
    ),
    compute=compute,
    sources=("hardness-units-table", "iupac-atomic-weights", "common-practice"),
    articles=("alkalinity-and-hardness", "hard-tap-water", "test-kits"),
    examples=(
        Example(
            title="A kit that counts twelve German degrees",
            given={"value": 12, "unit": "dgh"},
            expect={"mg_l_caco3": 214.2, "dkh": 12},
            source="iupac-atomic-weights",
            tolerance=0.002,
        ),
        Example(
            title="A water report in milliequivalents",
            given={"value": 3.5, "unit": "meq-l"},
            expect={"dkh": 9.813, "mg_l_caco3": 175.2, "mg_l_hco3": 213.6},
            source="hardness-units-table",
            tolerance=0.002,
        ),
        Example(
            title="A report in grains to the gallon",
            given={"value": 10, "unit": "gr-gal"},
            expect={"mg_l_caco3": 171},
            source="hardness-units-table",
            tolerance=0.003,
        ),
    ),
)  # fmt: skip
