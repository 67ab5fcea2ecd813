"""What a base or an acid does to water, and how much of it a wanted pH or alkalinity takes."""

from dataclasses import dataclass, replace
from math import ceil, log10

from .activity import KELVIN
from .carbonate import State, Water, air_co2_mol_l, at_ph, settle
from .solve import root
from .substances import Substance

MOST_ROUNDS = 30
CLOSE_ENOUGH = 1e-8  # of a dose
TRIAL_MOL_L = 1e-3
LARGEST_MOL_L = 0.05  # far beyond anything a fish system needs
SMALLEST_MOL_L = 1e-9


@dataclass(frozen=True)
class AfterDose:
    """Dosed water three times: no gas exchanged, carbon dioxide as before the dose, as in air.

    ``at_once_eq_l`` is the alkalinity at once, less than later when a mineral dissolves slowly.
    """

    water: Water
    at_once_eq_l: float
    at_once: State
    settled: State
    aerated: State


def add(water: Water, substance: Substance, mol_l: float) -> Water:
    """The water with so many moles a litre of the substance dissolved in it.

    Valid for any amount that dissolves. Source: iupac-atomic-weights, by counting atoms.

    >>> from .substances import BASES
    >>> pure = Water(temp_c=25.0, alkalinity_eq_l=0.0, carbon_mol_l=0.0)
    >>> add(pure, BASES["calcium-hydroxide"], 0.001).alkalinity_eq_l
    0.002
    """
    return replace(
        water,
        alkalinity_eq_l=water.alkalinity_eq_l + substance.alkalinity * mol_l,
        carbon_mol_l=water.carbon_mol_l + substance.carbon * mol_l,
        univalent_mol_l=water.univalent_mol_l + substance.univalent * mol_l,
        calcium_mol_l=water.calcium_mol_l + substance.calcium * mol_l,
        magnesium_mol_l=water.magnesium_mol_l + substance.magnesium * mol_l,
        phosphate_mol_l=water.phosphate_mol_l + substance.phosphate * mol_l,
        sulphate_mol_l=water.sulphate_mol_l + substance.sulphate * mol_l,
        citrate_mol_l=water.citrate_mol_l + substance.citrate * mol_l,
    )


def after_dose(
    water: Water, substance: Substance, *, mol_l: float, co2_mol_l: float | None = None
) -> AfterDose:
    """The water at once after a dose, when its carbon dioxide is back, and after full aeration.

    The carbon dioxide it goes back to is ``co2_mol_l``, or what the water holds before the dose.
    Of a mineral, only what the water shut off from gas can dissolve counts at once.
    Valid for 0 to 50 °C and an ionic strength up to 0.5 mol/L.
    Source: stumm-morgan-1996; tested against phreeqc.

    >>> from .carbonate import from_reading
    >>> from .substances import BASES
    >>> water = from_reading(ph=6.2, alkalinity_mg_l=40.0, temp_c=25.0)
    >>> done = after_dose(water, BASES["potassium-hydroxide"], mol_l=0.0005)
    >>> [round(state.ph, 2) for state in (done.at_once, done.settled, done.aerated)]
    [6.67, 6.41, 8.28]
    """
    dosed = add(water, substance, mol_l)
    quick = mol_l
    if substance.mineral:
        quick = min(mol_l, most_that_dissolves(water, substance))
    first = add(water, substance, quick)
    held = settle(water).co2_mol_l if co2_mol_l is None else co2_mol_l
    return AfterDose(
        water=dosed,
        at_once_eq_l=first.alkalinity_eq_l,
        at_once=settle(first),
        settled=settle(dosed, co2_mol_l=held),
        aerated=settle(dosed, co2_mol_l=air_co2_mol_l(temp_c=water.temp_c)),
    )


