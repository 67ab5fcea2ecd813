"""The carbon dioxide dissolved in a water, and the pH that full aeration would bring it to."""

from dataclasses import dataclass
from math import log10

from .carbonate import (
    AIR_UATM,
    CACO3_MG_PER_EQ,
    CO2_MG_PER_MOL,
    State,
    air_co2_mol_l,
    from_reading,
    pressure_uatm,
    settle,
)

BICARBONATE_MG_PER_MOL = 61_016.8
FIELD_FACTOR = 1.60  # usgs-twri-5-a1; 44.01 / 61.02 × 10^(6.35 - 6)
WHOLE_ATM_UATM = 1e6


@dataclass(frozen=True)
class GasState:
    """Two states of one water: as it is read, and at rest with the air."""

    ph: float
    temp_c: float
    alkalinity_eq_l: float
    now: State
    aired: State

    @property
    def co2_mg_l(self) -> float:
        """The dissolved carbon dioxide now."""
        return self.now.co2_mol_l * CO2_MG_PER_MOL

    @property
    def air_mg_l(self) -> float:
        """The dissolved carbon dioxide at rest with the air."""
        return self.aired.co2_mol_l * CO2_MG_PER_MOL

    @property
    def times_air(self) -> float:
        """How many times as much as the air would leave in the water."""
        return self.co2_mg_l / self.air_mg_l

    @property
    def possible(self) -> bool:
        """Does open water hold that much? Not beyond one whole atmosphere of the gas."""
        needed = pressure_uatm(co2_mol_l=self.now.co2_mol_l, temp_c=self.temp_c)
        return needed <= WHOLE_ATM_UATM

    @property
    def bicarbonate_mol_l(self) -> float:
        """The bicarbonate now."""
        return self.now.co2_mol_l * self.now.constants.carbonic[0] / 10**-self.ph

    @property
    def hydroxide_mol_l(self) -> float:
        """The hydroxide now."""
        return self.now.constants.water / 10**-self.ph

    @property
    def acid_mol_l(self) -> float:
        """The hydrogen ions now."""
        return float(10**-self.ph / self.now.constants.ion)

    @property
    def pk1(self) -> float:
        """The exponent of carbonic acid in this water: for H as a meter reads it."""
        return -log10(self.now.constants.carbonic[0])


def gas_state(*, ph: float, alkalinity_mg_l: float, temp_c: float) -> GasState | None:
    """The water as read and fully aired; None when that pH alone makes more alkalinity than read.

    Valid for 0 to 50 °C and alkalinity that is carbonate alone. Source: stumm-morgan-1996, with
    the constants of plummer-busenberg-1982 and the activities of davies-1962.

    >>> found = gas_state(ph=7.0, alkalinity_mg_l=100.0, temp_c=25.0)
    >>> round(found.co2_mg_l, 1), round(found.aired.ph, 2)
    (18.8, 8.46)
    """
    water = from_reading(ph=ph, alkalinity_mg_l=alkalinity_mg_l, temp_c=temp_c)
    if water.carbon_mol_l <= 0:
        return None
    aired = settle(water, co2_mol_l=air_co2_mol_l(temp_c=temp_c, uatm=AIR_UATM))
    return GasState(ph, temp_c, water.alkalinity_eq_l, settle(water), aired)


def field_form_mg_l(*, ph: float, alkalinity_mg_l: float) -> float:
    """The carbon dioxide by the field form 1.60 × 10^(6 - pH) × HCO3, all alkalinity as HCO3.

    Valid for about 25 °C and pH below 8.3. Source: usgs-twri-5-a1.

    >>> round(field_form_mg_l(ph=7.0, alkalinity_mg_l=50.0), 2)
    9.75
    """
    bicarbonate = alkalinity_mg_l / CACO3_MG_PER_EQ * BICARBONATE_MG_PER_MOL
    return FIELD_FACTOR * 10 ** (6 - ph) * bicarbonate
