"""Pictures of what calculators work out, drawn as SVG without script or style of their own."""

from collections.abc import Callable, Mapping

from kb.calculators.model import Report

from . import ammonia, balance, carbon_dioxide, lower_ph_top_up, oxygen, raise_ph, settler
from .picture import Picture

__all__ = ["PICTURES", "Picture", "picture_of"]

PICTURES: Mapping[str, Callable[[Report], Picture | None]] = {
    "ammonia": ammonia.picture,
    "balance": balance.picture,
    "carbon-dioxide": carbon_dioxide.picture,
    "oxygen": oxygen.picture,
    "raise-ph": raise_ph.picture,
    "lower-ph-top-up": lower_ph_top_up.picture,
    "settler": settler.picture,
}


def picture_of(report: Report) -> Picture | None:
    """The picture of a report; None for a calculator, or figures, that have none."""
    draw = PICTURES.get(report.calculator.id)
    return None if draw is None else draw(report)
