"""The square root of numbers that carry a derivative in their imaginary part."""

from typing import Any

import numpy as np
from numba import types
from numba.extending import overload


def square_root(x: Any) -> Any:
    """√x of a float, or of a complex number whose imaginary part is a tiny derivative (h·x′).

    numba's complex square root guards against overflow and costs as much as ten others; here
    √(x + ih) = √x + ih/(2√x), which is exact while h² vanishes beside x (h is 1e-30).
    """
    if isinstance(x, complex):
        real = np.sqrt(x.real)
        return complex(real, 0.5 * x.imag / real)
    return float(np.sqrt(x))


@overload(square_root, inline="always")
def _compiled_square_root(x):  # type: ignore[no-untyped-def]
    if isinstance(x, types.Complex):

        def of_complex(x):  # type: ignore[no-untyped-def]
            real = np.sqrt(x.real)
            return complex(real, 0.5 * x.imag / real)

        return of_complex
    return lambda x: np.sqrt(x)  # noqa: PLW0108  # numba wants a function of its own
