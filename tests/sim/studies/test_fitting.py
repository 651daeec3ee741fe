"""Least squares with a prior, against linear algebra and on a curve."""

import math

import numpy as np
import pytest

from vireton.studies.fitting import Gaussian, Linearized, descend, error_inflation

RANDOM = np.random.default_rng(3)
ROWS, SEEN = RANDOM.normal(size=(9, 3)), RANDOM.normal(size=9)


def line(at):
    return SEEN - ROWS @ at, ROWS


def run(system, prior, start, **named):
    found = first = Linearized(start, *system(start), prior)
    for _, found in descend(system, first, 50, **named):  # noqa: B007
        pass
    return found


def test_a_line_is_solved_in_one_step():
    mean, precision = np.array([1.0, -2.0, 0.5]), np.diag([4.0, 1.0, 0.25])
    start = Linearized(mean, *line(mean), Gaussian(mean, precision))
    _, found = next(descend(line, start, 1))
    normal = ROWS.T @ ROWS + precision
    assert found.at == pytest.approx(np.linalg.solve(normal, ROWS.T @ SEEN + precision @ mean))
    assert found.covariance == pytest.approx(np.linalg.inv(normal))
    off = found.at - mean
    assert found.cost == pytest.approx(
        np.sum((SEEN - ROWS @ found.at) ** 2) + off @ precision @ off
    )


def test_a_prior_among_the_residuals_is_the_same_prior():
    mean, sd = np.array([1.0, -2.0, 0.5]), np.array([0.5, 1.0, 2.0])

    def with_prior(at):
        residuals, rows = line(at)
        return np.concatenate([residuals, (mean - at) / sd]), np.vstack([rows, np.diag(1.0 / sd)])

    flat = Gaussian(np.zeros(3), np.zeros((3, 3)))
    one = run(with_prior, flat, np.zeros(3))
    other = run(line, Gaussian(mean, np.diag(1.0 / sd**2)), np.zeros(3))
    assert one.at == pytest.approx(other.at)
    assert one.cost == pytest.approx(other.cost)
    assert one.covariance == pytest.approx(other.covariance)


def bend(at):
    # far from its zero a whole step of this leads ever farther away
    return -np.arctan(at), np.diag(1.0 / (1.0 + at**2))


def test_a_step_that_leads_astray_is_damped():
    flat, start = Gaussian(np.zeros(1), np.zeros((1, 1))), np.array([3.0])
    costs = [after.cost for _, after in descend(bend, Linearized(start, *bend(start), flat), 50)]
    assert costs == sorted(costs, reverse=True)
    assert costs[-1] == pytest.approx(0.0, abs=1e-20)


def test_errors_are_inflated_where_chance_hardly_explains_the_misfit():
    # chi-squared of 4 degrees exceeds 13.277 once in a hundred times (from memory, any table)
    assert error_inflation(13.2, 4)[1] == 1.0
    chance, factor = error_inflation(13.4, 4)
    assert chance == pytest.approx(0.0095, abs=5e-4)
    assert factor == pytest.approx(math.sqrt(13.4 / 4))
    chance, factor = error_inflation(100.0, 0)
    assert math.isnan(chance)
    assert factor == 1.0
