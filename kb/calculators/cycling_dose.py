"""Cycling dose: how much ammonia starts a filter while there are no fish yet."""

from dataclasses import dataclass

from kb.calculators.model import (
    Calculator,
    Choice,
    Example,
    Number,
    Outcome,
    Result,
    Step,
    refuse,
    show_plain,
)
from kb.science.cycling import (
    AMMONIUM_CHLORIDE_G_MOL,
    STRONGEST_PERCENT,
    ammonia_solution_g,
    ammonia_solution_ml,
    ammonium_chloride_g,
    nitrogen_g,
    solution_density_g_ml,
)
from kb.science.nitrification import (
    ALKALINITY_PER_N,
    NITROGEN_COMPOUND_G_MOL,
    NITROGEN_G_MOL,
)
from kb.units import (
    CONCENTRATION,
    DENSITY,
    MASS,
    PERCENT,
    VOLUME,
    few,
    show,
)

USUAL_TOP_MG_L = 4.0  # common practice: fishless targets run from 2 to 4 mg/L
SOLUTION, SALT = "ammonia-solution", "ammonium-chloride"
AMMONIA_PER_N = NITROGEN_COMPOUND_G_MOL["NH3"] / NITROGEN_G_MOL
SALT_PER_N = AMMONIUM_CHLORIDE_G_MOL / NITROGEN_G_MOL
DENSITY_SLACK = 0.02  # a label this far from the table is asked about


@dataclass(frozen=True)
class _Dose:
    """What is asked for; the strength in percent by mass, the density in g/mL."""

    volume_l: float
    target: float
    present: float
    product: str
    strength: float
    density: float | None
    density_given: bool

    @property
    def rise(self) -> float:
        """The rise of total ammonia, in mg/L as N."""
        return max(0.0, self.target - self.present)

    @property
    def nitrogen(self) -> float:
        """The nitrogen for it, in g."""
        return nitrogen_g(rise_mg_l=self.rise, volume_l=self.volume_l)

    @property
    def grams(self) -> float:
        """The product by mass."""
        if self.density is None:
            return ammonium_chloride_g(nitrogen_g=self.nitrogen, strength_percent=self.strength)
        return ammonia_solution_g(nitrogen_g=self.nitrogen, strength_percent=self.strength)

    @property
    def millilitres(self) -> float | None:
        """The product by volume; None for the powder."""
        if self.density is None:
            return None
        return ammonia_solution_ml(
            nitrogen_g=self.nitrogen, strength_percent=self.strength, density_g_ml=self.density
        )

    @property
    def alkalinity(self) -> float:
        """The alkalinity that nitrifying the rise uses, in mg/L as CaCO3."""
        return self.rise * ALKALINITY_PER_N


def compute(
    volume: float,
    target: float,
    present: float,
    product: str,
    strength: float | None,
    density: float | None,
) -> Outcome:
    """The ammonia solution or ammonium chloride that brings the water to the target."""
    dose = _dose(volume, target, present, product, strength, density)
    millilitres = dose.millilitres
    return Outcome(
        values={
            "dose_volume": None if millilitres is None else millilitres / 1000,
            "dose_mass": dose.grams,
            "nitrogen_added": dose.nitrogen,
            "alkalinity_used": dose.alkalinity,
        },
        steps=_steps(dose),
        cautions=_cautions(dose),
        doubts=_doubts(dose),
        sentences=_sentences(dose),
    )


def _dose(
    volume: float,
    target: float,
    present: float,
    product: str,
    strength: float | None,
    density: float | None,
) -> _Dose:
    if product == SALT:
        _refuse_density(density)
        return _Dose(volume, target, present, product, strength or 100.0, None, False)
    if strength is None:
        raise refuse(
            "strength",
            "",
            "Strength: an ammonia solution needs its strength from the label, from 1 to "
            f"{STRONGEST_PERCENT:.0f} % of ammonia by mass.",
        )
    if strength > STRONGEST_PERCENT:
        raise refuse(
            "strength",
            f"{show_plain(strength)} %",
            f"Strength: {show_plain(strength)} % is more than the {STRONGEST_PERCENT:.0f} % that "
            "an ammonia solution is worked out for here.",
        )
    by_table = solution_density_g_ml(strength_percent=strength)
    found = by_table if density is None else density / 1000
    return _Dose(volume, target, present, product, strength, found, density is not None)


