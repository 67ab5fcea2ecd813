"""What both pH calculators say and work out in the same way."""

from collections.abc import Callable
from dataclasses import replace
from math import log10
from typing import TypeVar

from kb.calculators.dosing import KIT_HALF_STEP, METER_ERROR
from kb.calculators.model import Step
from kb.science.carbonate import AIR_UATM, CO2_MG_PER_MOL, State, air_co2_mol_l
from kb.science.lowering import AcidAsk
from kb.science.raising import BaseAsk
from kb.units import show

BALANCE = "pH at which alkalinity = HCO₃ + 2 CO₃ + OH − H"

Ask = TypeVar("Ask", AcidAsk, BaseAsk)


def added(giver: str, name: str, mg_l: float) -> str:
    """What a dose adds of an element, in a sentence."""
    return f"{giver} adds {show(mg_l)} mg/L of {name}." if mg_l else f"{giver} adds no {name}."


def carbon_dioxide_step(ask: AcidAsk | BaseAsk, now: State) -> Step:
    """The working of the carbon dioxide that the readings mean."""
    pk = -log10(now.constants.carbonic[0])
    return Step(
        "carbon dioxide now = 0.8794 × alkalinity × 10^(pK₁ − pH), below pH 8.3",
        f"0.8794 × {show(ask.alkalinity)} × 10^({show(pk, 3)} − {ask.ph:g})",
        f"{show(now.co2_mol_l * CO2_MG_PER_MOL)} mg/L",
        "plummer-busenberg-1982",
    )


def aired_step(balance: str, where: str, aired: State, *, temp_c: float) -> Step:
    """The working of the pH after full aeration; ``where`` is the alkalinity in words."""
    air = air_co2_mol_l(temp_c=temp_c) * CO2_MG_PER_MOL
    return Step(
        f"aired: {balance}, carbon dioxide of the air ({AIR_UATM:.0f} µatm)",
        f"{where}, {show(air)} mg/L of carbon dioxide",
        f"pH {show(aired.ph, 2)}",
        "stumm-morgan-1996",
    )


def reading_doubts(ask: Ask, answer: Callable[[Ask], str]) -> tuple[str, ...]:
    """What a pH and an alkalinity that are a little off would make of the answer."""
    low, high = max(0.0, ask.alkalinity - KIT_HALF_STEP), ask.alkalinity + KIT_HALF_STEP
    kit = f"at {show(high)} {answer(replace(ask, alkalinity=high))}."
    if low < ask.alkalinity:
        kit = f"at {show(low)} {answer(replace(ask, alkalinity=low))}; {kit}"
    lower, higher = (answer(replace(ask, ph=ask.ph + by)) for by in (-METER_ERROR, METER_ERROR))
    return (
        f"If the pH is really {METER_ERROR} lower, {lower}; if {METER_ERROR} higher, {higher}.",
        f"If the alkalinity is off by half a drop of a common kit, {KIT_HALF_STEP:.0f} mg/L: {kit}",
    )
