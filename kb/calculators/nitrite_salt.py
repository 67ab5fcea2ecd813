"""Nitrite and salt: how much chloride holds a nitrite off the fish, and what it does to plants."""

from dataclasses import dataclass

from kb.calculators.model import (
    Calculator,
    Choice,
    Example,
    Number,
    Outcome,
    Result,
    Step,
    show_plain,
)
from kb.science.nitrification import NITROGEN_COMPOUND_G_MOL, NITROGEN_G_MOL
from kb.science.nitrite import (
    chloride_share,
    chloride_to_add_mg_l,
    ratio_to_nitrite,
    salt_g,
    weight_ratio,
)
from kb.units import (
    CONCENTRATION,
    MASS,
    RATIO,
    SALINITY,
    VOLUME,
    few,
    show,
)

NITRITE_SHARE = {"N": NITROGEN_COMPOUND_G_MOL["NO2"] / NITROGEN_G_MOL, "NO2": 1.0}
SALTS_CHLORIDE = chloride_share(compound="NaCl")
TENDER_G_L, HARM_G_L = 0.5, 1.0  # common practice: what tender and most other plants bear
FISH_G_L = 5.0  # common practice: what a fresh-water fish bears for long
HOBBY_RATIO = 5.0  # hobby texts
CATFISH_RATIO = weight_ratio(ions=16.0)  # tomasso-1979
SALMON_RATIO = ratio_to_nitrite(ratio_to_nitrogen=104.0)  # gutierrez-2019
INSURANCE_MG_L = 100.0  # catfish-chloride-rule


@dataclass(frozen=True)
class _Dose:
    """One reading of nitrite and the salt against it; mg/L where not said otherwise."""

    volume_l: float
    nitrite: float
    nitrite_as: str
    chloride: float
    ratio: float

    @property
    def no2(self) -> float:
        """The nitrite as NO2."""
        return self.nitrite * NITRITE_SHARE[self.nitrite_as]

    @property
    def wanted(self) -> float:
        """The chloride that the ratio asks for, with what is there."""
        return self.ratio * self.no2

    @property
    def needed(self) -> float:
        """The chloride to add."""
        return self.needed_at(self.ratio)

    def needed_at(self, ratio: float) -> float:
        """The chloride to add at another ratio."""
        return chloride_to_add_mg_l(
            nitrite_mg_l_no2=self.no2, chloride_mg_l=self.chloride, ratio=ratio
        )

    @property
    def salt(self) -> float:
        """The pure salt to add, in g."""
        return self.salt_at(self.ratio)

    def salt_at(self, ratio: float) -> float:
        """The salt at another ratio, in g."""
        return salt_g(chloride_mg_l=self.needed_at(ratio), volume_l=self.volume_l)

    @property
    def salinity(self) -> float:
        """The salt added to a litre, in g."""
        return self.needed / SALTS_CHLORIDE / 1000

    @property
    def sodium(self) -> float:
        """The sodium that comes with it."""
        return self.needed / SALTS_CHLORIDE - self.needed


def compute(
    volume: float, nitrite: float, nitrite_as: str, chloride: float, ratio: float
) -> Outcome:
    """The chloride and salt to add, the sodium that comes along, and what plants make of it."""
    dose = _Dose(volume, max(nitrite, 0.0), nitrite_as, max(chloride, 0.0), ratio)
    verdict, sentence = _verdict(dose)
    return Outcome(
        values={
            "chloride_wanted": dose.wanted,
            "chloride_needed": dose.needed,
            "salt": dose.salt,
            "sodium_added": dose.sodium,
            "salinity_added": dose.salinity,
            "verdict": verdict,
        },
        steps=_steps(dose),
        cautions=_cautions(dose),
        doubts=_doubts(dose),
        sentences={**_sentences(dose), "verdict": sentence},
    )


