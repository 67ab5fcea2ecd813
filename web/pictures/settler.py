"""Settler: the vessels drawn to scale with the flow through them, and how fast the water rises."""

from dataclasses import dataclass

from markupsafe import Markup

from kb.calculators.model import Report
from kb.calculators.settler import FASTEST_M_H, GENTLE_M_H
from kb.science.hydraulics import circle_area_m2, depth_m
from kb.units import show

from .figures import chosen, needed, plain, shown, unit, worked_out
from .picture import Picture
from .svg import WIDTH, Box, Point, arrow, box, drawing, hatch, line, path, pipes, wave, words

MOST_DRAWN = 4
LEFT, RIGHT = 80.0, WIDTH - 34.0  # room for the depth and for the way out
BETWEEN = 24.0
HIGHEST, LOWEST = 130.0, 40.0
HEADER_Y, RIM = 32.0, 7.0
TUBE_HIGH = 16.0
SCALE_END_M_DAY = 160.0


@dataclass(frozen=True)
class Row:
    """Equal vessels in a row as they are drawn: their water, and units of the drawing a metre."""

    waters: tuple[Box, ...]
    scale: float

    @property
    def first(self) -> Box:
        """The water of the first vessel."""
        return self.waters[0]


def row_of(*, diameter_m: float, deep_m: float, count: int) -> Row:
    """Up to four vessels beside each other, as large as there is room for, all to one scale."""
    drawn = min(count, MOST_DRAWN)
    room = (RIGHT - LEFT - BETWEEN * (drawn - 1)) / drawn
    scale = min(room / diameter_m, HIGHEST / deep_m)
    wide, high = diameter_m * scale, deep_m * scale
    floor = HEADER_Y + 24 + max(LOWEST, high)
    start = LEFT + (RIGHT - LEFT - drawn * wide - (drawn - 1) * BETWEEN) / 2
    return Row(
        tuple(
            Box(left, floor - high, left + wide, floor)
            for left in (start + index * (wide + BETWEEN) for index in range(drawn))
        ),
        scale,
    )


def picture(report: Report) -> Picture:
    """The vessels, their flow and their overflow rate."""
    diameter = needed(report, "vessel_diameter")
    litres, count = needed(report, "vessel_volume"), int(needed(report, "vessels"))
    deep = depth_m(volume_l=litres, area_m2=circle_area_m2(diameter_m=diameter))
    row = row_of(diameter_m=diameter, deep_m=deep, count=count)
    parallel = chosen(report, "layout") == "parallel"
    daily = worked_out(report, "overflow_rate") * 24
    floor = row.first.bottom
    parts = [
        *_plumbing(row, parallel),
        *(piece for water in row.waters for piece in _vessel(water)),
        *_outlets(row, parallel),
        words(f"{report.inputs['flow'].text} in", 4, 15),
        *_sizes(row, report, deep),
        *_more(count, floor),
        words(_flow_text(report, count, parallel), 4, floor + 54),
        *_gauge(report, daily, floor + 78),
    ]
    title = f"Settler: {_vessels(count)}{_layout(count, parallel)}, drawn to scale"
    return Picture(
        drawing(title, parts, height=floor + 138), _caption(report, deep, count, parallel, daily)
    )


def _vessel(water: Box) -> list[Markup]:
    """Walls, water, its surface, and an arrow for the rise where there is room."""
    rim = water.top - RIM
    wall = [
        (water.left, rim),
        (water.left, water.bottom),
        (water.right, water.bottom),
        (water.right, rim),
    ]
    parts = [box(water, "pic-water pic-vessel"), path(wall, "pic-wall", width=3)]
    if water.width >= 10:
        parts.append(wave(water.left, water.right, water.top))
    if water.height >= 34 and water.width >= 18:
        middle = (water.left + water.right) / 2
        parts.append(arrow((middle, water.bottom - 8), (middle, water.top + 8)))
    return parts


def _plumbing(row: Row, parallel: bool) -> list[Markup]:
    """A pipe over the vessels that drops into each, or into the first and on to the next."""
    drops = [
        min(water.left + 8, (water.left + water.right) / 2)
        for water in (row.waters if parallel else row.waters[:1])
    ]
    end = row.first.top - RIM + 2
    bent = pipes([[(4, HEADER_Y), (x, HEADER_Y), (x, end)] for x in drops])
    heads = [arrow((x, end), (x, end + 12), head=4.0) for x in drops]
    if parallel:
        return [*bent, *heads]
    y = row.first.top
    neighbours = zip(row.waters, row.waters[1:], strict=False)
    on = pipes([[(a.right, y), (b.left, y)] for a, b in neighbours])
    return [*bent, *heads, *on]


def _outlets(row: Row, parallel: bool) -> list[Markup]:
    leaving = row.waters if parallel else row.waters[-1:]
    parts = []
    for water in leaving:  # over the rim and down, so that it does not point at the next vessel
        out, y = water.right + 10, water.top
        parts.append(line((water.right + 1, y), (out, y), "pic-arrow", stroke_width=2))
        parts.append(arrow((out, y - 1), (out, y + 20), head=4.0))
    return parts


