"""The bases and acids of the trade: what a mole of each does to the water, and how it is sold."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from .carbonate import CITRATE_END_CHARGE

ATOMIC_WEIGHTS: Mapping[str, float] = {
    "H": 1.008, "C": 12.011, "O": 15.999, "Na": 22.990, "Mg": 24.305, "P": 30.974,
    "S": 32.06, "Cl": 35.45, "K": 39.098, "Ca": 40.078,
}  # fmt: skip
"""Abridged standard atomic weights. Source: iupac-atomic-weights."""

Atoms = Mapping[str, int]


@dataclass(frozen=True)
class Substance:
    """What one mole brings: alkalinity in equivalents, and moles of each total in the water."""

    id: str
    formula: str
    atoms: Atoms
    alkalinity: float
    carbon: int = 0
    univalent: int = 0
    calcium: int = 0
    magnesium: int = 0
    phosphate: int = 0
    sulphate: int = 0
    citrate: int = 0
    mineral: str = ""

    @property
    def molar_mass(self) -> float:
        """Grams a mole."""
        return sum(ATOMIC_WEIGHTS[atom] * count for atom, count in self.atoms.items())

    @property
    def equivalent_g(self) -> float:
        """Grams that bring or take one equivalent of alkalinity."""
        return self.molar_mass / abs(self.alkalinity)

    def mg_per_mol(self, atom: str) -> float:
        """Milligrams of one element in a mole."""
        return 1000 * ATOMIC_WEIGHTS[atom] * self.atoms.get(atom, 0)


def lime_solubility_g_l(*, temp_c: float) -> float:
    """How much calcium hydroxide a litre of plain water dissolves; colder water takes more.

    Valid for 0 to 30 °C, and taken as at 30 °C above. Source: solubility-lime.

    >>> round(lime_solubility_g_l(temp_c=25.0), 2)
    1.59
    """
    return _interpolated(_LIME_SOLUBILITY, temp_c)


def solution_density_g_ml(*, acid: str, strength_percent: float) -> float:
    """The density of an acid solution at 20 °C, by its strength in percent by mass.

    Straight lines between the table's points, held level beyond the last; off by up to 2 % where
    points lie far apart. Citric acid is mixed by volume from water and the solid.
    Valid for strengths that are sold. Source: hcl-density-table, acid-density-table,
    acid-data-sheets; citric acid: common-practice.

    >>> round(solution_density_g_ml(acid="hydrochloric", strength_percent=31.45), 3)
    1.156
    """
    if acid == "citric":
        share = strength_percent / 100
        return 1 / (share / CITRIC_SOLID_G_ML + (1 - share) / WATER_G_ML)
    return _interpolated(DENSITIES[acid], strength_percent)


def molarity_mol_l(*, acid: str, strength_percent: float, density_g_ml: float) -> float:
    """Moles of acid in a litre of a solution of known strength and density.

    Valid for any solution. Source: iupac-atomic-weights.

    >>> round(molarity_mol_l(acid="hydrochloric", strength_percent=30.0, density_g_ml=1.149), 2)
    9.45
    """
    return 10 * strength_percent * density_g_ml / ACIDS[acid].molar_mass


def _interpolated(points: Sequence[tuple[float, float]], x: float) -> float:
    if x <= points[0][0]:
        return points[0][1]
    for (x0, y0), (x1, y1) in pairwise(points):
        if x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return points[-1][1]


BASES: Mapping[str, Substance] = {
    item.id: item
    for item in (
        Substance("calcium-hydroxide", "Ca(OH)₂", {"Ca": 1, "O": 2, "H": 2}, 2, calcium=1),
        Substance("potassium-hydroxide", "KOH", {"K": 1, "O": 1, "H": 1}, 1, univalent=1),
        Substance(
            "potassium-bicarbonate", "KHCO₃", {"K": 1, "H": 1, "C": 1, "O": 3}, 1,
            carbon=1, univalent=1,
        ),
        Substance(
            "potassium-carbonate", "K₂CO₃", {"K": 2, "C": 1, "O": 3}, 2, carbon=1, univalent=2
        ),
        Substance(
            "calcium-carbonate", "CaCO₃", {"Ca": 1, "C": 1, "O": 3}, 2,
            carbon=1, calcium=1, mineral="calcite",
        ),
        Substance(
            "sodium-bicarbonate", "NaHCO₃", {"Na": 1, "H": 1, "C": 1, "O": 3}, 1,
            carbon=1, univalent=1,
        ),
        Substance(
            "dolomite", "CaMg(CO₃)₂", {"Ca": 1, "Mg": 1, "C": 2, "O": 6}, 4,
            carbon=2, calcium=1, magnesium=1, mineral="dolomite",
        ),
        Substance("magnesium-hydroxide", "Mg(OH)₂", {"Mg": 1, "O": 2, "H": 2}, 2, magnesium=1),
    )
}  # fmt: skip

ACIDS: Mapping[str, Substance] = {
    item.id: item
    for item in (
        Substance("hydrochloric", "HCl", {"H": 1, "Cl": 1}, -1, univalent=1),
        Substance("phosphoric", "H₃PO₄", {"H": 3, "P": 1, "O": 4}, -1, phosphate=1),
        Substance("sulphuric", "H₂SO₄", {"H": 2, "S": 1, "O": 4}, -2, sulphate=1),
        Substance("citric", "C₆H₈O₇", {"C": 6, "H": 8, "O": 7}, -CITRATE_END_CHARGE, citrate=1),
    )
}

BULK_DENSITY_G_ML: Mapping[str, float] = {
    "calcium-hydroxide": 0.475,
    "potassium-bicarbonate": 1.041,
}
"""Loose powders of known bulk density: lime-data-sheet, potassium-bicarbonate-specification."""

WATER_G_ML = 0.998  # at 20 °C; iapws-water
CITRIC_SOLID_G_ML = 1.665  # from memory; handbook value of the anhydrous solid

DENSITIES: Mapping[str, Sequence[tuple[float, float]]] = {
    # hcl-density-table
    "hydrochloric": ((0, WATER_G_ML), (20, 1.098), (30, 1.149), (32, 1.159), (36, 1.179)),
    # acid-density-table to 40 %, acid-data-sheets at 75 and 85 %
    "phosphoric": (
        (0, WATER_G_ML), (10, 1.0531), (20, 1.1135), (30, 1.1804), (40, 1.2536), (75, 1.575),
        (85, 1.685),
    ),
    # acid-density-table, acid-data-sheets at 96 %
    "sulphuric": (
        (0, WATER_G_ML), (10, 1.0661), (20, 1.1398), (30, 1.2191), (40, 1.3028), (50, 1.3952),
        (70, 1.6105), (96, 1.84), (100, 1.8305),
    ),
}  # fmt: skip

_LIME_SOLUBILITY = ((0.0, 1.85), (20.0, 1.65), (30.0, 1.53))