def _sentences(dose: _Dose) -> dict[str, str]:
    reading = f"{few(dose.nitrite, 4)} mg/L nitrite (as {dose.nitrite_as})"
    volume = f"{few(dose.volume_l, 4)} L"
    wanted = (
        f"{reading} asks for {few(dose.wanted, 3)} mg/L of chloride in all, at "
        f"{few(dose.ratio, 3)} parts of chloride to one of nitrite (as NO2) by weight."
    )
    if dose.salt == 0:
        none = f"No salt is needed: {_enough(dose)}."
        names = ("chloride_needed", "salt", "sodium_added", "salinity_added")
        return {"chloride_wanted": wanted, **dict.fromkeys(names, none)}
    return {
        "chloride_wanted": wanted,
        "chloride_needed": (
            f"{few(dose.needed, 3)} mg/L of chloride has to come on top of the "
            f"{few(dose.chloride, 3)} mg/L that is there."
        ),
        "salt": (
            f"{few(dose.salt, 3)} g of plain salt (sodium chloride) in {volume} brings the "
            f"chloride to {few(dose.wanted, 3)} mg/L, {few(dose.ratio, 3)} times the nitrite "
            "(as NO2) by weight."
        ),
        "sodium_added": f"The salt brings {few(dose.sodium, 3)} mg/L of sodium, which stays.",
        "salinity_added": f"The salt comes to {few(dose.salinity)} g in every litre.",
    }


def _enough(dose: _Dose) -> str:
    if dose.no2 == 0:
        return "no nitrite shows"
    return f"{few(dose.chloride, 3)} mg/L of chloride is there already"


def _verdict(dose: _Dose) -> tuple[str, str]:
    if dose.salt == 0:
        return "no salt", f"No salt is needed: {_enough(dose)}."
    amount = f"{few(dose.salinity)} g of salt in every litre"
    if dose.salinity < TENDER_G_L:
        return "plants bear it", (
            f"{amount} is under {TENDER_G_L} g, which most plants bear (common practice); it adds "
            "up with every further dose."
        )
    if dose.salinity <= HARM_G_L:
        return "tender plants suffer", (
            f"{amount} can set back tender plants such as beans and strawberries, from about "
            f"{TENDER_G_L} g (common practice)."
        )
    fish = " and burdens fresh-water fish too" if dose.salinity > FISH_G_L else ""
    return "harms plants", (
        f"{amount} is over {show_plain(HARM_G_L)} g, harms many plants{fish} (common practice): "
        "change water to bring the nitrite down, or treat the fish in a separate tank."
    )


def _cautions(dose: _Dose) -> tuple[str, ...]:
    if dose.salt == 0:
        return ("calculation-not-promise",)
    return ("salt-and-plants", "water-change-match", "calculation-not-promise")


def _steps(dose: _Dose) -> tuple[Step, ...]:
    share = show(NITRITE_SHARE[dose.nitrite_as], 3)
    return (
        Step(
            "nitrite as NO2 = reading × share",
            f"{few(dose.nitrite, 4)} × {share}",
            f"{few(dose.no2, 4)} mg/L",
            "iupac-atomic-weights",
        ),
        Step(
            "chloride wanted = ratio × nitrite as NO2",
            f"{few(dose.ratio, 4)} × {few(dose.no2, 4)}",
            f"{few(dose.wanted, 4)} mg/L",
            "catfish-chloride-rule",
        ),
        Step(
            "chloride to add = wanted − present, not under 0",
            f"{few(dose.wanted, 4)} − {few(dose.chloride, 4)}",
            f"{few(dose.needed, 4)} mg/L",
        ),
        Step(
            "salt = chloride to add × volume / 1000 / chloride in salt",
            f"{few(dose.needed, 4)} × {few(dose.volume_l, 4)} / 1000 / {show(SALTS_CHLORIDE, 3)}",
            f"{few(dose.salt, 4)} g",
            "iupac-atomic-weights",
        ),
        Step(
            "salt in a litre = chloride to add / chloride in salt / 1000",
            f"{few(dose.needed, 4)} / {show(SALTS_CHLORIDE, 3)} / 1000",
            f"{few(dose.salinity, 3)} g/L",
            "iupac-atomic-weights",
        ),
        Step(
            "sodium = salt in a litre × 1000 − chloride to add",
            f"{few(dose.salinity * 1000, 4)} − {few(dose.needed, 4)}",
            f"{few(dose.sodium, 3)} mg/L",
            "iupac-atomic-weights",
        ),
    )