def _refuse_density(density: float | None) -> None:
    if density is not None:
        raise refuse(
            "density",
            f"{show_plain(density / 1000)} g/mL",
            "Density: it belongs to an ammonia solution; ammonium chloride is weighed, so leave "
            "it out.",
        )


def _name(dose: _Dose) -> str:
    if dose.product == SALT:
        return f"ammonium chloride ({few(dose.strength, 3)} % pure)"
    return f"ammonia solution ({few(dose.strength, 3)} % NH3 by mass)"


def _sentences(dose: _Dose) -> dict[str, str]:
    if dose.rise == 0:
        enough = (
            f"Nothing is to be added: the {few(dose.present, 3)} mg/L that is there is at or over "
            f"the target of {few(dose.target, 3)} mg/L (as N)."
        )
        names = ("dose_volume", "dose_mass", "nitrogen_added", "alkalinity_used")
        return dict.fromkeys(names, enough)
    end = (
        f"{_name(dose)} bring {few(dose.volume_l, 4)} L from {few(dose.present, 3)} to "
        f"{few(dose.target, 3)} mg/L total ammonia (as N), with no fish in it."
    )
    by_volume = "Ammonium chloride is a powder: weigh it."
    if dose.millilitres is not None:
        by_volume = f"{few(dose.millilitres, 3)} mL of {end}"
    return {
        "dose_volume": by_volume,
        "dose_mass": f"{few(dose.grams, 3)} g of {end}",
        "nitrogen_added": f"That holds {few(dose.nitrogen, 3)} g of nitrogen.",
        "alkalinity_used": (
            f"Once the bacteria have turned it into nitrate, {few(dose.alkalinity)} mg/L of "
            "alkalinity (as CaCO3) is used up; keep an eye on KH and pH."
        ),
    }


def _cautions(dose: _Dose) -> tuple[str, ...]:
    own = ("ammonia-fumes", "plain-ammonia-only") if dose.product == SOLUTION else ("powder-dust",)
    return ("ammonia-without-fish", *own, "label-and-law", "calculation-not-promise")


def _steps(dose: _Dose) -> tuple[Step, ...]:
    first = Step(
        "nitrogen = (target − present) × volume / 1000",
        f"({few(dose.target, 4)} − {few(dose.present, 4)}) × {few(dose.volume_l, 4)} / 1000",
        f"{show(dose.nitrogen)} g",
    )
    per_n = SALT_PER_N if dose.density is None else AMMONIA_PER_N
    label = "ammonium chloride" if dose.density is None else "ammonia solution"
    mass = Step(
        f"{label} = nitrogen × {show(per_n, 3)} / strength",
        f"{show(dose.nitrogen)} × {show(per_n, 3)} / {few(dose.strength, 4)} %",
        f"{show(dose.grams)} g",
        "iupac-atomic-weights",
    )
    last = Step(
        "alkalinity used = rise × 7.14",
        f"{few(dose.rise, 4)} × {show(ALKALINITY_PER_N, 3)}",
        f"{show(dose.alkalinity)} mg/L as CaCO3",
        "us-epa-1975",
    )
    return (first, mass, *_volume_steps(dose), last)


def _volume_steps(dose: _Dose) -> tuple[Step, ...]:
    if dose.density is None or dose.millilitres is None:
        return ()
    volume = Step(
        "volume = mass / density",
        f"{show(dose.grams)} / {show(dose.density, 3)}",
        f"{show(dose.millilitres)} mL",
    )
    if dose.density_given:
        return (volume,)
    density = Step(
        "density at 20 °C by strength, between the points of a table",
        f"{few(dose.strength, 4)} %",
        f"{show(dose.density, 3)} g/mL",
        "ammonia-density-table",
    )
    return (density, volume)


