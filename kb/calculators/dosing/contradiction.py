"""A pH and an alkalinity that cannot both be true."""

from kb.calculators.model import refuse, show_plain
from kb.errors import InputErrors
from kb.units import show


def contradiction(*, ph: float, alkalinity: float, co2_mg_l: float) -> InputErrors:
    """The refusal; ``co2_mg_l`` is the impossible carbon dioxide, or 0 when there is none."""
    pair = f"pH {show_plain(ph)} with an alkalinity of {show_plain(alkalinity)} mg/L"
    if co2_mg_l > 0:
        why = f"would need {show(co2_mg_l, 0)} mg/L of carbon dioxide, more than open water holds"
    else:
        why = "cannot be, as that pH alone makes more alkalinity"
    return refuse(
        "alkalinity", show_plain(alkalinity), f"Alkalinity: {pair} {why}; test both again."
    )
