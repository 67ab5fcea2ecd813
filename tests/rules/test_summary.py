"""The summary to copy says what was checked, what it points to, and leaves room for more."""

from kb import calculators
from rules import engine, load, summary


def test_the_summary_holds_answers_sums_alarms_and_shares():
    found = engine.diagnose(
        load.shipped().symptom("fish-off-feed"),
        {"ph": "7.9", "ammonia": "2", "temperature": "27", "oxygen": "unknown"},
        calculators=calculators.ALL,
    )
    text = summary.as_text(found)
    assert "- What is the pH of the water? 7.9\n" in text
    assert "- How warm is the water? 27 °C\n" in text
    assert " not known\n" in text
    # Emerson et al. 1975: 2 mg/L at pH 7.9 and 27 C
    assert "worked out: 0.0986 mg/L" in text
    assert "- To act on now: Ammonia is hurting the gills\n" in text
    assert "(about 3 in 10)" in text
    assert text.endswith("What I did, and when:\n- ")
