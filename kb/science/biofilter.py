"""How much ammonia a surface of nitrifying bacteria takes up, and the media that carry it."""

from collections.abc import Mapping

from .nitrification import nitrogen_from

DESIGN_RATE = 0.57  # g NH3 a m² and day; fao-589, appendix 4, which calls it conservative
LOWEST_RATE, HIGHEST_RATE = 0.2, 2.0  # fao-589, appendix 4; farmer-to-farmer
REFERENCE_C = 20.0
THETA = 1.072  # temperature-nitrification-2007
STEEPER_THETA = 1.09  # rusten-2006
RATE_POWER = 0.7  # rusten-2006: rate = k × TAN^0.7
MEDIA: Mapping[str, tuple[float, float]] = {  # m² a m³, low and high
    "gravel": (300.0, 300.0),  # fao-589, appendix 4
    "clay": (200.0, 250.0),  # fao-589, appendix 4
    "moving-bed": (500.0, 500.0),  # rusten-2006, in bulk
    "plastic-balls": (600.0, 600.0),  # fao-589, appendix 4
    "sand": (5000.0, 5000.0),  # fao-589, appendix 4
}
MOVING_BED_FILL = 0.6  # rusten-2006; always under 0.7


def nh3_from_nitrogen(*, nitrogen: float) -> float:
    """The mass, or concentration, of NH3 that holds this much nitrogen.

    Valid for any amount. Source: iupac-atomic-weights.

    >>> round(nh3_from_nitrogen(nitrogen=5.888), 2)
    7.16
    """
    return nitrogen / nitrogen_from(mass=1.0, compound="NH3")


def temperature_factor(
    *, temp_c: float, reference_c: float = REFERENCE_C, theta: float = THETA
) -> float:
    """How much faster nitrifying goes than at the reference temperature.

    Valid for slow changes; a sudden fall of 10 °C costs a further fifth.
    Source: temperature-nitrification-2007, theta 1.072; rusten-2006, theta 1.09.

    >>> round(0.5 * temperature_factor(temp_c=12.0), 3)
    0.287
    """
    return float(theta ** (temp_c - reference_c))


def rate_at_ammonia(*, tan_mg_l: float, at_one_mg_l: float) -> float:
    """The rate at a total ammonia of ``tan_mg_l`` (as N), from that at 1 mg/L.

    Valid for clean, grown-in surfaces with enough oxygen; the source gives 0.5 g N/m²/day at
    1 mg/L and 15 °C. Source: rusten-2006, power 0.7.

    >>> rate_at_ammonia(tan_mg_l=1.0, at_one_mg_l=0.5)
    0.5
    """
    return float(at_one_mg_l * tan_mg_l**RATE_POWER)


def ammonia_at_rate(*, rate: float, at_one_mg_l: float) -> float:
    """The total ammonia (mg/L as N) at which a surface works at ``rate``.

    Valid as rate_at_ammonia, which it turns round. Source: rusten-2006, power 0.7.

    >>> round(ammonia_at_rate(rate=0.5, at_one_mg_l=0.5), 9)
    1.0
    """
    return float((rate / at_one_mg_l) ** (1 / RATE_POWER))


def surface_needed_m2(*, nh3_g_day: float, rate_nh3_g_m2_day: float) -> float:
    """The surface that takes up a day's ammonia; both as NH3.

    Valid for a rate above 0. Source: fao-589, appendix 4.

    >>> round(surface_needed_m2(nh3_g_day=7.5, rate_nh3_g_m2_day=0.57), 1)
    13.2
    """
    return nh3_g_day / rate_nh3_g_m2_day


def media_volume_l(*, surface_m2: float, surface_m2_m3: float) -> float:
    """The heap of media that has this surface.

    Valid for a specific surface above 0. Source: fao-589, appendix 4.

    >>> round(media_volume_l(surface_m2=13.158, surface_m2_m3=300.0), 1)
    43.9
    """
    return surface_m2 / surface_m2_m3 * 1000
