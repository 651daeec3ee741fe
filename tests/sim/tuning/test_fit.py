"""The posterior: exact where it can be, against a sampling reference where it cannot."""

import numpy as np
import pytest
from bench import AT, STEP, groups, seen, tuner, unknowns

from demo import INCH
from vireton.tuning.fit import (
    errors_by_theta,
    fit,
    launch_errors,
    predict,
    settings_of,
)
from vireton.tuning.prior import NAMES, SIZE, gains_of
from vireton.tuning.response import Question

TUNER = tuner()
SPREAD = 0.4 * INCH / AT


def test_errors_are_linear_in_the_unknowns():
    random = np.random.default_rng(1)
    theta, rest = random.normal(size=SIZE), np.array([0.001, -0.002])
    assert errors_by_theta(rest) @ theta == pytest.approx(launch_errors(theta, rest))


def test_predictions_and_their_derivative_agree():
    theta = unknowns(rate_right=0.3, rate_up=-0.2, rate_gain_right=0.2, bare_scale=0.1)
    rest = np.array([STEP, 0.0])
    question = Question("bare", (AT,))
    value, rows = predict(TUNER.shooter, question, theta, rest)
    for k in range(SIZE):
        step = 1e-2 if k in (0, 6, 12) else 1e-4
        step = step * 100.0 if "rate_gain" in NAMES[k] else step
        moved = theta.copy()
        moved[k] += step
        more, _ = predict(TUNER.shooter, question, moved, rest)
        slope = (more - value)[0] / step
        assert rows[0, :, k] == pytest.approx(slope, rel=0.08, abs=2e-3 * np.abs(rows).max())


def test_without_rounds_the_posterior_is_the_prior():
    posterior = fit(TUNER.shooter, TUNER.prior, [])
    for lobe, before in zip(posterior.lobes, TUNER.prior.lobes, strict=True):
        assert lobe.weight == pytest.approx(before.weight)
        assert lobe.mean == pytest.approx(before.mean)
        assert lobe.covariance == pytest.approx(before.covariance, rel=1e-6)


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_many_good_rounds_find_the_bow(side):
    own = gains_of(TUNER.shooter.rig)
    truth = unknowns(rate_right=-0.5, rate_up=0.3, sight_right=0.002)
    truth[3:6] = own[0] * (side, side, 1.0)
    truth[9:12] = own[1]
    rests = [(0.0, 0.0), (2 * STEP, 0.0), (-2 * STEP, 0.0), (0.0, 2 * STEP)]
    rounds = [seen(truth, rest, i + 1, count=40) for i, rest in enumerate(rests)]
    posterior = fit(TUNER.shooter, TUNER.prior, settings_of(rounds, SPREAD))
    assert posterior.probability_right == pytest.approx(float(side > 0.0), abs=0.05)
    best = max(posterior.lobes, key=lambda lobe: lobe.weight)
    sd = np.sqrt(np.diag(best.covariance))
    assert (np.abs(best.mean - truth) < 2.5 * sd).all()
    k = NAMES.index("rate_right")
    assert sd[k] < 0.15
    assert best.misfit < best.count


def test_rounds_at_one_setting_leave_the_gain_unknown():
    truth = unknowns(rate_right=0.5, rate_gain_right=0.2)
    posterior = fit(TUNER.shooter, TUNER.prior, settings_of([seen(truth)], SPREAD))
    assert posterior.probability_right == pytest.approx(
        fit(TUNER.shooter, TUNER.prior, []).probability_right, abs=0.02
    )


def log_posterior(theta, lobe, settings):
    off = theta - lobe.mean
    total = off @ np.linalg.solve(lobe.covariance, off)
    for setting in settings:
        for question, values, variance in zip(
            setting.questions, setting.values, setting.variances, strict=True
        ):
            value = plain_prediction(question, theta, setting.rest)
            total += float((((values - value) ** 2) / variance[:, None]).sum())
    return -0.5 * total


def plain_prediction(question, theta, rest):
    """The same prediction without derivatives, for the sampling reference."""
    shooter = TUNER.shooter
    errors = launch_errors(theta, rest)
    flown = shooter.shoot(question, errors)
    points, tears = flown.points, flown.tears
    if question.arrow == "bare":
        straight = np.zeros(6)
        straight[4:] = errors[4:]
        plain = shooter.points(question, straight)
        points = plain + np.exp(theta[-1]) * (points - plain)
    return np.concatenate([points, tears])


@pytest.mark.parametrize(
    ("truth", "count"),
    [
        (unknowns(rate_right=0.2, rate_up=-0.1), 3),
        (unknowns(rate_right=-0.9, rate_up=0.4, angle_right=0.004), 3),
        (unknowns(rate_right=0.6, sight_right=-0.005, bare_scale=0.2), 12),
    ],
)
def test_laplace_against_importance_sampling(truth, count):
    """Means within 0.3 and widths within a quarter of a posterior standard deviation."""
    settings = settings_of([seen(truth, count=count)], SPREAD)
    posterior = fit(TUNER.shooter, TUNER.prior, settings)
    lobe, before = posterior.lobes[0], TUNER.prior.lobes[0]
    random = np.random.default_rng(7)
    degrees, size = 8.0, 1200
    factor = np.linalg.cholesky(lobe.covariance)
    normal = random.standard_normal((size, SIZE))
    wide = np.sqrt(degrees / random.chisquare(degrees, size))[:, None]
    drawn = lobe.mean + normal * wide @ factor.T
    squares = np.sum((normal * wide) ** 2, axis=1)
    proposal = -0.5 * (degrees + SIZE) * np.log1p(squares / degrees)
    logs = np.array([log_posterior(theta, before, settings) for theta in drawn]) - proposal
    weights = np.exp(logs - logs.max())
    weights /= weights.sum()
    assert 1.0 / np.sum(weights**2) > 100.0  # enough draws count
    mean = weights @ drawn
    sd = np.sqrt(weights @ (drawn - mean) ** 2)
    ours = np.sqrt(np.diag(lobe.covariance))
    assert (np.abs(mean - lobe.mean) < 0.3 * ours).all()
    assert sd == pytest.approx(ours, rel=0.25)


def test_samples_follow_the_lobes():
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
    settings = settings_of(rounds, SPREAD)
    assert len(settings) == 2
    assert len(settings[0].values[0]) == 2
    assert settings[0].stretched(2.0).variances[0] == pytest.approx(4.0 * settings[0].variances[0])
