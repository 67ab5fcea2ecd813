"""Water changes: the share for a level, and several changes that come to one.

Worked values stand in tables/mixing.csv.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.science.mixing import changes_needed, mixed, share_for, share_of_each

levels = st.floats(0, 1e4)


# Hager et al. 2021, section 6.7: exchange 20 % of the water; dilution leaves four fifths
@pytest.mark.parametrize(("changes", "left"), [(1, 0.8), (2, 0.64), (3, 0.512), (4, 0.4096)])
def test_changes_of_a_fifth_leave_four_fifths_each(changes, left):
    level = 1.0
    for _ in range(changes):
        level = mixed(now=level, source=0, share=0.2)

    assert level == pytest.approx(left)


@given(now=levels, source=levels, share=st.floats(0, 1))
def test_the_level_afterwards_lies_between_old_and_new_water(now, source, share):
    after = mixed(now=now, source=source, share=share)
    slack = 1e-9 * max(now, source)

    assert min(now, source) - slack <= after <= max(now, source) + slack


@given(now=levels, source=levels, way=st.floats(0, 1))
def test_the_share_found_gives_the_level_wanted(now, source, way):
    target = min(max(now + way * (source - now), min(now, source)), max(now, source))
    share = share_for(now=now, source=source, target=target)

    assert 0 <= share <= 1
    assert mixed(now=now, source=source, share=share) == pytest.approx(
        target, abs=1e-9 * max(now, source, 1)
    )


@pytest.mark.parametrize(
    ("now", "source", "target"),
    [(80, 20, 10), (80, 20, 81), (20, 80, 10), (20, 80, 90), (50, 50, 40), (50, 50, 60)],
)
def test_a_level_beyond_both_waters_has_no_share(now, source, target):
    assert share_for(now=now, source=source, target=target) is None


@given(share=st.floats(0.001, 0.999), most=st.floats(0.05, 0.9))
def test_the_changes_needed_are_enough_and_not_one_too_many(share, most):
    count = changes_needed(share=share, most=most)

    assert share_of_each(share=share, changes=count) <= most * (1 + 1e-6)
    assert count == 1 or share_of_each(share=share, changes=count - 1) > most * (1 - 1e-6)


@given(share=st.floats(0.001, 0.999), changes=st.integers(1, 30))
def test_equal_changes_end_at_the_same_level(share, changes):
    each = share_of_each(share=share, changes=changes)
    level = 100.0
    for _ in range(changes):
        level = mixed(now=level, source=5, share=each)

    assert level == pytest.approx(mixed(now=100, source=5, share=share))


@pytest.mark.parametrize("share", [0.2, 0.36, 0.488, 0.5904])  # one to four changes of a fifth
def test_a_share_that_is_met_exactly_needs_no_further_change(share):
    assert changes_needed(share=share, most=0.2) == {0.2: 1, 0.36: 2, 0.488: 3, 0.5904: 4}[share]


def test_changes_in_part_never_replace_all_of_the_water():
    assert changes_needed(share=1, most=0.2) is None


@pytest.mark.parametrize("share", [-0.01, 1.01, float("nan")])
def test_a_share_that_cannot_be_is_refused(share):
    with pytest.raises(ValueError, match="from 0 to 1"):
        mixed(now=1, source=0, share=share)
