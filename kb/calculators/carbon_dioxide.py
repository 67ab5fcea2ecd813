"""Carbon dioxide: how much a pH and an alkalinity imply, and the pH without it."""

from kb.calculators.dosing.contradiction import contradiction
from kb.calculators.model import Calculator, Example, Number, Outcome, Result, Step, show_plain
from kb.science.carbon_dioxide import GasState, field_form_mg_l, gas_state
from kb.science.carbonate import CACO3_MG_PER_EQ
from kb.units import ALKALINITY, CONCENTRATION, FRACTION, PH, TEMPERATURE, figures, show

HARM_MG_L = 40.0  # merck-vet-manual
PH_ERROR = 0.1  # common practice: what a good meter is off
TEN_TIMES_ERROR = 10**PH_ERROR  # 26 % of the gas
KIT_DROP_MG_L = 17.85  # common practice: one drop of a common kit is one degree of hardness
FIELD_FORM_UP_TO_PH = 8.3  # usgs-twri-5-a1
CHALKY_MG_L = 60.0  # phreeqc: aired calcium water above this is over-saturated with calcite


def compute(ph: float, alkalinity: float, temperature: float) -> Outcome:
    """The carbon dioxide in the water now, and the pH when it holds no more than the air gives."""
    temp_c = max(temperature, 0.0)  # 32 °F must not be a hair below 0 °C
    state = gas_state(ph=ph, alkalinity_mg_l=alkalinity, temp_c=temp_c)
    if state is None:
        raise contradiction(ph=ph, alkalinity=alkalinity, co2_mg_l=0.0)
    if not state.possible:
        raise contradiction(ph=ph, alkalinity=alkalinity, co2_mg_l=state.co2_mg_l)
    verdict, sentence = _verdict(state)
    return Outcome(
        values={
            "carbon_dioxide": state.co2_mg_l,
            "carbon_dioxide_at_air": state.air_mg_l,
            "times_air": state.times_air,
            "ph_at_air": state.aired.ph,
            "verdict": verdict,
        },
        steps=_steps(state, alkalinity),
        cautions=_cautions(verdict),
        doubts=_doubts(state, alkalinity),
        sentences={**_sentences(state, alkalinity), "verdict": sentence},
    )


def _given(state: GasState, alkalinity: float) -> str:
    return (
        f"Water of pH {show_plain(state.ph)}, {_figures(alkalinity, 3)} mg/L of alkalinity "
        f"(as CaCO3) and {show_plain(round(state.temp_c, 1))} °C"
    )


def _sentences(state: GasState, alkalinity: float) -> dict[str, str]:
    given = _given(state, alkalinity)
    return {
        "carbon_dioxide": f"{given} holds about {_figures(state.co2_mg_l)} mg/L of carbon dioxide.",
        "carbon_dioxide_at_air": (
            f"Air that is let at it long enough leaves {_figures(state.air_mg_l)} mg/L of carbon "
            f"dioxide in water at {show_plain(round(state.temp_c, 1))} °C."
        ),
        "times_air": _times_sentence(state),
        "ph_at_air": (
            f"Fully aired, with the same alkalinity, this water would stand near "
            f"pH {show(state.aired.ph, 1)}; {_shift(state)}."
        ),
    }


def _times_sentence(state: GasState) -> str:
    return (
        f"The water holds about {_figures(state.times_air)} times the carbon dioxide that air "
        "would leave in it."
    )


def _shift(state: GasState) -> str:
    gain = state.aired.ph - state.ph
    if abs(gain) < PH_ERROR:
        return "that is where it stands now"
    if gain > 0:
        return f"its carbon dioxide holds the pH {show(gain, 1)} lower"
    return f"it has lost carbon dioxide and stands {show(-gain, 1)} higher than air would hold it"


