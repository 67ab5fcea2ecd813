"""The carbonate system: what pH comes of alkalinity, carbon and the other weak acids in the water.

Alkalinity and the totals stay as they are when gas or temperature move the pH; only doses change
them. pH is the activity scale that a meter reads. Alkalinity is what a titration to pH 4.5
finds: phosphate counts from H2PO4, sulphate from SO4, citrate from its charge at pH 4.5.
Calcium and magnesium form pairs with bicarbonate, carbonate and hydroxide; others are left out.
"""

from dataclasses import dataclass, replace

from .acids import Constants, constants, corrected
from .pairs import Metal, co2_of_alkalinity, co2_of_carbon, metal
from .solve import root

AIR_UATM = 420.0  # carbon dioxide in outdoor air, about; common-practice
CACO3_MG_PER_EQ = 50_043.45  # molar mass 100.0869 g/mol, two equivalents
CO2_MG_PER_MOL = 44_009.5
TITRATION_END_PH = 4.5
LOWEST_PH, HIGHEST_PH = -1.0, 15.0
NEARBY = 0.02  # pH; a better ionic strength seldom moves the answer further
MOST_ROUNDS = 40
CLOSE_ENOUGH = 1e-9  # of ionic strength, mol/L
NONE = Metal(total=0.0, hydroxide=0.0, by_bicarbonate=0.0, by_carbonate=0.0)


@dataclass(frozen=True)
class Water:
    """Totals of one litre; ``univalent_mol_l`` counts strong ions such as Na, K and Cl.

    ``ideal`` leaves the activity correction out, for comparison with ideal-solution programs.
    """

    temp_c: float
    alkalinity_eq_l: float
    carbon_mol_l: float
    univalent_mol_l: float = 0.0
    calcium_mol_l: float = 0.0
    magnesium_mol_l: float = 0.0
    phosphate_mol_l: float = 0.0
    sulphate_mol_l: float = 0.0
    citrate_mol_l: float = 0.0
    ammonia_mol_l: float = 0.0
    ideal: bool = False


@dataclass(frozen=True)
class State:
    """Water come to rest at one pH; carbonate, calcium and magnesium are those not in pairs."""

    ph: float
    co2_mol_l: float
    carbonate_mol_l: float
    calcium_mol_l: float
    magnesium_mol_l: float
    carbon_mol_l: float
    ionic_strength: float
    constants: Constants


@dataclass(frozen=True)
class _Species:
    alkalinity: float
    ionic_strength: float
    carbon: float
    co2: float
    carbonate: float
    held: tuple[Metal, ...]


def from_reading(
    *,
    ph: float,
    alkalinity_mg_l: float,
    temp_c: float,
    calcium_mg_l: float = 0.0,
    ammonia_mg_l: float = 0.0,
    ideal: bool = False,
) -> Water:
    """The water that shows this pH and alkalinity (mg/L as CaCO3); ammonia is total, as N.

    The carbon comes out negative when the two readings cannot both be true: without any carbon,
    the hydroxide of that pH alone would read a higher alkalinity.
    Valid for 0 to 50 °C. Source: stumm-morgan-1996, with the constants of plummer-busenberg-1982.

    >>> water = from_reading(ph=7.8, alkalinity_mg_l=100.0, temp_c=25.0)
    >>> round(water.carbon_mol_l * 1000, 3)
    2.058
    """
    alkalinity = alkalinity_mg_l / CACO3_MG_PER_EQ
    calcium = calcium_mg_l / 40_078
    water = Water(
        temp_c=temp_c,
        alkalinity_eq_l=alkalinity,
        carbon_mol_l=0.0,
        univalent_mol_l=abs(alkalinity - 2 * calcium),
        calcium_mol_l=calcium,
        ammonia_mol_l=ammonia_mg_l / 14_007,
        ideal=ideal,
    )
    strength = alkalinity + 3 * calcium
    for _ in range(MOST_ROUNDS):
        k = _constants(water, strength)
        water = replace(water, carbon_mol_l=_carbon(water, ph, k))
        before, strength = strength, max(0.0, _species(water, ph, k, None).ionic_strength)
        if abs(strength - before) < CLOSE_ENOUGH:
            break
    return water


def settle(water: Water, *, co2_mol_l: float | None = None) -> State:
    """The water at rest: shut off from gas, or with its carbon dioxide held at ``co2_mol_l``.

    Valid for 0 to 50 °C and an ionic strength up to 0.5 mol/L.
    Source: stumm-morgan-1996; tested against phreeqc.

    >>> water = from_reading(ph=7.8, alkalinity_mg_l=100.0, temp_c=25.0)
    >>> round(settle(water).ph, 3)
    7.8
    """
    strength = 0.5 * (water.univalent_mol_l + abs(water.alkalinity_eq_l))
    k = _constants(water, strength)
    ph = _ph(water, k, co2_mol_l, None)
    for _ in range(MOST_ROUNDS):
        found = _species(water, ph, k, co2_mol_l)
        before, strength = strength, found.ionic_strength
        if abs(strength - before) < CLOSE_ENOUGH:
            break
        k = _constants(water, strength)
        ph = _ph(water, k, co2_mol_l, ph)
    return _state(water, ph, k, co2_mol_l)


