"""What is plausible before any shot."""

from dataclasses import replace

import numpy as np
import pytest
from bench import STEP

from demo import RANGES, mill_rig
from vireton.tuning.prior import GAIN_FLOOR, bow_prior, gains_of
from vireton.tuning.unknowns import NAMES, PER_AXIS
from vireton.uncertain.experience import Experience

PRIOR = bow_prior(mill_rig(), RANGES)
GAIN = NAMES.index("rate_gain_right")


def test_two_components_by_the_trades_experience():
    right, left = PRIOR.components
    assert (right.sideways_sign, left.sideways_sign) == (1, -1)
    assert right.weight + left.weight == pytest.approx(1.0)
    # rest right brings the bare shaft back left in 3 bows of 4, and its nose with it
    assert right.weight == pytest.approx(PRIOR.share_weighed)
    assert left.weight == pytest.approx(0.75, abs=0.03)
    assert PRIOR.share_right != pytest.approx(PRIOR.share_weighed, abs=0.02)


def test_without_experience_the_model_is_never_trusted_with_the_side():
    alone = replace(mill_rig(), experience=Experience(None, None))
    prior = bow_prior(alone, RANGES)
    assert prior.share_weighed == pytest.approx(prior.share_right)
    assert prior.components[0].weight == pytest.approx(0.25 + 0.5 * prior.share_right)


def test_experience_is_never_sure_of_the_side():
    sure = replace(mill_rig(), experience=Experience(0.99))
    assert bow_prior(sure, RANGES).components[1].weight <= 0.9 + 1e-12


def test_the_lobes_are_bows_of_either_sign_whose_group_goes_with_the_rest():
    right, left = PRIOR.components
    assert left.mean[GAIN] < 0.0 < right.mean[GAIN]
    assert left.mean[GAIN + 2] > 0.0
    assert right.mean[GAIN + 2] > 0.0
    k = NAMES.index("rate_gain_up")
    assert left.mean[k] == pytest.approx(right.mean[k], rel=0.1)


def test_a_sign_that_no_bow_has_is_the_other_ones_mirror_image():
    prior = bow_prior(mill_rig(launch_model="rigid"), RANGES)
    right, left = prior.components
    # but for the one draw of 64 on the other side
    assert left.mean[GAIN] == pytest.approx(-right.mean[GAIN], rel=0.06)
    assert left.mean[GAIN + 1] == pytest.approx(-right.mean[GAIN + 1], rel=0.06)
    assert left.mean[GAIN + 2] == pytest.approx(right.mean[GAIN + 2], rel=0.06)


def test_errors_of_one_cause_go_together():
    for lobe in PRIOR.components:
        for axis in range(2):
            at = axis * len(PER_AXIS)
            block = lobe.covariance[at : at + 3, at : at + 3]
            assert block[0, 1] > 0.3 * np.sqrt(block[0, 0] * block[1, 1])
            assert 0.4 < np.sqrt(block[0, 0]) < 1.2
            assert 0.002 < np.sqrt(block[1, 1]) < 0.006


def test_gains_are_those_of_the_launch_model():
    rig = mill_rig()
    moved = rig.launch(rig.fletched, 0.0, STEP).pitch_rate - rig.launch(rig.fletched).pitch_rate
    assert gains_of(rig)[1, 0] * STEP == pytest.approx(moved)
    mean, sd = PRIOR.components[0].mean, np.sqrt(np.diag(PRIOR.components[0].covariance))
    k = NAMES.index("rate_gain_up")
    assert abs(mean[k] - gains_of(rig)[1, 0]) < sd[k]


def test_no_gain_is_known_better_than_by_a_third():
    k = NAMES.index("rate_gain_up")
    for one in PRIOR.components:
        assert np.sqrt(one.covariance[k, k]) >= GAIN_FLOOR * abs(one.mean[k])


def test_covariances_are_proper():
    for one in PRIOR.components:
        assert np.linalg.eigvalsh(one.covariance).min() > 0.0


def test_a_rigid_launch_has_a_prior_too():
    rigid = mill_rig(launch_model="rigid")
    prior = bow_prior(rigid, {k: v for k, v in RANGES.items() if k != "rest_lets_go"})
    assert prior.share_right > 0.95
    assert replace(prior.components[0], weight=1.0).mean[GAIN] > PRIOR.components[0].mean[GAIN]
