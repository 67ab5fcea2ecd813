"""Oxygen: what water can hold from cold to warm, and where the reading stands."""

from kb.calculators.model import Report
from kb.calculators.oxygen import DEATHS_MG_L, HARM_MG_L
from kb.science.oxygen import saturation_mg_l
from kb.units import show

from .figures import found, given, needed, plain, shown, unit, worked_out
from .picture import Picture, Table
from .plot import Curve, Here, Level, Plot, draw
from .scale import step_for

COLDEST_C, WARMEST_C = 0, 40
ROW_C = 5


def picture(report: Report) -> Picture:
    """Oxygen at saturation over temperature at this pressure and salt, and the reading."""
    temp = min(max(needed(report, "temperature"), 0.0), 40.0)
    full, oxygen = worked_out(report, "saturation"), given(report, "oxygen")
    curve = _curve(report)
    most = max(curve.points[0][1], oxygen or 0.0, HARM_MG_L) * 1.05
    step = step_for(most, 6)
    read = full if oxygen is None else oxygen
    plot = Plot(
        title="Oxygen that water holds at 0 to 40 °C",
        x_name=f"Water temperature, {unit(report, 'temperature')}",
        y_name="Oxygen, mg/L",
        x_span=(curve.points[0][0], curve.points[-1][0]),
        y_span=(0.0, step * (int(most / step) + 1)),
        curves=(curve,),
        levels=(
            Level(HARM_MG_L, f"{HARM_MG_L:g}: harm below", to=DEATHS_MG_L, gap=14.0),
            Level(DEATHS_MG_L, f"{DEATHS_MG_L:g}: deaths below", to=0.0, gap=6.0),
        ),
        here=Here(
            shown(report, "temperature", temp),
            read,
            f"{'full' if oxygen is None else 'yours'}: {plain(read)}",
        ),
        water=True,
    )
    return Picture(draw(plot), _caption(report, full, oxygen), _table(report, curve))


def _curve(report: Report) -> Curve:
    salinity, kpa = needed(report, "salinity"), worked_out(report, "pressure")
    points = tuple(
        (
            shown(report, "temperature", float(temp)),
            saturation_mg_l(temp_c=float(temp), salinity_g_kg=salinity, pressure_kpa=kpa),
        )
        for temp in range(COLDEST_C, WARMEST_C + 1)
    )
    return Curve("full", points)


def _caption(report: Report, full: float, oxygen: float | None) -> str:
    where = f"{report.inputs['temperature'].text} and {report.results['pressure'].text}"
    text = (
        f"The water's surface in the picture is the most oxygen that air gives it; the warmer the "
        f"water, the less. At {where} it is {show(full, 2)} mg/L. "
    )
    percent = found(report, "percent_saturation")
    if oxygen is None or percent is None:
        text += "The ring marks it. "
    else:
        text += f"The ring is the reading, {plain(oxygen)} mg/L, {show(percent, 0)} % of that. "
    return text + (
        f"Hatched below {HARM_MG_L:g} mg/L, which harms fish in the long run, and closely below "
        f"{DEATHS_MG_L:g} mg/L, where fish die."
    )


def _table(report: Report, curve: Curve) -> Table:
    rows = tuple((plain(x), show(y, 2)) for x, y in curve.points[::ROW_C])
    return (f"Water, {unit(report, 'temperature')}", "Most oxygen from the air, mg/L"), rows
