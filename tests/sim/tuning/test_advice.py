"""The next move: a decision under cost."""

from dataclasses import replace

import numpy as np
import pytest
from bench import AT, STEP, groups, ring, tear, tuner, unknowns

from demo import CONDITIONS, INCH, MAPLE, MILL, RANGES, SIGHT
from vireton.bow.setting import BowSetting
from vireton.rig import assemble_rig
from vireton.tuning.advice import NextShots, advise, after_shots, loss_of
from vireton.tuning.costs import Costs
from vireton.tuning.evidence import rest_of
from vireton.tuning.loop import Tuner
from vireton.tuning.moves import TRAVEL, moves_within
from vireton.tuning.observations import Tear, group_of_shots
from vireton.tuning.rounds import Round
from vireton.tuning.stories import Story

TUNER = tuner()
CLEAN = TUNER.turn([]).aimed() / INCH


def steps(advice):
    return round(advice.move.rest_right / STEP), round(advice.move.rest_up / STEP)


def torn(right, up, number=1, rest=(0.0, 0.0)):
    return Round(number, BowSetting(*rest), (Tear("bare", 1.8288, right * INCH, up * INCH),))


def decided(turn, **changes):
    """The advice for a turn, with something else."""
    usual = {"step": STEP, "stands": rest_of(turn.setting), "spread": turn.spread.at(AT)}
    return advise(turn.belief, **(usual | changes))


@pytest.mark.parametrize(("up", "way"), [(0.5, 1), (-0.5, -1)])
def test_one_bare_tear_gives_a_move_by_the_trades_rule(up, way):
    """Tail-high: rest up (common practice, no source)."""
    advice = TUNER.turn([torn(0.0, up)]).advice
    assert advice.verdict == "move"
    assert np.sign(steps(advice)[1]) == way
    assert advice.helps > 0.75


@pytest.mark.parametrize("side", [1, -1])
def test_the_first_sideways_move_is_the_trades_own(side):
    """Tail-left: rest right (common practice, no source)."""
    turn = TUNER.turn([torn(-0.6 * side, 0.0)])
    assert turn.advice.verdict == "move"
    assert np.sign(steps(turn.advice)[0]) == side
    assert 0.1 < turn.posterior.probability_right < 0.45
    assert turn.advice.helps < 0.95


def test_both_axes_move_at_once():
    advice = TUNER.turn([torn(-0.6, 0.6)]).advice
    assert all(steps(advice))


def test_near_a_clean_launch_it_stops():
    at_aim = groups((CLEAN[0], CLEAN[1]), count=12, sd=0.3)
    advice = TUNER.turn([Round(1, BowSetting(), (*at_aim.observations, *torn(0, 0).observations))])
    assert advice.advice.verdict == "stop"
    assert advice.within(0.75 * INCH) > 0.8


def test_the_aim_is_a_clean_launch_or_together():
    """An untaped bare shaft belongs a little high: together, the same log asks to go on."""
    at_aim = groups((0.0, CLEAN[1] + 1.2), count=12, sd=0.3)
    clean = TUNER.turn([at_aim]).advice
    together = replace(TUNER, aim="together").turn([at_aim]).advice
    assert CLEAN[1] > 0.3
    assert np.mean(np.abs(together.now)) > np.mean(np.abs(clean.now)) + 0.2 * INCH


def test_the_bows_own_answer_overrides_the_trades():
    """Rest right took the bare shaft farther right by an inch and a half: go the other way."""
    before = groups((2.0, CLEAN[1]), count=8)
    after = groups((3.5, CLEAN[1]), rest=(2 * STEP, 0.0), number=2, count=8)
    turn = TUNER.turn([before, after])
    assert turn.posterior.probability_right > 0.8
    assert turn.advice.verdict == "move"
    assert steps(turn.advice)[0] < -2


def test_dear_arrows_end_it_sooner_and_dear_misses_later():
    turn = TUNER.turn([torn(-0.1, 0.1), torn(0.0, 0.1, 2, (STEP, STEP))])
    assert decided(turn, costs=Costs(inch_left=1.0)).verdict == "stop"
    assert decided(turn, costs=Costs(inch_left=2000.0)).verdict != "stop"


def test_at_the_end_of_the_rest_the_nock_is_advised():
    far = TUNER.turn([torn(0.0, 1.0, rest=(0.0, 0.25 * INCH))]).advice
    assert far.move.rest_up <= 0.0
    assert far.move.nock_height < 0.0


def test_a_likely_story_is_looked_into_first():
    turn = TUNER.turn([torn(0.0, 0.5)])
    for story, at, verdict in (
        (Story("reversed", 2), 0.5, "look"),
        (Story("reversed", 2), 0.1, turn.advice.verdict),
        (Story("contact"), 0.45, "look"),
        (Story("contact"), 0.2, turn.advice.verdict),
        (Story("changed", 2), 0.9, turn.advice.verdict),
    ):
        assert decided(turn, story=(story, at)).verdict == verdict


