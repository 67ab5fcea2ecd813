"""Words to belief. The expected numbers are worked out by hand from the rule that a plain word is
one doubling and a strong word three; the example file names the words."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.belief import beliefs, entropy, outlook, ranking, scale, shares


@pytest.fixture(scope="module")
def numbers(gasping):
    return scale(gasping)


def evidence(symptom, name):
    return next(item for item in symptom.evidence if item.id == name)


def test_the_parts_are_four_two_and_one_and_two_for_the_cause_not_listed(numbers):
    expected = [4 / 13, 2 / 13, 2 / 13, 1 / 13, 2 / 13, 2 / 13]
    assert beliefs(numbers, {}) == pytest.approx(expected)


def test_shares_of_one_check_agree_with_those_worked_out_by_hand(gasping, numbers):
    # stopped: confirms low-oxygen (8, the largest); running: unlikely (1/2; the largest is 1)
    table = shares(evidence(gasping, "air-and-flow"), numbers.causes)
    stopped = [2 / 3] + [1 / 9] * 5  # (8/8) / (8/8 + 1/2) and (1/8) / (1/8 + 1)
    running = [1 / 3] + [8 / 9] * 5
    assert table[0] == pytest.approx(stopped)
    assert table[1] == pytest.approx(running)


def test_shares_of_a_check_that_rules_out_agree_with_those_worked_out_by_hand(gasping, numbers):
    # yes: confirms chlorine (8); no: rules it out (1/8; the largest is 1)
    table = shares(evidence(gasping, "untreated-water"), numbers.causes)
    place = numbers.causes.index("chlorine")
    assert table[0][place] == pytest.approx(8 / 9)  # 1 / (1 + 1/8)
    assert table[1][place] == pytest.approx(1 / 9)
    assert table[0][0] == pytest.approx(1 / 9)


def test_one_answer_moves_belief_as_worked_out_by_hand(numbers):
    # 4 parts x 2/3 against 9 parts x 1/9: 8/3 of 11/3
    assert beliefs(numbers, {"air-and-flow": 0})[0] == pytest.approx(8 / 11)


def test_two_answers_multiply(numbers):
    # chlorine: 1 part x 1/9 x 8/9; low oxygen: 4 x 2/3 x 1/9; the other eight: 1/9 x 1/9 each part
    chlorine, oxygen, rest = 1 / 9 * 8 / 9, 4 * 2 / 3 / 9, 8 / 81
    found = beliefs(numbers, {"air-and-flow": 0, "untreated-water": 0})
    assert found[3] == pytest.approx(chlorine / (chlorine + oxygen + rest))


def test_beliefs_are_the_same_to_the_last_bit_in_any_order(numbers):
    forwards = {"air-and-flow": 1, "oxygen": 2, "nitrite": 1, "gills": 2, "all-or-some": 0}
    backwards = dict(reversed(forwards.items()))
    middle = {key: forwards[key] for key in sorted(forwards)}
    assert beliefs(numbers, forwards) == beliefs(numbers, backwards) == beliefs(numbers, middle)


def test_the_absence_of_a_telling_answer_counts_against_its_cause(numbers):
    assert beliefs(numbers, {"nitrite": 0})[1] < beliefs(numbers, {})[1] / 4


@settings(deadline=None)
@given(data=st.data())
def test_beliefs_add_up_to_one(data, gasping, numbers):
    answers = {
        item.id: data.draw(st.integers(0, len(item.answers) - 1))
        for item in gasping.evidence
        if data.draw(st.booleans())
    }
    assert math.isclose(sum(beliefs(numbers, answers)), 1.0, rel_tol=1e-12)


def test_the_shares_of_all_answers_of_a_check_add_up_to_one_for_every_cause(gasping, numbers):
    for item in gasping.evidence:
        for column in zip(*shares(item, numbers.causes), strict=True):
            assert sum(column) == pytest.approx(1.0)


def test_four_equal_causes_are_two_bits():
    assert entropy([0.25] * 4) == pytest.approx(2.0)


def test_gain_equals_the_mutual_information_of_answer_and_cause(gasping, numbers):
    # Shannon 1948: the sum of p(x, y) log2(p(x, y) / (p(x) p(y)))
    now = beliefs(numbers, {})
    for item in gasping.evidence:
        rows = [
            [b * math.exp(x) for b, x in zip(now, r, strict=True)] for r in numbers.logs[item.id]
        ]
        expected = sum(
            joint * math.log2(joint / (sum(row) * belief))
            for row in rows
            for joint, belief in zip(row, now, strict=True)
        )
        assert outlook(numbers, item, now).gain == pytest.approx(expected)


def test_equal_beliefs_rank_in_file_order_and_the_cause_not_listed_has_no_rank():
    assert ranking((0.2, 0.3, 0.2, 0.3)) == (1, 0, 2)
