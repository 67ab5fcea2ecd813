"""What a picture of a calculation is: the drawing, its words and its figures."""

from dataclasses import dataclass

from markupsafe import Markup

Table = tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]
NO_TABLE: Table = ((), ())


@dataclass(frozen=True)
class Picture:
    """A drawing as SVG, what it shows in plain words, and the figures behind it (head, rows)."""

    svg: Markup
    caption: str
    table: Table = NO_TABLE
