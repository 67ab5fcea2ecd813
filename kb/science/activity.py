"""Activity coefficients: how much less than its concentration a charged ion counts for."""

from math import sqrt

KELVIN = 273.15
STRONGEST = 0.5  # mol/L; the Davies equation is not used beyond


def dielectric_constant(*, temp_c: float) -> float:
    """The relative permittivity of water.

    Valid for 0 to 100 °C. Source: malmberg-maryott-1956, equation fitted to their table.

    >>> round(dielectric_constant(temp_c=25.0), 2)
    78.3
    """
    return 87.740 - 0.40008 * temp_c + 9.398e-4 * temp_c**2 - 1.410e-6 * temp_c**3


def debye_huckel_a(*, temp_c: float) -> float:
    """The constant A of the Debye-Hückel and Davies equations, for log10 and mol/L.

    Valid for 0 to 50 °C. Source: stumm-morgan-1996, A = 1.82e6 (permittivity x T)^-1.5.

    >>> round(debye_huckel_a(temp_c=25.0), 3)
    0.51
    """
    return float(1.82e6 * (dielectric_constant(temp_c=temp_c) * (temp_c + KELVIN)) ** -1.5)


def log_coefficient(*, ionic_strength: float, a: float) -> float:
    """log10 of the activity coefficient of an ion of one charge; times charge squared for others.

    Valid for an ionic strength up to 0.5 mol/L; a greater one counts as 0.5.
    Source: davies-1962, with the factor 0.3.

    >>> round(10 ** log_coefficient(ionic_strength=0.01, a=0.51), 3)
    0.902
    """
    root = sqrt(min(ionic_strength, STRONGEST))
    return -a * (root / (1 + root) - 0.3 * root * root)
