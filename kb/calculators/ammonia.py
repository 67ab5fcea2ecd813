"""Ammonia: how much of a test reading is the kind that burns gills."""

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
from kb.science.ammonia import ACT_MG_L as ACT_MG_L
from kb.science.ammonia import CAREFUL_MG_L as CAREFUL_MG_L
from kb.science.ammonia import HARM_MG_L as HARM_MG_L
from kb.science.ammonia import (
    epa_acute_mg_l,
    epa_chronic_mg_l,
    ph_for_fraction,
    pka,
    unionised_fraction,
)
from kb.science.nitrification import nitrogen_from
from kb.units import (
    CONCENTRATION,
    FRACTION,
    PH,
    SALINITY,
    TEMPERATURE,
    few,
    show,
)

SALTIEST_G_KG = 5.0
KIT_STEP_MG_L = 0.25  # common practice: one colour of a common kit
NITROGEN_SHARE = {each: nitrogen_from(mass=1, compound=each) for each in ("N", "NH3", "NH4")}
LOWEST_PH, HIGHEST_PH = 4.0, 11.0


@dataclass(frozen=True)
class _Water:
    """One test of the water and what it comes to, in mg/L as N where not said otherwise."""

    ammonia: float
    ammonia_as: str
    ph: float
    temp_c: float
    nitrogen: float
    fraction: float
    acute: float
    chronic: float

    @property
    def unionised(self) -> float:
        """The un-ionised ammonia."""
        return self.nitrogen * self.fraction

    @property
    def given(self) -> str:
        """The reading in words."""
        return f"{show_plain(self.ammonia)} mg/L total ammonia (as {self.ammonia_as})"

    @property
    def place(self) -> str:
        """Where it was read, in words."""
        return f"at pH {show_plain(self.ph)} and {show_plain(round(self.temp_c, 1))} °C"


def compute(
    ammonia: float,
    ammonia_as: str,
    ph: float,
    temperature: float,
    salinity: float,
    trout_family: str,
) -> Outcome:
    """The un-ionised part of a total ammonia reading, and what it is held against."""
    _refuse_sea_water(salinity)
    ammonia = max(ammonia, 0.0)
    temperature = max(temperature, 0.0)  # 32 °F must not be a hair below 0 °C
    water = _Water(
        ammonia=ammonia,
        ammonia_as=ammonia_as,
        ph=ph,
        temp_c=temperature,
        nitrogen=ammonia * NITROGEN_SHARE[ammonia_as],
        fraction=unionised_fraction(ph=ph, temp_c=temperature),
        acute=epa_acute_mg_l(ph=ph, temp_c=temperature, trout_family=trout_family == "yes"),
        chronic=epa_chronic_mg_l(ph=ph, temp_c=temperature),
    )
    limit, limit_sentence = _ph_limit(water)
    verdict, sentence = _verdict(water.unionised, water.nitrogen)
    return Outcome(
        values={
            "ammonia_nitrogen": water.nitrogen,
            "unionised_fraction": water.fraction,
            "unionised_ammonia": water.unionised,
            "epa_acute": water.acute,
            "epa_chronic": water.chronic,
            "ph_limit": limit,
            "verdict": verdict,
        },
        steps=_steps(water),
        cautions=_cautions(verdict),
        doubts=(*_doubts(water), *_range_doubts(water, salinity)),
        sentences={**_sentences(water), "ph_limit": limit_sentence, "verdict": sentence},
    )


def _refuse_sea_water(salinity: float) -> None:
    if salinity > SALTIEST_G_KG:
        raise refuse(
            "salinity",
            show_plain(salinity),
            f"Salinity: {show_plain(salinity)} g/kg is too salty for the fresh-water formula used "
            f"here; it can be given up to {show_plain(SALTIEST_G_KG)} g/kg.",
        )


def _sentences(water: _Water) -> dict[str, str]:
    return {
        "ammonia_nitrogen": f"{water.given} is {few(water.nitrogen)} mg/L as nitrogen.",
        "unionised_fraction": (
            f"{few(water.fraction * 100)} % of the total is un-ionised ammonia {water.place}."
        ),
        "unionised_ammonia": (
            f"{water.given} {water.place} holds about {few(water.unionised)} mg/L "
            "of un-ionised ammonia (as N)."
        ),
        "epa_acute": (
            f"{few(water.acute)} mg/L total ammonia (as N) is the US EPA's limit for one hour "
            f"{water.place}; it protects sensitive wild animals, hardy tank fish may stand more."
        ),
        "epa_chronic": (
            f"{few(water.chronic)} mg/L total ammonia (as N) is the US EPA's limit for thirty "
            f"days {water.place}; it protects sensitive wild animals."
        ),
    }


