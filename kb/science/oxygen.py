"""How much oxygen water holds in balance with the air, and the air pressure by altitude."""

import math

STANDARD_KPA = 101.325


def pressure_at_altitude_kpa(*, altitude_m: float) -> float:
    """The air pressure of the standard atmosphere; the weather moves it by some 3 %.

    Valid for -500 to 11 000 m. Source: icao-atmosphere.

    >>> round(pressure_at_altitude_kpa(altitude_m=1000.0), 1)
    89.9
    """
    if not -500 <= altitude_m <= 11_000:
        raise ValueError(f"altitude_m is {altitude_m}; it must be from -500 to 11000.")
    return float(STANDARD_KPA * (1 - 2.25577e-5 * altitude_m) ** 5.25588)


def saturation_mg_l(
    *, temp_c: float, salinity_g_kg: float = 0.0, pressure_kpa: float = STANDARD_KPA
) -> float:
    """The oxygen of water in balance with moist air.

    Valid for 0 to 40 °C, 0 to 40 g/kg, 0.5 to 1.1 atm. Source: benson-krause-1984, in the form
    of APHA 4500-O.

    >>> round(saturation_mg_l(temp_c=20.0), 2)
    9.09
    """
    _check(temp_c, salinity_g_kg, pressure_kpa)
    kelvin = temp_c + 273.15
    fresh = _at_one_atmosphere(kelvin)
    salt = math.exp(-salinity_g_kg * (0.017674 - 10.754 / kelvin + 2140.7 / kelvin**2))
    return fresh * salt * _pressure_factor(temp_c, pressure_kpa / STANDARD_KPA)


def _at_one_atmosphere(kelvin: float) -> float:
    return math.exp(
        -139.34411
        + 1.575701e5 / kelvin
        - 6.642308e7 / kelvin**2
        + 1.243800e10 / kelvin**3
        - 8.621949e11 / kelvin**4
    )


def _pressure_factor(temp_c: float, atmospheres: float) -> float:
    kelvin = temp_c + 273.15
    vapour = math.exp(11.8571 - 3840.70 / kelvin - 216961 / kelvin**2)
    theta = 0.000975 - 1.426e-5 * temp_c + 6.436e-8 * temp_c**2
    dry = (atmospheres - vapour) / (1 - vapour)
    return dry * (1 - theta * atmospheres) / (1 - theta)


def _check(temp_c: float, salinity_g_kg: float, pressure_kpa: float) -> None:
    if not 0 <= temp_c <= 40:
        raise ValueError(f"temp_c is {temp_c}; it must be from 0 to 40.")
    if not 0 <= salinity_g_kg <= 40:
        raise ValueError(f"salinity_g_kg is {salinity_g_kg}; it must be from 0 to 40.")
    if not 0.5 <= pressure_kpa / STANDARD_KPA <= 1.1:
        raise ValueError(f"pressure_kpa is {pressure_kpa}; it must be from 50.67 to 111.45.")
