"""Plots: a tank with an open top for axes, lines told apart by their dashes and by words."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from markupsafe import Markup

from . import placing
from .scale import Axis, mark_text
from .svg import (
    DASHES,
    LINE,
    WIDTH,
    Box,
    Point,
    box,
    drawing,
    hatch,
    line,
    path,
    tag,
    width_of,
    words,
)

TOP, DEEP = 30.0, 190.0
BELOW = 46.0
HALF_PIPE = 3.5
FAR = 16.0


@dataclass(frozen=True)
class Curve:
    """A line through points, named at its right end; its place in the list sets its dashes."""

    label: str
    points: tuple[Point, ...]


@dataclass(frozen=True)
class Level:
    """A level line with its words; hatched from it to ``to`` where that is not to be."""

    value: float
    label: str
    to: float | None = None
    gap: float = 9.0
    down: bool = False


@dataclass(frozen=True)
class Beyond:
    """Hatched from a value of x on, with the words that say why."""

    value: float
    label: str
    gap: float = 5.0


@dataclass(frozen=True)
class Here:
    """The reading: where it stands, and its words."""

    x: float
    y: float
    label: str


@dataclass(frozen=True)
class Plot:
    """All that one plot shows; ``parts`` are ticks on the bottom, the parts of a dose."""

    title: str
    x_name: str
    y_name: str
    x_span: tuple[float, float]
    y_span: tuple[float, float]
    curves: tuple[Curve, ...]
    levels: tuple[Level, ...] = ()
    here: Here | None = None
    log: bool = False
    water: bool = False
    beyond: Beyond | None = None
    parts: tuple[float, ...] = field(default=())


@dataclass(frozen=True)
class _Sheet:
    """A plot with its frame and axes laid out."""

    plot: Plot
    frame: Box
    x: Axis
    y: Axis

    def at(self, point: Point) -> Point:
        """Where a pair of values stands in the drawing."""
        return self.x.at(point[0]), self.y.at(point[1])


def draw(plot: Plot) -> Markup:
    """The plot as SVG."""
    sheet = _lay_out(plot)
    runs = [
        clipped([sheet.at(point) for point in each.points], sheet.frame) for each in plot.curves
    ]
    lines = [point for run in runs for piece in run for point in _dense(piece)]
    parts = [
        *_water(sheet, runs),
        *_forbidden(sheet),
        *_grid(sheet),
        *(
            path(piece, f"pic-line pic-line-{index}", dash=DASHES[index % len(DASHES)])
            for index, run in enumerate(runs)
            for piece in run
        ),
        *_tank(sheet),
        *_pipe(sheet),
        *_labels(sheet, runs, lines),
    ]
    return drawing(plot.title, parts, height=sheet.frame.bottom + BELOW)


def _lay_out(plot: Plot) -> _Sheet:
    y_texts = [mark_text(mark) for mark in Axis(*plot.y_span, 0, 1, plot.log).marks()]
    left = max(width_of(text) for text in y_texts) + 8
    right = WIDTH - max([width_of(curve.label) + 14 for curve in plot.curves] or [8.0])
    frame = Box(left, TOP, right, TOP + DEEP)
    return _Sheet(
        plot,
        frame,
        Axis(*plot.x_span, frame.left, frame.right),
        Axis(*plot.y_span, frame.bottom, frame.top, plot.log),
    )


def clipped(points: Sequence[Point], frame: Box) -> list[list[Point]]:
    """The pieces of a line that lie between the top and the bottom of a frame."""
    pieces: list[list[Point]] = []
    for a, b in pairwise(points):
        kept = _between(a, b, frame.top, frame.bottom)
        if kept is None:
            continue
        if pieces and pieces[-1][-1] == kept[0]:
            pieces[-1].append(kept[1])
        else:
            pieces.append(list(kept))
    return pieces


def _between(a: Point, b: Point, top: float, bottom: float) -> tuple[Point, Point] | None:
    if max(a[1], b[1]) < top or min(a[1], b[1]) > bottom:
        return None

    def held(point: Point, other: Point) -> Point:
        edge = min(max(point[1], top), bottom)
        if edge == point[1]:
            return point
        share = (edge - point[1]) / (other[1] - point[1])
        return point[0] + share * (other[0] - point[0]), edge

    return held(a, b), held(b, a)


def _dense(piece: Sequence[Point]) -> list[Point]:
    """Points every few units along a line, to see what a label would cover."""
    found = []
    for a, b in pairwise(piece):
        count = max(1, int(max(abs(b[0] - a[0]), abs(b[1] - a[1])) / 6))
        found += [
            (a[0] + (b[0] - a[0]) * step / count, a[1] + (b[1] - a[1]) * step / count)
            for step in range(count)
        ]
    return found


def _water(sheet: _Sheet, runs: list[list[list[Point]]]) -> list[Markup]:
    """The room under the first line, filled as a tank is."""
    if not sheet.plot.water:
        return []
    bottom = sheet.frame.bottom
    return [
        path([(piece[0][0], bottom), *piece, (piece[-1][0], bottom)], "pic-water", closed=True)
        for piece in runs[0]
    ]


def _forbidden(sheet: _Sheet) -> list[Markup]:
    frame, parts = sheet.frame, []
    for level in sheet.plot.levels:
        if level.to is not None:
            ends = sorted(
                min(max(sheet.y.at(value), frame.top), frame.bottom)
                for value in (level.value, level.to)
            )
            area = Box(frame.left, ends[0], frame.right, ends[1])
            parts.append(hatch(area, gap=level.gap, down=level.down))
    if sheet.plot.beyond:
        area = Box(sheet.x.at(sheet.plot.beyond.value), frame.top, frame.right, frame.bottom)
        parts.append(hatch(area, gap=sheet.plot.beyond.gap))
    return parts


def _grid(sheet: _Sheet) -> list[Markup]:
    """Fine lines at round values, with the values outside."""
    frame, parts = sheet.frame, []
    for mark in sheet.y.marks():
        y = sheet.y.at(mark)
        parts.append(
            line(
                (frame.left, y), (frame.right, y), "pic-grid", data_axis="y", data_value=repr(mark)
            )
        )
        parts.append(words(mark_text(mark), frame.left - 6, y + 5, anchor="end", look="pic-dim"))
    marks = sheet.x.marks()
    for mark in sheet.x.marks(_room(frame, marks)):
        x = sheet.x.at(mark)
        parts.append(
            line(
                (x, frame.bottom), (x, frame.bottom + 5), "pic-tick", data_axis="x",
                data_value=repr(mark),
            )
        )  # fmt: skip
        parts.append(words(mark_text(mark), x, frame.bottom + 20, anchor="middle", look="pic-dim"))
    return parts


def _room(frame: Box, marks: Sequence[float]) -> int:
    """How many values fit along the bottom without touching."""
    widest = max(width_of(mark_text(mark)) for mark in marks) + 10
    return max(2, min(6, int(frame.width / widest)))


def _tank(sheet: _Sheet) -> list[Markup]:
    """The walls, the names of the axes, and the parts of a dose."""
    frame = sheet.frame
    corners = [
        (frame.left, frame.top - 6),
        (frame.left, frame.bottom),
        (frame.right, frame.bottom),
        (frame.right, frame.top - 6),
    ]
    ticks = [
        line((x, frame.bottom), (x, frame.bottom - 8), "pic-part", stroke_width=2)
        for x in (sheet.x.at(part) for part in sheet.plot.parts)
    ]
    return [
        path(corners, "pic-wall"),
        *ticks,
        words(sheet.plot.y_name, 2, 15),
        words(sheet.plot.x_name, WIDTH - 2, frame.bottom + 40, anchor="end"),
    ]


def _pipe(sheet: _Sheet) -> list[Markup]:
    """The reading: a standpipe from the bottom up to it, and a ring on top."""
    here = sheet.plot.here
    if here is None:
        return []
    x, y = sheet.at((here.x, here.y))
    bottom = sheet.frame.bottom
    walls = [
        line((x + side, y), (x + side, bottom), "pic-pipe", stroke_width=1.2)
        for side in (-HALF_PIPE, HALF_PIPE)
    ]
    filled = [box(Box(x - HALF_PIPE, min(y, bottom), x + HALF_PIPE, bottom), "pic-pipe-water")]
    ring = tag(
        "circle", cx=x, cy=y, r=6, class_="pic-here", stroke="currentColor", stroke_width=2.5,
        fill="none",
    )  # fmt: skip
    dot = tag("circle", cx=x, cy=y, r=2.2, class_="pic-solid", fill="currentColor")
    return [*(filled if sheet.plot.water else []), *walls, ring, dot]


def _labels(sheet: _Sheet, runs: list[list[list[Point]]], lines: list[Point]) -> list[Markup]:
    plot, frame = sheet.plot, sheet.frame
    parts: list[Markup] = []
    taken: list[Box] = []
    levels = [(level, sheet.y.at(level.value)) for level in plot.levels]
    shown = [(level, y) for level, y in levels if frame.top <= y <= frame.bottom]
    for _, y in shown:
        parts.append(line((frame.left, y), (frame.right, y), "pic-level", stroke_width=1.6))
        lines = [*lines, *((frame.left + step, y) for step in range(0, int(frame.width), 6))]
    if plot.here:
        place = sheet.at((plot.here.x, plot.here.y))
        taken.append(Box(place[0] - 8, place[1] - 8, place[0] + 8, frame.bottom))
        parts += _put(plot.here.label, placing.beside(place, plot.here.label), frame, taken, lines)
        parts = [*_leader(place, taken[-1]), *parts]
    for level, y in shown:
        parts += _put(level.label, placing.along(y, level.label, frame), frame, taken, lines)
    if plot.beyond:
        area = Box(sheet.x.at(plot.beyond.value), frame.top, frame.right, frame.bottom)
        places = placing.within(area, plot.beyond.label)
        parts += _put(plot.beyond.label, places, frame, taken, lines)
    return [*parts, *_ends(sheet, runs)]


def _leader(ring: Point, label: Box) -> list[Markup]:
    """A fine line from the ring to its label, where the two stand apart."""
    x = min(max(ring[0], label.left), label.right)
    y = min(max(ring[1], label.top), label.bottom)
    if math.dist(ring, (x, y)) < FAR:
        return []
    return [line(ring, (x, y), "pic-leader", stroke_width=1)]


def _put(
    text: str, places: Iterable[Box], frame: Box, taken: list[Box], lines: Sequence[Point]
) -> list[Markup]:
    if not text:
        return []
    place = placing.best(places, frame=frame, taken=taken, lines=lines)
    taken.append(place)
    return [words(text, place.left, place.bottom - 4, look="pic-halo")]


def _ends(sheet: _Sheet, runs: list[list[list[Point]]]) -> list[Markup]:
    """The name of each line at its right end, moved apart where they would touch."""
    frame = sheet.frame
    named = [
        (curve.label, run[-1][-1])
        for curve, run in zip(sheet.plot.curves, runs, strict=True)
        if run
    ]
    heights = placing.spread(
        [end[1] for _, end in named], low=frame.top, high=frame.bottom - 4, gap=LINE - 1
    )
    parts = []
    for (label, end), y in zip(named, heights, strict=True):
        parts.append(line(end, (frame.right + 11, y), "pic-leader", stroke_width=1))
        parts.append(words(label, frame.right + 13, y + 5))
    return parts
