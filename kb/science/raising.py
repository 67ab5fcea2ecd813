"""A base for a system with fish in it: how much, in how many parts, and what comes of it."""

from dataclasses import dataclass
from functools import cached_property

from .ammonia import unionised_fraction
from .carbonate import (
    CACO3_MG_PER_EQ,
    CO2_MG_PER_MOL,
    State,
    Water,
    air_co2_mol_l,
    from_reading,
    settle,
)
from .dosing import (
    AfterDose,
    add,
    after_dose,
    dose_for_ph,
    most_that_dissolves,
    parts_for_step,
)
from .reach import OutOfReach, mol_for_alkalinity, present, product_g, product_mol_l
from .substances import BASES, Substance

MOST_ALKALINITY = 1000.0  # mg/L; no fish system needs more, and Davies grows less sure


@dataclass(frozen=True)
class BaseAsk:
    """Readings and wish, as mg/L, °C, L, g, and percent; ammonia as N, alkalinity as CaCO3.

    Exactly one of ``target_ph`` (settled), ``target_alkalinity`` and ``dose_g`` is given.
    """

    volume_l: float
    ph: float
    alkalinity: float
    temp_c: float
    base: str
    purity: float
    target_ph: float | None = None
    target_alkalinity: float | None = None
    dose_g: float | None = None
    calcium: float = 0.0
    ammonia: float = 0.0
    step: float = 0.3


@dataclass(frozen=True)
class BasePlan:
    """The dose, and the water before and after it; ``mol_l`` is what dissolves of it.

    ``held`` is the carbon dioxide that the water settles back to: what it holds now, or that of the
    air where the readings mean less, which no tank keeps for long.
    """

    ask: BaseAsk
    base: Substance
    water: Water
    now: State
    held: float
    mol_l: float
    mass_g: float

    @cached_property
    def after(self) -> AfterDose:
        """The water at once, settled and aired."""
        return after_dose(self.water, self.base, mol_l=self.mol_l, co2_mol_l=self.held)

    @cached_property
    def settled_ph(self) -> float:
        """The settled pH alone, for when the rest is not asked for."""
        return settle(add(self.water, self.base, self.mol_l), co2_mol_l=self.held).ph

    @cached_property
    def parts(self) -> int:
        """Into how many parts the dose is split."""
        return parts_for_step(
            self.water, self.base, mol_l=self.mol_l, co2_mol_l=self.held, step=self.ask.step
        )

    @property
    def co2_mg_l(self) -> float:
        """The carbon dioxide before the dose."""
        return self.now.co2_mol_l * CO2_MG_PER_MOL

    @property
    def held_mg_l(self) -> float:
        """The carbon dioxide that the water settles back to."""
        return self.held * CO2_MG_PER_MOL

    @property
    def alkalinity(self) -> float:
        """The alkalinity after the dose, in mg/L as CaCO3."""
        return self.after.water.alkalinity_eq_l * CACO3_MG_PER_EQ

    @property
    def highest_ph(self) -> float:
        """The higher of the pH at once and the settled pH."""
        return max(self.after.at_once.ph, self.after.settled.ph)

    @property
    def dissolved_g(self) -> float:
        """How much of the product ends up dissolved."""
        return _grams(self.ask, self.base, self.mol_l)

    @property
    def leftover(self) -> bool:
        """Does some of a given dose stay undissolved?"""
        return self.dissolved_g < 0.999 * self.mass_g

    def added_mg_l(self, atom: str) -> float:
        """What the dose adds of an element."""
        return self.mol_l * self.base.mg_per_mol(atom)

    def unionised_mg_l(self, ph: float) -> float:
        """The un-ionised ammonia at a pH, as N."""
        return self.ask.ammonia * unionised_fraction(ph=ph, temp_c=self.ask.temp_c)


def plan_base(ask: BaseAsk) -> BasePlan:
    """The dose for a wish, or what a given dose does; raises OutOfReach.

    Valid for 0 to 50 °C and fresh water up to 1000 mg/L of alkalinity.
    Source: stumm-morgan-1996, plummer-busenberg-1982; tested against phreeqc.

    >>> ask = BaseAsk(1000, 6.2, 40, 25, "calcium-hydroxide", 100, target_alkalinity=65)
    >>> round(plan_base(ask).mass_g, 1)
    18.5
    """
    water = from_reading(
        ph=ask.ph,
        alkalinity_mg_l=ask.alkalinity,
        temp_c=ask.temp_c,
        calcium_mg_l=ask.calcium,
        ammonia_mg_l=ask.ammonia,
    )
    now = present(water)
    held = max(now.co2_mol_l, air_co2_mol_l(temp_c=ask.temp_c))
    base = BASES[ask.base]
    wanted = _wanted_mol_l(ask, water, held, base)
    mol_l = _dissolving(ask, water, held, base, wanted)
    return BasePlan(
        ask=ask,
        base=base,
        water=water,
        now=now,
        held=held,
        mol_l=mol_l,
        mass_g=ask.dose_g if ask.dose_g is not None else _grams(ask, base, wanted),
    )


def _wanted_mol_l(ask: BaseAsk, water: Water, held: float, base: Substance) -> float:
    """Moles a litre for what was asked, whether or not so much dissolves."""
    room = MOST_ALKALINITY / CACO3_MG_PER_EQ - water.alkalinity_eq_l
    most = max(0.0, room) / base.alkalinity
    if ask.target_ph is not None:
        if ask.target_ph <= ask.ph:
            raise OutOfReach("not-above")
        wanted = dose_for_ph(water, base, ph=ask.target_ph, co2_mol_l=held)
        if wanted is not None and wanted <= most:
            return wanted
    elif ask.target_alkalinity is not None:
        if ask.target_alkalinity <= ask.alkalinity:
            raise OutOfReach("not-above")
        return mol_for_alkalinity(water, base, alkalinity_mg_l=ask.target_alkalinity)
    else:
        grams = ask.dose_g or 0.0
        given = product_mol_l(base, grams=grams, volume_l=ask.volume_l, percent=ask.purity)
        if given <= most or base.mineral:
            return given
    raise _end(ask, water, held, base, most)


def _dissolving(ask: BaseAsk, water: Water, held: float, base: Substance, wanted: float) -> float:
    """How much of it dissolves; a target beyond the solubility is refused, a given dose is not."""
    if not base.mineral:
        return wanted
    most = most_that_dissolves(water, base, co2_mol_l=held)
    if wanted > most and ask.dose_g is None:
        raise _end(ask, water, held, base, most)
    return min(wanted, most)


def _end(ask: BaseAsk, water: Water, held: float, base: Substance, most: float) -> OutOfReach:
    """How far one gets with a base before it stops dissolving, or before the upper bound."""
    if base.mineral:
        most = min(most, most_that_dissolves(water, base, co2_mol_l=held))
    full = add(water, base, most)
    return OutOfReach(
        "saturated" if base.mineral else "too-much",
        co2_mg_l=held * CO2_MG_PER_MOL,
        ph=settle(full, co2_mol_l=held).ph,
        alkalinity=full.alkalinity_eq_l * CACO3_MG_PER_EQ,
        dose_g=_grams(ask, base, most),
    )


def _grams(ask: BaseAsk, base: Substance, mol_l: float) -> float:
    return product_g(base, mol_l=mol_l, volume_l=ask.volume_l, percent=ask.purity)