def _verdict(unionised: float, total: float) -> tuple[str, str]:
    amount = f"{few(unionised)} mg/L of un-ionised ammonia"
    if unionised < CAREFUL_MG_L and total > ACT_MG_L:
        return "caution", (
            f"{amount} is under the cautious line of {CAREFUL_MG_L} mg/L, but the total is over "
            f"{show_plain(ACT_MG_L)} mg/L, the level to act at: feed less, change a fifth of the "
            "water, and let nothing raise the pH."
        )
    if unionised < CAREFUL_MG_L:
        return "safe", f"{amount} is under the cautious line of {CAREFUL_MG_L} mg/L."
    if unionised < HARM_MG_L:
        return "caution", (
            f"{amount} is over the cautious line of {CAREFUL_MG_L} mg/L: stop feeding, change a "
            "fifth of the water today, and test again this evening."
        )
    return "danger", (
        f"{amount} can burn gills, which starts near {HARM_MG_L} mg/L: "
        "stop feeding, add air, change part of the water, and do not raise the pH."
    )


def _cautions(verdict: str) -> tuple[str, ...]:
    if verdict == "safe":
        return ("calculation-not-promise",)
    return ("never-raise-ph-with-ammonia", "water-change-match", "calculation-not-promise")


def _ph_limit(water: _Water) -> tuple[float | None, str]:
    """The pH that reaches the cautious line, and what to say of it or why there is none."""
    if water.nitrogen <= CAREFUL_MG_L:
        return (
            None,
            f"No pH brings so little ammonia over the cautious line of {CAREFUL_MG_L} mg/L.",
        )
    limit = ph_for_fraction(fraction=CAREFUL_MG_L / water.nitrogen, temp_c=water.temp_c)
    if LOWEST_PH <= limit <= HIGHEST_PH:
        return limit, _limit_sentence(limit, water)
    side, edge = ("below", LOWEST_PH) if limit < LOWEST_PH else ("above", HIGHEST_PH)
    return None, (
        f"The pH at which this total reaches {CAREFUL_MG_L} mg/L lies {side} {show_plain(edge)}, "
        "outside what is worked out here."
    )


def _limit_sentence(limit: float, water: _Water) -> str:
    where = "this water is above it" if water.ph > limit else "keep pH under it"
    return (
        f"{water.given} at {show_plain(round(water.temp_c, 1))} °C reaches the cautious line of "
        f"{CAREFUL_MG_L} mg/L un-ionised ammonia at pH {show(limit, 1)}; {where}."
    )


def _steps(water: _Water) -> tuple[Step, ...]:
    exponent = pka(temp_c=water.temp_c)
    ph, temp_c = show_plain(water.ph), show_plain(round(water.temp_c, 1))
    return (
        Step(
            "total as N = reading × share of N",
            f"{show_plain(water.ammonia)} × {show(NITROGEN_SHARE[water.ammonia_as], 4)}",
            f"{_three(water.nitrogen)} mg/L",
            "iupac-atomic-weights",
        ),
        Step(
            "pKa = 0.09018 + 2729.92 / (temperature + 273.15)",
            f"0.09018 + 2729.92 / ({temp_c} + 273.15)",
            show(exponent, 3),
            "emerson-1975",
        ),
        Step(
            "share = 1 / (1 + 10^(pKa − pH))",
            f"1 / (1 + 10^({show(exponent, 3)} − {ph}))",
            f"{_three(water.fraction * 100)} %",
            "emerson-1975",
        ),
        Step(
            "un-ionised ammonia = total as N × share",
            f"{_three(water.nitrogen)} × {_three(water.fraction * 100)} %",
            f"{_three(water.unionised)} mg/L as N",
            "emerson-1975",
        ),
        _limit_step("US EPA limit for one hour", water.acute, water),
        _limit_step("US EPA limit for thirty days", water.chronic, water),
    )


def _limit_step(formula: str, limit: float, water: _Water) -> Step:
    return Step(
        f"{formula}, formula of the 2013 criteria",
        f"pH {show_plain(water.ph)}, {show_plain(round(water.temp_c, 1))} °C",
        f"{few(limit)} mg/L total as N",
        "epa-2013",
    )


def _doubts(water: _Water) -> tuple[str, ...]:
    def unionised(more: float = 0.0, ph: float = 0.0, temp_c: float = 0.0) -> str:
        total = max(0.0, water.ammonia + more) * NITROGEN_SHARE[water.ammonia_as]
        warmth = max(0.0, water.temp_c + temp_c)
        return few(total * unionised_fraction(ph=water.ph + ph, temp_c=warmth))

    return (
        f"A pH reading 0.1 off makes it {unionised(ph=-0.1)} to {unionised(ph=0.1)} mg/L.",
        f"A thermometer 1 °C off makes it {unionised(temp_c=-1)} to {unionised(temp_c=1)} mg/L.",
        f"A kit colour {KIT_STEP_MG_L} mg/L off (common practice) makes it "
        f"{unionised(more=-KIT_STEP_MG_L)} to {unionised(more=KIT_STEP_MG_L)} mg/L.",
        "Kits read total ammonia, some as N, some as NH3 or NH4; the leaflet says which.",
    )