def test_a_move_that_seldom_helps_is_not_advised_though_it_costs_least():
    # a small chance of a large gain: the cheapest of all plans would help in 4 cases of 10
    advice = TUNER.turn([tear(unknowns(rate_right=-0.32, rate_up=0.15))]).advice
    assert advice.verdict == "move"
    assert advice.helps >= 0.45


def test_done_is_half_an_inch_at_twenty_yards():
    assert TUNER.tolerance == pytest.approx(0.5 * INCH)


def test_no_move_is_sure_while_the_rest_may_not_answer():
    bow = unknowns(rate_right=0.8, rate_up=-0.9)
    still = [torn_of(bow, n, r, u) for n, (r, u) in enumerate([(0, 0), (0, 3), (2, 5)], start=1)]
    turn = TUNER.turn(still)
    touching = turn.posterior.stories()[Story("contact")]
    assert touching > 0.2
    moved = decided(turn, story=None)
    assert moved.story_probability == 0.0
    assert moved.helps <= 1.0 - touching + 0.02


def torn_of(bow, number, right, up):
    """A tear that the rest had no part in."""
    one = tear(bow, (0.0, 0.0), number)
    return Round(number, BowSetting(right * STEP, up * STEP), one.observations)


def test_more_arrows_leave_less():
    """Looking at more never costs more in what is left, and less than nothing is left."""
    turn = TUNER.turn([torn(-0.3, 0.2)])
    moves = moves_within(STEP, 0.125 * INCH, 0j, TRAVEL)
    loss = loss_of(Costs(), turn.belief.left("clean", moves.by, AT))
    blind = float(loss.mean(axis=0).min())
    values = [
        after_shots(turn.belief, NextShots("pair", count, AT), 0j, loss, 0.7 * INCH)
        for count in (1, 4, 16)
    ]
    assert blind > values[0] > values[1] > values[2] > 0.0


def test_without_targets_only_paper_is_asked_for():
    turn = TUNER.turn([torn(-0.05, 0.05)])
    assert decided(turn, paper_only=True).test.kind == "tear"


def mirrored(one):
    """The same round seen in a mirror."""
    observations = []
    for o in one.observations:
        if isinstance(o, Tear):
            observations.append(replace(o, right=-o.right))
        else:
            shots = tuple((-x, y) for x, y in o.shots)
            observations.append(group_of_shots(o.arrow, o.distance, shots))
    setting = BowSetting(-one.setting.rest_right, one.setting.rest_up)
    return Round(one.number, setting, tuple(observations))


def test_a_mirrored_log_gets_the_mirrored_advice():
    left_turning = replace(MAPLE, vanes=replace(MAPLE.vanes, turn="left"))
    other = Tuner.of(
        assemble_rig(replace(MILL, hand="left"), left_turning, CONDITIONS, SIGHT), RANGES, STEP
    )
    bow = unknowns(rate_right=-0.6, rate_up=0.4, rate_gain_right=-0.2, rate_gain_up=0.15)
    rounds = [tear(bow), tear(bow, (2 * STEP, 0.0), 2)]
    for some in (rounds[:1], rounds):
        one, twin = TUNER.turn(some), other.turn([mirrored(r) for r in some])
        assert twin.advice.verdict == one.advice.verdict
        assert steps(twin.advice) == (-steps(one.advice)[0], steps(one.advice)[1])
        assert twin.advice.helps == pytest.approx(one.advice.helps, abs=0.03)
        flip = np.array([-1.0, 1.0])
        assert twin.separation()[0] == pytest.approx(one.separation()[0] * flip, abs=0.05 * INCH)


def test_what_does_not_fit_is_believed_less():
    good = groups((0.0, 2.0), count=12)
    odd = groups((0.0, -4.0), count=12, number=2)
    odder = groups((3.0, 5.0), count=12, number=3)
    assert TUNER.turn([good]).misfit == 1.0
    assert TUNER.turn([good, odd, odder]).misfit > 1.5


def test_ring_has_the_spread_it_says():
    shots = np.array(ring((0.1, 0.2), 8, 0.3))
    assert shots.mean(axis=0) == pytest.approx([0.1, 0.2])
    assert shots.std(axis=0, ddof=1) == pytest.approx([0.3, 0.3])


def test_what_an_inch_left_costs():
    left = np.array([0.0, 0.5, 1.0j, 9.0]) * INCH
    assert loss_of(Costs(inch_left=100.0), left) == pytest.approx([0.0, 25.0, 100.0, 400.0])
    # twice as far is near enough: an inch then costs what half an inch did
    wider = Costs(inch_left=100.0).near(1.0 * INCH)
    assert loss_of(wider, left) == pytest.approx([0.0, 6.25, 25.0, 400.0])
