"""What is plausible before any shot."""

from dataclasses import replace

import numpy as np
import pytest
from bench import STEP, tuner

from demo import RANGES, mill_rig
from vireton.tuning.prior import NAMES, PER_AXIS, bow_prior, gains_of

PRIOR = tuner().prior
GAIN = NAMES.index("rate_gain_right")


def test_two_components_whose_weights_never_trust_the_model_with_the_side():
    right, left = PRIOR.components
    assert (right.sideways_sign, left.sideways_sign) == (1, -1)
    assert right.weight + left.weight == pytest.approx(1.0)
    assert right.weight == pytest.approx(0.25 + 0.5 * PRIOR.share_right)
    assert 0.25 <= left.weight <= 0.75


def test_the_components_mirror_the_nose_and_not_the_group():
    right, left = PRIOR.components
    assert left.mean[GAIN] == pytest.approx(-right.mean[GAIN])
    assert left.mean[GAIN + 1] == pytest.approx(-right.mean[GAIN + 1])
    assert left.mean[GAIN + 2] == right.mean[GAIN + 2] > 0.0
    up = slice(len(PER_AXIS), 2 * len(PER_AXIS))
    assert np.array_equal(left.mean[up], right.mean[up])


def test_gains_are_those_of_the_launch_model():
    rig = mill_rig()
    moved = rig.launch(rig.fletched, 0.0, STEP).pitch_rate - rig.launch(rig.fletched).pitch_rate
    assert gains_of(rig)[1, 0] * STEP == pytest.approx(moved)
    mean, sd = PRIOR.components[0].mean, np.sqrt(np.diag(PRIOR.components[0].covariance))
    k = NAMES.index("rate_gain_up")
    assert abs(mean[k] - gains_of(rig)[1, 0]) < sd[k]


def test_covariances_are_proper():
    for one in PRIOR.components:
        assert np.linalg.eigvalsh(one.covariance).min() > 0.0


def test_a_rigid_launch_has_a_prior_too():
    rigid = mill_rig(launch_model="rigid")
    prior = bow_prior(rigid, {k: v for k, v in RANGES.items() if k != "rest_lets_go"})
    assert prior.share_right == 1.0
    assert replace(prior.components[0], weight=1.0).mean[GAIN] > PRIOR.components[0].mean[GAIN]