def mix(first: Water, second: Water, *, first_l: float, second_l: float) -> Water:
    """The water that comes of pouring two together; all totals mix by volume.

    Valid for waters of the same temperature, or nearly. Source: stumm-morgan-1996, conservation.

    >>> soft = Water(temp_c=20.0, alkalinity_eq_l=0.001, carbon_mol_l=0.001)
    >>> hard = Water(temp_c=20.0, alkalinity_eq_l=0.003, carbon_mol_l=0.003)
    >>> round(mix(soft, hard, first_l=3.0, second_l=1.0).alkalinity_eq_l, 6)
    0.0015
    """
    share = first_l / (first_l + second_l)

    def blend(a: float, b: float) -> float:
        return share * a + (1 - share) * b

    return Water(
        temp_c=blend(first.temp_c, second.temp_c),
        alkalinity_eq_l=blend(first.alkalinity_eq_l, second.alkalinity_eq_l),
        carbon_mol_l=blend(first.carbon_mol_l, second.carbon_mol_l),
        univalent_mol_l=blend(first.univalent_mol_l, second.univalent_mol_l),
        calcium_mol_l=blend(first.calcium_mol_l, second.calcium_mol_l),
        magnesium_mol_l=blend(first.magnesium_mol_l, second.magnesium_mol_l),
        phosphate_mol_l=blend(first.phosphate_mol_l, second.phosphate_mol_l),
        sulphate_mol_l=blend(first.sulphate_mol_l, second.sulphate_mol_l),
        citrate_mol_l=blend(first.citrate_mol_l, second.citrate_mol_l),
        ammonia_mol_l=blend(first.ammonia_mol_l, second.ammonia_mol_l),
        ideal=first.ideal,
    )


def dose_for_ph(
    water: Water, substance: Substance, *, ph: float, co2_mol_l: float | None = None
) -> float | None:
    """Moles a litre that bring the water to ``ph``; None when no amount of it does.

    At a fixed pH and ionic strength all totals act in proportion, so the amount is where a
    straight line crosses nought; the ionic strength is put right by repeating.
    Valid for 0 to 50 °C and an ionic strength up to 0.5 mol/L. Source: stumm-morgan-1996.

    >>> from .carbonate import from_reading
    >>> from .substances import ACIDS
    >>> water = from_reading(ph=7.8, alkalinity_mg_l=100.0, temp_c=20.0)
    >>> round(dose_for_ph(water, ACIDS["hydrochloric"], ph=6.0) * 1000, 2)
    1.37
    """
    dose = 0.0
    for _ in range(MOST_ROUNDS):
        lack = _lack(water, substance, dose, ph, co2_mol_l)
        lack_after = _lack(water, substance, dose + TRIAL_MOL_L, ph, co2_mol_l)
        slope = (lack_after - lack) / TRIAL_MOL_L
        if slope == 0 or slope * substance.alkalinity > 0:
            return None
        before, dose = dose, dose - lack / slope
        if not 0 <= dose <= LARGEST_MOL_L:
            return None
        if abs(dose - before) <= CLOSE_ENOUGH * dose:
            break
    return dose


def saturation(water: Water, mineral: str, *, co2_mol_l: float | None = None) -> float:
    """log10 of how far calcite or dolomite is over (+) or under (-) its solubility.

    Valid for 0 to 50 °C and water with calcium (and magnesium for dolomite).
    Source: plummer-busenberg-1982 (calcite), phreeqc (dolomite).

    >>> from .carbonate import from_reading
    >>> water = from_reading(ph=8.0, alkalinity_mg_l=100.0, temp_c=25.0, calcium_mg_l=40.0)
    >>> round(saturation(water, "calcite"), 1)
    0.3
    """
    state = settle(water, co2_mol_l=co2_mol_l)
    two = state.constants.ion**4
    carbonate = log10(max(state.carbonate_mol_l * two, 1e-30))
    calcium = log10(max(state.calcium_mol_l * two, 1e-30))
    if mineral == "calcite":
        return calcium + carbonate - _log_calcite(water.temp_c)
    magnesium = log10(max(state.magnesium_mol_l * two, 1e-30))
    return calcium + magnesium + 2 * carbonate - _log_dolomite(water.temp_c)


