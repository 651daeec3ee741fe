"""Smooth functions of two numbers by Chebyshev polynomials: many arrows from a few dozen."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.polynomial.chebyshev import chebvander

from vireton.kernel.arrays import FloatArray


@dataclass(frozen=True, eq=False)
class Surface:
    """P smooth functions on the square −1 to 1; ``coefficients`` (a, b, P) of Tᵢ(x)·Tⱼ(y)."""

    coefficients: FloatArray

    def at(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """Values (m, P) at ``x``, ``y`` (m,), each from −1 to 1.

        The sums run in a fixed order, one number after the other: no library that splits them
        over threads comes in, so the values are the same to the last bit on any number of cores.
        """
        a, b, count = self.coefficients.shape
        terms = _powers(x, a)[:, :, None] * _powers(y, b)[:, None, :]
        flat = terms.reshape(len(terms), a * b)
        return np.asarray(np.einsum("mt,tp->mp", flat, self.coefficients.reshape(a * b, count)))


def fit_surface(function: Callable[[float, float], FloatArray], a: int, b: int) -> Surface:
    """The surface through ``function`` at ``a`` × ``b`` Chebyshev points.

    ``function`` takes x and y from −1 to 1 and gives (P,). One point in a direction makes the
    surface constant that way. Interpolation at Chebyshev points converges faster than any power of
    the number of points where the function is analytic (Trefethen 2013, *Approximation Theory and
    Approximation Practice*, theorem 8.2).
    """
    x, y = _points(a), _points(b)
    values = np.array([[function(float(u), float(v)) for v in y] for u in x])
    along_x = np.linalg.solve(_powers(x, a), values.reshape(a, -1)).reshape(values.shape)
    turned = np.moveaxis(along_x, 1, 0)
    along_y = np.linalg.solve(_powers(y, b), turned.reshape(b, -1)).reshape(turned.shape)
    return Surface(np.ascontiguousarray(np.moveaxis(along_y, 0, 1)))


def _powers(x: FloatArray, count: int) -> FloatArray:
    """T₀ to T_(count − 1), (m, count)."""
    return np.asarray(chebvander(x, count - 1), dtype=float)


def _points(count: int) -> FloatArray:
    """Zeros of T_count, rising."""
    return -np.cos(np.pi * (np.arange(count) + 0.5) / count)
