"""Root and quotient of numbers that may carry a derivative in their imaginary part.

numba's complex square root and division guard against overflow with branches and cost as much as
ten real ones. Here the imaginary part is h times a derivative with h = 1e-30, so h² vanishes beside
anything and the first-order rules are exact to the last bit.
"""

from typing import Any

import numpy as np
from numba import types
from numba.extending import overload


def square_root(x: Any) -> Any:
    """√x; of a complex number √x + ih/(2√x)."""
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


def quotient(a: Any, b: Any) -> Any:
    """a/b; of complex numbers by the rule for a quotient's derivative."""
    if isinstance(b, complex):
        each = 1.0 / b.real
        real = a.real * each
        return complex(real, (a.imag - real * b.imag) * each)
    return a / b


@overload(quotient, inline="always")
def _compiled_quotient(a, b):  # type: ignore[no-untyped-def]
    if isinstance(b, types.Complex):

        def of_complex(a, b):  # type: ignore[no-untyped-def]
            each = 1.0 / b.real
            real = a.real * each
            return complex(real, (a.imag - real * b.imag) * each)

        return of_complex
    return lambda a, b: a / b
