"""Wastes: what a day's feed leaves in the water, and the oxygen it takes."""

from kb.calculators.balancing.shared import FEED, PROTEIN, between, few
from kb.calculators.model import Calculator, Example, Number, Outcome, Result, Step, show_plain
from kb.science.biofilter import nh3_from_nitrogen
from kb.science.nitrification import (
    AMMONIA_PER_PROTEIN,
    OXYGEN_PER_N,
    ammonia_nitrogen_g_day,
    nitrate_rise_mg_l,
    nitrification_oxygen_g_day,
)
from kb.science.wastes import (
    CO2_PER_OXYGEN,
    FISH_OXYGEN_PER_FEED,
    MOST_SOLIDS_PER_FEED,
    SOLIDS_PER_FEED,
    carbon_dioxide_g_day,
    fao_ammonia_nh3_g_day,
    fish_oxygen_g_day,
)
from kb.units import (
    CHANGE_PER_DAY,
    MASS_PER_DAY,
    VOLUME,
)


def compute(feed: float, protein: float, volume: float | None) -> Outcome:
    """Ammonia, solids, carbon dioxide and nitrate from feed, and the oxygen that is used."""
    nitrogen = ammonia_nitrogen_g_day(feed_g_day=feed, protein_percent=protein)
    least, most = (fish_oxygen_g_day(feed_g_day=feed, share=each) for each in FISH_OXYGEN_PER_FEED)
    rise = None if volume is None else nitrate_rise_mg_l(nitrogen_g_day=nitrogen, volume_l=volume)
    values = {
        "ammonia_nitrogen": nitrogen,
        "solids": feed * SOLIDS_PER_FEED,
        "solids_high": feed * MOST_SOLIDS_PER_FEED,
        "oxygen_fish": most,
        "oxygen_fish_low": least,
        "oxygen_nitrification": nitrification_oxygen_g_day(nitrogen_g_day=nitrogen),
        "carbon_dioxide": carbon_dioxide_g_day(oxygen_g_day=most),
        "nitrate_rise": rise,
    }
    return Outcome(
        values=values,
        steps=_steps(feed, protein, volume, nitrogen, rise),
        cautions=("calculation-not-promise",),
        doubts=_doubts(feed, protein, nitrogen),
        sentences=_sentences(feed, protein, volume, nitrogen, rise),
    )


def _sentences(
    feed: float, protein: float, volume: float | None, nitrogen: float, rise: float | None
) -> dict[str, str]:
    least, most = (fish_oxygen_g_day(feed_g_day=feed, share=each) for each in FISH_OXYGEN_PER_FEED)
    given = f"{few(feed, 4)} g of feed a day ({show_plain(protein)} % protein)"
    oxygen = nitrification_oxygen_g_day(nitrogen_g_day=nitrogen)
    breath = between(
        carbon_dioxide_g_day(oxygen_g_day=least), carbon_dioxide_g_day(oxygen_g_day=most)
    )
    return {
        "ammonia_nitrogen": f"{given} gives about {few(nitrogen)} g of ammonia nitrogen, which is "
        f"{few(nh3_from_nitrogen(nitrogen=nitrogen))} g written as NH3.",
        "solids": f"About {few(feed * SOLIDS_PER_FEED)} g of dry solids a day, a fifth of the "
        f"feed; up to {few(feed * MOST_SOLIDS_PER_FEED)} g by other measurements.",
        "solids_high": f"Up to {few(feed * MOST_SOLIDS_PER_FEED)} g a day: 0.3 to 0.4 of the feed "
        "was measured for salmon, 0.2 to 0.7 for catfish.",
        "oxygen_fish": f"The fish use some {between(least, most)} g of oxygen a day (0.25 to 0.5 "
        "of the feed, common practice); plan for the upper end.",
        "oxygen_fish_low": f"{few(least)} g a day at the lower end, 0.25 of the feed (common "
        "practice).",
        "oxygen_nitrification": f"Turning the ammonia into nitrate uses about {few(oxygen)} g of "
        "oxygen a day.",
        "carbon_dioxide": f"The fish give off some {breath} g of carbon dioxide a day; "
        "aeration has to carry it off.",
        "nitrate_rise": "Give the volume of the system to see how fast nitrate rises."
        if rise is None or volume is None
        else f"Nitrate rises by about {few(rise)} mg/L (as NO3) a day in {few(volume, 4)} L if "
        "nothing takes it up.",
    }


def _steps(
    feed: float, protein: float, volume: float | None, nitrogen: float, rise: float | None
) -> tuple[Step, ...]:
    nitrogen_step = Step(
        "ammonia nitrogen = feed × protein × 0.092",
        f"{few(feed, 4)} × {show_plain(protein)} % × {AMMONIA_PER_PROTEIN}",
        f"{few(nitrogen)} g/day",
        "ksu-2021",
    )
    solids_step = Step(
        "solids = feed × 0.20",
        f"{few(feed, 4)} × {SOLIDS_PER_FEED:.2f}",
        f"{few(feed * SOLIDS_PER_FEED)} g/day",
        "faeces-abstracts",
    )
    nitrate = () if rise is None or volume is None else (_nitrate_step(nitrogen, volume, rise),)
    return (nitrogen_step, solids_step, *_gas_steps(feed, nitrogen), *nitrate)


