"""The calculator for acid in top-up water."""

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb import cautions, sources
from kb.calculators.lower_ph_top_up import LOWER_PH_TOP_UP
from kb.errors import InputErrors

BARREL = {
    "top_up_volume": "100 L", "ph": 7.8, "alkalinity": 100, "temperature": 25,
    "acid": "hydrochloric",
}  # fmt: skip


def run(**more):
    return LOWER_PH_TOP_UP.run({**BARREL, **more})


def value(name, **more):
    return run(**more).results[name].value


@pytest.mark.parametrize(
    ("water", "acid", "mmol_l", "grams_mol", "at_once"),
    [
        ((100, 7.8, 25), "hydrochloric", 0.5, 36.458, 6.757),
        ((100, 7.8, 25), "hydrochloric", 1.5, 36.458, 5.836),
        ((200, 8.2, 20), "hydrochloric", 1, 36.458, 6.819),
        ((120, 7.9, 24), "phosphoric", 0.5, 97.994, 6.735),
        ((200, 8.1, 20), "phosphoric", 0.5, 97.994, 6.989),
        ((60, 7.3, 26), "phosphoric", 0.6, 97.994, 6.171),
        ((150, 7.9, 22), "sulphuric", 1.3, 98.072, 5.516),
        ((220, 7.7, 18), "sulphuric", 0.4, 98.072, 6.922),
    ],
)
def test_an_acid_by_weight_gives_the_ph_of_phreeqc(water, acid, mmol_l, grams_mol, at_once):
    """PHREEQC with phreeqc.dat, shut off from gas (source: phreeqc)."""
    alkalinity, ph, temperature = water
    report = LOWER_PH_TOP_UP.run(
        {
            "top_up_volume": "1000 L", "ph": ph, "alkalinity": alkalinity,
            "temperature": temperature, "acid": acid, "strength": 25,
            "acid_mass": mmol_l * grams_mol * 4,
        }
    )  # fmt: skip

    assert report.results["ph_at_once"].value == pytest.approx(at_once, abs=0.02)


@pytest.mark.parametrize(
    ("acid", "strength", "litres", "removed", "ml"),
    [
        ("hydrochloric", 33, 200, 120, 45.52),
        ("hydrochloric", 14.5, 500, 30, 70.44),
        ("phosphoric", 85, 1000, 40, 54.69),
        ("phosphoric", 75, 200, 100, 33.15),
        ("phosphoric", 81, 150, 90, 19.90),
        ("sulphuric", 96, 1000, 80, 44.38),
        ("sulphuric", 15, 250, 75, 111.35),
    ],
)
def test_millilitres_follow_from_strength_and_density(acid, strength, litres, removed, ml):
    """Normality from the strength; densities of the acid tables (hcl-density-table and others)."""
    report = LOWER_PH_TOP_UP.run(
        {
            "top_up_volume": litres, "ph": 7.8, "alkalinity": 150, "temperature": 20,
            "acid": acid, "strength": strength, "target_alkalinity": 150 - removed,
        }
    )  # fmt: skip

    assert report.results["acid_volume"].value == pytest.approx(ml, rel=0.012)


@pytest.mark.parametrize(
    ("acid", "usual"),
    [("hydrochloric", 31.45), ("phosphoric", 85), ("sulphuric", 96), ("citric", 100)],
)
def test_a_strength_left_out_is_the_usual_one_of_that_acid(acid, usual):
    assert value("acid_mass", acid=acid, target_alkalinity=50) == value(
        "acid_mass", acid=acid, strength=usual, target_alkalinity=50
    )


@pytest.mark.parametrize(
    ("acid", "ion", "expected"),
    [("hydrochloric", "chloride", 35.42), ("phosphoric", "phosphorus", 30.95),
     ("sulphuric", "sulphate", 47.99)],
)  # fmt: skip
def test_an_acid_adds_its_own_ion_and_no_other(acid, ion, expected):
    """0.99913 meq/L of each acid, by atomic weights (iupac-atomic-weights)."""
    results = run(acid=acid, target_alkalinity=50).results
    added = {
        name: results[f"{name}_added"].value for name in ("phosphorus", "chloride", "sulphate")
    }

    assert added.pop(ion) == pytest.approx(expected, rel=0.001)
    assert set(added.values()) == {0.0}


