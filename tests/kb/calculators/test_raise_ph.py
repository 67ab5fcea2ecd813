"""The calculator that raises pH with a base."""

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb import cautions, sources
from kb.calculators.raise_ph import RAISE_PH
from kb.errors import InputErrors

GREENHOUSE = {"volume": "1000 L", "ph": 6.2, "alkalinity": 40, "temperature": 25}
SOFT = {**GREENHOUSE, "alkalinity": 20}


def run(**more):
    return RAISE_PH.run({**GREENHOUSE, **more})


def value(name, **more):
    return run(**more).results[name].value


@pytest.mark.parametrize(
    ("water", "base", "grams", "volume", "at_once"),
    [
        ((35, 6.3, 24), "calcium-hydroxide", 10, 1000, 6.623),
        ((35, 6.3, 24), "potassium-hydroxide", 15, 1000, 6.622),
        ((40, 6.5, 22), "potassium-bicarbonate", 60, 1000, 6.738),
        ((45, 6.6, 23), "potassium-hydroxide", 12, 1500, 6.807),
        ((32, 6.1, 28), "calcium-hydroxide", 30, 3000, 6.374),
        ((55, 6.5, 19), "potassium-hydroxide", 50, 2500, 6.867),
        ((18, 6.0, 23), "sodium-bicarbonate", 30, 1200, 6.257),
    ],
)
def test_grams_in_litres_give_the_ph_of_phreeqc(water, base, grams, volume, at_once):
    """PHREEQC with phreeqc.dat, shut off from gas (source: phreeqc)."""
    alkalinity, ph, temperature = water
    report = RAISE_PH.run(
        {
            "volume": volume, "ph": ph, "alkalinity": alkalinity, "temperature": temperature,
            "base": base, "dose": grams,
        }
    )  # fmt: skip

    assert report.results["ph_at_once"].value == pytest.approx(at_once, abs=0.02)


@pytest.mark.parametrize(
    ("base", "purity", "grams"),
    [
        ("calcium-hydroxide", 100, 18.51),
        ("potassium-hydroxide", 90, 31.15),
        ("potassium-bicarbonate", 100, 50.01),
        ("potassium-carbonate", 100, 34.52),
        ("sodium-bicarbonate", 100, 41.97),
        ("magnesium-hydroxide", 100, 14.57),
        ("calcium-carbonate", 100, 25.0),
        ("dolomite", 100, 23.03),
    ],
)
def test_grams_follow_from_equivalent_weights(base, purity, grams):
    """25 mg/L in 1000 L is 0.49957 equivalents; weights by periodictable (iupac-atomic-weights)."""
    got = value("mass", base=base, purity=purity, target_alkalinity=65)

    assert got == pytest.approx(grams, rel=0.001)


@pytest.mark.parametrize(
    ("base", "ion", "expected"),
    [
        ("calcium-hydroxide", "calcium", 10.01),
        ("potassium-hydroxide", "potassium", 19.53),
        ("magnesium-hydroxide", "magnesium", 6.07),
        ("sodium-bicarbonate", "sodium", 11.48),
    ],
)
def test_a_base_adds_its_own_metal_and_no_other(base, ion, expected):
    """0.49957 meq/L of each metal, by its atomic weight (iupac-atomic-weights)."""
    results = run(base=base, target_alkalinity=65).results
    added = {
        name: results[f"{name}_added"].value
        for name in ("calcium", "potassium", "magnesium", "sodium")
    }

    assert added.pop(ion) == pytest.approx(expected, rel=0.001)
    assert set(added.values()) == {0.0}


def test_the_target_is_the_settled_ph_and_the_ph_at_once_overshoots_it_for_a_hydroxide():
    results = run(base="calcium-hydroxide", target_ph=6.5).results

    assert results["ph_settled"].value == pytest.approx(6.5, abs=1e-4)
    assert results["ph_at_once"].value > 6.7
    assert results["ph_after_aeration"].value > 8


