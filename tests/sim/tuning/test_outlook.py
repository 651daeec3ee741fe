"""What is left, which test next, and why."""

import numpy as np
import pytest
from bench import STEP, groups, seen, tuner, unknowns

from demo import INCH, YARD
from vireton.bow.setting import BowSetting
from vireton.tuning.observations import Tear
from vireton.tuning.outlook import causes, next_tests, what_is_left
from vireton.tuning.rounds import Round

TUNER = tuner()
OFF = unknowns(rate_right=0.5, rate_up=-0.2)


def test_what_is_left_grows_with_distance():
    turn = TUNER.turn([seen(OFF, count=12)])
    left = what_is_left(TUNER, turn, [20 * YARD, 40 * YARD, 60 * YARD])
    size = [one.separation[0][0] for one in left]
    assert 0.0 < size[0] < size[1] < size[2]
    assert size[1] / size[0] > 2.0
    for one in left:
        assert (one.separation[1] <= one.separation[0]).all()
        assert (one.separation[0] <= one.separation[2]).all()
    # sighted in anew at 20 yd nothing is left of the fletched arrow there
    assert np.abs(left[0].fletched[0]).max() < 1e-9
    assert np.abs(left[2].fletched[0]).max() < 2 * INCH


def test_tests_are_ranked_and_more_shots_tell_more():
    found = next_tests(TUNER, TUNER.turn([seen(OFF, count=3)]), STEP)
    gains = [one.gain for one in found]
    assert gains == sorted(gains, reverse=True)
    assert all(0.0 <= gain <= 1.0 for gain in gains)
    by_name = {one.name: one.gain for one in found}
    few = next(g for n, g in by_name.items() if n.startswith("3 bare and 3 fletched more"))
    many = next(g for n, g in by_name.items() if n.startswith("6 bare and 6 fletched more"))
    assert many > few


def test_an_unknown_side_makes_the_test_move_the_best_test():
    found = next_tests(TUNER, TUNER.turn([seen(OFF, count=20)]), STEP)
    assert found[0].name.startswith("a test move")


@pytest.mark.parametrize(
    ("rounds", "name"),
    [
        ([groups((0.1, 0.0), (0.05, 0.0))], "chance"),
        ([groups((3.0, 1.6), (3.0, 1.0))], "sight"),
        ([groups((3.0, 0.6), (3.0, 0.0))], "sight or cant"),
        ([seen(unknowns(rate_right=0.8), count=8)], "yaw or pitch rate"),
        (
            # the tear says nose right, the bare shaft is far left
            [
                Round(
                    1,
                    BowSetting(),
                    (*groups((-4.0, 0.0), count=12).observations,
                     Tear("bare", 1.83, -0.4 * INCH, 0.0), Tear("bare", 3.0, -0.6 * INCH, 0.0)),
                )
            ],
            "not explained",
        ),
    ],
)  # fmt: skip
def test_the_likeliest_cause(rounds, name):
    found = causes(TUNER, TUNER.turn(rounds))
    assert sum(one.probability for one in found) == pytest.approx(1.0)
    assert found[0].name.startswith(name)
    assert all(one.test for one in found)


def test_before_any_shot_the_causes_are_the_prior():
    found = causes(TUNER, TUNER.turn([]))
    assert sum(one.probability for one in found) == pytest.approx(1.0)
    assert found[0].probability == pytest.approx(0.4)