def test_the_ph_bounces_back_though_the_alkalinity_stays_gone():
    """100 mg/L, pH 7.8, 25 °C, 1.0 mmol/L: 6.30 at once, 8.17 in air (source: phreeqc)."""
    results = run(target_alkalinity=49.957).results

    assert results["ph_at_once"].value == pytest.approx(6.305, abs=0.01)
    assert results["ph_after_aeration"].value == pytest.approx(8.167, abs=0.01)
    assert "climbs back" in results["ph_after_aeration"].reading


@pytest.mark.parametrize(
    ("alkalinity", "target", "meq_l"),
    [(100, 7.0, 1.92657), (100, 8.0, 1.27325)],
)
def test_an_aerated_target_takes_nearly_all_the_alkalinity(alkalinity, target, meq_l):
    """Strong acid at 420 µatm and 20 °C (source: phreeqc)."""
    got = value(
        "acid_mass", alkalinity=alkalinity, temperature=20, target_ph=target,
        target_when="aerated",
    )  # fmt: skip

    assert got * 0.3145 / 36.458 * 1000 / 100 == pytest.approx(meq_l, rel=0.02)


def test_a_closed_target_takes_the_acid_of_phreeqc():
    """150 mg/L, pH 8.0, 25 °C to pH 6.5 takes 1.175 meq/L (source: phreeqc)."""
    got = value("acid_mass", ph=8.0, alkalinity=150, target_ph=6.5)

    assert got * 0.3145 / 36.458 * 1000 / 100 == pytest.approx(1.175, rel=0.02)


def test_the_system_takes_the_top_up_by_volume():
    """150 mg/L x 300 L with 10 x 100 is 115 (conservation)."""
    got = value(
        "system_alkalinity_after",
        target_alkalinity=10,
        system_volume="300 L",
        system_alkalinity=150,
    )

    assert got == pytest.approx(115)
    assert run(target_alkalinity=10).results["system_alkalinity_after"].value is None


def test_citric_acid_powder_has_a_mass_alone_and_a_solution_a_volume_too():
    powder = run(acid="citric", target_ph=6.5)
    solution = run(acid="citric", strength=50, target_ph=6.5)

    assert powder.results["acid_volume"].value is None
    assert solution.results["acid_mass"].value == pytest.approx(
        2 * powder.results["acid_mass"].value
    )
    # common practice, no source: half-strength citric acid weighs about 1.24 g/mL
    volume = solution.results["acid_volume"].value
    assert solution.results["acid_mass"].value / volume == pytest.approx(1.24, rel=0.02)
    assert any("Bacteria eat citrate" in doubt for doubt in powder.doubts)
    assert "powder-dust" in powder.cautions
    assert "powder-dust" not in solution.cautions


@pytest.mark.parametrize(
    ("more", "name", "words"),
    [
        ({"target_ph": 7.8}, "target_ph", "not below the present pH of 7.8"),
        ({"target_ph": 9}, "target_ph", "not below"),
        ({"target_ph": 8.6, "target_when": "aerated"}, "target_ph", "takes on in air"),
        ({"target_alkalinity": 100}, "target_alkalinity", "not below the present 100 mg/L"),
        ({"acid_volume": "1 L"}, "acid_volume", "use up all the alkalinity"),
        ({"acid_mass": 500}, "acid_mass", "use up all the alkalinity"),
        ({"target_ph": 4.6, "target_when": "aerated"}, "target_ph", "use up all the alkalinity"),
        ({"strength": 60, "target_ph": 7}, "strength", "stronger than any sold"),
        ({"acid": "citric", "acid_volume": 5}, "acid_volume", "is a powder"),
        ({"target_ph": 7, "system_volume": 100}, "system_alkalinity", "together"),
        ({"target_ph": 7, "system_alkalinity": 100}, "system_volume", "together"),
        ({"ph": 9.8, "alkalinity": 1, "target_ph": 7}, "alkalinity", "test both again"),
        ({"ph": 4.6, "alkalinity": 500, "target_ph": 4.5}, "alkalinity", "test both again"),
        ({"target_ph": 7, "acid_mass": 1}, "acid_mass", "exactly one"),
    ],
)
def test_what_no_acid_can_do_is_refused_in_one_sentence(refused, more, name, words):
    problems = refused(LOWER_PH_TOP_UP, {**BARREL, **more})

    assert [problem[0] for problem in problems] == [name]
    assert words in problems[0][1]
    assert problems[0][1].endswith(".")