def _doubts(dose: _Dose) -> tuple[str, ...]:
    general = (
        "Chloride does not help every fish: largemouth bass were not protected, and striped bass "
        "were more than twice as well off with calcium chloride.",
        "Salt only holds nitrite off the gills. Feed less, add air, change water, find out why "
        "the filter lags.",
    )
    if dose.no2 == 0:
        return general
    return (
        f"Rules differ: hobby texts say 5 to 1 by weight ({few(dose.salt_at(HOBBY_RATIO))} g of "
        f"salt here), extension texts for catfish at least 10 to 1 ({few(dose.salt_at(10.0))} g), "
        "a trial with channel catfish 16 ions to one, 12 to 1 by weight "
        f"({few(dose.salt_at(CATFISH_RATIO))} g), one with young Atlantic salmon 104 to 1 against "
        f"nitrite nitrogen, 32 to 1 by weight ({few(dose.salt_at(SALMON_RATIO))} g).",
        _basis_doubt(dose),
        *general,
        f"The text for catfish keeps {INSURANCE_MG_L:.0f} mg/L of chloride in ponds as insurance; "
        "for a system with plants that is a matter of weighing up.",
    )


def _basis_doubt(dose: _Dose) -> str:
    other = "NO2" if dose.nitrite_as == "N" else "N"
    turned = _Dose(dose.volume_l, dose.nitrite, other, dose.chloride, dose.ratio)
    return (
        f"If the kit reads as {other} and not as {dose.nitrite_as}, it takes "
        f"{few(turned.salt)} g of salt: look at the leaflet."
    )


INPUTS = (
    Number(
        "volume", "Water in the system", VOLUME, "L", minimum=1, maximum=10_000_000,
        usual=(50, 100_000), help="All of it: fish tank, sump, filter and beds.",
    ),
    Number(
        "nitrite", "Nitrite", CONCENTRATION, "mg/L", minimum=0, maximum=200, usual=(0, 10),
        help="What the test kit shows.",
    ),
    Choice(
        "nitrite_as", "The kit reads as", (("N", "nitrogen (NO2-N)"), ("NO2", "nitrite (NO2)")),
        default="N", help="The leaflet of the kit says which; many kits read as NO2.",
    ),
    Number(
        "chloride", "Chloride in the water", CONCENTRATION, "mg/L", minimum=0, maximum=20_000,
        usual=(0, 500), default=0, help="From a chloride test or the water supplier.",
    ),
    Number(
        "ratio", "Chloride to nitrite, by weight", RATIO, "", minimum=1, maximum=100,
        usual=(3, 35), default=10, help="Against nitrite as NO2.",
    ),
)  # fmt: skip
NITRITE_SALT = Calculator(
    id="nitrite-salt",
    title="Salt against nitrite",
    question="How much salt protects my fish from nitrite, and can the plants bear it?",
    inputs=INPUTS,
    results=(
        Result("chloride_wanted", "Chloride wanted in all", CONCENTRATION, "mg/L"),
        Result("chloride_needed", "Chloride to add", CONCENTRATION, "mg/L"),
        Result("salt", "Salt to add", MASS, "g", main=True),
        Result("sodium_added", "Sodium added", CONCENTRATION, "mg/L"),
        Result("salinity_added", "Salt added to a litre", SALINITY, "g/L", figures=2),
        Result("verdict", "For the plants", None, main=True),
    ),
    compute=compute,
    sources=(
        "catfish-chloride-rule",
        "tomasso-1979",
        "gutierrez-2019",
        "tomasso-1986",
        "mazik-1991",
        "iupac-atomic-weights",
        "common-practice",
    ),
    articles=("nitrite-high", "salt-in-the-system"),
    examples=(
        Example(
            title="2 mg/L of nitrite in 1000 L with a little chloride there",
            given={
                "volume": "1000 L", "nitrite": "2 mg/L", "nitrite_as": "NO2",
                "chloride": "10 mg/L",
            },
            expect={"chloride_needed": 10, "salt": 16.48, "verdict": "plants bear it"},
            source="catfish-chloride-rule",
            tolerance=0.005,
        ),
        Example(
            title="The catfish trial's ratio of 16 ions to one",
            given={"volume": 1000, "nitrite": 5, "nitrite_as": "NO2", "ratio": 12.33},
            expect={"chloride_needed": 61.6, "salt": 101.6, "salinity_added": 0.1016},
            source="tomasso-1979",
            tolerance=0.01,
        ),
        Example(
            title="A kit that reads as N, in a bad week",
            given={"volume": "300 gal", "nitrite": "5 ppm"},
            expect={"chloride_needed": 164.2, "salt": 307.4, "sodium_added": 106.5},
            source="iupac-atomic-weights",
            tolerance=0.005,
        ),
    ),
)  # fmt: skip
