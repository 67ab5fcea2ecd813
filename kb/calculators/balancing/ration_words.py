"""What the feed ration says: why fish should not be fed, how sure it is, and its working."""

from dataclasses import dataclass

from kb.calculators.balancing.shared import between, degrees, few
from kb.calculators.model import Step
from kb.science.feed import GROW_OUT_G, SPECIES, Rates, Species, chart_column

NAMES = {
    "tilapia": "tilapia",
    "trout": "trout",
    "carp": "carp",
    "catfish": "channel catfish",
    "barramundi": "barramundi",
    "perch": "silver and jade perch",
    "other-warm": "most warm-water fish",
    "other-cool": "most cold-water fish",
}
SOURCES = {
    "tilapia": "fao-589",
    "trout": "leitritz-lewis-1980",
    "carp": "fao-589",
    "catfish": "fao-589",
    "barramundi": "fao-589",
    "perch": "queensland-perch",
    "other-warm": "fao-589",
    "other-cool": "fao-589",
}
TOO_COLD = {
    "tilapia": "do not feed under 17 °C and die under 12 °C",
    "trout": "are off the feed chart under 5 °C (41 °F); FAO 589 gives 10 °C as their low end",
    "carp": "are at the end of their range at 4 °C",
    "catfish": "are at the end of their range at 5 °C, and eat poorly under 21 °C (70 °F)",
    "barramundi": "are at the end of their range at 18 °C",
    "perch": (
        "differ: jade perch stop feeding at 16 °C, silver perch eat a little down to some 12 °C"
    ),
    "other-warm": "(as tilapia) do not feed under 17 °C",
    "other-cool": "(as trout) are hardly fed under 5 °C",
}
TOO_WARM = {
    "tilapia": "are at the end of their range at 36 °C",
    "trout": "are stressed above 19 °C",
    "carp": "are at the end of their range at 34 °C",
    "catfish": "are at the end of their range at 34 °C",
    "barramundi": "are at the end of their range at 34 °C",
    "perch": "want more air from 30 °C up and are at the end of their range at 35 °C",
    "other-warm": "(as tilapia) are at the end of their range at 36 °C",
    "other-cool": "(as trout) are stressed above 19 °C",
}
CATFISH_POOR_C = 190 / 9  # 70 °F; catfish-hatchery-advice
TROUT_C = (10.0, 18.0)  # fao-589, table 7.1


@dataclass(frozen=True)
class Ask:
    """The fish, the water, and the feed that follows from both; weights in grams."""

    count: int
    weight: float
    species: str
    temp_c: float
    length_cm: float | None
    override: float | None
    table: Rates
    rates: Rates

    @property
    def fish(self) -> Species:
        """What is known of the species."""
        return SPECIES[self.species]

    @property
    def biomass_g(self) -> float:
        """All fish together."""
        return self.count * self.weight

    def grams(self, percent: float) -> float:
        """The feed a day at a rate."""
        return self.biomass_g * percent / 100

    @property
    def young(self) -> bool:
        """Are they too small for the ration of grow-out?"""
        return self.weight < GROW_OUT_G

    @property
    def name(self) -> str:
        """The species in words."""
        return NAMES[self.species]


def verdict(ask: Ask) -> tuple[str, str]:
    """Whether to feed, as a word and a sentence."""
    if ask.rates.usual == 0:
        return "stop feeding", _stop_sentence(ask)
    if ask.fish.share(ask.temp_c) < 1 or _trout_at_an_edge(ask):
        return "feed less", _less_sentence(ask)
    sentence = (
        f"{ask.name} eat well at {degrees(ask.temp_c)}. Split the day's feed into two or more "
        "meals and give no more than they clear in a few minutes (common practice)."
    )
    return "feed", sentence


def _stop_sentence(ask: Ask) -> str:
    cold = ask.temp_c < (ask.fish.eats_from_c + ask.fish.eats_to_c) / 2
    why = (TOO_COLD if cold else TOO_WARM)[ask.species]
    return (
        f"Stop feeding at {degrees(ask.temp_c)}: {ask.name} {why}. What is not eaten rots and "
        "gives off ammonia; feed again when the water is back in range."
    )


def _trout_at_an_edge(ask: Ask) -> bool:
    return ask.fish.chart and not TROUT_C[0] <= ask.temp_c <= TROUT_C[1]


def _less_sentence(ask: Ask) -> str:
    where = degrees(ask.temp_c)
    if ask.fish.chart:
        return f"Trout are outside their 10 to 18 °C at {where} (FAO 589): offer less, and look."
    if ask.fish.share(ask.temp_c) == 0:
        return (
            f"Jade perch do not eat at {where}; silver perch take a little: offer less, and look."
        )
    if ask.species == "catfish" and ask.temp_c < CATFISH_POOR_C:
        return (
            f"Channel catfish feed poorly at {where}, under 21 °C (70 °F): offer little and look."
        )
    share = few(ask.fish.share(ask.temp_c) * 100, 2)
    return (
        f"{ask.name} eat less at {where}: some {share} % of what they eat at their best (a "
        "straight line to the end of their range, common practice). Take out what is left."
    )


