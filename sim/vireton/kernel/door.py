"""The one door into the kernel: everything is made a float or a plain array here.

Without it an int or a strided array would make numba compile a second copy of the kernel.
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from vireton.arrays import FloatArray
from vireton.kernel.integrator import integrate
from vireton.kernel.motion import STATE_SIZE, SYMMETRIC_SIZE, derivatives
from vireton.kernel.parameters import Parameters, roll_matters

#: Position error allowed a step, m. Measured error at 100 yd with it: see DEVELOPERS, "Budgets".
DEFAULT_TOLERANCE = 1e-6

_UNIT_ERROR = 1e-6


@dataclass(frozen=True)
class Crossings:
    """Times (n,) s and states (n, 16) at the planes, nan where never reached; status; cost."""

    status: int
    times: FloatArray
    states: FloatArray
    steps: int
    evaluations: int


def _floats(values: npt.ArrayLike) -> FloatArray:
    # a copy, always: a read-only view would be another type to numba, and compile the kernel again
    return np.array(values, dtype=np.float64, order="C")


def _finite(values: npt.ArrayLike, what: str) -> FloatArray:
    array = _floats(values)
    if not np.isfinite(array).all():
        raise ValueError(f"{what} holds a value that is no finite number: {array}")
    return array


def _checked(p: Parameters) -> Parameters:
    floats = Parameters(*map(float, p))
    if not all(map(math.isfinite, floats)):
        odd = ", ".join(name for name, v in floats._asdict().items() if not math.isfinite(v))
        raise ValueError(f"parameters that are no finite numbers: {odd}")
    return floats


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
        ValueError: if the state or the planes have another shape, the axis is no unit vector, the
            tolerance is not positive, or anything given is not finite.
    """
    start = _finite(state, "the state")
    if start.shape != (STATE_SIZE,):
        raise ValueError(f"a state has {STATE_SIZE} numbers; this one has shape {start.shape}")
    if not 0.0 < tolerance < math.inf:
        raise ValueError(f"tolerance must be positive and finite, got {tolerance}")
    length = float(np.linalg.norm(start[6:9]))
    if abs(length - 1.0) > _UNIT_ERROR:
        raise ValueError(f"the axis, state[6:9], must be a unit vector; its length is {length}")
    where = np.atleast_1d(_finite(planes, "planes"))
    if where.ndim != 1:
        raise ValueError(f"planes are a list of distances; these have shape {where.shape}")
    at = _finite(np.broadcast_to(stations, where.shape), "stations")
    out = np.empty((where.size, 1 + STATE_SIZE))
    size = STATE_SIZE if roll_matters(p) else SYMMETRIC_SIZE
    status, steps, evaluations = integrate(
        start, _checked(p), where, at, float(tolerance), size, out
    )
    return Crossings(int(status), out[:, 0], out[:, 1:], int(steps), int(evaluations))


def rates(state: npt.ArrayLike, p: Parameters) -> FloatArray:
    """d(state)/dt, (16,), by the very right-hand side that the integrator uses."""
    out = np.empty(STATE_SIZE)
    derivatives(_finite(state, "the state"), _checked(p), out)
    return out
