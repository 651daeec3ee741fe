"""Many flights in one call of compiled code; the single flight is a batch of one."""

import numpy as np
from numba.extending import overload
from numba.np.unsafe.ndarray import to_fixed_tuple

from vireton.kernel.compiled import compiled
from vireton.kernel.integrator import integrate
from vireton.kernel.motion import STATE_SIZE, SYMMETRIC_SIZE
from vireton.kernel.parameters import Parameters, roll_matters

PARAMETER_COUNT = len(Parameters._fields)


def record_of(row: np.ndarray) -> Parameters:
    """The record whose numbers, in its own order, are this row (P,)."""
    return Parameters(*row)


@overload(record_of)
def _compiled_record_of(row):  # type: ignore[no-untyped-def]  # numba compares the two heads
    # numba takes star arguments from a tuple of known length only
    return lambda row: Parameters(*to_fixed_tuple(row, PARAMETER_COUNT))  # type: ignore[call-arg]


@compiled
def integrate_rows(
    states: np.ndarray,
    bodies: np.ndarray,
    planes: np.ndarray,
    stations: np.ndarray,
    tolerance: float,
    out: np.ndarray,
    outcomes: np.ndarray,
) -> None:
    """Fly one body after the other, each as :func:`~vireton.kernel.integrator.integrate` does.

    Args:
        states: (m, 16) initial states.
        bodies: (m, P) parameters in the order of their record, or (1, P): one body for all.
        planes: (n,) distances downrange, m.
        stations: (m, n) m forward of the center of gravity, or (1, n).
        tolerance: m.
        out: (m, n, 17) filled with times and states.
        outcomes: (m, 3) filled with status, steps and right-hand sides.

    All float, or all but planes, tolerance and outcomes complex: then the imaginary parts carry a
    derivative along (see :mod:`vireton.tuning.sensitivities`).
    """
    for i in range(states.shape[0]):
        p = record_of(bodies[i if bodies.shape[0] > 1 else 0])
        at = stations[i if stations.shape[0] > 1 else 0]
        size = STATE_SIZE if roll_matters(p) else SYMMETRIC_SIZE
        status, steps, evaluations = integrate(states[i], p, planes, at, tolerance, size, out[i])
        outcomes[i, 0] = status
        outcomes[i, 1] = steps
        outcomes[i, 2] = evaluations
