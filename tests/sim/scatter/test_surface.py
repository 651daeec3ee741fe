"""Chebyshev surfaces: exact for polynomials, quick to converge."""

import numpy as np
import pytest

from vireton.scatter.surface import fit_surface

X = np.array([-1.0, -0.37, 0.0, 0.8, 1.0])
Y = np.array([0.2, -1.0, 0.9, 1.0, -0.45])


def test_polynomials_of_lower_degree_come_back_exactly():
    def cubic(x, y):
        return np.array([1.0 + x**3 - 2.0 * x * y**2, y, 7.0])

    found = fit_surface(cubic, 4, 3).at(X, Y)
    assert found == pytest.approx(np.array([cubic(x, y) for x, y in zip(X, Y, strict=True)]))


def test_one_point_is_the_middle_everywhere():
    found = fit_surface(lambda x, y: np.array([np.exp(x) + y]), 1, 2).at(X, Y)
    assert found[:, 0] == pytest.approx(1.0 + Y)


def test_more_points_are_closer():
    def smooth(x, y):
        return np.array([np.sin(x) * np.exp(0.5 * y)])

    truth = np.sin(X) * np.exp(0.5 * Y)
    errors = [abs(fit_surface(smooth, n, n).at(X, Y)[:, 0] - truth).max() for n in (3, 5, 7)]
    assert errors[0] > 30.0 * errors[1] > 900.0 * errors[2] > 0.0
