"""A phone that films an arrow, written without the library: a pinhole in space, rows one by one.

World: x downrange, y up, z right, m. A picture counts right and down from its upper left corner.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

#: (stations (k,) m ahead of the balance point, times (k,) s) → places (k, 3).
Motion = Callable[[FloatArray, FloatArray], FloatArray]

#: Axes of a camera (picture's right, picture's down, forward) that looks down, and from the right.
LOOKS = {
    "above": np.array([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]]),
    "beside": np.array([[1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, -1.0]]),
}


def turned(about: FloatArray) -> FloatArray:
    """Rotation matrix of a rotation vector (Rodrigues' formula)."""
    angle = float(np.linalg.norm(about))
    if angle == 0.0:
        return np.eye(3)
    a, b, c = about / angle
    k = np.array([[0.0, -c, b], [c, 0.0, -a], [-b, a, 0.0]])
    return np.asarray(np.eye(3) + np.sin(angle) * k + (1.0 - np.cos(angle)) * k @ k)


@dataclass(frozen=True)
class Phone:
    """Where it is, how it looks (rows: right, down, forward), and its sensor.

    ``focal`` picture units; ``lens``: how far the middle of the shorter edges is drawn out, as a
    share; ``readout`` s from the first row to the last, negative from the last to the first.
    """

    place: FloatArray
    axes: FloatArray
    focal: float
    picture: tuple[float, float] = (1920.0, 1080.0)
    lens: float = 0.0
    readout: float = 0.0

    def project(self, places: FloatArray) -> FloatArray:
        """(k, 2) of places (k, 3)."""
        seen = (places - self.place) @ self.axes.T
        flat = self.focal * seen[:, :2] / seen[:, 2:]
        far = np.sum((flat / (0.5 * max(self.picture))) ** 2, axis=1, keepdims=True)
        return np.asarray(flat * (1.0 + self.lens * far) + 0.5 * np.array(self.picture))

    def snap(self, motion: Motion, stations: FloatArray, moment: float) -> FloatArray:
        """Where the stations are in the frame whose middle row is taken at ``moment``."""
        down = 1 if self.picture[0] >= self.picture[1] else 0
        times = np.full(len(stations), moment)
        for _ in range(12):
            marks = self.project(motion(stations, times))
            times = moment + self.readout * (marks[:, down] / self.picture[down] - 0.5)
        return self.project(motion(stations, times))

    def film(
        self, motion: Motion, stations: FloatArray, moments: FloatArray
    ) -> list[tuple[int, FloatArray]]:
        """(number, marks (k, 2)) of the frames in which all stations are in the picture."""
        found = []
        for number, moment in enumerate(moments):
            marks = self.snap(motion, stations, float(moment))
            if np.all(marks > 5.0) and np.all(marks < np.array(self.picture) - 5.0):
                found.append((number, marks))
        return found


def phone(
    view: str,
    middle: FloatArray,
    away: float,
    focal: float = 1400.0,
    off: tuple[float, float, float] = (0.0, 0.0, 0.0),
    **more: float | tuple[float, float],
) -> Phone:
    """A phone ``away`` m from the path's ``middle``, turned by ``off`` rad from square.

    ``off`` is about the picture's right, its down and its forward; the last is its roll.
    """
    square = LOOKS[view]
    axes = turned(np.array(off)).T @ square
    return Phone(middle - away * square[2], axes, focal, **more)  # type: ignore[arg-type]


def straight(
    speed: float,
    angle: tuple[float, float],
    rate: tuple[float, float],
    swing: Callable[[FloatArray, FloatArray], FloatArray] | None = None,
    fall: float = 9.80665,
) -> Motion:
    """An arrow whose balance point is at the origin at time 0; (right, up) angles and rates.

    ``swing`` (stations, times) → (k, 2) m of bending, right and up.
    """

    def motion(stations: FloatArray, times: FloatArray) -> FloatArray:
        yaw = angle[0] + rate[0] * times
        pitch = angle[1] + rate[1] * times
        bent = np.zeros((len(times), 2)) if swing is None else swing(stations, times)
        return np.column_stack(
            [
                speed * times + stations * np.cos(yaw) * np.cos(pitch),
                stations * np.sin(pitch) - 0.5 * fall * times**2 + bent[:, 1],
                stations * np.sin(yaw) * np.cos(pitch) + bent[:, 0],
            ]
        )

    return motion


def bending(
    frequency: float, share: float, arms: tuple[float, float], size: tuple[float, float]
) -> Callable[[FloatArray, FloatArray], FloatArray]:
    """The swing of both ends to one side: sine and cosine amplitude of the nock, m, to the right.

    ``arms`` (nock, point); only these two stations are asked for.
    """

    def swing(stations: FloatArray, times: FloatArray) -> FloatArray:
        turn = 2.0 * np.pi * frequency * times
        at = np.where(stations < 0.0, 1.0, share)
        nock = (size[0] * np.sin(turn) + size[1] * np.cos(turn)) * np.exp(-0.015 * turn)
        return np.column_stack([at * nock, 0.0 * at])

    return swing
