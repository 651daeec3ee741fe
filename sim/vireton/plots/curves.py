"""What the figures draw: plain arrays in SI, checked once, so that no picture shows half a curve.

Signs are the archer's: right positive, up positive, nose right and nose up positive.
"""

from dataclasses import dataclass, fields

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.uncertain import Banded

#: So many curves can still be told apart in black and white, by dashes and markers.
MOST_CURVES = 8


def _check_values(owner: str, values: object, points: int) -> None:
    """Each array field of ``values`` is one-dimensional, has ``points`` numbers and no infinity."""
    for one in fields(values):  # type: ignore[arg-type]
        array = getattr(values, one.name)
        if not isinstance(array, np.ndarray):
            continue
        if array.shape != (points,):
            raise ValueError(
                f"{owner}: {one.name} has shape {array.shape}; one number for each distance is "
                f"needed, shape ({points},)"
            )
        if np.any(np.isinf(array)):
            raise ValueError(
                f"{owner}: {one.name} holds an infinite value; mark what is not known with nan"
            )


def _check_distance(owner: str, distance: FloatArray) -> None:
    """Distances are finite and rise; their number may be zero."""
    if distance.ndim != 1:
        raise ValueError(f"{owner}: distance has shape {distance.shape}; shape (n,) is needed")
    if not np.all(np.isfinite(distance)):
        raise ValueError(f"{owner}: every distance must be a finite number of meters")
    if np.any(np.diff(distance) <= 0.0):
        raise ValueError(f"{owner}: the distances must rise from each to the next")


@dataclass(frozen=True, eq=False)
class FlightCurve:
    """One flight along its distances.

    Arrays of shape (n,), n from 0: ``distance`` m from the bow, rising; ``right`` and ``up`` m of
    the point from the line of sight or the bore line; ``yaw`` (nose right) and ``pitch`` (nose up)
    rad against the direction of flight. nan where the flight never came. A fine grid is wanted
    (every half meter, say): the figures join the points with straight lines, and a bare shaft's yaw
    swings once in some 20 m. Raises ValueError for arrays that do not fit together.
    """

    label: str
    distance: FloatArray
    right: FloatArray
    up: FloatArray
    yaw: FloatArray
    pitch: FloatArray

    def __post_init__(self) -> None:
        _check_distance(self.label, self.distance)
        _check_values(self.label, self, len(self.distance))


@dataclass(frozen=True, eq=False)
class ShiftBand:
    """Something sideways and up, m, with its band. Arrays of shape (n,); nan where not known.

    ``right_low`` ≤ ``right`` ≤ ``right_high`` and likewise ``up``. Low means further left or down.
    """

    right: FloatArray
    up: FloatArray
    right_low: FloatArray
    right_high: FloatArray
    up_low: FloatArray
    up_high: FloatArray


def shift_band(values: Banded) -> ShiftBand:
    """Columns (right, up) of a banded (n, 2) result."""
    right, up = values[:, 0], values[:, 1]
    return ShiftBand(right.nominal, up.nominal, right.low, right.high, up.low, up.high)


@dataclass(frozen=True, eq=False)
class RestCurve:
    """What one rest move does along ``distance`` (n,) m, n from 0, rising.

    ``fletched`` and ``bare`` are shifts of the impact from where it was before the move;
    ``separation`` is bare minus fletched after the move. ``sideways_open`` says that the side, left
    or right, is the model's guess, not known of this bow; the figure then says so at each sideways
    panel. It is True unless the caller knows better, because a wrong side costs a technician more
    than a needless caution. Raises ValueError for arrays that do not fit together and for bands
    that leave out their own value.
    """

    label: str
    distance: FloatArray
    fletched: ShiftBand
    bare: ShiftBand
    separation: ShiftBand
    sideways_open: bool = True

    def __post_init__(self) -> None:
        _check_distance(self.label, self.distance)
        for name in ("fletched", "bare", "separation"):
            owner, shift = f"{self.label}, {name}", getattr(self, name)
            _check_values(owner, shift, len(self.distance))
            for axis in ("right", "up"):
                value = getattr(shift, axis)
                low, high = (getattr(shift, f"{axis}_{end}") for end in ("low", "high"))
                if np.any(low > value) or np.any(value > high):
                    raise ValueError(f"{owner}: {axis} lies outside its own band")
