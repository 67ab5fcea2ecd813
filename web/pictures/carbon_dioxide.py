"""Carbon dioxide: how much this alkalinity holds at each pH, and where the reading stands."""

import math

from kb.calculators.carbon_dioxide import HARM_MG_L
from kb.calculators.model import Report
from kb.science.carbonate import CO2_MG_PER_MOL, at_ph, from_reading
from kb.units import show

from .figures import needed, plain, worked_out
from .picture import Picture, Table
from .plot import Curve, Here, Level, Plot, draw

STEPS = 40
ROWS = 8
LOW_PH, HIGH_PH = 6.0, 8.5
LEAST_MG_L = 1e-6


def picture(report: Report) -> Picture | None:
    """Carbon dioxide over pH at this alkalinity; None where there is next to none of it."""
    ph, alkalinity = needed(report, "ph"), needed(report, "alkalinity")
    temp = max(needed(report, "temperature"), 0.0)
    now, air = worked_out(report, "carbon_dioxide"), worked_out(report, "carbon_dioxide_at_air")
    aired = worked_out(report, "ph_at_air")
    if now < LEAST_MG_L:
        return None
    low = min(LOW_PH, math.floor(ph * 2) / 2)
    high = max(HIGH_PH, math.ceil(max(ph, aired) * 2) / 2)
    curve = Curve("CO₂", _points(alkalinity, temp, low, high))
    plot = Plot(
        title=f"Carbon dioxide from pH {plain(low)} to {plain(high)}",
        x_name="pH",
        y_name="Carbon dioxide, mg/L",
        x_span=(low, high),
        y_span=(
            10.0 ** math.floor(math.log10(min(now, air))),
            10.0 ** math.ceil(math.log10(max(now * 1.2, 100.0))),
        ),
        curves=(curve,),
        levels=(
            Level(HARM_MG_L, f"{HARM_MG_L:.0f} toxic above", to=math.inf, gap=7.0),
            Level(air, f"{plain(air, 2)} as air leaves"),
        ),
        here=Here(ph, now, f"yours: {plain(now, 2)}"),
        log=True,
    )
    return Picture(draw(plot), _caption(report, aired), _table(curve))


def _points(
    alkalinity: float, temp: float, low: float, high: float
) -> tuple[tuple[float, float], ...]:
    found = []
    for index in range(STEPS + 1):
        ph = low + (high - low) * index / STEPS
        water = from_reading(ph=ph, alkalinity_mg_l=alkalinity, temp_c=temp)
        if water.carbon_mol_l > 0:
            mg_l = at_ph(water, ph=ph)[1].co2_mol_l * CO2_MG_PER_MOL
            found.append((ph, mg_l))
    return tuple(found)


def _caption(report: Report, aired: float) -> str:
    now, alkalinity = report.results["carbon_dioxide"].text, report.inputs["alkalinity"].text
    return (
        f"At an alkalinity of {alkalinity} each pH stands for one amount of carbon dioxide, ten "
        f"times less for every whole pH up. The ring is pH {report.inputs['ph'].text} with {now}. "
        f"Where the line meets what air leaves, {report.results['carbon_dioxide_at_air'].text}, "
        f"the pH is {show(aired, 1)}: full aeration brings the water there. Hatched above "
        f"{HARM_MG_L:.0f} mg/L, which a veterinary manual lists as toxic to fish. Each step up the "
        "scale is ten times as much."
    )


def _table(curve: Curve) -> Table:
    rows = tuple((show(ph, 2), plain(mg_l)) for ph, mg_l in curve.points[:: STEPS // ROWS])
    return ("pH", "Carbon dioxide, mg/L"), rows