def at_ph(water: Water, *, ph: float, co2_mol_l: float | None = None) -> tuple[float, State]:
    """The alkalinity (eq/L) that these totals would need to stand at ``ph``, and the state there.

    Valid for 0 to 50 °C and an ionic strength up to 0.5 mol/L. Source: stumm-morgan-1996.

    >>> water = from_reading(ph=7.8, alkalinity_mg_l=100.0, temp_c=25.0)
    >>> round(at_ph(water, ph=7.8)[0] * CACO3_MG_PER_EQ, 3)
    100.0
    """
    strength = 0.5 * (water.univalent_mol_l + abs(water.alkalinity_eq_l))
    for _ in range(MOST_ROUNDS):
        k = _constants(water, strength)
        found = _species(water, ph, k, co2_mol_l)
        before, strength = strength, found.ionic_strength
        if abs(strength - before) < CLOSE_ENOUGH:
            break
    return found.alkalinity, _state(water, ph, k, co2_mol_l)


def air_co2_mol_l(*, temp_c: float, uatm: float = AIR_UATM) -> float:
    """The carbon dioxide in water at rest with a gas that holds ``uatm`` of it.

    Valid for 0 to 50 °C. Source: plummer-busenberg-1982, Henry constant.

    >>> round(air_co2_mol_l(temp_c=25.0) * CO2_MG_PER_MOL, 2)
    0.63
    """
    return constants(temp_c=temp_c).gas * uatm * 1e-6


def pressure_uatm(*, co2_mol_l: float, temp_c: float) -> float:
    """The partial pressure that holds this much carbon dioxide in water, in millionths of an atm.

    Valid for 0 to 50 °C. Source: plummer-busenberg-1982, Henry constant.

    >>> round(pressure_uatm(co2_mol_l=air_co2_mol_l(temp_c=20.0), temp_c=20.0))
    420
    """
    return co2_mol_l / constants(temp_c=temp_c).gas * 1e6


def co2_mg_l(*, ph: float, alkalinity_mg_l: float, temp_c: float) -> float:
    """The dissolved carbon dioxide of water with this pH and alkalinity (mg/L as CaCO3).

    Valid for 0 to 50 °C, pH below 8.5, alkalinity that is carbonate alone.
    Source: stumm-morgan-1996, with the constants of plummer-busenberg-1982.

    >>> round(co2_mg_l(ph=7.0, alkalinity_mg_l=100.0, temp_c=25.0), 1)
    18.8
    """
    water = from_reading(ph=ph, alkalinity_mg_l=alkalinity_mg_l, temp_c=temp_c)
    return at_ph(water, ph=ph)[1].co2_mol_l * CO2_MG_PER_MOL


def citrate_charge(*, ph: float, temp_c: float) -> float:
    """The mean number of protons that citric acid has given off at a pH, at no ionic strength.

    Valid for 5 to 50 °C. Source: benezeth-1997.

    >>> round(citrate_charge(ph=4.5, temp_c=25.0), 2)
    1.33
    """
    return _three_steps(10**-ph, constants(temp_c=temp_c).citric)[0]


def phosphate_charge(*, ph: float, temp_c: float) -> float:
    """The mean number of protons that phosphoric acid has given off at a pH, at no ionic strength.

    Valid for 0 to 50 °C. Source: phreeqc, database phreeqc.dat.

    >>> round(phosphate_charge(ph=7.0, temp_c=25.0), 2)
    1.38
    """
    return _three_steps(10**-ph, constants(temp_c=temp_c).phosphoric)[0]


def _constants(water: Water, strength: float) -> Constants:
    at_zero = constants(temp_c=water.temp_c)
    return at_zero if water.ideal else corrected(at_zero, ionic_strength=strength)


def _ph(water: Water, k: Constants, co2_mol_l: float | None, near: float | None) -> float:
    """The pH at which the alkalinity is right, looked for first round about where it was."""

    def surplus(ph: float) -> float:
        return _species(water, ph, k, co2_mol_l).alkalinity - water.alkalinity_eq_l

    if near is not None and surplus(near - NEARBY) < 0 < surplus(near + NEARBY):
        return root(surplus, near - NEARBY, near + NEARBY)
    return root(surplus, LOWEST_PH, HIGHEST_PH)


