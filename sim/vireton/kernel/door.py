"""The one door into the kernel: everything is made a float or a plain array here.

Without it an int or a strided array would make numba compile a second copy of the kernel.
"""

import math
import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from vireton.kernel.arrays import FloatArray
from vireton.kernel.batch import PARAMETER_COUNT, integrate_rows
from vireton.kernel.motion import STATE_SIZE, derivatives
from vireton.kernel.parameters import Parameters
from vireton.kernel.start import START, states_at_release

#: Position error allowed a step, m. Measured error at 100 yd with it: see DEVELOPERS, "Budgets".
DEFAULT_TOLERANCE = 1e-6

_UNIT_ERROR = 1e-6

#: Flights a thread takes at a time: long against the cost of handing over, short against a glance.
_CHUNK = 256

Array = npt.NDArray[Any]


@dataclass(frozen=True)
class Crossings:
    """Times (n,) s and states (n, 16) at the planes, nan where never reached; status; cost."""

    status: int
    times: FloatArray
    states: FloatArray
    steps: int
    evaluations: int


@dataclass(frozen=True)
class Batch:
    """Crossings of many flights: times (m, n) s and states (m, n, 16), nan where never reached.

    ``statuses``, ``steps`` and ``evaluations`` (m,) are of each flight.
    """

    statuses: npt.NDArray[np.int64]
    times: Array
    states: Array
    steps: npt.NDArray[np.int64]
    evaluations: npt.NDArray[np.int64]


def _numbers(values: npt.ArrayLike, kind: type, what: str) -> Array:
    # a copy, always: a read-only view would be another type to numba, and compile the kernel again
    array: Array = np.array(values, dtype=kind, order="C")
    if not np.isfinite(array).all():
        raise ValueError(f"{what} holds a value that is no finite number: {array}")
    return array


def _finite(values: npt.ArrayLike, what: str) -> FloatArray:
    return _numbers(values, np.float64, what)


def _checked(p: Parameters) -> Parameters:
    floats = Parameters(*map(float, p))
    if not all(map(math.isfinite, floats)):
        odd = ", ".join(name for name, v in floats._asdict().items() if not math.isfinite(v))
        raise ValueError(f"parameters that are no finite numbers: {odd}")
    return floats


def _checked_tolerance(tolerance: float) -> float:
    if not 0.0 < tolerance < math.inf:
        raise ValueError(f"tolerance must be positive and finite, got {tolerance}")
    return float(tolerance)


