"""The posterior: exact where it can be, against a sampling reference where it cannot."""

import numpy as np
import pytest
from bench import AT, STEP, groups, seen, tuner, unknowns

from demo import INCH
from vireton.bow.setting import BowSetting
from vireton.tuning.fit import (
    data_by_setting,
    errors_by_theta,
    fit,
    launch_errors,
    predict,
)
from vireton.tuning.prior import NAMES, SIZE, gains_of
from vireton.tuning.response import Planes

TUNER = tuner()
SPREAD = 0.4 * INCH / AT


def test_errors_are_linear_in_the_unknowns():
    random = np.random.default_rng(1)
    theta, setting = random.normal(size=SIZE), BowSetting(0.001, -0.002)
    assert errors_by_theta(setting) @ theta == pytest.approx(launch_errors(theta, setting))


def test_predictions_and_their_derivative_agree():
    theta = unknowns(rate_right=0.3, rate_up=-0.2, rate_gain_right=0.2, bare_scale=0.1)
    setting = BowSetting(STEP)
    planes = Planes("bare", (AT,))
    value, rows = predict(TUNER.shooter, planes, theta, setting)
    for k in range(SIZE):
        step = 1e-2 if k in (0, 6, 12) else 1e-4
        step = step * 100.0 if "rate_gain" in NAMES[k] else step
        moved = theta.copy()
        moved[k] += step
        more, _ = predict(TUNER.shooter, planes, moved, setting)
        slope = (more - value)[0] / step
        assert rows[0, :, k] == pytest.approx(slope, rel=0.08, abs=2e-3 * np.abs(rows).max())


def test_without_rounds_the_posterior_is_the_prior():
    posterior = fit(TUNER.shooter, TUNER.prior, [])
    for after, before in zip(posterior.components, TUNER.prior.components, strict=True):
        assert after.weight == pytest.approx(before.weight)
        assert after.mean == pytest.approx(before.mean)
        assert after.covariance == pytest.approx(before.covariance, rel=1e-6)


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_many_good_rounds_find_the_bow(side):
    own = gains_of(TUNER.shooter.rig)
    truth = unknowns(rate_right=-0.5, rate_up=0.3, sight_right=0.002)
    truth[3:6] = own[0] * (side, side, 1.0)
    truth[9:12] = own[1]
    rests = [(0.0, 0.0), (2 * STEP, 0.0), (-2 * STEP, 0.0), (0.0, 2 * STEP)]
    rounds = [seen(truth, rest, i + 1, count=40) for i, rest in enumerate(rests)]
    posterior = fit(TUNER.shooter, TUNER.prior, data_by_setting(rounds, SPREAD))
    assert posterior.probability_right == pytest.approx(float(side > 0.0), abs=0.05)
    best = max(posterior.components, key=lambda one: one.weight)
    sd = np.sqrt(np.diag(best.covariance))
    assert (np.abs(best.mean - truth) < 2.5 * sd).all()
    k = NAMES.index("rate_right")
    assert sd[k] < 0.15
    assert best.misfit < best.count


def test_rounds_at_one_setting_leave_the_gain_unknown():
    truth = unknowns(rate_right=0.5, rate_gain_right=0.2)
    posterior = fit(TUNER.shooter, TUNER.prior, data_by_setting([seen(truth)], SPREAD))
    assert posterior.probability_right == pytest.approx(
        fit(TUNER.shooter, TUNER.prior, []).probability_right, abs=0.02
    )


def log_posterior(theta, prior, data):
    off = theta - prior.mean
    total = off @ np.linalg.solve(prior.covariance, off)
    for one in data:
        for planes, values, variance in zip(one.planes, one.values, one.variances, strict=True):
            value = plain_prediction(planes, theta, one.setting)
            total += float((((values - value) ** 2) / variance[:, None]).sum())
    return -0.5 * total


def plain_prediction(planes, theta, setting):
    """The same prediction without derivatives, for the sampling reference."""
    shooter = TUNER.shooter
    errors = launch_errors(theta, setting)
    flown = shooter.shoot(planes, errors)
    points, tears = flown.points, flown.tears
    if planes.arrow == "bare":
        straight = np.zeros(6)
        straight[4:] = errors[4:]
        plain = shooter.points(planes, straight)
        points = plain + np.exp(theta[-1]) * (points - plain)
    return np.concatenate([points, tears])


@pytest.mark.parametrize(
    ("truth", "count"),
    [
        (unknowns(rate_right=-0.9, rate_up=0.4, angle_right=0.004), 3),
        (unknowns(rate_right=0.6, sight_right=-0.005, bare_scale=0.2), 12),
    ],
)
def test_laplace_against_importance_sampling(truth, count):
    """Means within 0.3 and widths within a quarter of a posterior standard deviation."""
    data = data_by_setting([seen(truth, count=count)], SPREAD)
    posterior = fit(TUNER.shooter, TUNER.prior, data)
    ours, before = posterior.components[0], TUNER.prior.components[0]
    random = np.random.default_rng(7)
    degrees, size = 8.0, 1200
    factor = np.linalg.cholesky(ours.covariance)
    normal = random.standard_normal((size, SIZE))
    wide = np.sqrt(degrees / random.chisquare(degrees, size))[:, None]
    drawn = ours.mean + normal * wide @ factor.T
    squares = np.sum((normal * wide) ** 2, axis=1)
    proposal = -0.5 * (degrees + SIZE) * np.log1p(squares / degrees)
    logs = np.array([log_posterior(theta, before, data) for theta in drawn]) - proposal
    weights = np.exp(logs - logs.max())
    weights /= weights.sum()
    assert 1.0 / np.sum(weights**2) > 100.0  # enough draws count
    mean = weights @ drawn
    sd = np.sqrt(weights @ (drawn - mean) ** 2)
    wide = np.sqrt(np.diag(ours.covariance))
    assert (np.abs(mean - ours.mean) < 0.3 * wide).all()
    assert sd == pytest.approx(wide, rel=0.25)


def test_samples_follow_the_components():
    posterior = fit(TUNER.shooter, TUNER.prior, [])
    samples = posterior.samples(4000)
    share = np.mean(samples[:, NAMES.index("rate_gain_right")] > 0.0)
    assert share == pytest.approx(posterior.probability_right, abs=0.03)
    assert np.array_equal(samples, posterior.samples(4000))


def test_settings_gather_rounds_at_one_place():
    rounds = [
        groups((1.0, 0.0)),
        groups((2.0, 0.0), number=2),
        groups((0.0, 0.0), rest=(STEP, 0.0)),
    ]
    data = data_by_setting(rounds, SPREAD)
    assert [one.setting for one in data] == [BowSetting(), BowSetting(STEP)]
    assert len(data[0].values[0]) == 2
    assert data[0].inflated(2.0).variances[0] == pytest.approx(4.0 * data[0].variances[0])


def test_a_moved_nocking_point_is_not_taken_for_nothing():
    with pytest.raises(ValueError, match="not of the nocking point"):
        launch_errors(np.zeros(SIZE), BowSetting(nock_height=0.001))
