"""Shares of the feed that become solids, and the gases the fish breathe."""

SOLIDS_PER_FEED = 0.20  # faeces-abstracts: assumed for a smolt system
MOST_SOLIDS_PER_FEED = 0.70  # faeces-abstracts: salmon 0.3 to 0.4, catfish 0.2 to 0.7
FISH_OXYGEN_PER_FEED = (0.25, 0.5)  # common practice, from memory: kg a kg of feed
CO2_PER_OXYGEN = 44.01 / 32.00  # iupac-atomic-weights: one molecule for one
FAO_NH3_PER_PROTEIN = 0.16 * 0.61 * 1.2  # fao-589, appendix 4


def fao_ammonia_nh3_g_day(*, feed_g_day: float, protein_percent: float) -> float:
    """The ammonia, as NH3, that another budget gives for the feed; some 5 % over 0.092.

    Valid for fish feeds of 10 to 60 % protein. Source: fao-589, appendix 4.

    >>> round(fao_ammonia_nh3_g_day(feed_g_day=200.0, protein_percent=32.0), 1)
    7.5
    """
    return feed_g_day * protein_percent / 100 * FAO_NH3_PER_PROTEIN


def fish_oxygen_g_day(*, feed_g_day: float, share: float = FISH_OXYGEN_PER_FEED[1]) -> float:
    """The oxygen that fed fish breathe in a day; the upper end unless told otherwise.

    Valid for feeding fish. Source: common-practice, 0.25 to 0.5 of the feed.

    >>> fish_oxygen_g_day(feed_g_day=200.0)
    100.0
    """
    return feed_g_day * share


def carbon_dioxide_g_day(*, oxygen_g_day: float) -> float:
    """The carbon dioxide given off for the oxygen breathed, one molecule for one.

    Valid for a respiratory quotient of 1. Source: iupac-atomic-weights, 44.01 / 32.00.

    >>> round(carbon_dioxide_g_day(oxygen_g_day=125.0), 1)
    171.9
    """
    return oxygen_g_day * CO2_PER_OXYGEN
