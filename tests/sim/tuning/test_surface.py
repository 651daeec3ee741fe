"""The formulas against the flights they stand for."""

import numpy as np
import pytest
from bench import AT, PAPER, flown, tuner, unknowns

from demo import INCH
from vireton.tuning.predicting import predicted
from vireton.tuning.surface import reach, surfaces, total
from vireton.tuning.unknowns import NAMES, PLACE, SIZE

FLOWN = tuner().flown
BOTH = [("bare", "target", AT), ("fletched", "target", AT), ("bare", "paper", PAPER)]


def test_a_clean_launch_is_flown_as_it_is():
    shooter = FLOWN.shooter
    for kind in ("bare", "fletched"):
        still = unknowns(
            **{
                name: -value
                for name, value in zip(
                    ("rate_right", "rate_up", "angle_right", "angle_up"),
                    shooter.nominal(kind)[:4],
                    strict=True,
                )
            }
        )
        point = flown(still, kind).points[0]
        found = FLOWN.surface(kind, "target", AT)[0]
        assert [found.real, found.imag] == pytest.approx(point, abs=1e-6)


def test_flights_that_it_was_not_fitted_to():
    """Within 0.15 in at 20 yd where bare shafts land half a foot off, within 0.02 in of a tear."""
    random = np.random.default_rng(3)
    planes = FLOWN.planes(BOTH)
    off = []
    for _ in range(24):
        theta = np.zeros(SIZE)
        for name, size in (("rate", 0.7), ("angle", 0.01), ("sight", 0.005)):
            for side in ("right", "up"):
                theta[PLACE[f"{name}_{side}"]] = size * random.standard_normal()
        value, _ = predicted(theta[None], planes, np.zeros((1, 3), complex), np.zeros((1, 3)))
        real = [
            flown(theta, "bare").points[0],
            flown(theta, "fletched").points[0],
            flown(theta, "bare", (0.0, 0.0), (), (PAPER,)).tears[0],
        ]
        off.append([abs(v - complex(*r)) for v, r in zip(value[0], real, strict=True)])
    rms = np.sqrt(np.mean(np.square(off), axis=0)) / INCH
    assert rms[0] < 0.15
    assert rms[1] < 0.05
    assert rms[2] < 0.02


def test_it_turns_with_the_launch():
    """Its coefficients are real but for the spin: an arrow has no up of its own."""
    for kind, plane, far in BOTH:
        b = FLOWN.surface(kind, plane, far)[1:]
        assert np.abs(b.imag).max() < 0.01 * np.abs(b).max()


def test_derivatives_are_those_of_the_values():
    random = np.random.default_rng(5)
    planes = FLOWN.planes(BOTH)
    prior = tuner().prior
    theta = np.array([random.multivariate_normal(c.mean, c.covariance) for c in prior.components])
    settings, shifted = np.full((1, 3), 1e-3 + 2e-3j), np.ones((1, 3))
    _, slope = predicted(theta, planes, settings, shifted)
    for k, name in enumerate(NAMES):
        step = np.zeros(SIZE)
        step[k] = 1e-5 * np.sqrt(prior.components[0].covariance[k, k])
        ahead, behind = (predicted(theta + s, planes, settings, shifted)[0] for s in (step, -step))
        numeric = (ahead - behind) / (2.0 * step[k])
        assert np.abs(numeric - slope[..., k]).max() <= 1e-5 * np.abs(slope[..., k]).max(), name


def test_errors_go_in_pairs():
    rate, angle, direction = total(np.arange(6.0))
    assert (rate, angle, direction) == (1j, 2 + 3j, 4 + 5j)
    assert reach(np.array([1.0 + 0j]), np.array([0j])) == pytest.approx(1.0)
    assert reach(np.array([100.0 + 0j]), np.array([0j])) == pytest.approx(4.0)


def test_more_planes_at_once_are_the_same():
    one = surfaces(FLOWN.shooter, "bare", (AT,))[0]
    three = surfaces(FLOWN.shooter, "bare", (AT, 30 * 0.9144), (PAPER,))
    assert three[0] == pytest.approx(one, rel=1e-6)
    assert three.shape == (3, 6)
