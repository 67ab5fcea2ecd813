"""Biofilter: the surface, and the heap of media, that takes up the ammonia of a day's feed."""

from dataclasses import dataclass

from kb.calculators.balancing.shared import FEED, PROTEIN, between, degrees, few
from kb.calculators.model import (
    Calculator,
    Choice,
    Example,
    Number,
    Outcome,
    Result,
    Step,
    refuse,
    show_plain,
)
from kb.science.biofilter import (
    DESIGN_RATE,
    HIGHEST_RATE,
    LOWEST_RATE,
    MEDIA,
    MOVING_BED_FILL,
    STEEPER_THETA,
    THETA,
    media_volume_l,
    nh3_from_nitrogen,
    surface_needed_m2,
    temperature_factor,
)
from kb.science.nitrification import ammonia_nitrogen_g_day
from kb.units import (
    AREA,
    AREAL_RATE,
    MASS_PER_DAY,
    SPECIFIC_SURFACE,
    TEMPERATURE,
    VOLUME,
)

NAMES = {
    "gravel": "volcanic gravel",
    "clay": "expanded clay",
    "moving-bed": "moving-bed carriers",
    "plastic-balls": "plastic balls",
    "sand": "sand",
    "custom": "this media",
}
MEDIA_SOURCE = {"moving-bed": "rusten-2006", "custom": ""}
COOL_C = 17.0  # common practice; fao-589 gives 14 to 34 °C for the bacteria


@dataclass(frozen=True)
class _Filter:
    """The ammonia to be taken up, how fast a m² does it, and how many m² a m³ of media has."""

    feed: float
    protein: float
    temp_c: float
    media: str
    surface: float
    rate: float

    @property
    def nitrogen(self) -> float:
        """Ammonia, as N."""
        return ammonia_nitrogen_g_day(feed_g_day=self.feed, protein_percent=self.protein)

    @property
    def nh3(self) -> float:
        """Ammonia, as NH3."""
        return nh3_from_nitrogen(nitrogen=self.nitrogen)

    def area(self, rate: float, theta: float = THETA) -> float:
        """The surface needed at a rate given for 20 °C."""
        here = rate * temperature_factor(temp_c=self.temp_c, theta=theta)
        return surface_needed_m2(nh3_g_day=self.nh3, rate_nh3_g_m2_day=here)

    def volume(self, rate: float, theta: float = THETA) -> float:
        """The media needed at a rate given for 20 °C."""
        return media_volume_l(surface_m2=self.area(rate, theta), surface_m2_m3=self.surface)

    @property
    def rates(self) -> tuple[float, float]:
        """The slowest and the fastest rate to reckon with."""
        return min(LOWEST_RATE, self.rate), max(HIGHEST_RATE, self.rate)


def compute(
    feed: float, protein: float, temperature: float, media: str, surface: float | None, rate: float
) -> Outcome:
    """The surface and the media for a day's feed, with the range that the sources leave."""
    plan = _Filter(feed, protein, temperature, media, _surface(media, surface), rate)
    slow, fast = plan.rates
    in_vessel = plan.volume(rate) / MOVING_BED_FILL if media == "moving-bed" else None
    return Outcome(
        values={
            "ammonia_nitrogen": plan.nitrogen,
            "ammonia_nh3": plan.nh3,
            "surface_needed": plan.area(rate),
            "media_volume": plan.volume(rate),
            "media_volume_low": plan.volume(fast),
            "media_volume_high": plan.volume(slow),
            "vessel_volume": in_vessel,
        },
        steps=_steps(plan, in_vessel),
        cautions=("calculation-not-promise",),
        doubts=_doubts(plan),
        sentences=_sentences(plan, in_vessel),
    )


def _surface(media: str, surface: float | None) -> float:
    """The m² of a m³ of media; refuses none at all, and two that may differ."""
    if media == "custom":
        if surface is None:
            raise refuse(
                "surface",
                "",
                "Surface of the media is missing. Give a number in m²/m³ from 20 to 20000, "
                f"or choose a media: {', '.join(MEDIA)}.",
            )
        return surface
    if surface is not None:
        raise refuse(
            "surface",
            show_plain(surface),
            f"Surface of the media: {few(surface, 4)} m²/m³ was given together with the media "
            f"{media}, which has its own; give one of the two, or choose custom.",
        )
    return MEDIA[media][0]


