"""What is written into the water book: each quantity with its units and what is plausible."""

from collections.abc import Mapping
from dataclasses import dataclass

from kb.calculators.base_demand import HEAP
from kb.errors import UnitError
from kb.science.nitrification import nitrogen_from
from kb.science.substances import (
    ACIDS,
    BASES,
    BULK_DENSITY_G_ML,
    molarity_mol_l,
    solution_density_g_ml,
)
from kb.units import (
    ALKALINITY,
    CONCENTRATION,
    COUNT,
    LENGTH,
    MASS,
    PH,
    TEASPOON_ML,
    TEMPERATURE,
    VOLUME,
    Kind,
    Unit,
    spoon_units,
)

READING, FEED, DOSE, WATER, FISH, REMARK = "reading", "feed", "dose", "water", "fish", "remark"
KINDS = (READING, FEED, DOSE, WATER, FISH, REMARK)

SUBSTANCES: Mapping[str, str] = {
    "calcium-hydroxide": "calcium hydroxide (hydrated lime)",
    "potassium-bicarbonate": "potassium bicarbonate",
    "potassium-carbonate": "potassium carbonate (potash)",
    "potassium-hydroxide": "potassium hydroxide (caustic potash)",
    "calcium-carbonate": "calcium carbonate (chalk, shell grit)",
    "dolomite": "dolomite",
    "sodium-bicarbonate": "sodium bicarbonate (baking soda)",
    "magnesium-hydroxide": "magnesium hydroxide",
    "hydrochloric": "hydrochloric acid, in top-up water",
    "phosphoric": "phosphoric acid, in top-up water",
    "sulphuric": "sulphuric acid, in top-up water",
    "citric": "citric acid, in top-up water",
}
"""Every base and acid that kb.science knows, by its name in the trade."""


@dataclass(frozen=True)
class Quantity:
    """One thing that is written down; ``plausible`` and ``possible`` stand in the base unit.

    Beyond ``plausible`` a value is asked about, beyond ``possible`` it is refused.
    """

    id: str
    kind: str
    label: str
    units: Kind
    unit: str
    plausible: tuple[float, float]
    possible: tuple[float, float]
    digits: int = 1
    column: str = ""

    @property
    def header(self) -> str:
        """The head of its column in a CSV file."""
        return f"{self.id} [{self.column}]" if self.column else self.id


def _nitrogen(base: str, *others: str) -> Kind:
    """Concentrations of nitrogen in the forms that test kits read in; the first is the base."""
    base_n = nitrogen_from(mass=1.0, compound=base)
    return Kind(
        "concentration",
        (
            _form(base, 1.0, plain=True),
            *(_form(other, nitrogen_from(mass=1.0, compound=other) / base_n) for other in others),
            Unit("µg/L", 0.001, ("ug/l", "ppb")),
        ),
    )


def _form(compound: str, factor: float, *, plain: bool = False) -> Unit:
    bare = ("mg/l", "ppm", "mg l") if plain else ()
    names = tuple(f"{unit}{word}{compound}" for unit in ("mg/l", "ppm") for word in (" ", " as "))
    extra = tuple(f"{unit} {other}" for unit in ("mg/l", "ppm") for other in _ALSO[compound])
    return Unit(f"mg/L as {_SHOWN[compound]}", factor, (*bare, *names, *extra))


_SHOWN = {"N": "N", "NH3": "NH₃", "NH4": "NH₄", "NO2": "NO₂", "NO3": "NO₃"}
_ALSO: Mapping[str, tuple[str, ...]] = {
    "N": ("nh3-n", "nh4-n", "tan", "no2-n", "no3-n"),
    "NH3": ("nh₃", "ammonia"),
    "NH4": ("nh₄", "nh4+", "ammonium"),
    "NO2": ("no₂", "no2-", "nitrite"),
    "NO3": ("no₃", "no3-", "nitrate"),
}

