"""Readings and urgency on texts that nothing was made to fit; floors a little under the count."""

import tomllib

from bench.understanding import FOLDER, readings_score, urgency_score

FRESH = FOLDER / "fresh"


def table(name):
    return tomllib.loads((FRESH / name).read_text(encoding="utf-8"))


def test_readings_are_found_and_right_in_texts_never_seen():
    cases = [(case["text"], case["readings"]) for case in table("readings.toml")["case"]]
    score = readings_score(cases)
    assert score.wanted > 200
    assert (score.recall >= 0.94, score.precision >= 0.95) == (True, True)


def test_urgency_is_seen_and_calm_left_alone_in_texts_never_seen():
    texts = table("urgency.toml")
    cases = [
        (text, kind == "urgent") for kind in ("urgent", "calm") for text in texts[kind]["texts"]
    ]
    score = urgency_score(cases)
    assert score.wanted == 70
    assert (score.recall >= 0.96, score.precision >= 0.82) == (True, True)
