"""Heat: what it takes to warm water, and to hold it warm."""

HEAT_KJ_L_K = 4.186  # raising a litre by one degree; within 1.2 % from 0 to 45 °C
LATENT_KJ_KG = 2450.0  # teos-10: water evaporating at 20 °C
RAFFERTY_LATENT_KJ_KG = 2326.0  # rafferty-heat: about 1000 Btu a pound
DAY_S = 86_400.0


def heating_kwh(*, volume_l: float, rise_c: float) -> float:
    """The energy that warms fresh water, with no loss on the way.

    Valid for 0 to 45 °C, to 1.2 %. Source: teos-10 (heat capacity of fresh water).

    >>> round(heating_kwh(volume_l=1000.0, rise_c=5.0), 2)
    5.81
    """
    return HEAT_KJ_L_K * volume_l * rise_c / 3600


def mean_power_w(*, energy_kwh: float, hours: float) -> float:
    """The power that brings in that energy in that time.

    Valid for a time above zero. Source: arithmetic.

    >>> mean_power_w(energy_kwh=6.0, hours=24.0)
    250.0
    """
    return energy_kwh * 1000 / hours


def conduction_w(*, surface_m2: float, u_w_m2_k: float, water_c: float, air_c: float) -> float:
    """The heat that goes out through walls and cover; nothing when the air is as warm.

    Valid for steady temperatures; no evaporation, no sun. Source: arithmetic U A ΔT.

    >>> conduction_w(surface_m2=4.0, u_w_m2_k=3.0, water_c=26.0, air_c=12.0)
    168.0
    """
    return surface_m2 * u_w_m2_k * max(0.0, water_c - air_c)


def evaporation_w(*, evaporation_l_day: float, latent_kj_kg: float = LATENT_KJ_KG) -> float:
    """The heat that water takes along when it evaporates.

    Valid near 20 °C. Source: teos-10; rafferty-heat gives 2326 kJ/kg.

    >>> round(evaporation_w(evaporation_l_day=10.0))
    284
    """
    return evaporation_l_day * latent_kj_kg * 1000 / DAY_S