def most_that_dissolves(
    water: Water, substance: Substance, *, co2_mol_l: float | None = None
) -> float:
    """Moles a litre of chalk or dolomite that dissolve before the water is saturated with it.

    Valid for 0 to 50 °C. Source: plummer-busenberg-1982 (calcite), phreeqc (dolomite).

    >>> from .carbonate import air_co2_mol_l
    >>> from .substances import BASES
    >>> pure = Water(temp_c=25.0, alkalinity_eq_l=0.0, carbon_mol_l=0.0)
    >>> air = air_co2_mol_l(temp_c=25.0)
    >>> round(most_that_dissolves(pure, BASES["calcium-carbonate"], co2_mol_l=air) * 1000, 2)
    0.54
    """

    def over(log_dose: float) -> float:
        dosed = add(water, substance, 10**log_dose)
        return saturation(dosed, substance.mineral, co2_mol_l=co2_mol_l)

    low, high = log10(SMALLEST_MOL_L), log10(LARGEST_MOL_L)
    if over(low) >= 0:
        return 0.0
    if over(high) <= 0:
        return LARGEST_MOL_L
    return float(10 ** root(over, low, high))


def parts_for_step(
    water: Water, substance: Substance, *, mol_l: float, co2_mol_l: float, step: float
) -> int:
    """Into how many equal parts a base is split so that none moves the pH further than ``step``.

    A part may move the pH at once (no gas exchanged) or more slowly (carbon dioxide back where it
    was); the greater counts. The first part moves it furthest: each one finds a better buffer.
    Valid for bases. Source: stumm-morgan-1996.

    >>> from .carbonate import from_reading
    >>> from .substances import BASES
    >>> water = from_reading(ph=6.2, alkalinity_mg_l=40.0, temp_c=25.0)
    >>> lime = BASES["calcium-hydroxide"]
    >>> held = settle(water).co2_mol_l
    >>> parts_for_step(water, lime, mol_l=0.0005, co2_mol_l=held, step=0.3)
    4
    """
    allowed = settle(water).ph + step
    at_once = dose_for_ph(water, substance, ph=allowed)
    slowly = dose_for_ph(water, substance, ph=allowed, co2_mol_l=co2_mol_l)
    largest = min(dose for dose in (at_once, slowly, mol_l) if dose is not None)
    return max(1, ceil(mol_l / largest - 1e-9)) if largest > 0 else 1


def mixed_alkalinity_mg_l(
    *, first_mg_l: float, first_l: float, second_mg_l: float, second_l: float
) -> float:
    """The alkalinity of two waters poured together; it mixes by volume.

    Valid for any fresh waters, as long as nothing falls out.
    Source: stumm-morgan-1996, conservation.

    >>> mixed_alkalinity_mg_l(first_mg_l=150.0, first_l=300.0, second_mg_l=10.0, second_l=100.0)
    115.0
    """
    return (first_mg_l * first_l + second_mg_l * second_l) / (first_l + second_l)


def _lack(
    water: Water, substance: Substance, dose: float, ph: float, co2_mol_l: float | None
) -> float:
    """The alkalinity that is still missing for ``ph`` once the dose is in."""
    dosed = add(water, substance, dose)
    return at_ph(dosed, ph=ph, co2_mol_l=co2_mol_l)[0] - dosed.alkalinity_eq_l


def _log_calcite(temp_c: float) -> float:
    t = temp_c + KELVIN
    return -171.9065 - 0.077993 * t + 2839.319 / t + 71.595 * log10(t)


def _log_dolomite(temp_c: float) -> float:
    heat_j_mol = -9436 * 4.184  # van 't Hoff from 25 °C
    return -17.09 + heat_j_mol / (8.314462618 * 2.302585093) * (1 / 298.15 - 1 / (temp_c + KELVIN))