def sentences(ask: Ask) -> dict[str, str]:
    """The results in plain words."""
    rates, grams = ask.rates, few(ask.grams(ask.rates.usual))
    who = f"{ask.count} fish of {few(ask.weight)} g"
    if rates.usual == 0:
        ration = f"No feed for {who} at {degrees(ask.temp_c)}."
    else:
        span = between(ask.grams(rates.low), ask.grams(rates.high))
        ration = f"About {grams} g of feed a day for {who} at {degrees(ask.temp_c)}" + (
            "." if rates.low == rates.high else f"; the sources leave {span} g."
        )
    return {
        "biomass": f"{who} weigh {few(ask.biomass_g / 1000)} kg together.",
        "rate": f"{few(rates.usual)} % of their weight a day"
        + (", as you gave it." if ask.override is not None and rates.usual else "."),
        "ration": ration,
        "ration_low": f"{few(ask.grams(rates.low))} g a day at the low end.",
        "ration_high": f"{few(ask.grams(rates.high))} g a day at the high end"
        + (" (silver perch; jade perch eat nothing)." if _only_silver(ask) else "."),
        "verdict": verdict(ask)[1],
    }


def _only_silver(ask: Ask) -> bool:
    return ask.species == "perch" and ask.rates.usual == 0 < ask.rates.high


def steps(ask: Ask) -> tuple[Step, ...]:
    """The working."""
    return (
        Step(
            "biomass = fish × mean weight",
            f"{ask.count} × {few(ask.weight, 4)} / 1000",
            f"{few(ask.biomass_g / 1000)} kg",
        ),
        _rate_step(ask),
        Step(
            "ration = biomass × rate",
            f"{few(ask.biomass_g, 4)} g × {few(ask.rates.usual)} %",
            f"{few(ask.grams(ask.rates.usual))} g/day",
            "fao-589",
        ),
    )


def _rate_step(ask: Ask) -> Step:
    value, where = f"{few(ask.rates.usual)} %/day", degrees(ask.temp_c)
    if ask.override is not None:
        return Step("rate = as given, 0 outside the feeding range", f"at {where}", value)
    if ask.fish.chart:
        return Step(
            "rate from the trout feed chart, straight between its rows",
            f"at {where}, {_columns(ask)}",
            value if ask.rates.usual else "0 %/day: off the chart",
            "leitritz-lewis-1980",
        )
    full = ask.table.usual / share if (share := ask.fish.share(ask.temp_c)) else 0.0
    return Step(
        "rate = rate at full appetite × share of appetite",
        f"{few(full)} % × {few(share)} at {where}" if full else f"none at {where}",
        value,
        "srac-282" if ask.young else SOURCES[ask.species],
    )


def _columns(ask: Ask) -> str:
    if ask.length_cm is not None:
        column = chart_column(length_cm=ask.length_cm)
        return f"column of {column} inches" if column else "column under 1 inch"
    return "middle of 1 to 7 inches" if ask.young else "middle of 6 inches and longer"


def doubts(ask: Ask) -> tuple[str, ...]:
    """How sure it is, and where the sources disagree."""
    found = [
        "Watch the fish, not the scales: stop when they stop, and feed less after a fright, a "
        "water test that is off, or in the days after moving them (common practice).",
        *_species_doubts(ask),
    ]
    if ask.override is not None:
        given = f"The tables here would give {few(ask.grams(ask.table.usual))} g a day."
        return (given, *found)
    if ask.fish.chart:
        return (*_trout_doubts(ask), *found)
    if ask.young:
        found.insert(
            0,
            "Under 50 g the ration of grow-out does not hold, and nothing exact was found: 2 % is "
            "what bigger fish eat, 4 % a lot in warm water, 15 % month-old tilapia fry. Go by the "
            "table on the feed bag.",
        )
    elif ask.rates.usual:
        warm = few(ask.grams(4 * ask.fish.share(ask.temp_c)))
        found.append(
            "FAO 589 gives 1 to 2 % of body weight above 50 g; an overview of tank systems names "
            f"3 to 4 % in warm water, which would be up to {warm} g."
        )
    return tuple(found)


def _trout_doubts(ask: Ask) -> tuple[str, ...]:
    chart = (
        "The chart is from 1980 and goes by length; today's richer feeds need less.",
        "FAO 589 gives 10 to 18 °C as the range of trout; the chart feeds them from 5 °C.",
    )
    if ask.length_cm is not None:
        return chart
    return (
        "Without the length of the trout the answer is the middle of the columns that may fit "
        "(50 g taken as some 15 cm or 6 inches, common practice); give the length for one column.",
        *chart,
    )


def _species_doubts(ask: Ask) -> tuple[str, ...]:
    high = ask.grams(ask.table.high)
    trial = f", which the high end, {few(high)} g, goes by" if high else ""
    return {
        "catfish": (
            "For catfish a hatchery names 2 to 3 % (a weak source), FAO 589 1 to 2 % for all fish; "
            "2 % is where they meet.",
        ),
        "barramundi": (
            "FAO 589 puts the best range of barramundi at 26 to 29 °C, Queensland at 25 to 30 °C; "
            f"young fish in a trial ate most at 32.8 °C (Katersky & Carter 2007){trial}.",
        ),
        "perch": (
            "Jade perch stop feeding at 16 °C and die at 13 °C; silver perch hardly grow under "
            "12 °C and are at their best at 20 to 30 °C by Queensland's figures, 23 to 28 °C by "
            "those of New South Wales. The ration is for jade perch; the high end takes in silver "
            "perch.",
        ),
        "other-warm": (
            "The table's 22 to 32 °C for warm-water fish is taken as their best range; look up "
            "your species.",
        ),
        "other-cool": (
            "The table's 10 to 18 °C for cold-water fish is taken as their best range; look up "
            "your species.",
        ),
    }.get(ask.species, ())
