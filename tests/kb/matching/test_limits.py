"""The two limits, from cases that can be checked by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.matching.limits import Case, Limits, find, measure

RIGHT = [Case(place=1, trust=trust / 100, without=0.2) for trust in range(50, 150)]


def test_strong_begins_above_everything_off_topic():
    assert find(RIGHT, [0.1, 0.8]).strong == pytest.approx(0.81)


def test_strong_begins_where_wrong_first_answers_become_rare():
    wrong = [Case(place=2, trust=trust / 100, without=0.2) for trust in range(50, 100)]
    strong = find(RIGHT + wrong, []).strong
    above = [case for case in RIGHT + wrong if case.trust >= strong]
    # 50 right above 1.00; two wrong beside them are just 4 in 100, three would be more.
    assert strong == pytest.approx(0.98)
    assert sum(case.place != 1 for case in above) / len(above) <= 0.04


def test_strong_begins_where_a_missing_answer_is_noticed():
    neighbours = [Case(place=1, trust=1.5, without=1.4) for _ in range(20)]
    assert find(RIGHT + neighbours, []).strong == pytest.approx(1.41)


def test_possible_parts_right_answers_from_the_rest():
    limits = find(RIGHT, [0.1, 0.2, 0.3, 0.4, 0.8])
    assert limits.possible == pytest.approx(0.5)
    assert limits.verdict(0.45) == "none"
    assert limits.verdict(0.5) == "possible"


def test_content_without_cases_is_judged_by_off_topic_texts_alone():
    limits = find([], [0.3, 0.6])
    assert limits == Limits(strong=pytest.approx(0.61), possible=pytest.approx(0.61))


def test_a_score_stands_at_fixed_marks_on_the_limits():
    limits = Limits(strong=0.9, possible=0.4)
    assert limits.score(0.4) == pytest.approx(0.40)
    assert limits.score(0.9) == pytest.approx(0.75)


@given(st.floats(-10, 10), st.floats(-10, 10), st.floats(0, 2), st.floats(0, 2))
def test_a_score_grows_with_trust_and_stays_between_0_and_1(first, second, low, gap):
    limits = Limits(strong=low + gap, possible=low)
    smaller, larger = sorted((first, second))
    assert 0 <= limits.score(smaller) <= limits.score(larger) <= 1


def test_measures_count_what_the_cases_show():
    wrong = [Case(place=4, trust=0.1, without=0.1)] * 50
    measures = measure(RIGHT + wrong, [0.05, 0.06, 0.07, 0.08])
    assert measures.cases == 150
    assert measures.first == pytest.approx(100 / 150)
    assert measures.first_three == pytest.approx(100 / 150)
    assert measures.strong_wrong == 0
    assert measures.off_topic_strong == 0
    assert measures.off_topic_none == 1


def test_measures_of_nothing_are_nothing():
    assert measure([], []).cases == 0
