"""What was measured over time: a line with its gaps, limits hatched, doses and events below."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from markupsafe import Markup

from kb.bookkeeping.times import MONTHS

from . import placing
from .scale import Axis, mark_text
from .svg import WIDTH, Box, Point, box, drawing, hatch, line, path, tag, width_of, words

TOP, DEEP, BELOW = 30.0, 170.0, 48.0
STRIP, HALF = 16.0, 4.5
NEXT_SIGN = 8.0
ORDER = ("dose", "water", "fish", "remark")  # of signs, the last on top
LONGEST_STEP = datetime.timedelta(hours=36)
USUAL_STEPS = 3.0
MANY = 70
DAY = datetime.timedelta(days=1)
Value = tuple[datetime.datetime, float]


@dataclass(frozen=True)
class Line:
    """A level line with its words; hatched on the side where values are not to be."""

    value: float
    label: str
    upper: bool


@dataclass(frozen=True)
class Event:
    """Something done or noted at a time; its kind chooses the sign."""

    at: datetime.datetime
    kind: str


@dataclass(frozen=True)
class OverTime:
    """All that one picture shows; ``bars`` stand for amounts, a line, or dots alone, for values.

    A ``band`` shows what was expected, from low to high; values that are ``ringed`` stand out.
    """

    title: str
    words: str
    y_name: str
    span: tuple[datetime.datetime, datetime.datetime]
    values: tuple[Value, ...]
    lines: tuple[Line, ...] = ()
    events: tuple[Event, ...] = ()
    bars: bool = False
    joined: bool = True
    band: tuple[tuple[datetime.datetime, float, float], ...] = ()
    ringed: tuple[Value, ...] = ()


def draw(picture: OverTime) -> Markup:
    """The picture as SVG, with a title and a description that says the same in words."""
    low, high = _ends(picture)
    y_texts = [mark_text(mark) for mark in Axis(low, high, 0, 1).marks()]
    frame = Box(max(map(width_of, y_texts)) + 10, TOP, WIDTH - 8, TOP + DEEP)
    start, end = picture.span
    x = Axis(start.timestamp(), end.timestamp(), frame.left, frame.right)
    y = Axis(low, high, frame.bottom, frame.top)
    runs = [] if picture.bars else _runs(picture.values)
    places = [[(x.at(at.timestamp()), y.at(value)) for at, value in run] for run in runs]
    parts = [
        tag("desc", picture.words),
        *_band(picture, frame, x, y),
        *_hatched(picture, frame, y),
        *_grid(frame, y),
        *_dates(picture.span, frame, x),
        *(_bars(picture, frame, x, y) if picture.bars else _line(places, picture.joined)),
        *_rings(picture, x, y),
        *_walls(frame),
        words(picture.y_name, 2, 15),
        *_levels(picture, frame, y, [point for run in places for point in run]),
        *_events(picture.events, frame, x),
    ]
    return drawing(picture.title, parts, height=frame.bottom + STRIP + BELOW)


def key(events: Iterable[Event]) -> str:
    """What the signs under a picture mean, those that stand there."""
    kinds = {event.kind for event in events}
    said = {
        "dose": "triangle: a dose",
        "water": "drop: water added or changed",
        "fish": "cross: fish in or out",
        "remark": "ring: a remark",
    }
    return "; ".join(text for kind, text in said.items() if kind in kinds)


def _ends(picture: OverTime) -> tuple[float, float]:
    """The lowest and highest value of the axis: all values, and the limits near them."""
    values = [value for _, value in picture.values] or [0.0, 1.0]
    values += [edge for _, *ends in picture.band for edge in ends]
    if picture.bars:
        return 0.0, (max(values) or 1.0) * 1.1
    low, high = min(values), max(values)
    room = (high - low) or abs(high) * 0.5 or 1.0
    for each in picture.lines:
        if low - 1.5 * room <= each.value <= high + 1.5 * room:
            low, high = min(low, each.value), max(high, each.value)
    pad = 0.12 * ((high - low) or room)
    floor = 0.0 if min(values) >= 0 else low - pad
    return max(low - pad, floor), high + pad


def _runs(values: Sequence[Value]) -> list[list[Value]]:
    """The values in pieces: where nothing was measured for long there is a gap."""
    steps = [(b[0] - a[0]).total_seconds() for a, b in pairwise(values)]
    usual = median(steps) if steps else 0.0
    longest = max(USUAL_STEPS * usual, LONGEST_STEP.total_seconds())
    runs: list[list[Value]] = []
    for index, value in enumerate(values):
        if index == 0 or steps[index - 1] > longest:
            runs.append([])
        runs[-1].append(value)
    return runs


def _line(runs: Sequence[Sequence[Point]], joined: bool) -> list[Markup]:
    many = sum(map(len, runs)) > MANY
    longer = [run for run in runs if len(run) > 1 and joined]
    lines = [path(run, "pic-line time-line", width=1.8) for run in longer]
    dots = [
        tag("circle", cx=px, cy=py, r=1.6 if many else 2.6, class_="pic-solid", fill="currentColor")
        for run in runs
        for px, py in run
    ]
    return [*lines, *dots]


def _band(picture: OverTime, frame: Box, x: Axis, y: Axis) -> list[Markup]:
    """What was expected, as a band with its gaps."""
    lows = [(at, low) for at, low, _ in picture.band]
    highs = {at: high for at, _, high in picture.band}
    found = []
    for run in _runs(lows):
        top = [(x.at(at.timestamp()), y.at(highs[at])) for at, _ in run]
        bottom = [(x.at(at.timestamp()), y.at(low)) for at, low in run]
        if len(run) == 1:
            (place, high), (_, low) = top[0], bottom[0]
            top, bottom = (
                [(place - 2, high), (place + 2, high)],
                [(place - 2, low), (place + 2, low)],
            )
        found.append(path([*top, *reversed(bottom)], "time-band", closed=True))
    return found


def _rings(picture: OverTime, x: Axis, y: Axis) -> list[Markup]:
    return [
        tag(
            "circle", cx=x.at(at.timestamp()), cy=y.at(value), r=6, class_="time-odd",
            stroke="currentColor", stroke_width=2, fill="none",
        )
        for at, value in picture.ringed
    ]  # fmt: skip


def _bars(picture: OverTime, frame: Box, x: Axis, y: Axis) -> list[Markup]:
    day = x.at(picture.span[0].timestamp() + DAY.total_seconds()) - frame.left
    half = max(0.6, min(0.35 * day, 12.0))
    found = []
    for at, value in picture.values:
        middle = x.at(at.timestamp())
        left, right = max(middle - half, frame.left), min(middle + half, frame.right)
        found.append(box(Box(left, y.at(value), right, frame.bottom), "time-bar"))
    return found


def _hatched(picture: OverTime, frame: Box, y: Axis) -> list[Markup]:
    found = []
    for each in picture.lines:
        edge = min(max(y.at(each.value), frame.top), frame.bottom)
        area = (
            Box(frame.left, frame.top, frame.right, edge)
            if each.upper
            else Box(frame.left, edge, frame.right, frame.bottom)
        )
        if area.height > 0.5:
            found.append(hatch(area, gap=9.0, down=each.upper))
    return found


def _levels(picture: OverTime, frame: Box, y: Axis, points: Sequence[Point]) -> list[Markup]:
    found: list[Markup] = []
    taken: list[Box] = []
    for each in picture.lines:
        height = y.at(each.value)
        if not frame.top <= height <= frame.bottom:
            continue
        found.append(
            line((frame.left, height), (frame.right, height), "pic-level", stroke_width=1.6)
        )
        place = placing.best(
            placing.along(height, each.label, frame), frame=frame, taken=taken, lines=points
        )
        taken.append(place)
        found.append(words(each.label, place.left, place.bottom - 4, look="pic-halo"))
    return found


def _grid(frame: Box, y: Axis) -> list[Markup]:
    parts = []
    for mark in y.marks():
        height = y.at(mark)
        parts.append(line((frame.left, height), (frame.right, height), "pic-grid"))
        parts.append(
            words(mark_text(mark), frame.left - 6, height + 5, anchor="end", look="pic-dim")
        )
    return parts


def _walls(frame: Box) -> list[Markup]:
    corners = [
        (frame.left, frame.top - 6),
        (frame.left, frame.bottom),
        (frame.right, frame.bottom),
        (frame.right, frame.top - 6),
    ]
    return [path(corners, "pic-wall")]


def _dates(span: tuple[datetime.datetime, datetime.datetime], frame: Box, x: Axis) -> list[Markup]:
    bottom = frame.bottom + STRIP
    parts = []
    free = 0.0
    for moment, text in marks(span):
        place = x.at(moment.timestamp())
        parts.append(line((place, frame.bottom), (place, bottom + 5), "pic-tick"))
        wide = width_of(text)
        start = min(max(place - wide / 2, 0.0), WIDTH - wide)
        if start >= free:
            parts.append(words(text, start, bottom + 20, look="pic-dim"))
            free = start + wide + 8
    first = span[0].astimezone()
    last = (span[1] - datetime.timedelta(seconds=1)).astimezone()
    years = f"{first.year}" if first.year == last.year else f"{first.year} to {last.year}"
    if span[1] - span[0] <= DAY * 1.1:
        years = f"{first.day} {MONTHS[first.month - 1]} {first.year}"
    parts.append(words(years, WIDTH - 2, bottom + 40, anchor="end"))
    return parts


def marks(
    span: tuple[datetime.datetime, datetime.datetime],
) -> list[tuple[datetime.datetime, str]]:
    """The moments to be marked along a span, with their words: hours, days or months."""
    start, end = (moment.astimezone() for moment in span)
    days = (end - start) / DAY
    if days <= 1.1:
        step = datetime.timedelta(hours=6)
        return [
            (moment, f"{moment:%H:%M}")
            for turn in range(5)
            if start <= (moment := _midnight(start) + turn * step) <= end
        ]
    every = 1 if days <= 5 else 7 if days <= 62 else 0
    found = []
    moment = _midnight(start)
    while moment < end:
        wanted = (moment.day - 1) % every == 0 and moment.day < 29 if every else moment.day == 1
        if moment >= start and wanted:
            month = MONTHS[moment.month - 1]
            found.append((moment, f"{moment.day} {month}" if every else month))
        moment = _midnight(moment + DAY + datetime.timedelta(hours=2))
    return found


def _midnight(moment: datetime.datetime) -> datetime.datetime:
    """The start of the day; the day after is found across a change of clocks too."""
    naive = datetime.datetime.combine(moment.astimezone().date(), datetime.time())
    return naive.astimezone()


def _events(events: Sequence[Event], frame: Box, x: Axis) -> list[Markup]:
    draw_sign = {"dose": _triangle, "water": _drop, "fish": _cross, "remark": _ring}
    y = frame.bottom + STRIP / 2 + 1
    last: dict[str, float] = {}
    found = []
    for event in sorted(events, key=lambda one: (ORDER.index(one.kind), one.at)):
        place = x.at(event.at.timestamp())
        if place - last.get(event.kind, -WIDTH) >= NEXT_SIGN:  # one may stand for several
            found.append(draw_sign[event.kind](place, y))
            last[event.kind] = place
    return found


def _triangle(x: float, y: float) -> Markup:
    return _shape([(x - HALF, y + HALF), (x, y - HALF), (x + HALF, y + HALF)], "time-dose")


def _drop(x: float, y: float) -> Markup:
    points = [(x, y - HALF - 1), (x + HALF, y + 1), (x, y + HALF), (x - HALF, y + 1)]
    return _shape(points, "time-water")


def _cross(x: float, y: float) -> Markup:
    a = line((x - HALF, y - HALF), (x + HALF, y + HALF), "time-fish", stroke_width=2)
    return a + line((x - HALF, y + HALF), (x + HALF, y - HALF), "time-fish", stroke_width=2)


def _ring(x: float, y: float) -> Markup:
    return tag(
        "circle", cx=x, cy=y, r=HALF - 1, class_="time-remark", stroke="currentColor",
        stroke_width=1.5, fill="none",
    )  # fmt: skip


def _shape(points: Sequence[Point], look: str) -> Markup:
    return path(points, look, closed=True)