QUANTITIES: Mapping[str, Quantity] = {
    item.id: item
    for item in (
        Quantity("ph", READING, "pH", PH, "pH", (4.0, 10.0), (0.0, 20.0), 2),
        Quantity(
            "alkalinity", READING, "Alkalinity (KH)", ALKALINITY, "mg/L as CaCO₃", (0, 400),
            (0, 5000), 0, "mg/L CaCO3",
        ),
        Quantity(
            "ammonia", READING, "Ammonia", _nitrogen("N", "NH3", "NH4"), "mg/L as N", (0, 10),
            (0, 1000), 2, "mg/L N",
        ),
        Quantity(
            "nitrite", READING, "Nitrite", _nitrogen("N", "NO2"), "mg/L as N", (0, 10),
            (0, 1000), 2, "mg/L N",
        ),
        Quantity(
            "nitrate", READING, "Nitrate", _nitrogen("NO3", "N"), "mg/L as NO₃", (0, 500),
            (0, 10_000), 0, "mg/L NO3",
        ),
        Quantity(
            "oxygen", READING, "Oxygen", CONCENTRATION, "mg/L", (1, 15), (0, 60), 1, "mg/L"
        ),
        Quantity(
            "temperature", READING, "Water temperature", TEMPERATURE, "°C", (3, 35), (-5, 60), 1,
            "°C",
        ),
        Quantity("level", READING, "Water level", LENGTH, "cm", (0, 3), (-10, 20), 2, "m"),
        Quantity("feed", FEED, "Feed", MASS, "g", (0, 5000), (0, 1e6), 0, "g"),
        Quantity("dose", DOSE, "Dose", MASS, "g", (0, 1000), (0, 1e6), 1, "g"),
        Quantity("water-added", WATER, "Water added", VOLUME, "L", (0, 5000), (0, 1e7), 0, "L"),
        Quantity("water-changed", WATER, "Water changed", VOLUME, "L", (0, 5000), (0, 1e7), 0, "L"),
        Quantity("fish-in", FISH, "Fish put in", COUNT, "", (1, 500), (1, 1e6), 0),
        Quantity("fish-out", FISH, "Fish taken out", COUNT, "", (1, 500), (1, 1e6), 0),
        Quantity("fish-died", FISH, "Fish that died", COUNT, "", (1, 20), (1, 1e6), 0),
    )
}  # fmt: skip
REMARK_ID = "remark"
READINGS = tuple(item.id for item in QUANTITIES.values() if item.kind == READING)


def label_of(quantity: str) -> str:
    """What a quantity is called; a remark has no quantity of its own."""
    return "Remark" if quantity == REMARK_ID else QUANTITIES[quantity].label


def dose_units(substance: str, strength_percent: float | None) -> Kind:
    """Grams and, where they can be turned into grams, spoons of a powder or mL of an acid."""
    more: list[Unit] = []
    density = BULK_DENSITY_G_ML.get(substance)
    if density is not None:
        heaped = HEAP * TEASPOON_ML * density
        names = ("heaped teaspoon", "heaped teaspoons", "heaped spoon", "heaped spoons")
        more = [*spoon_units(density), Unit("heaped tsp", heaped, names)]
    if substance in ACIDS and strength_percent is not None:
        more.append(Unit("mL", _acid_g_ml(substance, strength_percent), ("ml", "millilitre")))
    return MASS.with_units(*more)


def dose_hint(substance: str, error: UnitError) -> str:
    """Why a dose cannot be read: a spoon, or a measure of acid, may only lack its weight."""
    text = str(error)
    if (substance in BASES and "spoon" in text) or "tsp" in text.split("is not a unit")[0]:
        known = ", ".join(SUBSTANCES[name] for name in BULK_DENSITY_G_ML)
        return f"{text} A spoon has a known weight for {known} only: weigh the others."
    if substance in ACIDS and "strength" not in text:
        return f"{text} For mL of an acid give its strength too."
    return text


def _acid_g_ml(acid: str, strength_percent: float) -> float:
    """Grams of the pure acid in a millilitre of its solution."""
    density = solution_density_g_ml(acid=acid, strength_percent=strength_percent)
    moles = molarity_mol_l(acid=acid, strength_percent=strength_percent, density_g_ml=density)
    return moles * ACIDS[acid].molar_mass / 1000
