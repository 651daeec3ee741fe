"""The one door into the kernel: everything is made a float or a plain array here.

Without it an int or a strided array would make numba compile a second copy of the kernel.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from vireton.kernel.integrator import integrate
from vireton.kernel.motion import STATE_SIZE, SYMMETRIC_SIZE, derivatives
from vireton.kernel.parameters import Parameters

FloatArray = npt.NDArray[np.float64]

#: Position error allowed a step, m. Measured error at 100 yd with it: see DEVELOPERS, "Budgets".
DEFAULT_TOLERANCE = 1e-6


@dataclass(frozen=True)
class Crossings:
    """Times (n,) s and states (n, 16) at the planes, nan where never reached; status; cost."""

    status: int
    times: FloatArray
    states: FloatArray
    steps: int
    evaluations: int


def _floats(values: npt.ArrayLike) -> FloatArray:
    return np.ascontiguousarray(values, dtype=np.float64)


def _checked(p: Parameters) -> Parameters:
    return Parameters(*(float(value) for value in p))


def fly_to_planes(
    state: npt.ArrayLike,
    p: Parameters,
    planes: npt.ArrayLike,
    stations: npt.ArrayLike,
    tolerance: float = DEFAULT_TOLERANCE,
) -> Crossings:
    """Fly one body and return its state where ``stations`` on its axis cross ``planes``.

    Args:
        state: (16,) as in :mod:`vireton.kernel.motion`.
        p: its parameters.
        planes: (n,) m downrange.
        stations: (n,) or one number, m forward of the centre of gravity.
        tolerance: m of position error allowed a step, > 0.

    Raises:
        ValueError: if the state has another shape or the tolerance is not positive.
    """
    start = _floats(state)
    if start.shape != (STATE_SIZE,):
        raise ValueError(f"a state has {STATE_SIZE} numbers; this one has shape {start.shape}")
    if not tolerance > 0.0:
        raise ValueError(f"tolerance must be positive, got {tolerance}")
    where = np.atleast_1d(_floats(planes))
    at = np.ascontiguousarray(np.broadcast_to(_floats(stations), where.shape))
    out = np.empty((where.size, 1 + STATE_SIZE))
    symmetric = p.inertia_across == p.inertia_across_other
    size = SYMMETRIC_SIZE if symmetric else STATE_SIZE
    status, steps, evaluations = integrate(
        start, _checked(p), where, at, float(tolerance), size, out
    )
    return Crossings(int(status), out[:, 0], out[:, 1:], int(steps), int(evaluations))


def rates(state: npt.ArrayLike, p: Parameters) -> FloatArray:
    """d(state)/dt, (16,), by the very right-hand side that the integrator uses."""
    out = np.empty(STATE_SIZE)
    derivatives(_floats(state), _checked(p), out)
    return out
