"""How much fish eat in a day, by species, temperature and size."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

Line = tuple[tuple[float, float], ...]  # °C and the share of full appetite, rising in °C

GROW_OUT_G = 50.0  # fao-589: the ration of grow-out holds above this
YOUNG_PERCENT = (2.0, 4.0, 15.0)  # fao-589 from 50 g up; wheaton-waste warm; srac-282 at 30 days
CM_PER_INCH = 2.54
CHART_F = (41.0, 45.0, 50.0, 55.0, 59.0, 62.0, 65.0)
CHART_PERCENT = (  # by length: under 1 inch, 1 to 2, ... 9 to 10, over 10
    (3.3, 2.8, 2.2, 1.8, 1.4, 1.1, 0.9, 0.8, 0.7, 0.6, 0.5),
    (4.0, 3.3, 2.7, 2.1, 1.6, 1.3, 1.1, 1.0, 0.9, 0.8, 0.7),
    (5.2, 4.3, 3.4, 2.7, 2.0, 1.7, 1.4, 1.2, 1.1, 1.0, 0.9),
    (6.1, 5.1, 4.2, 3.2, 2.4, 2.0, 1.6, 1.4, 1.3, 1.1, 1.0),
    (7.3, 6.0, 5.0, 3.7, 2.8, 2.3, 1.9, 1.7, 1.5, 1.3, 1.2),
    (8.1, 6.7, 5.5, 4.3, 3.2, 2.6, 2.1, 1.8, 1.6, 1.5, 1.4),
    (9.0, 7.5, 6.1, 4.9, 3.6, 2.9, 2.2, 2.0, 1.8, 1.6, 1.5),
)  # leitritz-lewis-1980
LONGEST_COLUMN = len(CHART_PERCENT[0]) - 1
COLUMN_OF_50_G = 6  # common practice: a trout of 50 g is some 6 inches (15 cm) long
FRY_COLUMN = 1


@dataclass(frozen=True)
class Species:
    """When a fish eats, and how much of its weight a day at full appetite (low, usual, high).

    ``other`` is the line of a source that disagrees.
    """

    line: Line
    percent: tuple[float, float, float] = (1.0, 1.5, 2.0)  # fao-589, section 7.2
    other: Line = ()
    chart: bool = False

    @property
    def eats_from_c(self) -> float:
        """The temperature at and under which it does not eat."""
        return self.line[0][0]

    @property
    def eats_to_c(self) -> float:
        """The temperature at and over which it is not fed."""
        return self.line[-1][0]

    def share(self, temp_c: float) -> float:
        """The share of full appetite, 0 to 1."""
        return appetite(temp_c=temp_c, line=self.line)

    def shares(self, temp_c: float) -> tuple[float, float]:
        """The least and the greatest share that the sources give."""
        other = appetite(temp_c=temp_c, line=self.other) if self.other else self.share(temp_c)
        return min(self.share(temp_c), other), max(self.share(temp_c), other)


@dataclass(frozen=True)
class Rates:
    """Feed in percent of body weight a day: the usual figure and its range."""

    low: float
    usual: float
    high: float


# Ends: fao-589, table 7.1 (vital and optimal temperatures) unless said otherwise.
SPECIES: Mapping[str, Species] = {
    "tilapia": Species(((17.0, 0.0), (27.0, 1.0), (30.0, 1.0), (36.0, 0.0))),
    # leitritz-lewis-1980 from 41 °F; stressed above 19 °C (nsw-dpird); fao-589: 10 to 18
    "trout": Species(((5.0, 1.0), (19.0, 1.0)), chart=True),
    "carp": Species(((4.0, 0.0), (25.0, 1.0), (30.0, 1.0), (34.0, 0.0))),
    # poor under 70 °F, taken as half (common practice); 2 to 3 % (catfish-hatchery-advice)
    "catfish": Species(
        ((5.0, 0.0), (190 / 9, 0.5), (24.0, 1.0), (30.0, 1.0), (34.0, 0.0)),
        percent=(1.0, 2.0, 3.0),
    ),
    # other: greatest intake at 32.8 °C (katersky-carter-2007)
    "barramundi": Species(
        ((18.0, 0.0), (26.0, 1.0), (29.0, 1.0), (34.0, 0.0)),
        other=((18.0, 0.0), (26.0, 1.0), (32.8, 1.0), (34.0, 0.0)),
    ),
    # jade perch stop at 16 °C; other: silver perch hardly grow under 12 °C (queensland-perch)
    "perch": Species(
        ((16.0, 0.0), (20.0, 1.0), (30.0, 1.0), (35.0, 0.0)),
        other=((12.0, 0.0), (20.0, 1.0), (30.0, 1.0), (35.0, 0.0)),
    ),
    # table 3.1, with the ends of tilapia and of trout
    "other-warm": Species(((17.0, 0.0), (22.0, 1.0), (32.0, 1.0), (36.0, 0.0))),
    "other-cool": Species(((5.0, 0.0), (10.0, 1.0), (18.0, 1.0), (19.0, 0.0))),
}


def appetite(*, temp_c: float, line: Line) -> float:
    """The share of full appetite on a line of temperatures: 0 outside it, straight between.

    Valid for temperatures in rising order. Source: the ends as named in SPECIES; the straight
    line between them is common-practice.

    >>> appetite(temp_c=22.0, line=SPECIES["tilapia"].line)
    0.5
    """
    if not line[0][0] <= temp_c <= line[-1][0]:
        return 0.0
    for (cold, less), (warm, more) in pairwise(line):
        if temp_c <= warm:
            return less + (more - less) * (temp_c - cold) / (warm - cold)
    return line[-1][1]


def trout_percent(*, temp_c: float, column: int) -> float:
    """The feed of rainbow trout in percent of body weight a day, straight between the rows.

    Valid for 41 to 65 °F (5 to 18.3 °C); ``column`` 0 to 10 is the length in whole inches.
    Source: leitritz-lewis-1980, feed chart.

    >>> trout_percent(temp_c=10.0, column=3)
    2.7
    """
    fahrenheit = temp_c * 1.8 + 32
    if not CHART_F[0] - 1e-9 <= fahrenheit <= CHART_F[-1] + 1e-9:
        raise ValueError(f"temp_c is {temp_c}; it must be from 5 to 18.33.")
    rows = tuple((row_f, row[column]) for row_f, row in zip(CHART_F, CHART_PERCENT, strict=True))
    return appetite(temp_c=min(max(fahrenheit, CHART_F[0]), CHART_F[-1]), line=rows)


def chart_column(*, length_cm: float) -> int:
    """The column of the trout chart for a length.

    Valid for any length above 0. Source: leitritz-lewis-1980, heads of the columns.

    >>> chart_column(length_cm=9.0)
    3
    """
    return min(LONGEST_COLUMN, int(length_cm / CM_PER_INCH))


def feeding_rates(
    *, species: str, temp_c: float, weight_g: float, length_cm: float | None = None
) -> Rates:
    """What the fish eat, in percent of body weight a day; all nought where they should not eat.

    Valid for the ids in SPECIES; ``length_cm`` matters for trout alone. Source: fao-589, sections
    7.2 and 7.4 and table 7.1; leitritz-lewis-1980 for trout; YOUNG_PERCENT under 50 g.

    >>> feeding_rates(species="tilapia", temp_c=28.0, weight_g=250.0)
    Rates(low=1.0, usual=1.5, high=2.0)
    """
    fish = SPECIES[species]
    if fish.chart:
        return _trout_rates(fish, temp_c, weight_g, length_cm)
    low, usual, high = fish.percent if weight_g >= GROW_OUT_G else YOUNG_PERCENT
    least, most = fish.shares(temp_c)
    return Rates(low * least, usual * fish.share(temp_c), high * most)


def _trout_rates(fish: Species, temp_c: float, weight_g: float, length_cm: float | None) -> Rates:
    if fish.share(temp_c) == 0:
        return Rates(0.0, 0.0, 0.0)
    row_c = min(temp_c, (CHART_F[-1] - 32) / 1.8)  # the last row serves up to the end
    if length_cm is not None:
        one = trout_percent(temp_c=row_c, column=chart_column(length_cm=length_cm))
        return Rates(one, one, one)
    grown = weight_g >= GROW_OUT_G
    shortest, longest = (COLUMN_OF_50_G, LONGEST_COLUMN) if grown else (FRY_COLUMN, COLUMN_OF_50_G)
    low, high = (trout_percent(temp_c=row_c, column=each) for each in (longest, shortest))
    return Rates(low, (low + high) / 2, high)


def ration_g_day(*, fish_count: float, mean_weight_g: float, rate_percent: float) -> float:
    """The feed of all fish together.

    Valid for any count and weight. Source: fao-589, section 7.2.

    >>> ration_g_day(fish_count=30, mean_weight_g=250.0, rate_percent=1.5)
    112.5
    """
    return fish_count * mean_weight_g * rate_percent / 100