def _sizes(row: Row, report: Report, deep: float) -> list[Markup]:
    water = row.first
    beside, under = water.left - 12, water.bottom + 12
    depth = _depth(report, deep)
    middle = (water.top + water.bottom) / 2
    return [
        *_measure((beside, water.top), (beside, water.bottom)),
        words(depth, beside - 6, middle, anchor="end"),
        words("deep", beside - 6, middle + 17, anchor="end"),
        *_measure((water.left, under), (water.right, under)),
        words(f"{report.inputs['vessel_diameter'].text} across", max(4.0, water.left), under + 19),
    ]


def _measure(a: Point, b: Point) -> list[Markup]:
    """A line with a stroke across either end."""
    level = a[1] == b[1]
    dx, dy = (0.0, 4.0) if level else (4.0, 0.0)
    ends = [line((x - dx, y - dy), (x + dx, y + dy), "pic-size") for x, y in (a, b)]
    return [line(a, b, "pic-size"), *ends]


def _more(count: int, floor: float) -> list[Markup]:
    if count <= MOST_DRAWN:
        return []
    return [
        words(f"and {count - MOST_DRAWN} more", WIDTH - 4, floor + 31, anchor="end", look="pic-dim")
    ]


def _gauge(report: Report, daily: float, top: float) -> list[Markup]:
    """A lying tube that fills with the overflow rate, with the two published marks."""
    tube = Box(6, top + 16, WIDTH - 20, top + 16 + TUBE_HIGH)

    def at(rate: float) -> float:
        return tube.left + tube.width * rate / SCALE_END_M_DAY

    gentle, fastest = GENTLE_M_H * 24, FASTEST_M_H * 24
    level = Box(tube.left, tube.top, min(at(daily), tube.right), tube.bottom)
    over = Box(at(fastest), tube.top, tube.right, tube.bottom)
    parts = [
        words(f"Water rises {report.results['overflow_rate_daily'].text}", 4, top + 4),
        box(level, "pic-pipe-water pic-level-of-tube"),
        hatch(over, gap=6.0),
        *_wet_hatch(over, level),
        path(_corners(tube), "pic-tube-edge", width=2),
    ]
    under = tube.bottom + 20
    for rate in (gentle, fastest):
        parts.append(line((at(rate), tube.top - 3), (at(rate), tube.bottom + 5), "pic-wall"))
    parts += [
        words(f"{_rate(report, gentle)} gentle,", at(fastest) - 13, under, anchor="end"),
        words(f"{_rate(report, fastest)} the most", at(fastest) - 8, under),
    ]
    if daily > SCALE_END_M_DAY:
        y = (tube.top + tube.bottom) / 2
        parts.append(arrow((tube.right, y), (tube.right + 16, y)))
    return parts


def _wet_hatch(over: Box, level: Box) -> list[Markup]:
    """The hatching once more in a pale stroke, where the tube is full."""
    if level.right <= over.left:
        return []
    wet = Box(over.left, over.top, level.right, over.bottom)
    return [hatch(wet, gap=6.0, look="pic-hatch-wet")]


def _rate(report: Report, daily: float) -> str:
    return plain(shown(report, "overflow_rate_daily", daily / 24), 2)


def _depth(report: Report, deep: float) -> str:
    where = unit(report, "vessel_diameter")
    if where == "mm":  # a depth in metres reads more easily
        return f"{show(deep, 2)} m"
    return f"{plain(shown(report, 'vessel_diameter', deep))} {where}"


def _corners(tube: Box) -> list[Point]:
    return [
        (tube.right, tube.top),
        (tube.left, tube.top),
        (tube.left, tube.bottom),
        (tube.right, tube.bottom),
    ]


def _vessels(count: int) -> str:
    return "one vessel" if count == 1 else f"{count} vessels"


def _layout(count: int, parallel: bool) -> str:
    if count == 1:
        return ""
    return " side by side" if parallel else " one after the other"


def _flow_text(report: Report, count: int, parallel: bool) -> str:
    each = report.results["flow_per_vessel"].text
    if count == 1:
        return f"{each} through the vessel"
    return f"{each} through each{'' if parallel else ' in turn'}"


def _caption(report: Report, deep: float, count: int, parallel: bool, daily: float) -> str:
    each = report.results["flow_per_vessel"].text
    split = f"share the flow, {each} each" if parallel and count > 1 else f"take {each} each"
    text = (
        f"Side view to scale: {_vessels(count)}{_layout(count, parallel)}, "
        f"{report.inputs['vessel_diameter'].text} across with water {_depth(report, deep)} deep"
    )
    text += f" and {each} through it. " if count == 1 else f"; they {split}. "
    if count > MOST_DRAWN:
        text += f"Drawn are {MOST_DRAWN}, and {count - MOST_DRAWN} more are like them. "
    text += (
        f"The water rises at {report.results['overflow_rate_daily'].text}; the tube below fills "
        f"with that. Its marks are {_rate(report, GENTLE_M_H * 24)}, which is gentle, and "
        f"{_rate(report, FASTEST_M_H * 24)}, over which it is hatched because fine solids go "
        "through."
    )
    if daily > SCALE_END_M_DAY:
        text += " The tube is too short for this rate: it runs over."
    return text