@pytest.mark.parametrize("acid", ["hydrochloric", "phosphoric", "sulphuric", "citric"])
def test_the_most_acid_named_in_a_refusal_is_taken(refused, acid):
    message = refused(LOWER_PH_TOP_UP, {**BARREL, "acid": acid, "acid_mass": 5000})[0][1]
    grams = float(message.split(" g")[0].split()[-1].strip("("))
    results = run(acid=acid, acid_mass=grams).results

    assert results["ph_at_once"].value == pytest.approx(4.5, abs=0.15)


def test_every_doubt_comes_from_working_it_out_again():
    doubts = " ".join(run(target_ph=6.8).doubts)
    for ph in (7.7, 7.9):
        again = run(target_ph=6.8, ph=ph).results["acid_volume"].text

        assert again.replace("\u00a0", " ") in doubts


def test_acid_safety_comes_with_every_answer():
    known, warned = sources.shipped(), cautions.shipped()
    for acid in LOWER_PH_TOP_UP.input("acid").ids:
        report = run(acid=acid, target_ph=6.8)
        assert {"acid-never-in-tank", "acid-into-water", "acid-and-chlorine"} <= set(
            report.cautions
        )
        assert set(report.cautions) <= set(warned)
        assert {step.source for step in report.steps} <= set(LOWER_PH_TOP_UP.sources)
        for amount in report.results.values():
            assert amount.value is None or amount.reading.endswith(".")
    assert "acid-fumes" in run(target_ph=6.8).cautions
    assert set(LOWER_PH_TOP_UP.sources) <= set(known)


decades = st.floats(-4, 6.3).map(lambda power: 10**power)
likely = st.fixed_dictionaries(
    {
        "top_up_volume": st.floats(0.05, 2e6),
        "ph": st.floats(4.2, 10.2),
        "alkalinity": st.floats(0, 1100),
        "temperature": st.floats(-1, 42),
        "acid": st.sampled_from(LOWER_PH_TOP_UP.input("acid").ids),
    },
    optional={
        "strength": st.floats(0.5, 101),
        "target_when": st.sampled_from(["at-once", "aerated"]),
        "system_volume": st.floats(0.5, 1e6),
        "system_alkalinity": st.floats(0, 1000),
    },
)
wish = st.one_of(
    st.fixed_dictionaries({"target_ph": st.floats(4.4, 9.6)}),
    st.fixed_dictionaries({"target_alkalinity": st.floats(0, 1100)}),
    st.fixed_dictionaries({"acid_volume": decades}),
    st.fixed_dictionaries({"acid_mass": decades}),
)


@settings(max_examples=200, deadline=None)
@given(water=likely, asked=wish, data=st.data())
def test_any_input_gives_a_sound_report_or_a_named_refusal_quickly(
    answer, odd_values, water, asked, data
):
    odd = data.draw(st.one_of(st.just({}), odd_values(LOWER_PH_TOP_UP)))
    started = time.perf_counter()
    report = answer(LOWER_PH_TOP_UP, {**water, **asked, **odd})
    assert time.perf_counter() - started < 0.6
    if isinstance(report, InputErrors):
        assert all(problem.message.endswith(".") for problem in report.problems)
        return
    assert report.results["alkalinity_after"].value <= report.inputs["alkalinity"].value * 1.000001
