"""Density and viscosity of fresh water at the pressure of the air."""


def density_kg_m3(*, temp_c: float) -> float:
    """The density of fresh water.

    Valid for 0 to 50 °C. Source: kell-1975, the rational function for air-free water at 1 atm.

    >>> round(density_kg_m3(temp_c=25.0), 1)
    997.0
    """
    _check(temp_c)
    t = temp_c
    above = 999.83952 + t * (
        16.945176
        + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12)))
    )
    return above / (1 + 16.879850e-3 * t)


def dynamic_viscosity_pa_s(*, temp_c: float) -> float:
    """The dynamic viscosity of fresh water.

    Valid for 0 to 50 °C. Source: patek-2009, viscosity at 0.1 MPa (four-term power series).

    >>> round(dynamic_viscosity_pa_s(temp_c=25.0), 6)
    0.00089
    """
    _check(temp_c)
    ratio = (temp_c + 273.15) / 300
    micro = (
        280.68 * ratio**-1.9 + 511.45 * ratio**-7.7 + 61.131 * ratio**-19.6 + 0.45903 * ratio**-40.0
    )
    return float(micro * 1e-6)


def kinematic_viscosity_m2_s(*, temp_c: float) -> float:
    """The kinematic viscosity of fresh water.

    Valid for 0 to 50 °C. Source: kell-1975 and patek-2009.

    >>> round(kinematic_viscosity_m2_s(temp_c=20.0) * 1e6, 3)
    1.003
    """
    return dynamic_viscosity_pa_s(temp_c=temp_c) / density_kg_m3(temp_c=temp_c)


def _check(temp_c: float) -> None:
    if not 0 <= temp_c <= 50:
        raise ValueError(f"temp_c is {temp_c}; it must be from 0 to 50.")
