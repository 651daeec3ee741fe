"""Many arrows at once: how each leaves the string, and where their points land.

The single flight (:mod:`vireton.flight.flight`) starts here too, as a volley of one. Numbers may be
complex, with a derivative in the imaginary part (:mod:`vireton.tuning.sensitivities`).
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from vireton.kernel.arrays import FloatArray
from vireton.kernel.door import DEFAULT_TOLERANCE, fly_many, release
from vireton.kernel.start import START
from vireton.launch.release import Launch

Array = npt.NDArray[Any]


@dataclass(frozen=True)
class Aim:
    """How the bow is held against the line of sight.

    ``elevation`` and ``windage`` rad of the bore line above and right of the line of sight;
    ``height`` m of the line of sight above the bore line at the grip; ``cant`` rad, top of the
    bow to the right positive, about the line of sight.
    """

    elevation: float = 0.0
    windage: float = 0.0
    height: float = 0.0
    cant: float = 0.0


@dataclass(frozen=True)
class Volley:
    """Where the points of many arrows reach each distance. Arrays (m, n), nan where never reached.

    ``right``, ``up`` m from the line of sight, ``time`` s, ``speed`` m/s.
    """

    right: Array
    up: Array
    time: Array
    speed: Array


def start_of(launch: Launch, aim: Aim, balance: float) -> FloatArray:
    """One start (15,), its numbers in the order of :data:`~vireton.kernel.start.START`.

    ``balance`` m is the arrow's center of gravity ahead of the nock throat.
    """
    known = {**vars(launch), **vars(aim), "balance": balance}
    return np.array([known[name] for name in START])


def starts_around(start: FloatArray, **changes: npt.ArrayLike) -> Array:
    """Starts (m, 15): one start with (m,) changes added to the numbers named.

    Raises ValueError for a name that no start has.
    """
    columns = dict(zip(START, start, strict=True))
    for name, change in changes.items():
        if name not in columns:
            raise ValueError(f"a start has no {name!r}; it has {', '.join(START)}")
        columns[name] = columns[name] + np.asarray(change)
    return np.stack(np.broadcast_arrays(*map(np.atleast_1d, columns.values())), axis=1)


def places_across(states: Array, stations: npt.ArrayLike) -> Array:
    """(…, 2) right and up, m, of stations (…) m forward of the center of gravity."""
    along = np.asarray(stations)[..., None]
    return np.asarray(states[..., 2:0:-1] + along * states[..., 8:6:-1])


def shoot_volley(
    starts: npt.ArrayLike,
    bodies: npt.ArrayLike,
    fronts: npt.ArrayLike,
    distances: npt.ArrayLike,
    brace_height: float,
    *,
    tolerance: float = DEFAULT_TOLERANCE,
    threads: int | None = None,
    progress: Callable[[int], None] | None = None,
) -> Volley:
    """Shoot many arrows.

    Args:
        starts: (m, 15), from :func:`starts_around`.
        bodies: (m, P) or (1, P) parameters, from :func:`vireton.flight.flight.prepare`.
        fronts: (m,) or one, m from the center of gravity to the tip of the point.
        distances: (n,) m from the grip.
        brace_height: m.
        tolerance: m of position error allowed a step.
        threads: how many at a time; None takes one a core. The results do not depend on it.
        progress: told now and then how many more arrows have flown.
    """
    where = np.atleast_1d(np.asarray(distances, dtype=float))
    stations = np.atleast_1d(np.asarray(fronts))[:, None] + np.zeros(where.size)
    batch = fly_many(
        release(starts, brace_height),
        bodies,
        where,
        stations,
        tolerance,
        threads=threads,
        progress=progress,
    )
    across = places_across(batch.states, stations)
    velocity = batch.states[..., 3:6]
    speed = np.sqrt(np.sum(velocity * velocity, axis=-1))
    return Volley(across[..., 0], across[..., 1], batch.times, speed)
