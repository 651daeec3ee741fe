"""The weighing against the same models written out in full."""

from itertools import product

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from vireton.tuning.observations import WalkbackPoint
from vireton.tuning.spread import Spread
from vireton.tuning.walkback_fit import alone, draw, fits, free
from vireton.tuning.walkback_lines import CAUSES, Lines

FAR = np.array([10.0, 20.0, 40.0, 60.0])
SPREAD = Spread(0.001, 0.0008, 0.0013, 30.0)


def invented(at_work=(0.2, 0.3, 0.1, 0.5), mean=0.0):
    """Lines of no bow: four causes, the last with two modes."""
    rows = np.append(FAR, 20.0)
    modes = np.column_stack(
        [
            0.003 * rows,
            0.001 * rows - 0.004,
            3e-5 * rows**2,
            0.002 * rows,
            0.02 * np.sin(rows / 9.0),
        ]
    )
    modes[-1] = [0.0, 0.001, 0.004, 0.05, -0.02]
    units = {name: modes[:, k] for k, name in enumerate(CAUSES)}
    return Lines(FAR, units, modes, np.array([0, 1, 2, 3, 3]), mean * rows, np.array(at_work))


POINTS = [
    WalkbackPoint(10.0, 0.01),
    WalkbackPoint(20.0, 0.05, 3),
    WalkbackPoint(40.0, 0.11, 2, level=True),
    WalkbackPoint(60.0, 0.20, 1, calm=True),
]


def test_weights_are_those_of_the_models_written_out():
    lines = invented(mean=0.001)
    found = fits(lines, POINTS, SPREAD)
    assert len(found) == 16 * 5
    assert sum(one.weight for one in found) == pytest.approx(1.0)
    levels = sorted({one.level for one in found})
    acting = np.array([[1, 1, 1, 1], [1, 1, 1, 1], [1, 0, 1, 1], [1, 1, 0, 1]], float)
    seen = np.array([one.right for one in POINTS])
    expected = {}
    for on in product((0.0, 1.0), repeat=4):
        prior = np.prod([p if o else 1 - p for p, o in zip(lines.at_work, on, strict=True)])
        columns = lines.modes[:4] * (acting * np.array(on))[:, lines.owner]
        for level in levels:
            noise = np.diag([one.variance(level) for one in POINTS])
            mean = lines.mean[:4] * on[-1]
            density = multivariate_normal(mean, noise + columns @ columns.T).pdf(seen)
            expected[on, level] = prior * density
    total = sum(expected.values())
    for one in found:
        key = (tuple(float(x) for x in one.at_work), one.level)
        assert one.weight == pytest.approx(expected[key] / total, rel=1e-9)


def test_levels_stand_for_the_doubt_about_the_scatter():
    levels = sorted({one.level for one in fits(invented(), POINTS, SPREAD)})
    assert levels[2] == pytest.approx(SPREAD.sd, rel=0.02)
    sure = Spread(0.001, 0.00099, 0.00101, 1e5)
    assert np.ptp([one.level for one in fits(invented(), POINTS, sure)]) < 1e-5


def test_a_cause_that_was_ruled_out_at_every_point_is_not_at_work():
    level = [WalkbackPoint(far, 0.0, level=True) for far in FAR]
    found = fits(invented(), level, SPREAD)
    assert len(found) == 8 * 5
    assert not any(one.at_work[1] for one in found)
    mean, sd = alone(invented(), found, "cant")
    assert not mean.any()
    assert not sd.any()
    assert all(one.at_work.sum() == 3 for one in free(found))


def test_draws_have_the_mean_and_the_spread_of_the_models():
    lines = invented()
    found = fits(lines, POINTS, SPREAD)
    drawn = draw(lines, found)
    assert drawn.weights.sum() == pytest.approx(1.0)
    told = [one.line(lines) for one in found]
    weights = np.array([one.weight for one in found])
    means = np.array([mean for mean, _ in told])
    mean = weights @ means
    variance = weights @ (np.array([v for _, v in told]) + (means - mean) ** 2)
    error = np.sqrt(variance)
    np.testing.assert_allclose(drawn.weights @ drawn.lines, mean, atol=0.05 * error.max())
    spread = np.sqrt(drawn.weights @ (drawn.lines - mean) ** 2)
    np.testing.assert_allclose(spread, error, rtol=0.1)


def test_alone_is_the_least_squares_of_one_cause():
    lines = invented()
    sure = Spread(0.001, 0.00099, 0.00101, 1e6)
    found = fits(lines, POINTS, sure)
    noise = np.array([one.variance(0.001) for one in POINTS])
    seen = np.array([one.right for one in POINTS])
    column = lines.modes[:4, 0]
    precision = 1.0 + column @ (column / noise)
    mean, sd = alone(lines, found, "windage")
    assert mean[3] == pytest.approx(column[3] * (column @ (seen / noise)) / precision, rel=1e-4)
    assert sd[3] == pytest.approx(column[3] / np.sqrt(precision), rel=1e-3)


def test_free_models_add_up():
    own = free(fits(invented(), POINTS, SPREAD))
    assert len(own) == 5
    assert sum(one.weight for one in own) == pytest.approx(1.0)
