"""How long the oxygen in still water lasts the fish."""

RESTING_AT_18_C = 79.8  # mg O2/kg/h; tilapia-oxygen-2022: unfed Nile tilapia at rest
TENFOLD_STEP = 1.79  # for 10 °C more; tilapia-oxygen-2022
AFTER_FEED = 2.0  # fisheries-e-course: demand may double one to six hours after a meal
AT_MOST = 3.0  # tilapia-oxygen-2022: 3.0 times rest at 18 °C, 2.3 times at 30 °C, flat out
TROUT = 2.0  # from memory (liao-1971): trout of 200 g use about twice as much


def resting_use_mg_kg_h(*, temp_c: float) -> float:
    """The oxygen that unfed, resting warm-water fish use.

    Valid for Nile tilapia at 18 to 38 °C; only drawn on outside and for other fish.
    Source: tilapia-oxygen-2022, abstract (79.8 at 18 °C, 255.1 at 38 °C, 1.79 for 10 °C).

    >>> round(resting_use_mg_kg_h(temp_c=28.0), 1)
    142.8
    """
    if not 0 <= temp_c <= 40:
        raise ValueError(f"temp_c is {temp_c}; it must be from 0 to 40.")
    return float(RESTING_AT_18_C * TENFOLD_STEP ** ((temp_c - 18) / 10))


def minutes_left(
    *,
    volume_l: float,
    biomass_kg: float,
    oxygen_mg_l: float,
    critical_mg_l: float,
    use_mg_kg_h: float,
) -> float:
    """How long the oxygen above the critical level lasts; 0 when there is none.

    Valid for still water: what comes in through the surface is left out, so it errs short; what
    bacteria use is left out too. Source: arithmetic (mass balance).

    >>> minutes_left(volume_l=1000.0, biomass_kg=20.0, oxygen_mg_l=7.0, critical_mg_l=3.0,
    ...     use_mg_kg_h=250.0)
    48.0
    """
    spare_mg = volume_l * max(0.0, oxygen_mg_l - critical_mg_l)
    return spare_mg / (use_mg_kg_h * biomass_kg) * 60
