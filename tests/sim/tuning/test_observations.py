"""What was seen: groups, and which rounds count."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vireton.tuning.observations import (
    Round,
    Rounds,
    Tear,
    WalkbackPoint,
    group_of_center,
    group_of_shots,
)

PLACES = st.tuples(st.floats(-1.0, 1.0), st.floats(-1.0, 1.0))


def test_the_center_is_the_mean_of_the_shots():
    group = group_of_shots("bare", 18.288, ((0.01, 0.02), (0.03, -0.04), (-0.01, 0.05)))
    assert group.center == pytest.approx((0.01, 0.01), abs=1e-15)
    assert group.count == 3
    assert group.spread is None


def test_one_shot_is_its_own_center():
    group = group_of_shots("fletched", 18.288, ((0.1, -0.2),))
    assert (group.center, group.count) == ((0.1, -0.2), 1)


def test_a_group_of_a_center_keeps_what_was_noted_and_has_no_shots():
    group = group_of_center("bare", 27.432, (0.02, -0.03), 3, 0.04)
    assert (group.center, group.count, group.spread) == ((0.02, -0.03), 3, 0.04)
    assert group.shots == ()


def test_a_group_without_a_shot_is_refused():
    with pytest.raises(ValueError, match="one shot at least"):
        group_of_shots("bare", 18.288, ())


@pytest.mark.parametrize("count", [0, -1])
def test_a_count_below_one_is_refused(count):
    with pytest.raises(ValueError, match=f"not {count}"):
        group_of_center("bare", 18.288, (0.0, 0.0), count)


def test_what_was_seen_cannot_be_changed():
    for seen in (
        Tear("bare", 1.8288, 0.001, 0.002),
        WalkbackPoint(9.144, 0.01),
        group_of_shots("bare", 18.288, ((0.0, 0.0),)),
        Round(1, 0.0, 0.0),
    ):
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(seen, dataclasses.fields(seen)[0].name, None)


def test_without_an_undo_all_rounds_count_in_order():
    rounds = Rounds(tuple(Round(n, 0.001 * n, 0.0) for n in (1, 2, 3)))
    assert [one.number for one in rounds.counting] == [1, 2, 3]


def test_an_undo_takes_out_its_round_and_itself():
    rounds = Rounds((Round(1, 0.0, 0.0), Round(2, 1e-3, 0.0), Round(3, 0.0, 0.0, undoes=2)))
    assert [one.number for one in rounds.counting] == [1]
    assert len(rounds.all) == 3


def test_a_round_after_an_undo_counts():
    rounds = Rounds((Round(1, 0.0, 0.0), Round(2, 0.0, 0.0, undoes=1), Round(3, 1e-3, 0.0)))
    assert [one.number for one in rounds.counting] == [3]


def test_an_empty_log_has_no_rounds():
    assert Rounds().counting == ()


@given(st.lists(PLACES, min_size=1, max_size=20))
def test_the_center_mirrors_exactly_and_lies_among_the_shots(shots):
    group = group_of_shots("bare", 18.288, tuple(shots))
    mirrored = group_of_shots("bare", 18.288, tuple((-right, up) for right, up in shots))
    assert mirrored.center == (-group.center[0], group.center[1])
    low, high = np.min(shots, axis=0), np.max(shots, axis=0)
    assert np.all(low - 1e-15 <= group.center)
    assert np.all(group.center <= high + 1e-15)


@given(st.lists(st.booleans(), max_size=12))
def test_every_round_is_taken_back_once_or_counts(undoing):
    rounds, standing = [], []
    for number, undo in enumerate(undoing, start=1):
        if undo and standing:
            rounds.append(Round(number, 0.0, 0.0, undoes=standing.pop()))
        else:
            rounds.append(Round(number, 0.0, 0.0))
            standing.append(number)
    assert [one.number for one in Rounds(tuple(rounds)).counting] == standing