def test_per_equivalent_hydroxide_and_bicarbonate_settle_alike():
    """Both leave the same alkalinity (source: stumm-morgan-1996)."""
    lime, bicarbonate = (
        run(base=base, target_alkalinity=65).results
        for base in ("calcium-hydroxide", "potassium-bicarbonate")
    )

    assert lime["ph_settled"].value == pytest.approx(bicarbonate["ph_settled"].value, abs=0.01)
    assert lime["ph_at_once"].value > bicarbonate["ph_at_once"].value


def test_level_spoons_of_powders_of_known_density_are_taken_and_given(refused):
    """Loose lime 0.475 g/mL, potassium bicarbonate 1.041 g/mL, spoon 5 mL (data sheets)."""
    lime = run(base="calcium-hydroxide", dose="2 tsp").results
    bicarbonate = run(base="potassium-bicarbonate", dose="2 tsp").results

    assert (lime["mass"].value, lime["teaspoons"].value) == pytest.approx((4.75, 2))
    assert bicarbonate["mass"].value == pytest.approx(10.41)
    assert run(base="dolomite", dose=5).results["teaspoons"].value is None
    problems = refused(RAISE_PH, {**GREENHOUSE, "base": "dolomite", "dose": "2 tsp"})
    assert [problem[0] for problem in problems] == ["dose"]


def test_a_dose_is_split_until_no_part_exceeds_the_step():
    whole = run(base="calcium-hydroxide", target_alkalinity=65, max_ph_step=0.5).results
    split = run(base="calcium-hydroxide", target_alkalinity=65, max_ph_step=0.2).results

    assert whole["additions"].value == 1
    assert split["additions"].value > 1
    part = split["mass"].value / split["additions"].value
    first = value("ph_at_once", base="calcium-hydroxide", dose=part)
    assert first - 6.2 <= 0.2
    one_fewer = split["mass"].value / (split["additions"].value - 1)
    assert value("ph_at_once", base="calcium-hydroxide", dose=one_fewer) - 6.2 > 0.2


def test_ammonia_is_followed_to_the_highest_ph_and_forbids_the_dose():
    """20 mg/L as N at pH 6.67, 25 °C is 0.26 % un-ionised: 0.05 mg/L (source: emerson-1975)."""
    report = run(base="potassium-hydroxide", dose=28.05, ammonia=20)
    results = report.results

    assert results["unionised_before"].value == pytest.approx(20 * 0.000899, rel=0.01)
    assert results["unionised_after"].value == pytest.approx(20 * 0.00265, rel=0.02)
    assert report.cautions[0] == "never-raise-ph-with-ammonia"
    assert "Do not dose now" in results["mass"].reading
    assert "Do not dose now" in report.as_text()
    calm = run(base="potassium-hydroxide", dose=28.05)
    assert "never-raise-ph-with-ammonia" not in calm.cautions


# Of the total 0.266 % is un-ionised at the highest pH, 6.67 at 25 °C (source: emerson-1975): the
# cautious line of 0.02 mg/L (common practice) is crossed near 7.5 mg/L of total ammonia as N, the
# 0.05 mg/L that starts to burn gills (source: ifas-fa16) near 18.8 mg/L.
@pytest.mark.parametrize(
    ("ammonia", "words", "forbids"),
    [
        (0.01, "stays below the cautious line of 0.02 mg/L; even so, bring", False),
        (1, "stays below the cautious line of 0.02 mg/L; even so, bring", False),
        (7, "stays below the cautious line of 0.02 mg/L; even so, bring", False),
        (8, "is over the cautious line of 0.02 mg/L, though not over the 0.05 mg/L", True),
        (18, "is over the cautious line of 0.02 mg/L, though not over the 0.05 mg/L", True),
        (19.5, "is over the 0.05 mg/L that burns gills; bring", True),
    ],
)
def test_any_ammonia_brings_the_caution_and_its_line_is_said_plainly(ammonia, words, forbids):
    report = run(base="potassium-hydroxide", dose=28.05, ammonia=ammonia)
    reading = report.results["unionised_after"].reading

    assert report.cautions[0] == "never-raise-ph-with-ammonia"
    assert words in reading
    assert reading.endswith("bring the ammonia down first.")
    assert report.results["mass"].reading.startswith(reading) is forbids


