"""An acid for top-up water: how much of the product, and what comes of it."""

from collections.abc import Mapping
from dataclasses import dataclass

from .carbonate import (
    CACO3_MG_PER_EQ,
    TITRATION_END_PH,
    State,
    Water,
    air_co2_mol_l,
    from_reading,
    settle,
)
from .dosing import AfterDose, add, after_dose, dose_for_ph
from .reach import OutOfReach, mol_for_alkalinity, present, product_g, product_mol_l
from .substances import ACIDS, Substance, solution_density_g_ml

FAR_BELOW_EQ_L = 0.01  # so much free acid is pH 2, far past the end of any titration
STRONGEST: Mapping[str, float] = {
    "hydrochloric": 38.0,
    "phosphoric": 86.0,
    "sulphuric": 98.0,
    "citric": 100.0,
}
"""The strongest solution sold, percent by mass; common-practice."""
CITRIC_DISSOLVES_PERCENT = 60.0  # common-practice: stronger citric acid is a powder


@dataclass(frozen=True)
class AcidAsk:
    """Readings of the top-up water and the wish; mg/L as CaCO3, °C, L, g, percent by mass.

    Exactly one of the targets, ``acid_l`` and ``acid_g`` is given; a target pH is met at once, or
    with ``aerated`` after the water has taken on the carbon dioxide of the air.
    """

    volume_l: float
    ph: float
    alkalinity: float
    temp_c: float
    acid: str
    strength: float
    target_ph: float | None = None
    target_alkalinity: float | None = None
    acid_l: float | None = None
    acid_g: float | None = None
    aerated: bool = False


@dataclass(frozen=True)
class AcidPlan:
    """The amount of acid, and the top-up water before and after it."""

    ask: AcidAsk
    acid: Substance
    water: Water
    now: State
    mol_l: float
    after: AfterDose

    @property
    def density_g_ml(self) -> float | None:
        """The density of the product; None for a powder."""
        return product_density_g_ml(self.ask.acid, self.ask.strength)

    @property
    def mass_g(self) -> float:
        """The mass of the product."""
        return _grams(self.ask, self.acid, self.mol_l)

    @property
    def product_l(self) -> float | None:
        """The volume of the product; None for a powder."""
        return None if self.density_g_ml is None else self.mass_g / self.density_g_ml / 1000

    @property
    def alkalinity(self) -> float:
        """The alkalinity after the acid, in mg/L as CaCO3; nought when it is used up."""
        return max(0.0, self.after.water.alkalinity_eq_l * CACO3_MG_PER_EQ)

    def added_mg_l(self, atom: str) -> float:
        """What the acid adds of an element."""
        return self.mol_l * self.acid.mg_per_mol(atom)


def product_density_g_ml(acid: str, strength: float) -> float | None:
    """The density of an acid as it is sold; None for citric acid powder.

    Valid for strengths up to STRONGEST. Source: hcl-density-table, acid-density-table.

    >>> product_density_g_ml("hydrochloric", 32.0)
    1.159
    """
    if acid == "citric" and strength > CITRIC_DISSOLVES_PERCENT:
        return None
    return solution_density_g_ml(acid=acid, strength_percent=strength)


def plan_acid(ask: AcidAsk) -> AcidPlan:
    """The acid for a wish, or what a given amount does; raises OutOfReach.

    Valid for 0 to 50 °C and fresh water. Source: stumm-morgan-1996, plummer-busenberg-1982;
    tested against phreeqc.

    >>> ask = AcidAsk(100, 7.8, 100, 25, "hydrochloric", 31.45, target_alkalinity=50)
    >>> round(plan_acid(ask).mass_g, 2)
    11.58
    """
    water = from_reading(ph=ask.ph, alkalinity_mg_l=ask.alkalinity, temp_c=ask.temp_c)
    now = present(water)
    acid = ACIDS[ask.acid]
    mol_l = _wanted_mol_l(ask, water, acid)
    if mol_l is None or water.alkalinity_eq_l + acid.alkalinity * mol_l < -FAR_BELOW_EQ_L:
        raise _end(ask, water, acid)
    after = after_dose(water, acid, mol_l=mol_l)
    if _used_up(after):
        raise _end(ask, water, acid)
    return AcidPlan(ask=ask, acid=acid, water=water, now=now, mol_l=mol_l, after=after)


def _wanted_mol_l(ask: AcidAsk, water: Water, acid: Substance) -> float | None:
    """Moles a litre for what was asked; None when no amount brings it."""
    if ask.target_ph is not None:
        held = air_co2_mol_l(temp_c=ask.temp_c) if ask.aerated else None
        untreated = settle(water, co2_mol_l=held).ph
        if ask.target_ph >= untreated or (held is None and ask.target_ph >= ask.ph):
            raise OutOfReach("not-below", ph=untreated)
        return dose_for_ph(water, acid, ph=ask.target_ph, co2_mol_l=held)
    if ask.target_alkalinity is not None:
        if ask.target_alkalinity >= ask.alkalinity:
            raise OutOfReach("not-below")
        return mol_for_alkalinity(water, acid, alkalinity_mg_l=ask.target_alkalinity)
    grams = ask.acid_g or 0.0
    if ask.acid_l is not None:
        grams = ask.acid_l * 1000 * (product_density_g_ml(ask.acid, ask.strength) or 0.0)
    return product_mol_l(acid, grams=grams, volume_l=ask.volume_l, percent=ask.strength)


def _used_up(after: AfterDose) -> bool:
    """Is all alkalinity gone, and the pH below the end of its titration?"""
    gone = after.water.alkalinity_eq_l * CACO3_MG_PER_EQ < -1e-6
    return gone and after.at_once.ph < TITRATION_END_PH - 1e-6


def _end(ask: AcidAsk, water: Water, acid: Substance) -> OutOfReach:
    """The most acid the water takes before its alkalinity is used up, and what that does."""
    by_titration = dose_for_ph(water, acid, ph=TITRATION_END_PH) or 0.0
    most = max(by_titration, water.alkalinity_eq_l / abs(acid.alkalinity))
    full = add(water, acid, most)
    held = air_co2_mol_l(temp_c=ask.temp_c)
    return OutOfReach(
        "used-up",
        ph=settle(full).ph,
        ph_aerated=settle(full, co2_mol_l=held).ph,
        dose_g=_grams(ask, acid, most),
    )


def _grams(ask: AcidAsk, acid: Substance, mol_l: float) -> float:
    return product_g(acid, mol_l=mol_l, volume_l=ask.volume_l, percent=ask.strength)
