"""Where labels go: at the end of their line, or where they cover least."""

from collections.abc import Iterable, Sequence

from .svg import LINE, Box, Point, width_of

GAP = 5.0
OUTSIDE, ON_A_LABEL, ON_A_LINE, LATER = 1000.0, 10.0, 25.0, 6.0


def spread(wanted: Sequence[float], *, low: float, high: float, gap: float) -> list[float]:
    """Heights near those wanted, none nearer than ``gap`` to the next, inside low and high."""
    order = sorted(range(len(wanted)), key=lambda index: wanted[index])
    places = [0.0] * len(wanted)
    floor = low
    for index in order:
        places[index] = max(wanted[index], floor)
        floor = places[index] + gap
    ceiling = high
    for index in reversed(order):
        places[index] = min(places[index], ceiling)
        ceiling = places[index] - gap
    return places


def beside(point: Point, text: str, *, away: float = 9.0) -> Iterable[Box]:
    """Places for a label round a point, the best liked first."""
    x, y = point
    wide = width_of(text, bold=True)
    for rise in (0.0, LINE, 2 * LINE, 3 * LINE):
        for up in (True, False):
            for left in (True, False):
                top = y - away - LINE - rise if up else y + away + rise
                start = x - away - wide if left else x + away
                yield Box(start, top, start + wide, top + LINE)
            top = y - away - LINE - rise if up else y + away + rise
            yield Box(x - wide / 2, top, x + wide / 2, top + LINE)


def along(y: float, text: str, frame: Box) -> Iterable[Box]:
    """Places for a label above or below a level line."""
    wide = width_of(text, bold=True)
    for share in (0.0, 1.0, 0.5, 0.25, 0.75):
        start = frame.left + GAP + share * (frame.width - 2 * GAP - wide)
        for top in (y - LINE - 2, y + 2):
            yield Box(start, top, start + wide, top + LINE)


def within(area: Box, text: str) -> Iterable[Box]:
    """Places for a label inside an area, from the top down; a narrow one is left to the left."""
    wide = width_of(text, bold=True)
    for row in range(max(1, int(area.height / LINE))):
        top = area.top + 2 + row * LINE
        for share in (0.5, 1.0, 0.0):
            start = area.left + GAP + share * (area.width - 2 * GAP - wide)
            start = min(start, area.right - GAP - wide)
            yield Box(start, top, start + wide, top + LINE)


def best(places: Iterable[Box], *, frame: Box, taken: Sequence[Box], lines: Sequence[Point]) -> Box:
    """The place that covers least of the labels and lines already there; the first among equals."""

    def cost(ranked: tuple[int, Box]) -> float:
        rank, place = ranked
        inside = place.width * place.height - place.covers(frame)
        labels = sum(place.covers(other) for other in taken)
        crossed = sum(place.holds(point) for point in lines)
        return (
            OUTSIDE * (inside > 1)
            + inside
            + ON_A_LABEL * labels
            + ON_A_LINE * crossed
            + LATER * rank
        )

    return min(enumerate(places), key=cost)[1]
