"""How long things take: calculations, pages, matching, and the same equilibrium solved elsewhere.

Run with ``make bench``. Every figure is the median of several rounds in this one process; the
ratios to PHREEQC and PyCO2SYS are taken in the same run, on the same states.
"""

import statistics
import tempfile
import time
import warnings
from collections.abc import Callable, Iterable

from flask.testing import FlaskClient

from kb.calculators import ALL
from kb.science.carbonate import from_reading, settle
from kb.science.dosing import add
from kb.science.substances import BASES
from rules.engine import diagnose
from rules.model import Check, Rulebook, Symptom
from web import content as site_content
from web import create_app

ROUNDS = 25
TEMP_C = 25.0
DOSE_MMOL_L = 0.2
STATES = [(ph, alkalinity) for ph in (6.4, 7.0, 7.6, 8.2) for alkalinity in (20, 60, 150, 300)]
PAGES = (
    "/",
    "/articles/second-settler",
    "/symptoms/fish-off-feed?ph=7.9&temperature=27&ammonia=2",
    "/answers?q=fish+stopped+eating%2C+pH+7.9%2C+ammonia+2+ppm%2C+27C",
)


def median_ms(work: Callable[[], object], rounds: int = ROUNDS) -> float:
    """The median time of one call, in milliseconds."""
    work()
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append((time.perf_counter() - start) * 1000)
    return statistics.median(times)


def row(name: str, ms: float, limit: float | None = None) -> None:
    """Print one figure, and whether it keeps its limit."""
    kept = "" if limit is None else f"   limit {limit:g} ms: {'kept' if ms <= limit else 'MISSED'}"
    print(f"{name:<48}{ms:>10.3f} ms{kept}")


def calculators(client: FlaskClient) -> None:
    """Each calculator's first example, alone and as a page."""
    for item in ALL.values():
        given = dict(item.examples[0].given)
        row(f"calc {item.id}", median_ms(lambda item=item, given=given: item.run(given)), 5)
    for item in ALL.values():
        link = item.link(item.examples[0].given)
        row(f"page {item.id}", median_ms(lambda link=link: client.get(link)), 30)


def pages(client: FlaskClient, addresses: Iterable[str]) -> None:
    """Whole pages through the test client."""
    for address in addresses:
        row(f"page {address[:40]}", median_ms(lambda address=address: client.get(address)), 30)


def diagnosis(rulebook: Rulebook) -> None:
    """The next check after an answer, under the largest symptom, at the slowest of its states."""
    largest = max(rulebook.symptoms.values(), key=_size)
    answers: dict[str, object] = {}
    times = []
    while True:
        times.append(median_ms(lambda: diagnose(largest, answers, calculators=ALL), 7))
        following = diagnose(largest, answers, calculators=ALL).next
        if not following:
            break
        answers[following[0].check.id] = _plain_answer(following[0].check)
    row(f"next check after an answer, {largest.id}", max(times), 20)


def _size(symptom: Symptom) -> int:
    return len(symptom.causes) * sum(len(item.answers) for item in symptom.evidence)


def _plain_answer(check: Check) -> str | float:
    if check.reading is None:
        return check.answers[-1].id
    return (check.reading.minimum + check.reading.maximum) / 2


def equilibrium() -> None:
    """One closed carbonate system after a dose, solved by us and by two others."""
    ours = median_ms(lambda: [_ours(ph, alkalinity) for ph, alkalinity in STATES]) / len(STATES)
    row(f"closed pH after {DOSE_MMOL_L} mmol/L of KOH, ours", ours)
    for name, solve in (("PHREEQC", _phreeqc()), ("PyCO2SYS", _pyco2sys())):
        theirs = median_ms(lambda solve=solve: [solve(*s) for s in STATES], 5) / len(STATES)
        row(f"the same, {name}", theirs)
        print(f"{'':<48}{theirs / ours:>9.1f} times ours")


def _ours(ph: float, alkalinity: float) -> float:
    water = from_reading(ph=ph, alkalinity_mg_l=alkalinity, temp_c=TEMP_C)
    return settle(add(water, BASES["potassium-hydroxide"], DOSE_MMOL_L / 1000)).ph


def _phreeqc() -> Callable[[float, float], float]:
    from phreeqpython import PhreeqPython

    engine = PhreeqPython(database="phreeqc.dat")

    def solve(ph: float, alkalinity: float) -> float:
        meq_l = alkalinity / 50.04345
        solution = engine.add_solution(
            {"units": "mmol/kgw", "temp": TEMP_C, "pH": ph, "Alkalinity": meq_l, "Na": meq_l}
        )
        solution.add("KOH", DOSE_MMOL_L)
        found = solution.pH
        solution.forget()
        return float(found)

    return solve


def _pyco2sys() -> Callable[[float, float], float]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import PyCO2SYS

    fresh = {"salinity": 0, "opt_k_carbonic": 8, "opt_pH_scale": 3, "temperature": TEMP_C}

    def solve(ph: float, alkalinity: float) -> float:
        umol_kg = alkalinity / 50.04345 * 1000
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            start = PyCO2SYS.sys(par1=umol_kg, par2=ph, par1_type=1, par2_type=3, **fresh)
            dosed = umol_kg + DOSE_MMOL_L * 1000
            end = PyCO2SYS.sys(par1=dosed, par2=start["dic"], par1_type=1, par2_type=2, **fresh)
        return float(end["pH"])

    return solve


def matching(content: site_content.Content) -> None:
    """Loading everything, building the ranker, one question, and what leave-one-out tells."""
    row("load all content", median_ms(site_content.load, 5))
    row("build the ranker", median_ms(lambda: site_content.load().ranker, 3))
    question = "fish stopped eating since yesterday, pH 7.9, ammonia 2 ppm, water is 27C"
    row("answer one question", median_ms(lambda: content.answerer.answer(question)), 20)
    print(f"leave-one-out over the articles' wordings: {content.ranker.measure()}")


def main() -> None:
    """Measure everything and print it."""
    content = site_content.load()
    with tempfile.TemporaryDirectory() as folder:
        app = create_app({"DATA": folder}, content.library, content.rulebook)
        client = app.test_client()
        calculators(client)
        pages(client, PAGES)
    diagnosis(content.rulebook)
    equilibrium()
    matching(content)


if __name__ == "__main__":
    main()