def _sentences(plan: _Filter, in_vessel: float | None) -> dict[str, str]:
    name = NAMES[plan.media]
    slow, fast = plan.rates
    litres = between(plan.volume(fast), plan.volume(slow), 2)
    feed = f"{few(plan.feed, 4)} g of feed a day ({show_plain(plan.protein)} % protein)"
    return {
        "ammonia_nitrogen": f"{feed} gives about {few(plan.nitrogen)} g of ammonia nitrogen a day.",
        "ammonia_nh3": f"The same ammonia is {few(plan.nh3)} g written as NH3, which the rates "
        "here are for.",
        "surface_needed": f"{few(plan.area(plan.rate))} m² of grown-in surface takes up the "
        f"ammonia of {feed} at {degrees(plan.temp_c)}.",
        "media_volume": f"{few(plan.volume(plan.rate))} L of {name} carries that surface; the "
        f"rates that are published leave anything from {litres} L.",
        "media_volume_low": f"{few(plan.volume(fast), 2)} L would do at {few(fast)} g a m² "
        "(as NH3), in clean, warm, well-aired water.",
        "media_volume_high": f"{few(plan.volume(slow), 2)} L are needed at {few(slow)} g a m² "
        "(as NH3), in young or dirty media.",
        "vessel_volume": f"At 60 % fill the carriers want {few(in_vessel)} L of water to move in."
        if in_vessel is not None
        else "Only moving-bed carriers need free water to move in.",
    }


def _steps(plan: _Filter, in_vessel: float | None) -> tuple[Step, ...]:
    factor = temperature_factor(temp_c=plan.temp_c)
    steps = (
        *_ammonia_steps(plan),
        Step(
            "rate here = rate at 20 °C × 1.072^(temperature − 20)",
            f"{few(plan.rate)} × {THETA}^({few(plan.temp_c)} − 20)",
            f"{few(plan.rate * factor)} g NH3/m²/day",
            "temperature-nitrification-2007",
        ),
        Step(
            "surface = ammonia as NH3 / rate here",
            f"{few(plan.nh3)} / {few(plan.rate * factor)}",
            f"{few(plan.area(plan.rate))} m²",
            "fao-589",
        ),
        Step(
            "media = surface / surface of a m³ × 1000",
            f"{few(plan.area(plan.rate))} / {few(plan.surface, 4)} × 1000",
            f"{few(plan.volume(plan.rate))} L",
            MEDIA_SOURCE.get(plan.media, "fao-589"),
        ),
        Step(
            "range: the same with the fastest and the slowest rate",
            f"{few(plan.rates[1])} and {few(plan.rates[0])} g NH3/m²/day at 20 °C",
            f"{between(plan.volume(plan.rates[1]), plan.volume(plan.rates[0]))} L",
            "fao-589",
        ),
    )
    return steps if in_vessel is None else (*steps, _vessel_step(plan, in_vessel))


def _ammonia_steps(plan: _Filter) -> tuple[Step, ...]:
    return (
        Step(
            "ammonia nitrogen = feed × protein × 0.092",
            f"{few(plan.feed, 4)} × {show_plain(plan.protein)} % × 0.092",
            f"{few(plan.nitrogen)} g N/day",
            "ksu-2021",
        ),
        Step(
            "ammonia as NH3 = ammonia nitrogen × 17.031 / 14.007",
            f"{few(plan.nitrogen)} × 1.216",
            f"{few(plan.nh3)} g NH3/day",
            "iupac-atomic-weights",
        ),
    )


def _vessel_step(plan: _Filter, in_vessel: float) -> Step:
    return Step(
        "vessel = media / 0.6",
        f"{few(plan.volume(plan.rate))} / {MOVING_BED_FILL}",
        f"{few(in_vessel)} L",
        "rusten-2006",
    )