def _doubts(dose: _Dose) -> tuple[str, ...]:
    doubts: list[str] = []
    if dose.density is not None and dose.density_given:
        doubts += _density_doubt(dose.strength, dose.density)
    if dose.product == SOLUTION:
        doubts.append(
            "An old or often opened bottle has lost ammonia, and some labels give ammonium "
            "hydroxide (NH4OH) and not ammonia (NH3), which is about twice the number (common "
            "practice): add half, test, then add the rest."
        )
    if dose.target > USUAL_TOP_MG_L:
        doubts.append(
            f"{few(dose.target, 3)} mg/L is a lot; 2 to {USUAL_TOP_MG_L:.0f} mg/L is usual "
            "(common practice), and too much holds the bacteria up."
        )
    return (
        *doubts,
        "Cycling takes 1 to 6 weeks by temperature in one manual (FAO) and 6 to 8 weeks in "
        "another (Kentucky State University): dose again when ammonia and nitrite both read "
        "near nothing.",
        "Count all the water: beds, pipes and sump hold some too. A test an hour later shows "
        "whether the volume was right.",
    )


def _density_doubt(strength: float, density: float) -> tuple[str, ...]:
    table = solution_density_g_ml(strength_percent=strength)
    if abs(density / table - 1) <= DENSITY_SLACK:
        return ()
    return (
        f"A solution of {few(strength, 3)} % has a density of {show(table, 3)} g/mL by the table, "
        f"not {show(density, 3)}: look at the label again.",
    )


INPUTS = (
    Number(
        "volume", "Water in the system", VOLUME, "L", minimum=1, maximum=10_000_000,
        usual=(50, 100_000), help="All of it: fish tank, sump, filter and beds.",
    ),
    Number(
        "target", "Target, total ammonia as N", CONCENTRATION, "mg/L", minimum=0.1, maximum=10,
        usual=(1, 5), default=2,
    ),
    Number(
        "present", "Total ammonia now, as N", CONCENTRATION, "mg/L", minimum=0, maximum=100,
        usual=(0, 5), default=0, help="Test first; what is there is taken off.",
    ),
    Choice(
        "product", "Product",
        (
            (SOLUTION, "ammonia solution, nothing else in it"),
            (SALT, "ammonium chloride, a powder"),
        ),
    ),
    Number(
        "strength", "Strength", PERCENT, "%", minimum=1, maximum=100, optional=True,
        help="By mass, from the label: ammonia (NH3) in the solution; ammonium chloride counts "
        "as 100 % unless given.",
    ),
    Number(
        "density", "Density of the solution", DENSITY, "g/mL", minimum=0.85, maximum=1.01,
        optional=True, help="If the label has it; worked out from the strength otherwise.",
    ),
)  # fmt: skip
CYCLING_DOSE = Calculator(
    id="cycling-dose",
    title="Ammonia for cycling without fish",
    question="How much ammonia do I add to cycle a new system without fish?",
    inputs=INPUTS,
    results=(
        Result("dose_volume", "Product by volume", VOLUME, "mL", main=True),
        Result("dose_mass", "Product by mass", MASS, "g", main=True),
        Result("nitrogen_added", "Nitrogen added", MASS, "g"),
        Result("alkalinity_used", "Alkalinity it will use", CONCENTRATION, "mg/L", figures=2),
    ),
    compute=compute,
    sources=(
        "iupac-atomic-weights",
        "ammonia-density-table",
        "us-epa-1975",
        "ksu-2021",
        "fao-589",
        "common-practice",
    ),
    articles=("cycling-a-new-system", "cycling-stalled"),
    examples=(
        Example(
            title="Ammonium chloride for 1000 L to 2 mg/L",
            given={"volume": "1000 L", "product": SALT},
            expect={"dose_mass": 7.638, "nitrogen_added": 2},
            source="iupac-atomic-weights",
            tolerance=0.002,
        ),
        Example(
            title="Ammonia solution of 10 % by weight, 0.957 g/mL",
            given={
                "volume": "1000 L", "product": SOLUTION, "strength": "10 %",
                "density": "0.957 g/mL",
            },
            expect={"dose_volume": 25.41, "dose_mass": 24.32},
            source="iupac-atomic-weights",
            tolerance=0.002,
        ),
        Example(
            title="The same for 60 gallons, with the density of the table",
            given={"volume": "60 gal", "product": SOLUTION, "strength": "10 %"},
            expect={"dose_volume": 5.768},
            source="ammonia-density-table",
            tolerance=0.002,
        ),
    ),
)  # fmt: skip
