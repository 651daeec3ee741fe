"""Vectors as 3-tuples, against numpy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vireton.kernel.vectors import Vector, add, cross, dot, plus_scaled, scale, subtract

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
NUMBERS = st.floats(-1e3, 1e3)
VECTORS = st.tuples(NUMBERS, NUMBERS, NUMBERS)


def test_exact_cases() -> None:
    assert add((1.0, 2.0, 3.0), (0.5, -2.0, 4.0)) == (1.5, 0.0, 7.0)
    assert subtract((1.0, 2.0, 3.0), (0.5, -2.0, 4.0)) == (0.5, 4.0, -1.0)
    assert scale(-2.0, (1.0, 2.0, -3.0)) == (-2.0, -4.0, 6.0)
    assert plus_scaled((1.0, 2.0, 3.0), 2.0, (1.0, 0.0, -1.0)) == (3.0, 2.0, 1.0)
    assert dot((1.0, 2.0, 3.0), (4.0, -5.0, 6.0)) == 12.0


@pytest.mark.parametrize(("a", "b", "c"), [(X, Y, Z), (Y, Z, X), (Z, X, Y)])
def test_cross_is_right_handed(a: Vector, b: Vector, c: Vector) -> None:
    assert cross(a, b) == c
    assert cross(b, a) == scale(-1.0, c)


@given(a=VECTORS, b=VECTORS, s=NUMBERS)
def test_agrees_with_numpy(a: Vector, b: Vector, s: float) -> None:
    u, v = np.array(a), np.array(b)
    np.testing.assert_array_equal(add(a, b), u + v)
    np.testing.assert_array_equal(subtract(a, b), u - v)
    np.testing.assert_array_equal(scale(s, a), s * u)
    # a fused multiply-add may differ from numpy in the last bit of the largest term
    size = 4e-16 * max(np.abs(u).max(), 1.0) * max(np.abs(v).max(), 1.0)
    np.testing.assert_allclose(plus_scaled(a, s, b), u + s * v, atol=4e-16 * 2e6, rtol=0)
    np.testing.assert_allclose(dot(a, b), np.dot(u, v), atol=4 * size, rtol=0)
    np.testing.assert_allclose(cross(a, b), np.cross(u, v), atol=2 * size, rtol=0)
