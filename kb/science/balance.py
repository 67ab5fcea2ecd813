"""A fish tank, a settler, a biofilter and plants in balance: nitrogen, oxygen and alkalinity.

Two mixed waters, the tank's and the filter's, with the flow going round between them. Fish give
off ammonia into the tank; what solids the settler leaves rot there and add to it; the filter
turns ammonia into nitrate at rate x TAN^0.7, at most ``top_rate``; plants and denitrifying
bacteria take up nitrate.
"""

from dataclasses import dataclass

from .biofilter import ammonia_at_rate, rate_at_ammonia
from .nitrification import (
    ALKALINITY_PER_N,
    AMMONIA_PER_PROTEIN,
    OXYGEN_PER_N,
    alkalinity_use_g_day,
    nitrate_rise_mg_l,
)
from .solve import root
from .wastes import FISH_OXYGEN_PER_FEED

NITROGEN_PER_PROTEIN = 0.16  # ksu-2021: the first factor of 0.092
UNDIGESTED = 0.20  # ksu-2021: the second factor is 0.80; the rest leaves as solids
EXCRETED = 0.80  # ksu-2021: the third, of what is digested; the rest stays in the fish
DIGESTED = 1 - UNDIGESTED
AMMONIA_SHARE = AMMONIA_PER_PROTEIN / NITROGEN_PER_PROTEIN  # of the feed's nitrogen