def _gas_steps(feed: float, nitrogen: float) -> tuple[Step, ...]:
    most = fish_oxygen_g_day(feed_g_day=feed)
    return (
        Step(
            "oxygen of the fish = feed × 0.5, the upper end of 0.25 to 0.5",
            f"{few(feed, 4)} × {FISH_OXYGEN_PER_FEED[1]}",
            f"{few(most)} g/day",
            "common-practice",
        ),
        Step(
            "oxygen of the bacteria = ammonia nitrogen × 4.57",
            f"{few(nitrogen)} × {OXYGEN_PER_N}",
            f"{few(nitrification_oxygen_g_day(nitrogen_g_day=nitrogen))} g/day",
            "timmons-ebeling-2013",
        ),
        Step(
            "carbon dioxide = oxygen of the fish × 44.01 / 32.00, one molecule for one",
            f"{few(most)} × {CO2_PER_OXYGEN:.3f}",
            f"{few(carbon_dioxide_g_day(oxygen_g_day=most))} g/day",
            "iupac-atomic-weights",
        ),
    )


def _nitrate_step(nitrogen: float, volume: float, rise: float) -> Step:
    return Step(
        "nitrate = ammonia nitrogen × 62.004 / 14.007 × 1000 / volume",
        f"{few(nitrogen)} × 4.427 × 1000 / {few(volume, 4)}",
        f"{few(rise)} mg/L a day",
        "iupac-atomic-weights",
    )


def _doubts(feed: float, protein: float, nitrogen: float) -> tuple[str, ...]:
    fao = fao_ammonia_nh3_g_day(feed_g_day=feed, protein_percent=protein)
    return (
        f"FAO 589 reckons {few(fao)} g of ammonia written as NH3; the figure here is "
        f"{few(nh3_from_nitrogen(nitrogen=nitrogen))} g on that footing, so the two differ by some "
        "5 %.",
        "Solids of a quarter of the feed are often quoted too, from memory: "
        f"{few(feed * 0.25)} g. How much a settler sees depends on how whole they stay.",
        "The oxygen of the fish is a rule of thumb without a source we could read. Solids left to "
        "rot use oxygen and give ammonia on top.",
        "It all comes unevenly, most in the hours after feeding (common practice).",
    )


WASTES = Calculator(
    id="wastes",
    title="What the feed leaves behind",
    question="How much ammonia, solids and carbon dioxide does my feed make, and what oxygen?",
    inputs=(
        FEED,
        PROTEIN,
        Number(
            "volume", "Water in the whole system", VOLUME, "L", minimum=10, maximum=10_000_000,
            usual=(50, 100_000), optional=True, help="To see how fast nitrate rises.",
        ),
    ),
    results=(
        Result("ammonia_nitrogen", "Ammonia, as N", MASS_PER_DAY, "g/day", figures=3, main=True),
        Result("solids", "Dry solids", MASS_PER_DAY, "g/day", figures=2, main=True),
        Result("solids_high", "Dry solids, at most", MASS_PER_DAY, "g/day", figures=2),
        Result("oxygen_fish", "Oxygen for the fish", MASS_PER_DAY, "g/day", figures=2, main=True),
        Result("oxygen_fish_low", "Oxygen for the fish, low", MASS_PER_DAY, "g/day", figures=2),
        Result(
            "oxygen_nitrification", "Oxygen for the bacteria", MASS_PER_DAY, "g/day", figures=2
        ),
        Result("carbon_dioxide", "Carbon dioxide of the fish", MASS_PER_DAY, "g/day", figures=2),
        Result(
            "nitrate_rise", "Rise of nitrate (as NO3)", CHANGE_PER_DAY, "mg/L per day", figures=3
        ),
    ),
    compute=compute,
    sources=(
        "ksu-2021",
        "timmons-ebeling-2013",
        "fao-589",
        "faeces-abstracts",
        "iupac-atomic-weights",
        "common-practice",
    ),
    articles=("ammonia-high", "low-oxygen", "nitrate-levels"),
    examples=(
        Example(
            title="A manual's figures: 2 kg of 32 % feed give 58.9 g of ammonia nitrogen",
            given={"feed": "2 kg", "protein": 32},
            expect={"ammonia_nitrogen": 58.9},
            source="ksu-2021",
            tolerance=0.002,
        ),
        Example(
            title="200 g a day in 1000 L: nitrate rises by 26 mg/L a day without plants",
            given={"feed": "200 g", "protein": 32, "volume": "1000 L"},
            expect={"oxygen_nitrification": 26.9, "nitrate_rise": 26.1},
            source="timmons-ebeling-2013",
            tolerance=0.005,
        ),
    ),
)  # fmt: skip
