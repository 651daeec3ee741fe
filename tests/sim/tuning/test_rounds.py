"""The rounds of a log, and which of them count."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vireton.bow.setting import BowSetting
from vireton.tuning.observations import Group, Tear, WalkbackPoint, group_of_shots
from vireton.tuning.rounds import Round, Rounds, all_seen

TEAR = Tear("bare", 1.8288, 0.001, 0.002)
POINT = WalkbackPoint(9.144, 0.01)
GROUP = group_of_shots("bare", 18.288, ((0.0, 0.0),))


def test_observations_by_kind():
    rounds = [Round(1, observations=(TEAR, GROUP, POINT)), Round(2, observations=(GROUP,))]
    assert rounds[0].seen(Tear) == (TEAR,)
    assert all_seen(rounds, Group) == (GROUP, GROUP)
    assert all_seen(rounds, WalkbackPoint) == (POINT,)


def test_an_unknown_kind_is_an_error():
    class Other(Tear):
        pass

    for one in ("a tear", Other("bare", 1.8, 0.0, 0.0)):
        with pytest.raises(TypeError, match="is no kind of observation"):
            Round(1, observations=(one,))


def test_without_an_undo_all_rounds_count_in_order():
    rounds = Rounds(tuple(Round(n, BowSetting(0.001 * n)) for n in (1, 2, 3)))
    assert [one.number for one in rounds.counting] == [1, 2, 3]


def test_an_undo_takes_out_its_round_and_itself():
    rounds = Rounds(
        (Round(1, BowSetting()), Round(2, BowSetting(1e-3)), Round(3, BowSetting(), undoes=2))
    )
    assert [one.number for one in rounds.counting] == [1]
    assert len(rounds.all) == 3


def test_a_round_after_an_undo_counts():
    rounds = Rounds(
        (Round(1, BowSetting()), Round(2, BowSetting(), undoes=1), Round(3, BowSetting(1e-3)))
    )
    assert [one.number for one in rounds.counting] == [3]


def test_an_empty_log_has_no_rounds():
    assert Rounds().counting == ()


@given(st.lists(st.booleans(), max_size=12))
def test_every_round_is_taken_back_once_or_counts(undoing):
    rounds, standing = [], []
    for number, undo in enumerate(undoing, start=1):
        if undo and standing:
            rounds.append(Round(number, BowSetting(), undoes=standing.pop()))
        else:
            rounds.append(Round(number, BowSetting()))
            standing.append(number)
    assert [one.number for one in Rounds(tuple(rounds)).counting] == standing
