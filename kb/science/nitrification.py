"""Ammonia from feed, the alkalinity that nitrifying it uses, and the base that makes it good."""

from dataclasses import dataclass

from .substances import BASES

NITROGEN_G_MOL = 14.007
NITROGEN_COMPOUND_G_MOL = {
    "N": NITROGEN_G_MOL, "NH3": 17.031, "NH4": 18.039, "NO2": 46.005, "NO3": 62.004,
}  # fmt: skip
CACO3_G_EQ = BASES["calcium-carbonate"].equivalent_g
AMMONIA_PER_PROTEIN = 0.092  # ksu-2021 after timmons-ebeling-2013: 0.16 × 0.80 × 0.80 × 0.90
ALKALINITY_PER_N = 2 * CACO3_G_EQ / NITROGEN_G_MOL  # two equivalents a mole: 7.14 g/g
OXYGEN_PER_N = 4.57  # timmons-ebeling-2013, second-hand; 2 × 31.998 / 14.007 says the same
ALKALINITY_PER_N_WITH_CELLS = 7.07  # ebeling-2006: net of the bacteria that grow
LEAST_RECOVERED, MOST_RECOVERED = 0.0, 80.0  # common practice: a range, hardly ever measured


def ammonia_nitrogen_g_day(*, feed_g_day: float, protein_percent: float) -> float:
    """The total ammonia, as N, that fish give off from their feed.

    Valid for fish feeds of 10 to 60 % protein. Source: ksu-2021, section 5, after
    timmons-ebeling-2013.

    >>> round(ammonia_nitrogen_g_day(feed_g_day=2000.0, protein_percent=32.0), 1)
    58.9
    """
    return feed_g_day * protein_percent / 100 * AMMONIA_PER_PROTEIN


def alkalinity_use_g_day(
    *, nitrogen_g_day: float, recovered_percent: float = 0.0, per_n: float = ALKALINITY_PER_N
) -> float:
    """The alkalinity, as CaCO3, that nitrifying uses less what plants and denitrifiers give back.

    Valid for 0 to 100 % given back. Source: us-epa-1975, 7.14 g a gram of N.

    >>> round(alkalinity_use_g_day(nitrogen_g_day=10.0, recovered_percent=50.0), 1)
    35.7
    """
    return nitrogen_g_day * per_n * (1 - recovered_percent / 100)


def base_g(*, alkalinity_g: float, base: str) -> float:
    """The mass of a pure base that brings this much alkalinity (as CaCO3).

    Valid for the ids in substances.BASES, when all of it dissolves. Source: iupac-atomic-weights.

    >>> round(base_g(alkalinity_g=100.0, base="calcium-hydroxide"), 1)
    74.0
    """
    return alkalinity_g / CACO3_G_EQ * BASES[base].equivalent_g


def nitrogen_from(*, mass: float, compound: str) -> float:
    """The nitrogen in a mass, or concentration, of NH3, NH4, NO2 or NO3; N stays N.

    Valid for those five. Source: iupac-atomic-weights.

    >>> round(nitrogen_from(mass=7.5, compound="NH3"), 3)
    6.168
    """
    return mass * NITROGEN_G_MOL / NITROGEN_COMPOUND_G_MOL[compound]


@dataclass(frozen=True)
class FeedDay:
    """One day of feed: what becomes of its nitrogen, and the alkalinity in g as CaCO3.

    Valid for a steady state. Source: ksu-2021; us-epa-1975; ebeling-2006.

    >>> day = FeedDay(feed_g_day=200.0, protein_percent=32.0)
    >>> round(day.ammonia, 2), round(day.use, 1)
    (5.89, 42.1)
    """

    feed_g_day: float
    protein_percent: float
    nitrified_percent: float = 100.0
    recovered_percent: float = 0.0
    top_up_l_day: float = 0.0
    top_up_mg_l: float = 0.0

    @property
    def ammonia(self) -> float:
        """The ammonia nitrogen the fish give off."""
        return ammonia_nitrogen_g_day(
            feed_g_day=self.feed_g_day, protein_percent=self.protein_percent
        )

    @property
    def turned(self) -> float:
        """The part of it that is nitrified."""
        return self.ammonia * self.nitrified_percent / 100

    @property
    def use(self) -> float:
        """The alkalinity used, before the top-up."""
        return self._use(self.recovered_percent, ALKALINITY_PER_N)

    @property
    def use_low(self) -> float:
        """The same if as much comes back as is ever reckoned with."""
        return self._use(MOST_RECOVERED, ALKALINITY_PER_N_WITH_CELLS)

    @property
    def use_high(self) -> float:
        """The same if nothing comes back."""
        return self._use(LEAST_RECOVERED, ALKALINITY_PER_N)

    @property
    def from_top_up(self) -> float:
        """The alkalinity that comes in with the top-up water."""
        return self.top_up_l_day * self.top_up_mg_l / 1000

    @property
    def needed(self) -> float:
        """The alkalinity that base has to bring; never below 0."""
        return max(0.0, self.use - self.from_top_up)

    def _use(self, recovered: float, per_n: float) -> float:
        return alkalinity_use_g_day(
            nitrogen_g_day=self.turned, recovered_percent=recovered, per_n=per_n
        )


def nitrate_rise_mg_l(*, nitrogen_g_day: float, volume_l: float) -> float:
    """The nitrate, as NO3, that a day's nitrogen comes to when nothing takes it up.

    Valid for a volume above 0. Source: iupac-atomic-weights.

    >>> round(nitrate_rise_mg_l(nitrogen_g_day=5.89, volume_l=1000.0), 1)
    26.1
    """
    share = nitrogen_from(mass=1.0, compound="NO3")
    return nitrogen_g_day / share * 1000 / volume_l


def nitrification_oxygen_g_day(*, nitrogen_g_day: float) -> float:
    """The oxygen that turning ammonia into nitrate uses.

    Valid for full nitrification without growing cells. Source: timmons-ebeling-2013, 4.57 g a
    gram of N; two molecules of oxygen an atom of nitrogen.

    >>> round(nitrification_oxygen_g_day(nitrogen_g_day=5.888), 1)
    26.9
    """
    return nitrogen_g_day * OXYGEN_PER_N
