"""The coefficients of the Runge–Kutta pair: a second copy, the order conditions, the order."""

from collections.abc import Callable

import numpy as np
import numpy.typing as npt
import pytest
from scipy.integrate._ivp import dop853_coefficients as copy

from vireton.kernel.dop853 import ERROR_FIFTH, ERROR_THIRD, INTERPOLANT, STAGES

FloatArray = npt.NDArray[np.float64]
Slope = Callable[[FloatArray], FloatArray]

WEIGHTS = STAGES[12, :12]
A = STAGES[:12, :12]
C = STAGES.sum(axis=1)


def test_every_number_agrees_with_scipys_copy() -> None:
    """scipy.integrate's table of DOP853, typed by other people (Mayorov) from Hairer's code."""
    np.testing.assert_array_equal(STAGES, copy.A)
    np.testing.assert_array_equal(WEIGHTS, copy.B)
    np.testing.assert_array_equal(ERROR_FIFTH, copy.E5[:12])
    np.testing.assert_array_equal(ERROR_THIRD, copy.E3[:12])
    np.testing.assert_array_equal(INTERPOLANT, copy.D)
    assert copy.E5[12] == copy.E3[12] == 0.0  # so that twelve error weights are all of them
    np.testing.assert_allclose(C, copy.C, atol=2e-14)  # our right-hand side needs no times


def test_stages_are_explicit() -> None:
    assert not np.triu(STAGES).any()


def _conditions(weights: FloatArray) -> dict[int, list[float]]:
    """Residuals of the order conditions, by order, for rooted trees up to five.

    Hairer, Nørsett, Wanner 1993, *Solving Ordinary Differential Equations I*, Table II.2.1 (from
    memory; the number of conditions per order, 1, 1, 2, 4, 9, is the number of rooted trees).
    """
    c = C[:12]
    ac, ac2, ac3 = A @ c, A @ c**2, A @ c**3
    aac, aac2, acac = A @ ac, A @ ac2, A @ (c * ac)
    found = {
        1: [(np.ones(12), 1)],
        2: [(c, 2)],
        3: [(c**2, 3), (ac, 6)],
        4: [(c**3, 4), (c * ac, 8), (ac2, 12), (aac, 24)],
        5: [
            (c**4, 5),
            (c**2 * ac, 10),
            (c * ac2, 15),
            (c * aac, 30),
            (ac**2, 20),
            (ac3, 20),
            (acac, 40),
            (aac2, 60),
            (A @ aac, 120),
        ],
    }
    return {
        order: [float(weights @ vector) - 1.0 / density for vector, density in rows]
        for order, rows in found.items()
    }


def test_weights_meet_the_order_conditions() -> None:
    for order, residuals in _conditions(WEIGHTS).items():
        assert np.abs(residuals).max() < 1e-14, order


@pytest.mark.parametrize("power", range(8))
def test_weights_integrate_polynomials_to_degree_seven(power: int) -> None:
    assert np.dot(WEIGHTS, C[:12] ** power) == pytest.approx(1.0 / (power + 1), abs=1e-14)


def test_weights_fail_the_eighth_power_so_that_order_eight_is_sharp() -> None:
    assert abs(np.dot(WEIGHTS, C[:12] ** 8) - 1.0 / 9.0) > 1e-6


@pytest.mark.parametrize(("errors", "order"), [(ERROR_FIFTH, 5), (ERROR_THIRD, 3)])
def test_embedded_methods_have_the_orders_they_claim(errors: FloatArray, order: int) -> None:
    """Weights minus error weights are a method of that order, and of no higher one."""
    embedded = _conditions(WEIGHTS - errors)
    for lower in range(1, order + 1):
        assert np.abs(embedded[lower]).max() < 1e-14, lower
    if order == 3:
        assert np.abs(embedded[4]).max() > 1e-4
    else:
        assert abs(np.dot(WEIGHTS - errors, C[:12] ** 5) - 1.0 / 6.0) > 1e-5


def _one_step(f: Slope, y: FloatArray, h: float) -> tuple[FloatArray, FloatArray]:
    stages = np.zeros((16, y.size))
    for row in range(16):
        stages[row] = f(y + h * STAGES[row] @ stages)
    return y + h * STAGES[12] @ stages, stages


def _kepler(y: FloatArray) -> FloatArray:
    """Two bodies: every solution is known and no derivative vanishes."""
    return np.concatenate([y[2:], -y[:2] / np.dot(y[:2], y[:2]) ** 1.5])


def _ellipse(t: float, eccentricity: float = 0.1) -> FloatArray:
    """Position and velocity a time ``t`` after the nearest approach (Kepler's equation)."""
    e = eccentricity
    u = t
    for _ in range(60):
        u -= (u - e * np.sin(u) - t) / (1.0 - e * np.cos(u))
    b, rate = np.sqrt(1.0 - e * e), 1.0 / (1.0 - e * np.cos(u))
    return np.array([np.cos(u) - e, b * np.sin(u), -np.sin(u) * rate, b * np.cos(u) * rate])


def test_order_is_eight_by_regression() -> None:
    steps = np.array([24, 28, 32, 40, 52])
    errors = []
    for count in steps:
        y = _ellipse(0.0)
        for _ in range(count):
            y, _ = _one_step(_kepler, y, 6.0 / count)
        errors.append(np.abs(y - _ellipse(6.0)).max())
    order = -np.polyfit(np.log(steps), np.log(errors), 1)[0]
    assert errors[-1] > 1e-13, "the finest step must still lie above rounding"
    assert 7.6 < order < 8.4


def test_interpolant_has_order_seven_by_regression() -> None:
    """Local error h⁸ inside a step, and the ends of the step met exactly."""
    sizes = np.array([0.4, 0.3, 0.22, 0.17])
    errors = []
    for h in sizes:
        old = _ellipse(0.7)
        new, stages = _one_step(_kepler, old, h)
        change = new - old
        rows = [change, h * stages[0] - change, 2 * change - h * (stages[12] + stages[0])]
        rows += list(h * INTERPOLANT @ stages)
        worst = 0.0
        for fraction in (0.0, 0.13, 0.37, 0.5, 0.81, 1.0):
            value = np.zeros(4)
            for i, row in enumerate(reversed(rows)):
                value = (value + row) * (fraction if i % 2 == 0 else 1.0 - fraction)
            if fraction in {0.0, 1.0}:
                np.testing.assert_allclose(old + value, new if fraction else old, atol=1e-15)
            worst = max(worst, float(np.abs(old + value - _ellipse(0.7 + fraction * h)).max()))
        errors.append(worst)
    order = np.polyfit(np.log(sizes), np.log(errors), 1)[0]
    assert 7.5 < order < 8.8
