"""Flows as bands: what comes in on the left, where it goes on the right, widths to one scale."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from . import placing
from .svg import LINE, Box, box, hatch, line, number, path, tag, words

TALL = 140.0
LEFT, BAR, RIGHT = 6.0, 12.0, 160.0
BETWEEN = 10.0
HEADING = 24.0
THINNEST = 0.002  # of the whole; less is not drawn, but stands in the table


@dataclass(frozen=True)
class Flow:
    """One part of a whole: its words, how much, and whether it is a warning sign."""

    label: str
    amount: float
    warning: bool = False


@dataclass(frozen=True)
class Split:
    """A whole that comes in as some flows and goes out as others; both sums are the same."""

    heading: str
    sources: tuple[Flow, ...]
    sinks: tuple[Flow, ...]

    @property
    def whole(self) -> float:
        """How much goes through."""
        return sum(flow.amount for flow in self.sinks)

    @property
    def drawn(self) -> tuple[Flow, ...]:
        """The sinks that are wide enough to be seen."""
        return tuple(flow for flow in self.sinks if flow.amount > THINNEST * self.whole)

    @property
    def height(self) -> float:
        """The height of its drawing."""
        return HEADING + TALL + (len(self.drawn) - 1) * BETWEEN + 8


def draw(split: Split, top: float, texts: Sequence[str]) -> list[Markup]:
    """The bands of one split below ``top``, with a text to each drawn sink."""
    scale = TALL / split.whole
    start = top + HEADING
    rooms = _stacked([flow.amount * scale for flow in split.drawn], start, BETWEEN)
    middle = start + (len(rooms) - 1) * BETWEEN / 2
    from_left = _stacked([flow.amount * scale for flow in split.drawn], middle, 0.0)
    parts = [words(split.heading, 4, top + 12)]
    for flow, (a, b), (c, d) in zip(split.drawn, from_left, rooms, strict=True):
        parts.append(_band(a, b, c, d))
        parts += _cap(Box(RIGHT, c, RIGHT + BAR, d), flow.warning)
    parts += _sources(split, middle, scale)
    return parts + _texts(rooms, texts, Box(0, top, RIGHT, start + TALL + BETWEEN * len(rooms)))


def _stacked(heights: Sequence[float], top: float, gap: float) -> list[tuple[float, float]]:
    found = []
    for height in heights:
        found.append((top, top + height))
        top += height + gap
    return found


def _band(a: float, b: float, c: float, d: float) -> Markup:
    """A band that leaves the left from a to b and comes to the right from c to d."""
    left, right = LEFT + BAR, RIGHT
    bend = (left + right) / 2
    steps = (
        f"M{number(left)} {number(a)}",
        f"C{number(bend)} {number(a)} {number(bend)} {number(c)} {number(right)} {number(c)}",
        f"V{number(d)}",
        f"C{number(bend)} {number(d)} {number(bend)} {number(b)} {number(left)} {number(b)}Z",
    )
    return tag("path", d="".join(steps), class_="pic-band", stroke="currentColor")


def _cap(area: Box, warning: bool) -> list[Markup]:
    """The end of a band, as wide as the band; a warning is hatched."""
    if not warning:
        return [box(area, "pic-cap")]
    corners = [
        (area.left, area.top),
        (area.right, area.top),
        (area.right, area.bottom),
        (area.left, area.bottom),
    ]
    return [
        hatch(area, gap=4.0, look="pic-hatch-hard"),
        path([*corners, corners[0]], "pic-cap-warning", width=1.5),
    ]


def _sources(split: Split, top: float, scale: float) -> list[Markup]:
    heights = _stacked([flow.amount * scale for flow in split.sources], top, 0.0)
    return [
        part
        for flow, (a, b) in zip(split.sources, heights, strict=True)
        for part in _cap(Box(LEFT, a, LEFT + BAR, b), flow.warning)
    ]


def _texts(rooms: Sequence[tuple[float, float]], texts: Sequence[str], area: Box) -> list[Markup]:
    wanted = [(c + d) / 2 for c, d in rooms]
    heights = placing.spread(wanted, low=area.top + HEADING + 2, high=area.bottom, gap=LINE)
    x = RIGHT + BAR
    parts = []
    for text, middle, y in zip(texts, wanted, heights, strict=True):
        parts.append(line((x, middle), (x + 8, y), "pic-leader", stroke_width=1))
        parts.append(words(text, x + 10, y + 5))
    return parts
