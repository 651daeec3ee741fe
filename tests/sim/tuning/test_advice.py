"""The next move: the issue of the whole program."""

from dataclasses import replace

import numpy as np
import pytest
from bench import AT, STEP, groups, ring, seen, tuner, unknowns

from demo import CONDITIONS, INCH, MAPLE, MILL, RANGES, SIGHT
from vireton.bow.setting import BowSetting
from vireton.rig import assemble_rig
from vireton.tuning.loop import Tuner
from vireton.tuning.observations import Group, Tear, group_of_shots
from vireton.tuning.rounds import Round

TUNER = tuner()


def steps(advice):
    return round(advice.move.rest_right / STEP), round(advice.move.rest_up / STEP)


def test_too_few_shots_cannot_tell_and_many_can():
    # 1.5 in of scatter and 2.0 in of offset, upwards where the sign is sure
    few = TUNER.turn([groups((0.0, 2.0), count=3, sd=1.5)]).advice
    assert few.verdict == "shoot_more"
    assert few.shots_needed > 3
    many = TUNER.turn([groups((0.0, 2.0), count=12, sd=1.5)]).advice
    assert many.verdict == "move"
    assert steps(many)[0] == 0
    assert steps(many)[1] < 0


def test_the_bows_own_answer_overrides_the_model():
    """Bare 3.0 in left; rest 1/32 right; now 4.1 in left: reverse, to 3/32 left of the start."""
    before = groups((-3.0, 0.0), (0.0, 0.0))
    after = groups((-2.6, 0.0), (1.5, 0.0), rest=(STEP, 0.0), number=2)
    turn = TUNER.turn([before, after])
    assert turn.posterior.probability_right < 0.2
    right, up = steps(turn.advice)
    assert turn.advice.verdict == "move"
    assert up == 0
    assert 1 + right in {-2, -3, -4}  # counted from the first setting
    assert not turn.advice.is_test
    assert turn.advice.probability_better > 0.8


def test_the_first_sideways_move_is_a_short_test():
    advice = TUNER.turn([groups((4.0, 0.0))]).advice
    assert advice.verdict == "move"
    assert advice.is_test
    assert 1 <= abs(steps(advice)[0]) <= 2
    assert advice.probability_better < 0.85


def test_up_needs_no_test():
    advice = TUNER.turn([groups((0.0, 3.0))]).advice
    assert advice.verdict == "move"
    assert not advice.is_test
    assert steps(advice)[1] < 0
    assert abs(advice.predicted[0][1]) < abs(advice.now[0][1])


def test_inside_the_tolerance_it_stops():
    advice = TUNER.turn([groups((0.1, 0.05), count=12)]).advice
    assert advice.verdict == "stop"
    assert advice.move == BowSetting()
    assert advice.probability_inside > 0.5


def test_a_clean_tear_alone_never_stops():
    turn = TUNER.turn([Round(1, BowSetting(), (Tear("bare", 1.83, 0.0, 0.0),))])
    assert turn.advice.verdict == "shoot_more"
    assert turn.advice.shots_needed == 3
    assert TUNER.turn([]).advice.verdict == "shoot_more"


def test_a_wide_shooter_stops_sooner():
    tight = TUNER.turn([groups((0.0, 0.8), count=12, sd=0.4)]).advice
    wide = TUNER.turn([groups((0.0, 0.8), count=40, sd=2.5)]).advice
    assert tight.verdict == "move"
    assert wide.verdict == "stop"
    assert wide.tolerance > tight.tolerance


def mirrored(one):
    """The same round seen in a mirror."""
    observations = []
    for o in one.observations:
        if isinstance(o, Tear):
            observations.append(replace(o, right=-o.right))
        else:
            shots = tuple((-x, y) for x, y in o.shots)
            observations.append(group_of_shots(o.arrow, o.distance, shots))
    return Round(
        one.number, BowSetting(-one.setting.rest_right, one.setting.rest_up), tuple(observations)
    )


def test_a_mirrored_log_gets_exactly_the_mirrored_advice():
    left_turning = replace(MAPLE, vanes=replace(MAPLE.vanes, turn="left"))
    other = Tuner.of(
        assemble_rig(replace(MILL, hand="left"), left_turning, CONDITIONS, SIGHT), RANGES, STEP
    )
    truth = unknowns(rate_right=-0.6, rate_up=0.2, rate_gain_right=-0.2, rate_gain_up=0.15)
    rounds = [seen(truth), seen(truth, (2 * STEP, 0.0), 2)]
    for some in (rounds[:1], rounds):
        one = TUNER.turn(some).advice
        twin = other.turn([mirrored(r) for r in some]).advice
        assert twin.verdict == one.verdict
        assert steps(twin) == (-steps(one)[0], steps(one)[1])
        assert twin.probability_better == pytest.approx(one.probability_better, abs=1e-3)
        flip = np.array([-1.0, 1.0])
        assert twin.now[0] == pytest.approx(one.now[0] * flip, abs=1e-5)
        assert twin.predicted[1][1] == pytest.approx(one.predicted[1][1], abs=1e-5)
        assert twin.predicted[1][0] == pytest.approx(-one.predicted[2][0], abs=1e-5)