def _doubts(plan: _Filter) -> tuple[str, ...]:
    as_nitrogen = plan.area(plan.rate) * plan.nitrogen / plan.nh3
    doubts = [
        "The rate moves the answer tenfold: FAO 589 calls 0.57 g a m² conservative and names 0.2 "
        "to 2; training slides give 0.2 to 1 at 15 to 20 °C and 1 to 2 over 25 °C.",
        f"With the steeper temperature factor of 1.09 (Rusten 2006) it would be "
        f"{few(plan.volume(plan.rate, STEEPER_THETA))} L.",
        f"If the rate is meant as nitrogen and not as NH3, {few(as_nitrogen)} m² would do: the "
        "sources do not always say which.",
        "Take more where pH is under 6.8 (at 6.7 the rate is about half of that at 7.3, Rusten "
        "2006), where the filter is younger than four months, or where solids reach the media.",
        "Beds and pipes nitrify too; plants that take up ammonium lighten the load.",
    ]
    if plan.temp_c > 20:
        cool = plan.volume(plan.rate) * temperature_factor(temp_c=plan.temp_c)
        doubts.insert(1, f"Without credit for the warmth it would be {few(cool)} L.")
    if plan.temp_c < COOL_C:
        doubts.insert(
            1, "Under 17 °C nitrifying slows down a good deal (common practice): build for winter."
        )
    if plan.media == "clay":
        larger = media_volume_l(surface_m2=plan.area(plan.rate), surface_m2_m3=MEDIA["clay"][1])
        doubts.append(f"Expanded clay is given as 200 to 250 m²/m³; at 250 it is {few(larger)} L.")
    return tuple(doubts)


INPUTS = (
    FEED,
    PROTEIN,
    Number(
        "temperature", "Water temperature", TEMPERATURE, "°C", minimum=4, maximum=36,
        usual=(12, 32), default=20, help="The coldest the filter has to work at.",
    ),
    Choice(
        "media", "Media",
        (
            *((each, NAMES[each]) for each in MEDIA),
            ("custom", "other, with the surface given below"),
        ),
        default="custom",
    ),
    Number(
        "surface", "Surface of the media", SPECIFIC_SURFACE, "m²/m³", minimum=20, maximum=20_000,
        usual=(100, 6000), optional=True,
        help="Only for media not in the list: protected surface of a m³ of it.",
    ),
    Number(
        "rate", "Ammonia taken up by a m² at 20 °C (as NH3)", AREAL_RATE, "g/m²/day", minimum=0.05,
        maximum=5, usual=(LOWEST_RATE, HIGHEST_RATE), default=DESIGN_RATE,
        help="0.57 is on the safe side.",
    ),
)  # fmt: skip
BIOFILTER = Calculator(
    id="biofilter",
    title="Biofilter for the feed",
    question="How big must my biofilter be for the feed I give?",
    inputs=INPUTS,
    results=(
        Result("ammonia_nitrogen", "Ammonia, as N", MASS_PER_DAY, "g/day", figures=3),
        Result("ammonia_nh3", "Ammonia, as NH3", MASS_PER_DAY, "g/day", figures=3),
        Result("surface_needed", "Surface needed", AREA, "m²", figures=3, main=True),
        Result("media_volume", "Media", VOLUME, "L", figures=3, main=True),
        Result("media_volume_low", "Media, at least", VOLUME, "L", figures=2),
        Result("media_volume_high", "Media, at most", VOLUME, "L", figures=2),
        Result("vessel_volume", "Vessel of a moving bed", VOLUME, "L", figures=3),
    ),
    compute=compute,
    sources=(
        "fao-589",
        "farmer-to-farmer",
        "ksu-2021",
        "temperature-nitrification-2007",
        "rusten-2006",
        "iupac-atomic-weights",
    ),
    articles=("biofilter-size", "moving-bed", "ammonia-high"),
    examples=(
        Example(
            title="200 g a day on volcanic gravel: a worked example gives 22.2 L for each 100 g",
            given={"feed": "200 g", "protein": 32, "media": "gravel"},
            expect={"surface_needed": 13.2, "media_volume": 44.4},
            source="fao-589",
            tolerance=0.06,
        ),
        Example(
            title="The same on plastic balls: a litre carries 9 g of feed a day",
            given={"feed": "200 g", "protein": 32, "media": "plastic-balls"},
            expect={"media_volume": 22.2},
            source="fao-589",
            tolerance=0.06,
        ),
        Example(
            title="A moving bed at the slow rate, for a cool greenhouse",
            given={
                "feed": "300 g", "protein": 35, "temperature": "15 C", "media": "moving-bed",
                "rate": 0.5,
            },
            expect={"surface_needed": 33.25, "media_volume": 66.5, "vessel_volume": 110.8},
            source="rusten-2006",
            tolerance=0.005,
        ),
    ),
)  # fmt: skip