def _verdict(state: GasState) -> tuple[str, str]:
    amount = f"{_figures(state.co2_mg_l)} mg/L of carbon dioxide"
    line = f"{HARM_MG_L:.0f} mg/L, which a veterinary manual lists as toxic to fish"
    if state.co2_mg_l > HARM_MG_L:
        return "too much", f"{amount} is above {line}: more air, and open covers."
    if state.co2_mg_l * TEN_TIMES_ERROR > HARM_MG_L:
        return "near the line", (
            f"{amount} is so near {line}, that a pH meter reading {PH_ERROR} high would hide it: "
            "add air, and test again."
        )
    if state.times_air > TEN_TIMES_ERROR:
        return "more than air", (
            f"{amount} is under {line}, but {_figures(state.times_air)} times what air leaves; "
            "a jar aired overnight would show how far it holds the pH down."
        )
    if state.times_air * TEN_TIMES_ERROR >= 1:
        return "as air", f"{amount} is what air leaves in it; more aeration does not raise the pH."
    return "less than air", (
        f"{amount} is less than air gives: plants and algae in the light, or a base just added, "
        "use it up; aeration lowers the pH."
    )


def _cautions(verdict: str) -> tuple[str, ...]:
    if verdict in ("too much", "near the line"):
        return ("mains-and-water", "calculation-not-promise")
    return ("calculation-not-promise",)


def _steps(state: GasState, alkalinity: float) -> tuple[Step, ...]:
    now, t = state.now, show_plain(round(state.temp_c, 1))
    exponent = show(state.pk1, 3)
    bicarbonate = show(state.bicarbonate_mol_l * 1000, 4)
    return (
        Step(
            "alkalinity in meq/L = alkalinity / 50.04",
            f"{_figures(alkalinity, 4)} / {CACO3_MG_PER_EQ / 1000:.2f}",
            f"{show(state.alkalinity_eq_l * 1000, 4)} meq/L",
            "iupac-atomic-weights",
        ),
        Step(
            "bicarbonate = alkalinity − 2 × carbonate − hydroxide + acid",
            f"{show(state.alkalinity_eq_l * 1000, 4)} − 2 × {show(now.carbonate_mol_l * 1000, 4)} "
            f"− {show(state.hydroxide_mol_l * 1000, 5)} + {show(state.acid_mol_l * 1000, 5)}",
            f"{bicarbonate} mmol/L",
            "stumm-morgan-1996",
        ),
        Step(
            "pK1 of carbonic acid, less what the ions of this water shift it",
            f"{t} °C, ionic strength {show(now.ionic_strength, 5)} mol/L",
            exponent,
            "plummer-busenberg-1982",
        ),
        Step(
            "carbon dioxide = bicarbonate × 10^(pK1 − pH) × 44.01",
            f"{bicarbonate} × 10^({exponent} − {show_plain(state.ph)}) × 44.01",
            f"{_figures(state.co2_mg_l, 3)} mg/L",
            "stumm-morgan-1996",
        ),
        *_aired_steps(state, alkalinity),
    )


def _aired_steps(state: GasState, alkalinity: float) -> tuple[Step, ...]:
    return (
        Step(
            "carbon dioxide left by air of 420 millionths = Henry constant × 0.00042 × 44 010",
            f"{show(state.now.constants.gas, 5)} × 0.00042 × 44 010",
            f"{_figures(state.air_mg_l, 3)} mg/L",
            "plummer-busenberg-1982",
        ),
        Step(
            "pH at which alkalinity and that carbon dioxide agree, found by trial",
            f"{_figures(alkalinity, 4)} mg/L with {_figures(state.air_mg_l, 3)} mg/L",
            f"pH {show(state.aired.ph, 2)}",
            "stumm-morgan-1996",
        ),
    )


