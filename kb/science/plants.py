"""How much feed a square metre of plants balances, and the nitrogen that stands for."""

from collections.abc import Mapping

from .nitrification import ammonia_nitrogen_g_day

FEED_PER_M2: Mapping[str, tuple[float, float]] = {  # g of feed a day for one m²; fao-589, chapter 8
    "leafy": (40.0, 50.0),
    "fruiting": (50.0, 80.0),
    "mixed": (40.0, 80.0),  # from the one end to the other, whatever the mix
}
RAFT_FEED_PER_M2 = (60.0, 100.0)  # rakocy-2007
FILM_SHARE_OF_RAFT = 0.25  # rakocy-2007: nutrient film
PLANTS_PER_M2: Mapping[str, tuple[float, float]] = {  # fao-589, chapter 8
    "leafy": (20.0, 25.0),
    "fruiting": (4.0, 8.0),
}
RATIO_PROTEIN_PERCENT = 32.0  # fao-589: the feed that the ratios are made for


def area_m2(*, feed_g_day: float, feed_per_m2: float) -> float:
    """The planted area that a day's feed keeps in balance.

    Valid for a ratio above 0. Source: rakocy-2007; fao-589, chapter 8.

    >>> round(area_m2(feed_g_day=1000.0, feed_per_m2=60.0), 1)
    16.7
    """
    return feed_g_day / feed_per_m2


def middle_feed_per_m2(*, crop: str) -> float:
    """The middle of the published range for a crop.

    Valid for the ids in FEED_PER_M2. Source: fao-589, chapter 8.

    >>> middle_feed_per_m2(crop="leafy")
    45.0
    """
    return sum(FEED_PER_M2[crop]) / 2


def nitrogen_uptake_g_day(*, plant_area_m2: float, feed_per_m2: float) -> float:
    """The nitrogen that growing plants take up: what the feed they balance gives off as ammonia.

    Valid for well-grown stands, feed of 32 % protein. Source: fao-589, chapter 8, with ksu-2021,
    section 5.

    >>> round(nitrogen_uptake_g_day(plant_area_m2=4.0, feed_per_m2=50.0), 2)
    5.89
    """
    return ammonia_nitrogen_g_day(
        feed_g_day=plant_area_m2 * feed_per_m2, protein_percent=RATIO_PROTEIN_PERCENT
    )
