"""Plant area: how many square metres of plants a day's feed keeps growing."""

from kb.calculators.balancing.shared import FEED, between, few
from kb.calculators.model import Calculator, Choice, Example, Outcome, Result, Step
from kb.science.plants import (
    FEED_PER_M2,
    FILM_SHARE_OF_RAFT,
    PLANTS_PER_M2,
    RAFT_FEED_PER_M2,
    area_m2,
)
from kb.units import AREA, COUNT

CROPS = {"leafy": "leafy crops", "fruiting": "fruiting crops", "mixed": "leafy and fruiting crops"}
FEWEST_G_M2 = 15.0  # endut-2010
Range = tuple[float, float]


def compute(feed: float, crop: str) -> Outcome:
    """The planted area that balances the feed, by both sources, and the plants that fill it."""
    area = _areas(feed, FEED_PER_M2[crop])
    raft = _areas(feed, RAFT_FEED_PER_M2)
    plants = _plants(area, crop)
    return Outcome(
        values={
            "area_low": area[0],
            "area_high": area[1],
            "raft_area_low": raft[0],
            "raft_area_high": raft[1],
            "plants_low": None if plants is None else plants[0],
            "plants_high": None if plants is None else plants[1],
        },
        steps=_steps(feed, crop, area, raft),
        cautions=("calculation-not-promise",),
        doubts=_doubts(feed, crop, area, raft),
        sentences=_sentences(feed, crop, area, raft, plants),
    )


def _areas(feed: float, ratio: Range) -> Range:
    low, high = (area_m2(feed_g_day=feed, feed_per_m2=each) for each in reversed(ratio))
    return low, high


def _plants(area: Range, crop: str) -> Range | None:
    if crop not in PLANTS_PER_M2:
        return None
    thin, dense = PLANTS_PER_M2[crop]
    return area[0] * thin, area[1] * dense


def _sentences(
    feed: float, crop: str, area: Range, raft: Range, plants: Range | None
) -> dict[str, str]:
    ratio = between(*FEED_PER_M2[crop])
    both = (
        f"{few(feed, 4)} g of feed a day keeps {between(*area)} m² of {CROPS[crop]} growing at "
        f"{ratio} g a m² (FAO 589); a guide for raft systems, at 60 to 100 g, comes to "
        f"{between(*raft)} m² (Rakocy 2007)."
    )
    count = (
        "The number hangs on the mix: 20 to 25 leafy or 4 to 8 fruiting plants stand on a m²."
        if plants is None
        else f"{between(*plants)} plants fill that area ({between(*PLANTS_PER_M2[crop])} on a m²)."
    )
    return {
        "area_low": both,
        "area_high": f"Have up to {few(area[1])} m² if nitrate is to stay low; with less than "
        f"{few(area[0])} m² it tends to rise.",
        "raft_area_low": f"{few(raft[0])} m² of rafts, at 100 g of feed a m² (Rakocy 2007).",
        "raft_area_high": f"{few(raft[1])} m² of rafts, at 60 g of feed a m² (Rakocy 2007).",
        "plants_low": count,
        "plants_high": count,
    }


def _steps(feed: float, crop: str, area: Range, raft: Range) -> tuple[Step, ...]:
    low, high = FEED_PER_M2[crop]
    return (
        _step("least area", feed, high, area[0], "fao-589"),
        _step("greatest area", feed, low, area[1], "fao-589"),
        _step("least area of rafts", feed, RAFT_FEED_PER_M2[1], raft[0], "rakocy-2007"),
        _step("greatest area of rafts", feed, RAFT_FEED_PER_M2[0], raft[1], "rakocy-2007"),
    )


def _step(name: str, feed: float, ratio: float, area: float, source: str) -> Step:
    return Step(
        f"{name} = feed / feed a m²", f"{few(feed, 4)} / {few(ratio)}", f"{few(area)} m²", source
    )


def _doubts(feed: float, crop: str, area: Range, raft: Range) -> tuple[str, ...]:
    film = _areas(feed, (RAFT_FEED_PER_M2[0], RAFT_FEED_PER_M2[1]))
    return (
        f"The sources disagree: taken together they run from {few(min(area[0], raft[0]))} to "
        f"{few(max(area[1], raft[1]))} m². Start with the larger area.",
        f"Nutrient film carries a quarter of the raft figure: {few(film[0] / FILM_SHARE_OF_RAFT)} "
        f"to {few(film[1] / FILM_SHARE_OF_RAFT)} m² (Rakocy 2007).",
        f"A trial with African catfish and water spinach went as low as 15 g a m², which would be "
        f"{few(area_m2(feed_g_day=feed, feed_per_m2=FEWEST_G_M2))} m² (Endut 2010).",
        "The figures are for feed of about 32 % protein and full-grown stands in good light; "
        "seedlings and winter take up far less. Let the nitrate test decide: rising, plant more; "
        "always nought, feed more or plant less.",
    )


PLANT_AREA = Calculator(
    id="plant-area",
    title="Plants for the feed",
    question="How many square metres of plants does my feed need?",
    inputs=(
        FEED,
        Choice(
            "crop",
            "Crop",
            (
                ("leafy", "leafy: lettuce, chard, herbs"),
                ("fruiting", "fruiting: tomato, cucumber, pepper"),
                ("mixed", "some of both"),
            ),
        ),
    ),
    results=(
        Result("area_low", "Area, at least", AREA, "m²", figures=3, main=True),
        Result("area_high", "Area, at most", AREA, "m²", figures=3, main=True),
        Result("raft_area_low", "Area by the raft guide, at least", AREA, "m²", figures=3),
        Result("raft_area_high", "Area by the raft guide, at most", AREA, "m²", figures=3),
        Result("plants_low", "Plants, at least", COUNT, "", figures=2),
        Result("plants_high", "Plants, at most", COUNT, "", figures=2),
    ),
    compute=compute,
    sources=("fao-589", "rakocy-2007", "endut-2010"),
    articles=("feed-to-plant-ratio", "nitrate-levels"),
    examples=(
        Example(
            title="200 g a day and leafy crops: a worked example gives 4 m²",
            given={"feed": "200 g", "crop": "leafy"},
            expect={"area_low": 4, "area_high": 5},
            source="fao-589",
        ),
        Example(
            title="1 kg a day on rafts: 16.7 m² at 60 g a m²",
            given={"feed": "1 kg", "crop": "leafy"},
            expect={"raft_area_high": 16.7, "raft_area_low": 10},
            source="rakocy-2007",
        ),
        Example(
            title="20 kg a day on rafts: 200 m² at 100 g a m²",
            given={"feed": "20 kg", "crop": "mixed"},
            expect={"raft_area_low": 200},
            source="rakocy-2007",
        ),
    ),
)