def _state(water: Water, ph: float, k: Constants, co2_mol_l: float | None) -> State:
    found = _species(water, ph, k, co2_mol_l)
    calcium, magnesium = (one.free(max(0.0, found.co2)) for one in found.held or (NONE, NONE))
    return State(
        ph=ph,
        co2_mol_l=found.co2,
        carbonate_mol_l=found.carbonate,
        calcium_mol_l=calcium,
        magnesium_mol_l=magnesium,
        carbon_mol_l=found.carbon,
        ionic_strength=found.ionic_strength,
        constants=k,
    )


def _carbon(water: Water, ph: float, k: Constants) -> float:
    """The carbon that makes up the alkalinity which nothing else in the water accounts for."""
    rest = _species(replace(water, carbon_mol_l=0.0), ph, k, None)
    first, second = _ratios(ph, k)
    missing, weight = water.alkalinity_eq_l - rest.alkalinity, first + 2 * second
    if missing <= 0 or not rest.held:
        return missing * (1 + first + second) / weight
    co2 = co2_of_alkalinity(missing, weight=weight, held=rest.held)
    return _species(water, ph, k, co2).carbon


def _ratios(ph: float, k: Constants) -> tuple[float, float]:
    """Bicarbonate and carbonate, free of pairs, over carbon dioxide."""
    first = k.carbonic[0] / 10**-ph
    return first, first * k.carbonic[1] / 10**-ph


def _species(water: Water, ph: float, k: Constants, co2_mol_l: float | None) -> _Species:
    h = 10**-ph
    first, second = _ratios(ph, k)
    held = _metals(water, h, k, (first, second))
    co2 = co2_mol_l
    if co2 is None:
        total, weight = water.carbon_mol_l, 1 + first + second
        paired = held and total > 0
        co2 = co2_of_carbon(total, weight=weight, held=held) if paired else total / weight
    bicarbonate, carbonate = co2 * first, co2 * second
    acid, base = h / k.ion, k.water / h
    alkalinity, squares = _other_acids(water, h, k)
    alkalinity += bicarbonate + 2 * carbonate + base - acid
    squares += water.univalent_mol_l + acid + base + bicarbonate + 4 * carbonate
    carbon = co2 + bicarbonate + carbonate
    for one in held:
        free, gas = one.free(max(0.0, co2)), max(0.0, co2)
        with_one, with_two = free * gas * one.by_bicarbonate, free * gas * one.by_carbonate
        alkalinity += with_one + 2 * with_two + free * one.hydroxide
        squares += 4 * free + with_one + free * one.hydroxide
        carbon += with_one + with_two
    return _Species(alkalinity, squares / 2, carbon, co2, carbonate, held)


def _metals(water: Water, h: float, k: Constants, ratios: tuple[float, float]) -> tuple[Metal, ...]:
    if not (water.calcium_mol_l or water.magnesium_mol_l):
        return ()
    one, two = ratios
    return (
        metal(water.calcium_mol_l, k.calcium, h=h, bicarbonate=one, carbonate=two),
        metal(water.magnesium_mol_l, k.magnesium, h=h, bicarbonate=one, carbonate=two),
    )


def _other_acids(water: Water, h: float, k: Constants) -> tuple[float, float]:
    """Alkalinity and squared charges of phosphate, sulphate, citrate and ammonia."""
    alkalinity = squares = 0.0
    if water.phosphate_mol_l:
        charge, square = _three_steps(h, k.phosphoric)
        alkalinity += water.phosphate_mol_l * (charge - 1)
        squares += water.phosphate_mol_l * square
    if water.sulphate_mol_l:
        bisulphate = water.sulphate_mol_l / (1 + k.bisulphate / h)
        alkalinity -= bisulphate
        squares += 4 * water.sulphate_mol_l - 3 * bisulphate
    if water.citrate_mol_l:
        charge, square = _three_steps(h, k.citric)
        alkalinity += water.citrate_mol_l * (charge - CITRATE_END_CHARGE)
        squares += water.citrate_mol_l * square
    if water.ammonia_mol_l:
        ammonia = water.ammonia_mol_l / (1 + h / k.ammonium)
        alkalinity += ammonia
        squares += water.ammonia_mol_l - ammonia
    return alkalinity, squares


def _three_steps(h: float, steps: tuple[float, float, float]) -> tuple[float, float]:
    """Mean charge and mean square of the charge of an acid with three protons."""
    one = steps[0] / h
    two = one * steps[1] / h
    three = two * steps[2] / h
    total = 1 + one + two + three
    return (one + 2 * two + 3 * three) / total, (one + 4 * two + 9 * three) / total


CITRATE_END_CHARGE = citrate_charge(ph=TITRATION_END_PH, temp_c=25.0)
