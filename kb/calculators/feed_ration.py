"""Feed ration: how much to feed a day, by the weight of the fish and the temperature."""

from kb.calculators.balancing.ration_words import Ask, doubts, sentences, steps, verdict
from kb.calculators.model import Calculator, Choice, Example, Number, Outcome, Result
from kb.science.feed import Rates, feeding_rates, ration_g_day
from kb.units import (
    COUNT,
    FEEDING_RATE,
    LENGTH,
    MASS,
    MASS_PER_DAY,
    TEMPERATURE,
)


def compute(
    fish_count: float,
    mean_weight: float,
    species: str,
    temperature: float,
    length: float | None,
    rate: float | None,
) -> Outcome:
    """The day's feed with its range; none where the fish should not be fed."""
    ask = _ask(int(fish_count), mean_weight, species, temperature, length, rate)
    return Outcome(
        values={
            "biomass": ask.biomass_g,
            "rate": ask.rates.usual,
            "ration": _ration(ask, ask.rates.usual),
            "ration_low": _ration(ask, ask.rates.low),
            "ration_high": _ration(ask, ask.rates.high),
            "verdict": verdict(ask)[0],
        },
        steps=steps(ask),
        cautions=_cautions(ask),
        doubts=doubts(ask),
        sentences=sentences(ask),
    )


def _ask(
    count: int,
    weight: float,
    species: str,
    temperature: float,
    length: float | None,
    rate: float | None,
) -> Ask:
    length_cm = None if length is None else length * 100
    table = feeding_rates(species=species, temp_c=temperature, weight_g=weight, length_cm=length_cm)
    rates = table if rate is None else _own(rate, table)
    return Ask(count, weight, species, temperature, length_cm, rate, table, rates)


def _own(rate: float, table: Rates) -> Rates:
    """The rate that was given, wherever any source lets the fish eat."""
    return Rates(rate, rate, rate) if table.high > 0 else table


def _ration(ask: Ask, percent: float) -> float:
    return ration_g_day(fish_count=ask.count, mean_weight_g=ask.weight, rate_percent=percent)


def _cautions(ask: Ask) -> tuple[str, ...]:
    slow = ("heater-cold-correction",) if ask.rates.usual == 0 else ()
    return (*slow, "species-law", "calculation-not-promise")


INPUTS = (
    Number(
        "fish_count", "Fish", COUNT, "", minimum=1, maximum=1_000_000, usual=(1, 20_000),
        help="How many there are.",
    ),
    Number(
        "mean_weight", "Mean weight of one fish", MASS, "g", minimum=0.1, maximum=20_000,
        usual=(1, 3000), help="Weigh ten in a bucket of water and divide.",
    ),
    Choice(
        "species", "Species",
        (
            ("tilapia", "tilapia"),
            ("trout", "rainbow trout"),
            ("carp", "common carp"),
            ("catfish", "channel catfish"),
            ("barramundi", "barramundi"),
            ("perch", "silver or jade perch"),
            ("other-warm", "another warm-water fish"),
            ("other-cool", "another cold-water fish"),
        ),
    ),
    Number(
        "temperature", "Water temperature", TEMPERATURE, "°C", minimum=0, maximum=45,
        usual=(4, 36),
    ),
    Number(
        "length", "Mean length", LENGTH, "cm", minimum=1, maximum=150, usual=(2, 80),
        optional=True, help="For trout only: their feed chart goes by length.",
    ),
    Number(
        "rate", "Feed a day, of body weight", FEEDING_RATE, "%", minimum=0.1, maximum=30,
        usual=(0.5, 20), optional=True, help="If you go by another table; else leave it empty.",
    ),
)  # fmt: skip
FEED_RATION = Calculator(
    id="feed-ration",
    title="Feed for the day",
    question="How much should I feed my fish?",
    inputs=INPUTS,
    results=(
        Result("biomass", "All fish together", MASS, "kg", figures=3),
        Result("rate", "Rate", FEEDING_RATE, "%/day", figures=2),
        Result("ration", "Feed a day", MASS_PER_DAY, "g/day", figures=3, main=True),
        Result("ration_low", "Feed a day, low", MASS_PER_DAY, "g/day", figures=3),
        Result("ration_high", "Feed a day, high", MASS_PER_DAY, "g/day", figures=3),
        Result("verdict", "Verdict", None, main=True),
    ),
    compute=compute,
    sources=(
        "fao-589",
        "leitritz-lewis-1980",
        "wheaton-waste",
        "srac-282",
        "catfish-hatchery-advice",
        "katersky-carter-2007",
        "queensland-perch",
        "nsw-dpird",
        "common-practice",
    ),
    articles=("how-much-to-feed", "slow-growth", "fish-off-feed"),
    examples=(
        Example(
            title="The school's 30 tilapia of 250 g at 28 °C",
            given={
                "fish_count": 30, "mean_weight": "250 g", "species": "tilapia",
                "temperature": "28 C",
            },
            expect={"biomass": 7.5, "ration": 112.5, "ration_low": 75, "ration_high": 150},
            source="fao-589",
        ),
        Example(
            title="Trout of 9 cm at 10 °C (50 °F): 2.7 % by the chart",
            given={
                "fish_count": 100, "mean_weight": "10 g", "species": "trout",
                "temperature": "50 F", "length": "9 cm",
            },
            expect={"rate": 2.7, "ration": 27},
            source="leitritz-lewis-1980",
        ),
        Example(
            title="Tilapia at 16 °C are not fed",
            given={
                "fish_count": 30, "mean_weight": "250 g", "species": "tilapia",
                "temperature": "16 C",
            },
            expect={"ration": 0, "verdict": "stop feeding"},
            source="fao-589",
        ),
    ),
)  # fmt: skip
