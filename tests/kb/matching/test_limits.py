"""The two limits, from cases that can be checked by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.matching.limits import Case, Limits, Sure, find, measure


def sure(trust):
    """Nothing else near: the lead is nought, so that trust and value are one."""
    return Sure(value=trust, lead=0.0)


def case(place, trust, without):
    return Case(place, sure(trust), sure(without))


RIGHT = [case(1, trust / 100, 0.2) for trust in range(50, 150)]


def test_strong_begins_above_all_but_two_in_a_hundred_off_topic_texts():
    strangers = [sure(0.8), sure(0.7), *(sure(0.1) for _ in range(50))]
    assert find(RIGHT, strangers).strong == pytest.approx(0.71)


def test_strong_begins_above_every_one_of_few_off_topic_texts():
    assert find(RIGHT, [sure(0.1), sure(0.8)]).strong == pytest.approx(0.81)


def test_strong_begins_where_wrong_first_answers_become_rare():
    wrong = [case(2, trust / 100, 0.2) for trust in range(50, 100)]
    strong = find(RIGHT + wrong, []).strong
    above = [one for one in RIGHT + wrong if one.first.trust >= strong]
    # 50 right from 1.00 on; below, one right and one wrong at each step. Twelve steps down there
    # are 62 right and 12 wrong, 16 in 100; one more step and there would be more than 17.
    assert strong == pytest.approx(0.88)
    assert sum(one.place != 1 for one in above) / len(above) <= 0.17


def test_strong_begins_where_a_missing_answer_is_noticed():
    neighbours = [case(1, 1.5, 1.4) for _ in range(20)]
    assert find(RIGHT + neighbours, []).strong == pytest.approx(1.41)


def test_possible_parts_right_answers_from_the_rest():
    limits = find(RIGHT, list(map(sure, [0.1, 0.2, 0.3, 0.4, 0.8])))
    assert limits.possible == pytest.approx(0.5)
    assert limits.verdict(sure(0.45)) == "none"
    assert limits.verdict(sure(0.5)) == "possible"


def test_a_near_rival_makes_a_match_less_than_strong():
    limits = Limits(strong=0.9, possible=0.4)
    assert limits.verdict(Sure(value=0.6, lead=0.2)) == "strong"
    assert limits.verdict(Sure(value=0.6, lead=0.1)) == "possible"
    assert limits.verdict(Sure(value=0.3, lead=0.3)) == "none"


def test_content_without_cases_is_judged_by_off_topic_texts_alone():
    limits = find([], [sure(0.3), sure(0.6)])
    assert limits == Limits(strong=pytest.approx(0.61), possible=pytest.approx(0.61))


def test_a_score_stands_at_fixed_marks_on_the_limits():
    limits = Limits(strong=0.9, possible=0.4)
    assert limits.score(sure(0.4)) == pytest.approx(0.40)
    assert limits.score(sure(0.9)) == pytest.approx(0.75)


@given(st.floats(-10, 10), st.floats(-10, 10), st.floats(0.01, 2), st.floats(0, 2))
def test_a_score_grows_with_trust_and_stays_between_0_and_1(first, second, low, gap):
    limits = Limits(strong=low + gap, possible=low)
    smaller, larger = sorted((first, second))
    assert 0 <= limits.score(sure(smaller)) <= limits.score(sure(larger)) <= 1


def test_measures_count_what_the_cases_show():
    wrong = [case(4, 0.1, 0.1)] * 50
    measures = measure(RIGHT + wrong, list(map(sure, [0.05, 0.06, 0.07, 0.08])))
    assert measures.cases == 150
    assert measures.first == pytest.approx(100 / 150)
    assert measures.first_three == pytest.approx(100 / 150)
    assert measures.strong_wrong == 0
    assert measures.off_topic_strong == 0
    assert measures.off_topic_none == 1


def test_measures_of_nothing_are_nothing():
    assert measure([], []).cases == 0