def _doubts(state: GasState, alkalinity: float) -> tuple[str, ...]:
    ph, temp_c = state.ph, state.temp_c

    def again(ph_off: float = 0.0, drop: float = 0.0) -> str:
        found = gas_state(
            ph=ph + ph_off, alkalinity_mg_l=max(0.0, alkalinity + drop), temp_c=temp_c
        )
        return "next to none" if found is None else f"{_figures(found.co2_mg_l)} mg/L"

    doubts = [
        f"A pH reading {PH_ERROR} off changes it by a quarter: {again(ph_off=PH_ERROR)} to "
        f"{again(ph_off=-PH_ERROR)}. Read the pH at the tank, at once: the gas escapes.",
        f"One drop of a common KH kit off (common practice) makes it {again(drop=-KIT_DROP_MG_L)} "
        f"to {again(drop=KIT_DROP_MG_L)}.",
        "All alkalinity is taken for carbonate. Brown water (humic acids), phosphate and ammonia "
        "also count as alkalinity, so that the true figure is lower.",
    ]
    if ph < FIELD_FORM_UP_TO_PH:
        quick = field_form_mg_l(ph=ph, alkalinity_mg_l=alkalinity)
        doubts.append(
            f"The short form of the US Geological Survey, which leaves out temperature and the "
            f"ions in the water, says {_figures(quick)} mg/L."
        )
    if state.aired.ph - ph > PH_ERROR:
        doubts.append(
            "As the gas leaves, the pH rises and any ammonia grows more harmful: test ammonia "
            "before you air the water hard."
        )
    if alkalinity > CHALKY_MG_L:
        doubts.append(
            "In water with much calcium, chalk may fall out when it is fully aired, and the pH "
            f"then ends lower than {show(state.aired.ph, 1)}."
        )
    return tuple(doubts)


def _figures(value: float, count: int = 2) -> str:
    return "less than 0.001" if 0 < value < 0.001 else show_plain(figures(value, count))


INPUTS = (
    Number(
        "ph", "pH", PH, "pH", minimum=4.5, maximum=10.5, usual=(5.5, 9),
        help="Read at the tank, at once.",
    ),
    Number(
        "alkalinity", "Alkalinity", ALKALINITY, "mg/L as CaCO₃", minimum=1, maximum=1000,
        usual=(5, 400), help="Carbonate hardness, KH; 1 dKH is 17.8 mg/L.",
    ),
    Number(
        "temperature", "Water temperature", TEMPERATURE, "°C", minimum=0, maximum=45, usual=(5, 35),
    ),
)  # fmt: skip
CARBON_DIOXIDE = Calculator(
    id="carbon-dioxide",
    title="Carbon dioxide",
    question="Could carbon dioxide be holding my pH down?",
    inputs=INPUTS,
    results=(
        Result("carbon_dioxide", "Carbon dioxide", CONCENTRATION, "mg/L", figures=2, main=True),
        Result(
            "carbon_dioxide_at_air", "Carbon dioxide when fully aired", CONCENTRATION, "mg/L",
            figures=2,
        ),
        Result("times_air", "Times what air leaves", FRACTION, "", figures=2),
        Result("ph_at_air", "pH when fully aired", PH, "pH", 1, main=True),
        Result("verdict", "Verdict", None, main=True),
    ),
    compute=compute,
    sources=(
        "plummer-busenberg-1982",
        "stumm-morgan-1996",
        "davies-1962",
        "phreeqc",
        "usgs-twri-5-a1",
        "merck-vet-manual",
        "iupac-atomic-weights",
        "common-practice",
    ),
    articles=("carbon-dioxide", "ph-keeps-falling", "ph-bounces-back"),
    examples=(
        Example(
            title="A crowded tank under a closed cover",
            given={"ph": 6.4, "alkalinity": "60 mg/L", "temperature": "30 °C"},
            expect={"carbon_dioxide": 42.99, "verdict": "too much"},
            source="phreeqc",
            tolerance=0.01,
        ),
        Example(
            title="Soft water at pH 7.2, not far from what air leaves",
            given={"ph": 7.2, "alkalinity": 40, "temperature": "26 °C"},
            expect={"carbon_dioxide": 4.766, "verdict": "more than air"},
            source="phreeqc",
            tolerance=0.01,
        ),
        Example(
            title="The short form's own meeting point: 61 mg/L of bicarbonate at pH 7",
            given={"ph": 7, "alkalinity": "61 mg/L HCO3", "temperature": "77 F"},
            expect={"carbon_dioxide": 9.76, "ph_at_air": 8.17},
            source="usgs-twri-5-a1",
            tolerance=0.03,
        ),
    ),
)  # fmt: skip