def test_without_ammonia_one_is_told_to_test_for_it():
    report = run(base="potassium-hydroxide", dose=28.05, ammonia=0)

    assert "never-raise-ph-with-ammonia" not in report.cautions
    assert report.results["unionised_after"].reading == (
        "No ammonia was entered; test for it before any base goes in."
    )


def test_ammonia_as_the_kit_reads_it_is_taken_as_nitrogen():
    """14.007 / 17.031 (iupac-atomic-weights)."""
    asked = {"base": "potassium-hydroxide", "dose": 5}
    as_n = value("unionised_after", ammonia=0.822445, **asked)

    # the two waters differ by nothing else
    as_nh3 = value("unionised_after", ammonia=1, ammonia_as="NH3", **asked)
    assert as_nh3 == pytest.approx(as_n, rel=1e-4)


@pytest.mark.parametrize(
    ("more", "name", "words"),
    [
        ({"target_ph": 6.2}, "target_ph", "not above the present pH of 6.2"),
        ({"target_ph": 5.9}, "target_ph", "not above"),
        ({"target_alkalinity": 40}, "target_alkalinity", "not above the present alkalinity"),
        ({"target_ph": 9.2}, "target_ph", "past 1000 mg/L"),
        ({"dose": 10_000}, "dose", "past 1000 mg/L"),
        ({"base": "calcium-carbonate", "target_ph": 8}, "target_ph", "stops dissolving"),
        ({"base": "dolomite", "target_ph": 8}, "target_ph", "stops dissolving"),
        (
            {"base": "calcium-carbonate", "target_alkalinity": 600},
            "target_alkalinity",
            "stops dissolving",
        ),
        ({"ph": 9.5, "alkalinity": 0.5, "target_ph": 9.5}, "alkalinity", "test both again"),
        ({"ph": 4, "alkalinity": 200, "target_ph": 6}, "alkalinity", "test both again"),
        ({"target_ph": 6.5, "dose": 5}, "dose", "exactly one"),
        ({}, "target_ph", "exactly one"),
    ],
)
def test_what_no_base_can_do_is_refused_in_one_sentence(refused, more, name, words):
    problems = refused(RAISE_PH, {**GREENHOUSE, "base": "potassium-bicarbonate", **more})

    assert [problem[0] for problem in problems] == [name]
    assert words in problems[0][1]
    assert problems[0][1].endswith(".")


@pytest.mark.parametrize("base", ["calcium-carbonate", "dolomite", "potassium-hydroxide"])
def test_the_limit_named_in_a_refusal_can_be_reached(refused, base):
    message = refused(RAISE_PH, {**GREENHOUSE, "base": base, "target_ph": 9})[0][1]
    limit = float(message.split(" and pH ")[1].split()[0] if "and pH" in message
                  else message.split("at pH ")[1].split()[0])  # fmt: skip

    assert value("ph_settled", base=base, target_ph=limit) == pytest.approx(limit, abs=1e-3)


def test_chalk_dissolves_only_until_the_water_is_saturated():
    """At 3000 µatm and 25 °C limestone ends at pH 7.64 and 107 mg/L (source: phreeqc)."""
    # pH 6.55 with 8.7 mg/L holds the carbon dioxide of 3000 µatm
    report = RAISE_PH.run(
        {
            "volume": 1000, "ph": 6.55, "alkalinity": 8.5, "temperature": 25,
            "base": "calcium-carbonate", "dose": 2000,
        }
    )  # fmt: skip
    results = report.results

    assert results["ph_settled"].value == pytest.approx(7.64, abs=0.06)
    assert results["alkalinity_after"].value == pytest.approx(107, rel=0.1)
    assert results["mass"].value == 2000
    assert any("dissolve before the water is saturated" in doubt for doubt in report.doubts)