def test_what_does_not_fit_is_believed_less():
    good = groups((0.0, 2.0), count=12)
    odd = groups((0.0, -3.0), count=12, number=2)
    turn = TUNER.turn([good, odd])
    assert turn.error_inflation > 1.5
    assert TUNER.turn([good]).error_inflation == 1.0
    assert turn.advice.verdict == "shoot_more"


def test_a_synthetic_bow_is_tuned_to_the_end():
    truth = unknowns(
        rate_right=0.5,
        rate_up=-0.4,
        rate_gain_right=-0.15,
        rate_gain_up=0.17,
        direction_gain_right=0.0014,
        direction_gain_up=0.0012,
    )
    rest = np.zeros(2)
    rounds = []
    for number in range(1, 10):
        rounds.append(seen(truth, tuple(rest), number, count=4, paper=number == 1))
        advice = TUNER.turn(rounds).advice
        if advice.verdict == "stop":
            break
        rest = rest + np.array(advice.move.rest)
    assert advice.verdict == "stop"
    last = {g.arrow: np.array(g.center) for g in rounds[-1].seen(Group)}
    assert np.linalg.norm(last["bare"] - last["fletched"]) < 0.75 * INCH


def test_ring_has_the_spread_it_says():
    shots = np.array(ring((1.0, 2.0), 6, 0.5))
    assert shots.mean(axis=0) == pytest.approx([1.0, 2.0])
    assert shots.std(axis=0, ddof=1) == pytest.approx([0.5, 0.5])


def test_the_side_is_open_wherever_the_first_setting_was():
    """One setting says nothing of the rest's answer, be it the first of the log or far from it."""
    here = TUNER.turn([groups((-3.0, 0.0))])
    for steps_off in (4, 16, -8):
        there = TUNER.turn([groups((-3.0, 0.0), rest=(steps_off * STEP, 0.0))])
        assert there.posterior.probability_right == pytest.approx(
            here.posterior.probability_right, abs=1e-6
        )
        assert there.advice.is_test
        assert steps(there.advice) == steps(here.advice)


def test_a_sight_set_anew_is_not_the_rests_answer():
    """The group brought back on the spot after a move: only what is between the arrows counts."""
    before = groups((3.0, 0.0), (0.0, 0.0))
    after = groups((3.0, 0.0), (0.0, 0.0), rest=(2 * STEP, 0.0), number=2)
    moved = groups((0.0, 0.0), (-3.0, 0.0), rest=(2 * STEP, 0.0), number=2)
    one, other = TUNER.turn([before, after]), TUNER.turn([before, moved])
    assert one.posterior.probability_right == pytest.approx(
        other.posterior.probability_right, abs=0.1
    )
    assert one.advice.now[0][0] == pytest.approx(other.advice.now[0][0], abs=0.3 * INCH)
    assert one.error_inflation == 1.0


def test_another_pin_at_another_distance_is_no_error():
    truth = unknowns(rate_right=0.1)
    near = seen(truth, count=6)
    shots = [
        group_of_shots(kind, 1.5 * AT, ring(np.array(center) * INCH, 6, 0.5 * INCH))
        for kind, center in (("fletched", (0.0, 0.0)), ("bare", (0.6, 1.4)))
    ]
    both = Round(1, BowSetting(), (*near.observations, *shots))
    assert TUNER.turn([both]).error_inflation == 1.0


@pytest.mark.parametrize("count", [1, 2])
def test_fewer_than_three_of_each_ask_for_three(count):
    shots = [
        group_of_shots(kind, AT, ((0.0, 0.0),) * count if count == 1 else ring((0.0, 0.0), 2, 0.01))
        for kind in ("fletched", "bare")
    ]
    advice = TUNER.turn([Round(1, BowSetting(), tuple(shots))]).advice
    assert advice.verdict == "shoot_more"
    assert advice.shots_needed == 3


def test_more_shots_are_asked_for_than_were_shot():
    asked = []
    for count in (3, 7, 12):
        advice = TUNER.turn([groups((0.0, 1.3), count=count, sd=1.5)]).advice
        if advice.verdict == "shoot_more":
            asked.append(count)
            assert count < advice.shots_needed <= 24
    assert asked


def test_a_rest_of_coarse_steps_stops_where_none_helps():
    coarse = Tuner(TUNER.shooter, TUNER.prior, 0.25 * INCH)
    advice = coarse.turn([groups((0.0, 2.0), count=24)]).advice
    assert advice.verdict == "stop"
    assert advice.probability_inside < 0.5


def test_a_rest_of_fine_clicks_gets_a_test_that_can_be_seen():
    fine = Tuner(TUNER.shooter, TUNER.prior, 0.002 * INCH)
    advice = fine.turn([groups((4.0, 0.0), count=12)]).advice
    assert advice.is_test
    assert abs(advice.move.rest_right) > 0.02 * INCH
