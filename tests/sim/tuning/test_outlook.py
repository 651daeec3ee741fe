"""What is left, what the last move did, and what more arrows would be worth."""

import numpy as np
import pytest
from bench import STEP, believing, groups, tear, tuner, unknowns

from demo import INCH, YARD
from vireton.tuning.advice import NEXT_SHOTS
from vireton.tuning.observations import Looked
from vireton.tuning.outlook import what_happened, what_is_left, worth
from vireton.tuning.rounds import Round

TUNER = tuner()
BOW = unknowns(rate_up=-0.9, rate_right=0.2, rate_gain_up=0.25, angle_gain_up=1.4 * STEP)


def test_what_is_left_grows_with_distance():
    turn = TUNER.turn([tear(unknowns(rate_right=0.7, rate_up=-0.3), count=4)])
    left = what_is_left(turn, [20 * YARD, 40 * YARD, 60 * YARD])
    size = [abs(one.separation[0][0]) for one in left]
    assert 0.0 < size[0] < size[1] < size[2]
    for one in left:
        assert (one.separation[1] <= one.separation[0]).all()
        assert (one.separation[0] <= one.separation[2]).all()
    # sighted in anew at 20 yd nothing is left of the fletched arrow there
    assert np.abs(left[0].fletched[0]).max() < 1e-9
    assert np.abs(left[2].fletched[0]).max() < 2 * INCH


@pytest.mark.parametrize(("steps", "verdict"), [(3, "better"), (-3, "worse")])
def test_a_move_is_said_to_have_helped_or_not(steps, verdict):
    rounds = [tear(BOW, count=2), tear(BOW, (0.0, steps * STEP), 2, count=2)]
    found = what_happened(TUNER, rounds, TUNER.turn(rounds))
    assert found.round == 2
    assert found.verdict == verdict
    assert (found.after < found.before) == (verdict == "better")
    assert found.move.rest_up == pytest.approx(steps * STEP)


def test_what_was_expected_is_told_from_what_was_not():
    good = [tear(BOW, count=2), tear(BOW, (0.0, 3 * STEP), 2, count=2)]
    assert what_happened(TUNER, good, TUNER.turn(good)).expected
    other = unknowns(rate_up=-2.2)
    odd = [good[0], tear(other, (0.0, 3 * STEP), 2, count=4)]
    assert not what_happened(TUNER, odd, TUNER.turn(odd)).expected


def test_what_was_expected_counts_from_where_the_rest_stood():
    places = enumerate((0, 6, 3, 5), start=1)
    rounds = [tear(BOW, (0.0, k * STEP), number, count=4) for number, k in places]
    assert what_happened(TUNER, rounds, TUNER.turn(rounds)).expected


def test_a_move_that_was_found_to_be_reversed_is_said_to_have_done_harm():
    down = believing(tear(BOW, (0.0, -2 * STEP), 2, count=2), 0.0, 2 * STEP)
    found = Round(3, down.setting, (Looked("reversed", 2, True),))
    rounds = [tear(BOW, count=2), down, found]
    assert what_happened(TUNER, rounds, TUNER.turn(rounds)).verdict == "worse"


def test_nothing_happened_before_a_move_or_before_anything_was_seen_after_it():
    rounds = [tear(BOW)]
    assert what_happened(TUNER, rounds, TUNER.turn(rounds)) is None
    moved = [*rounds, type(rounds[0])(2, tear(BOW, (0.0, STEP), 2).setting)]
    assert what_happened(TUNER, moved, TUNER.turn(moved)) is None


def test_more_arrows_are_worth_more():
    turn = TUNER.turn([groups((0.3, 0.9), count=3)])
    found = {(one.test.kind, one.test.count): one for one in worth(TUNER, turn, NEXT_SHOTS)}
    assert found["pair", 4].then >= found["pair", 1].then - 0.02
    for one in found.values():
        assert one.inside == pytest.approx(turn.within(TUNER.tolerance))
        assert one.inside <= one.then <= 1.0