def _checked_planes(planes: npt.ArrayLike) -> FloatArray:
    where = np.atleast_1d(_finite(planes, "planes"))
    if where.ndim != 1:
        raise ValueError(f"planes are a list of distances; these have shape {where.shape}")
    return where


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
        stations: (n,) or one number, m forward of the center of gravity.
        tolerance: m of position error allowed a step, > 0.

    Raises:
        ValueError: if the state or the planes have another shape, the axis is no unit vector, the
            tolerance is not positive, or anything given is not finite.
    """
    start = _finite(state, "the state")
    if start.shape != (STATE_SIZE,):
        raise ValueError(f"a state has {STATE_SIZE} numbers; this one has shape {start.shape}")
    batch = fly_many(start[None], [_checked(p)], planes, stations, tolerance)
    return Crossings(
        int(batch.statuses[0]),
        batch.times[0],
        batch.states[0],
        int(batch.steps[0]),
        int(batch.evaluations[0]),
    )


def fly_many(
    states: npt.ArrayLike,
    bodies: npt.ArrayLike,
    planes: npt.ArrayLike,
    stations: npt.ArrayLike,
    tolerance: float = DEFAULT_TOLERANCE,
    *,
    threads: int | None = None,
    progress: Callable[[int], None] | None = None,
) -> Batch:
    """Fly many bodies, side by side on the machine's cores.

    Each flight is the one that :func:`fly_to_planes` gives, to the last bit, whatever the number of
    threads. Give complex states, bodies or stations to carry derivatives along in the imaginary
    parts: the results are then complex, and their real parts those of the plain flights but for
    rounding (see :mod:`vireton.tuning.sensitivities`).

    Args:
        states: (m, 16).
        bodies: (m, P) parameters in the order of :class:`Parameters`, or (1, P): one for all.
        planes: (n,) m downrange.
        stations: (m, n), (n,) or one number, m forward of the center of gravity.
        tolerance: m of position error allowed a step, > 0.
        threads: how many at a time; None takes one a core.
        progress: told now and then how many more flights are done.

    Raises:
        ValueError: as :func:`fly_to_planes`, or if the numbers of states and bodies disagree.
    """
    where = _checked_planes(planes)
    given = [np.asarray(values) for values in (states, bodies, stations)]
    kind = np.complex128 if any(np.iscomplexobj(values) for values in given) else np.float64
    starts = _numbers(given[0], kind, "the states")
    if starts.ndim != 2 or starts.shape[1] != STATE_SIZE:
        raise ValueError(f"states have {STATE_SIZE} numbers each; these have shape {starts.shape}")
    lengths = np.linalg.norm(starts[:, 6:9].real, axis=1)
    if (np.abs(lengths - 1.0) > _UNIT_ERROR).any():
        odd = lengths[np.argmax(np.abs(lengths - 1.0))]
        raise ValueError(f"the axis, state[6:9], must be a unit vector; its length is {odd}")
    records = _numbers(given[1], kind, "the parameters")
    count = len(starts)
    if records.shape not in ((1, PARAMETER_COUNT), (count, PARAMETER_COUNT)):
        raise ValueError(
            f"{count} states need {count} rows of {PARAMETER_COUNT} parameters, or one row; these "
            f"have shape {records.shape}"
        )
    at = _numbers(given[2], kind, "stations")
    at = np.array(np.broadcast_to(at, (count if at.ndim == 2 else 1, where.size)), order="C")
    limit = _checked_tolerance(tolerance)

    out = np.empty((count, where.size, 1 + STATE_SIZE), dtype=kind)
    outcomes = np.empty((count, 3), dtype=np.int64)

    def part(first: int) -> int:
        rows = slice(first, min(first + _CHUNK, count))
        integrate_rows(
            starts[rows],
            records[rows] if len(records) > 1 else records,
            where,
            at[rows] if len(at) > 1 else at,
            limit,
            out[rows],
            outcomes[rows],
        )
        return rows.stop - rows.start

    _in_threads(part, range(0, count, _CHUNK), threads, progress)
    return Batch(outcomes[:, 0], out[:, :, 0], out[:, :, 1:], outcomes[:, 1], outcomes[:, 2])


def _in_threads(
    part: Callable[[int], int],
    firsts: range,
    threads: int | None,
    progress: Callable[[int], None] | None,
) -> None:
    workers = min(threads or os.cpu_count() or 1, len(firsts))
    if workers <= 1:
        for first in firsts:
            done = part(first)
            if progress is not None:
                progress(done)
        return
    with ThreadPoolExecutor(workers) as pool:
        try:
            for done in pool.map(part, firsts):
                if progress is not None:
                    progress(done)
        except BaseException:  # Ctrl-C too: what has not begun never does
            pool.shutdown(wait=False, cancel_futures=True)
            raise


def release(starts: npt.ArrayLike, brace_height: float) -> Array:
    """Kernel states (m, 16) of starts (m, 15), see :mod:`vireton.kernel.start`. Float or complex.

    Raises ValueError for another shape, or a number that is not finite.
    """
    given = np.asarray(starts)
    kind = np.complex128 if np.iscomplexobj(given) else np.float64
    rows = _numbers(given, kind, "the starts")
    if rows.ndim != 2 or rows.shape[1] != len(START):
        raise ValueError(f"starts have {len(START)} numbers each; these have shape {rows.shape}")
    out = np.empty((len(rows), STATE_SIZE), dtype=kind)
    states_at_release(rows, float(brace_height), out)
    return out


def rates(state: npt.ArrayLike, p: Parameters) -> FloatArray:
    """d(state)/dt, (16,), by the very right-hand side that the integrator uses."""
    out = np.empty(STATE_SIZE)
    derivatives(_finite(state, "the state"), _checked(p), out)
    return out
