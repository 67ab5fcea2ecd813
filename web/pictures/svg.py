"""Small pieces of SVG: everything escaped, no style of its own, classes for the style sheet.

Lengths are in units of the drawing, WIDTH units wide. On a phone 320 px wide a page has 284 px for
it, so that TEXT comes to 12 px there.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from markupsafe import Markup, escape

WIDTH = 340.0
TEXT = 14.5
LETTER = 0.6 * TEXT  # the mean width of a letter in the widest of the fonts asked for
LINE = 17.0
DASHES = ("", "9 4", "2 4", "12 4 2 4")
Point = tuple[float, float]


@dataclass(frozen=True)
class Box:
    """A rectangle, from its left upper corner to its right lower one."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From top to bottom."""
        return self.bottom - self.top

    def holds(self, point: Point) -> bool:
        """Does the point lie inside?"""
        return self.left <= point[0] <= self.right and self.top <= point[1] <= self.bottom

    def covers(self, other: "Box") -> float:
        """The area that both share."""
        wide = min(self.right, other.right) - max(self.left, other.left)
        high = min(self.bottom, other.bottom) - max(self.top, other.top)
        return max(0.0, wide) * max(0.0, high)


def number(value: float) -> str:
    """A length as SVG writes it; refuses what no drawing can hold."""
    if not math.isfinite(value):
        raise ValueError(f"{value} is no length.")
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def tag(name: str, *inside: str, **attributes: str | float) -> Markup:
    """An element; an underscore in an attribute's name stands for a hyphen."""
    written = Markup("").join(
        Markup(' {}="{}"').format(
            key.rstrip("_").replace("_", "-"), value if isinstance(value, str) else number(value)
        )
        for key, value in attributes.items()
    )
    if not inside:
        return Markup("<{}{}/>").format(Markup(name), written)
    content = Markup("").join(escape(part) for part in inside)
    return Markup("<{0}{1}>{2}</{0}>").format(Markup(name), written, content)


def drawing(title: str, parts: Iterable[str], *, height: float) -> Markup:
    """The whole drawing; its title is what a screen reader says."""
    return tag(
        "svg",
        tag("title", title),
        *parts,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(WIDTH)} {number(height)}",
        role="img",
        class_="pic",
        font_size=TEXT,
        fill="none",
        stroke="none",
    )


def words(text: str, x: float, y: float, *, anchor: str = "start", look: str = "") -> Markup:
    """A line of text, standing on ``y``."""
    name = f"pic-text {look}".strip()
    return tag("text", text, x=x, y=y, text_anchor=anchor, class_=name, fill="currentColor")


def width_of(text: str, *, bold: bool = False) -> float:
    """About how wide a line of text is."""
    return len(text) * LETTER * (1.12 if bold else 1.0)


def line(a: Point, b: Point, look: str, **more: str | float) -> Markup:
    """A straight line."""
    return tag(
        "line", x1=a[0], y1=a[1], x2=b[0], y2=b[1], class_=look, stroke="currentColor", **more
    )


def path(
    points: Sequence[Point], look: str, *, dash: str = "", closed: bool = False, width: float = 2.5
) -> Markup:
    """A line through points; closed, it is filled by its look."""
    steps = "L".join(f"{number(x)} {number(y)}" for x, y in points)
    more = {"stroke_dasharray": dash} if dash else {}
    if not closed:
        more["stroke_width"] = number(width)
    return tag(
        "path",
        d=f"M{steps}{'Z' if closed else ''}",
        class_=look,
        stroke="currentColor",
        stroke_linejoin="round",
        **more,
    )


def box(area: Box, look: str) -> Markup:
    """A filled rectangle."""
    return tag("rect", x=area.left, y=area.top, width=area.width, height=area.height, class_=look)


def hatch(area: Box, *, gap: float, look: str = "pic-hatch", down: bool = False) -> Markup:
    """Slanting lines over a rectangle, so that a limit shows without colour."""
    steps = []
    low, high = area.left - area.height, area.right
    count = int((high - low) / gap)
    for index in range(1, count + 1):
        x = low + index * gap
        start, end = max(x, area.left), min(x + area.height, area.right)
        if end - start <= 0:
            continue
        first, last = start - x, end - x
        ys = (
            (area.top + first, area.top + last)
            if down
            else (area.bottom - first, area.bottom - last)
        )
        steps.append(f"M{number(start)} {number(ys[0])}L{number(end)} {number(ys[1])}")
    if not steps:
        return Markup("")
    return tag("path", d="".join(steps), class_=look, stroke="currentColor", stroke_width=0.8)


def arrow(a: Point, b: Point, look: str = "pic-arrow", *, head: float = 5.0) -> Markup:
    """A line from a to b with a head at b; shorter than its head, it is the head alone."""
    length = math.dist(a, b)
    if length == 0:
        return Markup("")
    along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    back = min(2 * head, length)
    foot = (b[0] - along[0] * back, b[1] - along[1] * back)
    left = (foot[0] - along[1] * head, foot[1] + along[0] * head)
    right = (foot[0] + along[1] * head, foot[1] - along[0] * head)
    tip = tag(
        "path",
        d="L".join(f"{number(x)} {number(y)}" for x, y in (left, b, right)).join(("M", "Z")),
        class_="pic-solid",
        fill="currentColor",
    )
    return line(a, foot, look, stroke_width=2) + tip


def wave(left: float, right: float, y: float) -> Markup:
    """The surface of water between two walls: small even waves."""
    count = max(1, round((right - left) / 12))
    step = (right - left) / count
    half = number(step / 2)
    curves = f"q{number(step / 4)} -3 {half} 0q{number(step / 4)} 3 {half} 0" * count
    return tag(
        "path", d=f"M{number(left)} {number(y)}{curves}", class_="pic-surface",
        stroke="currentColor", stroke_width=1.5,
    )  # fmt: skip


def pipes(courses: Sequence[Sequence[Point]], *, wide: float = 8.0) -> list[Markup]:
    """Pipes with water in them, open to each other where they meet."""
    walls = [path(course, "pic-tube-wall", width=wide) for course in courses]
    return walls + [path(course, "pic-tube-water", width=wide - 3) for course in courses]