def test_water_that_seems_to_hold_less_gas_than_air_settles_to_the_air():
    """20 mg/L at 420 µatm and 25 °C stands at pH 7.785 (source: phreeqc)."""
    report = run(ph=6, alkalinity=0, base="potassium-bicarbonate", target_alkalinity=20)

    assert report.results["ph_settled"].value == pytest.approx(7.785, abs=0.01)
    assert any("test both again" in doubt for doubt in report.doubts)


def test_calcium_already_in_the_water_makes_chalk_stop_sooner():
    asked = {"base": "calcium-carbonate", "dose": 2000}

    assert value("alkalinity_after", calcium=100, **asked) < value("alkalinity_after", **asked)


def test_every_doubt_comes_from_working_it_out_again():
    doubts = " ".join(run(base="calcium-hydroxide", target_ph=6.5).doubts)
    for ph in (6.1, 6.3):
        again = run(base="calcium-hydroxide", target_ph=6.5, ph=ph).results["mass"].text

        assert again.replace("\u00a0", " ") in doubts


def test_sources_cautions_and_readings_are_complete():
    known, warned = sources.shipped(), cautions.shipped()
    for base in RAISE_PH.input("base").ids:
        report = run(base=base, target_alkalinity=60, ammonia=3)
        assert {step.source for step in report.steps} <= set(RAISE_PH.sources)
        assert set(report.cautions) <= set(warned)
        for amount in report.results.values():
            assert amount.value is None or amount.reading.endswith(".")
    assert set(RAISE_PH.sources) <= set(known)
    assert "lime-burns" in run(base="calcium-hydroxide", dose=1).cautions
    assert "caustic-potash-burns" in run(base="potassium-hydroxide", dose=1).cautions


def test_the_pasted_reply_says_how_much_in_how_many_parts_and_where_it_settles():
    lines = run(base="calcium-hydroxide", target_ph=6.6).as_text().splitlines()

    assert [line.split(":")[0] for line in lines[1:]] == ["- Weigh out", "- Parts", "- pH settled"]


decades = st.floats(-4, 6.3).map(lambda power: 10**power)
likely = st.fixed_dictionaries(
    {
        "volume": st.floats(0.5, 2e6),
        "ph": st.floats(3.5, 10.5),
        "alkalinity": st.floats(0, 1100),
        "temperature": st.floats(-1, 42),
        "base": st.sampled_from(RAISE_PH.input("base").ids),
    },
    optional={
        "purity": st.floats(5, 101),
        "calcium": st.floats(0, 1100),
        "ammonia": st.floats(0, 210),
        "max_ph_step": st.floats(0.01, 2.1),
    },
)
wish = st.one_of(
    st.fixed_dictionaries({"target_ph": st.floats(4, 9.6)}),
    st.fixed_dictionaries({"target_alkalinity": st.floats(0, 1100)}),
    st.fixed_dictionaries({"dose": decades}),
    st.fixed_dictionaries({"dose": st.floats(0.1, 300)}),
)


@settings(max_examples=200, deadline=None)
@given(water=likely, asked=wish, data=st.data())
def test_any_input_gives_a_sound_report_or_a_named_refusal_quickly(
    answer, odd_values, water, asked, data
):
    odd = data.draw(st.one_of(st.just({}), odd_values(RAISE_PH)))
    started = time.perf_counter()
    report = answer(RAISE_PH, {**water, **asked, **odd})
    assert time.perf_counter() - started < 0.6
    if isinstance(report, InputErrors):
        assert all(problem.message.endswith(".") for problem in report.problems)
        return
    assert report.results["alkalinity_after"].value >= report.inputs["alkalinity"].value * 0.999999