def _range_doubts(water: _Water, salinity: float) -> tuple[str, ...]:
    doubts = []
    if salinity > 0:
        doubts.append(
            "The formula is for fresh water. Salt lowers the un-ionised share, so the figure errs "
            "on the safe side; by how much is not worked out."
        )
    if not 6.5 <= water.ph <= 9.0 or water.temp_c > 30:
        doubts.append(
            "The US EPA limits are meant for pH 6.5 to 9.0 and 0 to 30 °C; "
            "outside, the formula is only drawn on."
        )
    return tuple(doubts)


def _three(value: float) -> str:
    return f"{value:.2e}" if 0 < value < 0.0001 else show(value)


INPUTS = (
    Number(
        "ammonia", "Total ammonia", CONCENTRATION, "mg/L", minimum=0, maximum=200, usual=(0, 8),
        help="What the test kit shows; kits read total ammonia.",
    ),
    Choice(
        "ammonia_as", "The kit reads as",
        (("N", "nitrogen (NH3-N, TAN)"), ("NH3", "ammonia (NH3)"), ("NH4", "ammonium (NH4)")),
        default="N", help="The leaflet of the kit says which.",
    ),
    Number(
        "ph", "pH", PH, "pH", minimum=LOWEST_PH, maximum=HIGHEST_PH, usual=(5.5, 9.0),
        help="Of the same water at the same time.",
    ),
    Number(
        "temperature", "Water temperature", TEMPERATURE, "°C", minimum=0, maximum=45, usual=(5, 35),
    ),
    Number(
        "salinity", "Salinity", SALINITY, "g/kg", minimum=0, maximum=45, default=0,
        help="Leave at 0 unless salt was added.",
    ),
    Choice(
        "trout_family", "Trout or salmon in the tank", (("no", "no"), ("yes", "yes")),
        default="no", help="Makes the US EPA limit for one hour stricter in cold water.",
    ),
)  # fmt: skip
AMMONIA = Calculator(
    id="ammonia",
    title="Un-ionised ammonia",
    question="How much of my ammonia reading is the harmful kind?",
    inputs=INPUTS,
    results=(
        Result("ammonia_nitrogen", "Total ammonia as N", CONCENTRATION, "mg/L"),
        Result("unionised_fraction", "Un-ionised share", FRACTION, "", 4),
        Result("unionised_ammonia", "Un-ionised ammonia as N", CONCENTRATION, "mg/L", 3, main=True),
        Result(
            "epa_acute", "US EPA limit for one hour, total as N", CONCENTRATION, "mg/L", figures=2
        ),
        Result(
            "epa_chronic",
            "US EPA limit for thirty days, total as N",
            CONCENTRATION,
            "mg/L",
            figures=2,
        ),
        Result("ph_limit", "pH that reaches the cautious line", PH, "pH", 1, main=True),
        Result("verdict", "Verdict", None, main=True),
    ),
    compute=compute,
    sources=(
        "emerson-1975",
        "epa-2013",
        "ifas-fa16",
        "iupac-atomic-weights",
        "common-practice",
    ),
    articles=("ammonia-high", "ammonia-and-ph"),
    examples=(
        Example(
            title="A kit reading in hard, warm water",
            given={"ammonia": "2 mg/L", "ph": 7.9, "temperature": "27 °C"},
            expect={
                "unionised_fraction": 0.0493,
                "unionised_ammonia": 0.0986,
                "ph_limit": 7.19,
                "verdict": "danger",
            },
            source="emerson-1975",
            tolerance=0.01,
        ),
        Example(
            title="The US EPA's own meeting point, pH 7 and 20 °C",
            given={"ammonia": 0.5, "ph": 7, "temperature": 20},
            expect={"epa_acute": 17, "epa_chronic": 1.9, "verdict": "safe"},
            source="epa-2013",
            tolerance=0.03,
        ),
        Example(
            title="A kit that reads as NH3, in water that has drifted up in the sun",
            given={"ammonia": "1 ppm", "ammonia_as": "NH3", "ph": 8.2, "temperature": "84 F"},
            expect={"ammonia_nitrogen": 0.822, "verdict": "danger"},
            source="iupac-atomic-weights",
            tolerance=0.005,
        ),
    ),
)
