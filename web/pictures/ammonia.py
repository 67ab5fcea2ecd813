"""Ammonia: how the harmful part of this reading grows with pH, at three temperatures."""

import math
from collections.abc import Callable

from kb.calculators.ammonia import CAREFUL_MG_L, HARM_MG_L
from kb.calculators.model import Report
from kb.science.ammonia import unionised_fraction
from kb.units import show

from .figures import needed, plain, shown, unit, worked_out
from .picture import Picture, Table
from .plot import Curve, Here, Level, Plot, draw

WARMER_C = 5.0
HOTTEST_C = 45.0
LEAST_MG_L = 1e-6  # less has no place on a scale that a keeper could read
STEPS = 36


def picture(report: Report) -> Picture | None:
    """Un-ionised ammonia over pH; None where there is next to no ammonia."""
    total, ph = worked_out(report, "ammonia_nitrogen"), needed(report, "ph")
    temp = min(max(needed(report, "temperature"), 0.0), HOTTEST_C)
    unionised = worked_out(report, "unionised_ammonia")
    if unionised < LEAST_MG_L:
        return None
    low, high = min(6.0, float(math.floor(ph))), max(9.0, float(math.ceil(ph)))
    others = {max(0.0, temp - WARMER_C), min(HOTTEST_C, temp + WARMER_C)} - {temp}
    curves = tuple(_curve(report, total, each, low, high) for each in (temp, *sorted(others)))
    top = max(y for curve in curves for _, y in curve.points)
    plot = Plot(
        title=f"Un-ionised ammonia from pH {plain(low)} to {plain(high)}",
        x_name="pH",
        y_name="Un-ionised ammonia, mg/L as N",
        x_span=(low, high),
        y_span=(_decade(min(unionised, 0.01), math.floor), _decade(max(top, 0.1), math.ceil)),
        curves=curves,
        levels=(
            Level(HARM_MG_L, f"{HARM_MG_L:g} harms gills", to=math.inf, gap=7.0),
            Level(CAREFUL_MG_L, f"{CAREFUL_MG_L:g} cautious line", to=HARM_MG_L, gap=14.0),
        ),
        here=Here(ph, unionised, f"yours: {plain(unionised)}"),
        log=True,
    )
    return Picture(draw(plot), _caption(report, total, ph, temp, unionised), _table(plot))


def _curve(report: Report, total: float, temp: float, low: float, high: float) -> Curve:
    step = (high - low) / STEPS
    phs = [low + index * step for index in range(STEPS + 1)]
    points = tuple((ph, total * unionised_fraction(ph=ph, temp_c=temp)) for ph in phs)
    return Curve(_degrees(report, temp), points)


def _degrees(report: Report, temp: float) -> str:
    return f"{plain(shown(report, 'temperature', temp))} {unit(report, 'temperature')}"


def _decade(value: float, rounded: Callable[[float], int]) -> float:
    return 10.0 ** rounded(math.log10(value))


def _caption(report: Report, total: float, ph: float, temp: float, unionised: float) -> str:
    warmer = total * unionised_fraction(ph=ph, temp_c=min(HOTTEST_C, temp + WARMER_C))
    more = shown(report, "temperature", WARMER_C) - shown(report, "temperature", 0.0)
    higher = total * unionised_fraction(ph=ph + 1, temp_c=temp)
    return (
        f"Of {plain(total)} mg/L of total ammonia (as N), {plain(unionised)} mg/L is un-ionised at "
        f"pH {report.inputs['ph'].text} and {_degrees(report, temp)}, where the ring is. One pH "
        f"higher it would be {plain(higher)} mg/L, {plain(more)} {unit(report, 'temperature')} "
        f"warmer {plain(warmer)} mg/L. Lightly "
        f"hatched from {CAREFUL_MG_L:g} mg/L, the cautious line (common practice), closely from "
        f"{HARM_MG_L:g} mg/L, which harms gills. Each step up the scale is ten times as much."
    )


def _table(plot: Plot) -> Table:
    every = STEPS // 6
    rows = [
        (show(points[0][0], 1), *(plain(y) for _, y in points))
        for points in zip(*(curve.points[::every] for curve in plot.curves), strict=True)
    ]
    return ("pH", *(f"mg/L at {curve.label}" for curve in plot.curves)), tuple(rows)
