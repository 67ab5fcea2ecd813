"""What a dose of base and one of acid share: the water as read, the weight, and the end of it."""

from typing import Literal

from .carbonate import CACO3_MG_PER_EQ, CO2_MG_PER_MOL, State, Water, pressure_uatm, settle
from .substances import Substance

WHOLE_ATM_UATM = 1e6

Why = Literal[
    "no-carbon", "too-much-gas", "not-above", "not-below", "too-much", "saturated", "used-up"
]


class OutOfReach(ValueError):
    """No dose does what is asked: why, and how far one gets (pH, mg/L, g) where there is an end."""

    def __init__(
        self,
        why: Why,
        *,
        co2_mg_l: float = 0.0,
        ph: float = 0.0,
        ph_aerated: float = 0.0,
        alkalinity: float = 0.0,
        dose_g: float = 0.0,
    ) -> None:
        self.why = why
        self.co2_mg_l = co2_mg_l
        self.ph = ph
        self.ph_aerated = ph_aerated
        self.alkalinity = alkalinity
        self.dose_g = dose_g
        super().__init__(why)


def present(water: Water) -> State:
    """The water as it is read; a pH and an alkalinity that cannot both be true are refused.

    Valid for 0 to 50 °C and fresh water. Source: stumm-morgan-1996.

    >>> from .carbonate import from_reading
    >>> round(present(from_reading(ph=7.0, alkalinity_mg_l=100.0, temp_c=25.0)).ph, 3)
    7.0
    """
    if water.carbon_mol_l <= 0:
        raise OutOfReach("no-carbon")
    now = settle(water)
    if pressure_uatm(co2_mol_l=now.co2_mol_l, temp_c=water.temp_c) > WHOLE_ATM_UATM:
        raise OutOfReach("too-much-gas", co2_mg_l=now.co2_mol_l * CO2_MG_PER_MOL)
    return now


def mol_for_alkalinity(water: Water, substance: Substance, *, alkalinity_mg_l: float) -> float:
    """Moles a litre that bring the water to an alkalinity; below nought when it is past it.

    Valid for any base or acid. Source: stumm-morgan-1996, conservation.

    >>> from .substances import BASES
    >>> pure = Water(temp_c=25.0, alkalinity_eq_l=0.0, carbon_mol_l=0.0)
    >>> lime = BASES["calcium-hydroxide"]
    >>> round(mol_for_alkalinity(pure, lime, alkalinity_mg_l=100.0) * 1000, 3)
    0.999
    """
    return (alkalinity_mg_l / CACO3_MG_PER_EQ - water.alkalinity_eq_l) / substance.alkalinity


def product_g(substance: Substance, *, mol_l: float, volume_l: float, percent: float) -> float:
    """The mass of a product, so many percent pure by mass, that holds so many moles a litre.

    Valid for any purity above 0. Source: iupac-atomic-weights.

    >>> from .substances import BASES
    >>> lime = BASES["calcium-hydroxide"]
    >>> round(product_g(lime, mol_l=0.001, volume_l=1000.0, percent=100.0), 2)
    74.09
    """
    return mol_l * substance.molar_mass * volume_l / percent * 100


def product_mol_l(substance: Substance, *, grams: float, volume_l: float, percent: float) -> float:
    """Moles a litre out of the mass of a product, so many percent pure by mass.

    Valid for any volume above 0. Source: iupac-atomic-weights.

    >>> from .substances import BASES
    >>> lime = BASES["calcium-hydroxide"]
    >>> round(product_mol_l(lime, grams=74.09, volume_l=1000.0, percent=100.0), 6)
    0.001
    """
    return grams * percent / 100 / substance.molar_mass / volume_l