@dataclass(frozen=True)
class Loop:
    """A system and its day's feed; nitrogen in g N/day, concentrations in mg/L as N.

    ``rate`` (g N/m²/day at 1 mg/L TAN) and ``top_rate`` hold for the water's temperature.
    Valid for a steady state in well-mixed water, grown-in filter, no water let out.
    Source: ksu-2021; rusten-2006; timmons-ebeling-2013; us-epa-1975.

    >>> school = Loop(feed_g_day=200.0, protein_percent=32.0, volume_l=2000.0, flow_l_h=1500.0,
    ...     filter_m2=20.0, rate=0.47, top_rate=1.64, plant_nitrogen=5.3, tan_limit=1.0)
    >>> round(school.tank_tan, 2), round(school.feed_max), school.limit
    (0.68, 180, 'plants')
    """

    feed_g_day: float
    protein_percent: float
    volume_l: float
    flow_l_h: float
    filter_m2: float
    rate: float
    top_rate: float
    plant_nitrogen: float
    tan_limit: float
    oxygen_supply: float | None = None
    solids_removed: float = 1.0
    denitrified: float = 0.0
    oxygen_per_feed: float = FISH_OXYGEN_PER_FEED[1]

    @property
    def feed_nitrogen(self) -> float:
        """All nitrogen of the feed."""
        return self.feed_g_day * self.protein_percent / 100 * NITROGEN_PER_PROTEIN

    @property
    def kept(self) -> float:
        """What stays in the fish."""
        return self.feed_nitrogen * DIGESTED * (1 - EXCRETED)

    @property
    def urea(self) -> float:
        """What fish give off other than as ammonia: urea and the like, a tenth."""
        return self.feed_nitrogen * (DIGESTED * EXCRETED - AMMONIA_SHARE)

    @property
    def settled(self) -> float:
        """What leaves with the sludge of the settler."""
        return self.feed_nitrogen * UNDIGESTED * self.solids_removed

    @property
    def rotted(self) -> float:
        """The ammonia out of solids that the settler left."""
        return self.feed_nitrogen * UNDIGESTED * (1 - self.solids_removed)

    @property
    def excreted(self) -> float:
        """The ammonia the fish give off."""
        return self.feed_nitrogen * AMMONIA_SHARE

    @property
    def ammonia(self) -> float:
        """All ammonia the filter has to take up."""
        return self.excreted + self.rotted

    @property
    def nitrified(self) -> float:
        """The ammonia it does take up."""
        return min(self.ammonia, self.filter_m2 * self.top_rate)

    @property
    def left_over(self) -> float:
        """The ammonia that gathers in the water day by day, where the filter is overrun."""
        return self.ammonia - self.nitrified

    @property
    def overrun(self) -> bool:
        """Is there more ammonia than the filter takes up at any concentration?"""
        return self.ammonia > self.filter_m2 * self.top_rate * (1 + 1e-9)  # not by rounding

    @property
    def filter_tan(self) -> float | None:
        """TAN in the filter; None where it never settles."""
        if self.overrun:
            return None
        return ammonia_at_rate(rate=self.ammonia / self.filter_m2, at_one_mg_l=self.rate)

    @property
    def tank_tan(self) -> float | None:
        """TAN in the fish tank: that of the filter and what one passage adds."""
        return None if self.filter_tan is None else self.filter_tan + self.passage

    @property
    def passage(self) -> float:
        """How much TAN falls from the filter's inlet to its outlet."""
        return self.ammonia * 1000 / (24 * self.flow_l_h)

    @property
    def denitrified_nitrogen(self) -> float:
        """The nitrate that turns into gas."""
        return self.nitrified * self.denitrified

    @property
    def nitrate_change(self) -> float:
        """Nitrate gained by the water; below 0 where plants live off what is there."""
        return self.nitrified - self.denitrified_nitrogen - self.plant_nitrogen

    @property
    def nitrate_trend(self) -> float:
        """The same as mg/L of NO3 a day."""
        return nitrate_rise_mg_l(nitrogen_g_day=self.nitrate_change, volume_l=self.volume_l)

    @property
    def plant_uptake(self) -> float:
        """What plants take up in the long run: no more than there is."""
        return min(self.plant_nitrogen, self.nitrified - self.denitrified_nitrogen)

    @property
    def alkalinity_use(self) -> float:
        """Alkalinity used, g/day as CaCO3: two equivalents for nitrifying, one comes back."""
        back = (self.denitrified_nitrogen + self.plant_uptake) * ALKALINITY_PER_N / 2
        return max(0.0, alkalinity_use_g_day(nitrogen_g_day=self.nitrified) - back)

    @property
    def oxygen_fish(self) -> float:
        """The oxygen the fish breathe."""
        return self.feed_g_day * self.oxygen_per_feed

    @property
    def oxygen_use(self) -> float:
        """The oxygen that fish and nitrifying bacteria use."""
        return self.oxygen_fish + self.nitrified * OXYGEN_PER_N

    @property
    def oxygen_margin(self) -> float | None:
        """What the supply leaves; below 0 where it does not suffice."""
        return None if self.oxygen_supply is None else self.oxygen_supply - self.oxygen_use

    @property
    def ammonia_per_feed(self) -> float:
        """Ammonia for a gram of feed."""
        of_nitrogen = AMMONIA_SHARE + UNDIGESTED * (1 - self.solids_removed)
        return self.protein_percent / 100 * NITROGEN_PER_PROTEIN * of_nitrogen

    @property
    def most_ammonia(self) -> float:
        """The ammonia at which the tank is just at its limit."""
        return most_ammonia_g_day(
            tan_limit=self.tan_limit,
            flow_l_h=self.flow_l_h,
            filter_m2=self.filter_m2,
            rate=self.rate,
            top_rate=self.top_rate,
        )

    @property
    def feed_by_ammonia(self) -> float:
        """The feed that filter and flow together carry at the limit of TAN."""
        return self.most_ammonia / self.ammonia_per_feed

    @property
    def feed_by_filter(self) -> float:
        """The feed the filter would carry if the flow were endless."""
        at_limit = min(
            self.top_rate, rate_at_ammonia(tan_mg_l=self.tan_limit, at_one_mg_l=self.rate)
        )
        return at_limit * self.filter_m2 / self.ammonia_per_feed

    @property
    def feed_by_turnover(self) -> float:
        """The feed the flow would carry if the filter took up all that reaches it."""
        return self.tan_limit * self.flow_l_h * 24 / 1000 / self.ammonia_per_feed

    @property
    def feed_by_oxygen(self) -> float | None:
        """The feed at which fish and bacteria use all of the supply."""
        if self.oxygen_supply is None:
            return None
        all_nitrified = self.oxygen_per_feed + self.ammonia_per_feed * OXYGEN_PER_N
        only_fish = (self.oxygen_supply - self.filter_m2 * self.top_rate * OXYGEN_PER_N) / (
            self.oxygen_per_feed
        )
        return max(self.oxygen_supply / all_nitrified, only_fish)

    @property
    def feed_by_plants(self) -> float | None:
        """The feed whose nitrate the plants just take up; None without plants, or no limit."""
        most = self.filter_m2 * self.top_rate * (1 - self.denitrified)
        if self.plant_nitrogen == 0 or self.plant_nitrogen >= most:
            return None
        return self.plant_nitrogen / (1 - self.denitrified) / self.ammonia_per_feed

    @property
    def limits(self) -> dict[str, float]:
        """The feed each limit allows; ammonia stands under the weaker one of filter and flow."""
        weaker = "ammonia" if self.feed_by_filter <= self.feed_by_turnover else "turnover"
        found = {weaker: self.feed_by_ammonia}
        if self.feed_by_oxygen is not None:
            found["oxygen"] = self.feed_by_oxygen
        if self.feed_by_plants is not None:
            found["plants"] = self.feed_by_plants
        return found

    @property
    def limit(self) -> str:
        """What binds first."""
        return min(self.limits, key=lambda name: self.limits[name])

    @property
    def feed_max(self) -> float:
        """The most feed that stays within every limit."""
        return self.limits[self.limit]


def most_ammonia_g_day(
    *, tan_limit: float, flow_l_h: float, filter_m2: float, rate: float, top_rate: float
) -> float:
    """The ammonia nitrogen at which the tank's TAN settles just at ``tan_limit``.

    Valid for all above 0. Source: rusten-2006, rate x TAN^0.7, with the mass balance over the flow.

    >>> round(most_ammonia_g_day(tan_limit=1.0, flow_l_h=1e9, filter_m2=20.0, rate=0.5,
    ...     top_rate=2.0), 3)
    10.0
    """
    carried = flow_l_h * 24 / 1000
    at_limit = min(top_rate, rate_at_ammonia(tan_mg_l=tan_limit, at_one_mg_l=rate))
    most = min(carried * tan_limit, filter_m2 * at_limit)

    def over(share: float) -> float:
        load = most * share
        filter_tan = ammonia_at_rate(rate=load / filter_m2, at_one_mg_l=rate)
        return filter_tan + load / carried - tan_limit

    return most if over(1.0) <= 0 else most * root(over, 0.0, 1.0)
