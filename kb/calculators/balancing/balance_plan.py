"""The question put to the balance calculator, and the loop of water that it comes to."""

from dataclasses import dataclass, replace

from kb.science.ammonia import unionised_fraction
from kb.science.balance import Loop
from kb.science.biofilter import HIGHEST_RATE, THETA, nh3_from_nitrogen, temperature_factor
from kb.science.plants import middle_feed_per_m2, nitrogen_uptake_g_day

TAN_LIMIT_MG_L = 1.0  # ksu-2021: act above it; fao-589 names under 1 for fish with plants
UNIONISED_LINE_MG_L = 0.02  # common practice: the cautious line
UNIONISED_HARM_MG_L = 0.05  # ifas-fa16: gill damage
NITROGEN_IN_NH3 = 1 / nh3_from_nitrogen(nitrogen=1.0)


@dataclass(frozen=True)
class Plan:
    """What was given, in base units; shares from 0 to 1, rates as NH3 at 20 °C."""

    volume: float
    flow: float
    feed: float
    protein: float
    temp_c: float
    ph: float
    surface: float
    rate: float
    plant_area: float
    crop: str
    oxygen_supply: float | None
    top_up: float
    top_up_alkalinity: float
    solids_removed: float
    denitrified: float
    theta: float = THETA
    unionised_line: float = UNIONISED_LINE_MG_L
    feed_per_m2: float | None = None
    oxygen_per_feed: float = 0.5

    @property
    def fraction(self) -> float:
        """The un-ionised share of ammonia."""
        return unionised_fraction(ph=self.ph, temp_c=self.temp_c)

    @property
    def tan_limit(self) -> float:
        """The total ammonia that is allowed: by the total itself or by its un-ionised share."""
        return min(TAN_LIMIT_MG_L, self.unionised_line / self.fraction)

    @property
    def factor(self) -> float:
        """How much faster bacteria work than at 20 °C."""
        return temperature_factor(temp_c=self.temp_c, theta=self.theta)

    @property
    def rate_here(self) -> float:
        """The rate at the water's temperature and 1 mg/L TAN, as N."""
        return self.rate * self.factor * NITROGEN_IN_NH3

    @property
    def top_rate(self) -> float:
        """The most a surface is ever credited with, as N."""
        return max(HIGHEST_RATE, self.rate) * NITROGEN_IN_NH3

    @property
    def ratio(self) -> float:
        """Feed that a square metre of plants balances."""
        return self.feed_per_m2 or middle_feed_per_m2(crop=self.crop)

    @property
    def loop(self) -> Loop:
        """The same as the science wants it."""
        return Loop(
            feed_g_day=self.feed,
            protein_percent=self.protein,
            volume_l=self.volume,
            flow_l_h=self.flow,
            filter_m2=self.surface,
            rate=self.rate_here,
            top_rate=self.top_rate,
            plant_nitrogen=nitrogen_uptake_g_day(
                plant_area_m2=self.plant_area, feed_per_m2=self.ratio
            ),
            tan_limit=self.tan_limit,
            oxygen_supply=self.oxygen_supply,
            solids_removed=self.solids_removed,
            denitrified=self.denitrified,
            oxygen_per_feed=self.oxygen_per_feed,
        )

    @property
    def from_top_up(self) -> float:
        """Alkalinity that comes with the top-up water, g/day."""
        return self.top_up * self.top_up_alkalinity / 1000

    @property
    def alkalinity_to_add(self) -> float:
        """Alkalinity that base has to bring, g/day."""
        return max(0.0, self.loop.alkalinity_use - self.from_top_up)

    @property
    def turnovers(self) -> float:
        """How often an hour the flow moves all the water."""
        return self.flow / self.volume

    def but(self, **changed: float) -> "Plan":
        """The same plan with other figures, to see how sure the answer is."""
        return replace(self, **changed)  # type: ignore[arg-type]
