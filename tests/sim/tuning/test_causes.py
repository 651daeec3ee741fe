"""Launch errors from their causes, and what a tear then says."""

from dataclasses import replace

import numpy as np
import pytest

from demo import INCH, RANGES, mill_rig
from vireton.rig import vary
from vireton.studies.experience import weigh
from vireton.tuning.causes import (
    Causes,
    correlation,
    drawn_errors,
    launch_errors,
    resampled,
    tear_tells,
)

RIG = mill_rig()
WEIGHED = weigh(RIG, RANGES)
BOWS = resampled(WEIGHED.values, WEIGHED.weights, 16)
ERRORS = launch_errors(RIG, BOWS)
NOTHING = Causes(0.0, 1e-9, 0.0, 0.0, 0.0)


def test_rate_and_angle_go_together():
    right, up = correlation(ERRORS)
    assert right[0, 1] > 0.4
    assert up[0, 1] > 0.9
    assert np.linalg.eigvalsh(ERRORS[:, :3, :3]).min() > 0.0


def test_sizes_of_a_bow_set_up_by_eye():
    rate, angle = np.sqrt(ERRORS[:, 0, 0]), np.sqrt(ERRORS[:, 1, 1])
    assert ((rate > 0.3) & (rate < 1.2)).all()
    assert ((angle > 1e-3) & (angle < 5e-3)).all()


def test_effects_add_up_as_drawn_at_random():
    """Straight lines against 240 bows with all causes drawn at once."""
    random = np.random.default_rng(1)
    drawn = np.array(
        [drawn_errors(vary(RIG, values), random) for values in BOWS for _ in range(15)]
    )
    for axis in range(2):
        ours, theirs = ERRORS[axis], np.cov(drawn[:, axis].T)
        assert np.sqrt(np.diag(theirs)) == pytest.approx(np.sqrt(np.diag(ours)), rel=0.2)
        assert correlation(theirs)[0, 1] == pytest.approx(correlation(ours)[0, 1], abs=0.15)


def test_one_cause_alone_ties_everything():
    only = replace(NOTHING, nock_drift=INCH / 16)
    tied = correlation(launch_errors(RIG, BOWS[:1], only)[:, :3, :3])
    assert np.abs(tied) == pytest.approx(np.ones((2, 3, 3)), abs=1e-6)


def test_a_nock_that_is_high_is_a_rest_that_is_low():
    rest = launch_errors(RIG, BOWS[:1], replace(NOTHING, rest=INCH / 16))
    both = launch_errors(RIG, BOWS[:1], replace(NOTHING, rest=INCH / 16, nock_height=INCH / 16))
    assert both[0] == pytest.approx(rest[0])
    assert both[1, :3, :3] == pytest.approx(2.0 * rest[1, :3, :3], rel=0.05)


def test_causes_come_on_top_of_the_bows_own():
    own = replace(RIG.bow, nock_travel_right=(0.0, 1e-3), kick_right=0.1)
    there = replace(RIG, bow=own)
    # sideways the launch is in proportion: what it already has changes nothing
    assert launch_errors(there, [{}])[0] == pytest.approx(launch_errors(RIG, [{}])[0], rel=1e-6)


def test_a_single_bare_tear_says_most_of_the_separation():
    before, after = tear_tells(RIG, ERRORS).T / INCH
    assert (before > 0.8).all()
    assert (after < 0.3 * before).all()
    apart = np.zeros((2, 3, 3))
    apart[:] = np.diag([1.0, 0.006**2, 0.01**2])  # wide and independent
    wide_before, wide_after = tear_tells(RIG, apart).T / INCH
    assert (wide_after > 2.0 * after).all()
    assert (wide_before > before).all()


def test_a_worse_reading_says_less():
    sharp, blunt = (tear_tells(RIG, ERRORS, reading=r * INCH)[:, 1] for r in (1 / 32, 1 / 4))
    assert (sharp < blunt).all()
    assert tear_tells(RIG, ERRORS, reading=100.0)[:, 1] == pytest.approx(
        tear_tells(RIG, ERRORS)[:, 0], rel=1e-4
    )


def test_resampling_follows_the_weights():
    values = [{"x": float(i)} for i in range(4)]
    picked = [one["x"] for one in resampled(values, np.array([0.0, 0.5, 0.25, 0.25]), 8)]
    assert picked == [1.0] * 4 + [2.0] * 2 + [3.0] * 2
