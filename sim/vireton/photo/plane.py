"""Where a pixel of a picture lies on the sheet, in inches, and how sure that is.

A sheet is flat, so its picture is a perspective map of the plane, bent a little by the lens: one
radial coefficient about the middle of the picture. Both are fitted to known points; what their
errors leave open is carried on to every reading.

Pixels are (column, row) from the middle of the picture's first pixel, rows downwards. Inches are
(right, up) from the lower left corner of the paper.
"""

from dataclasses import dataclass

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.photo.perspective import demand_spread, direct_map, no_plane
from vireton.units.problems import InputProblem

#: How far off a person's tap is, pixels of the picture that is tapped on, each way (our choice).
TAP_ERROR = 2.0

#: Usual lens coefficient: displacement at the picture's corners over their distance from the
#: middle (from memory: phones straighten their pictures, and leave about a percent or two).
LENS_USUAL = 0.02
#: How much larger than drawn a black mark may look at each edge, by ink and by light, in (our
#: choice).
SPREAD_USUAL = 0.01

_STEP = 1e-6
_ROUNDS = 30


@dataclass(frozen=True, eq=False)
class Pins:
    """Points known on the sheet and seen in the picture.

    ``sheet`` (n, 2) in, ``picture`` (n, 2) pixels, ``error`` (n,) pixels, the standard deviation
    each way. ``outward`` (n, 2) is the way, in signs, in which a point moves when black ink looks
    larger than drawn: zeros for a point that does not.
    """

    sheet: FloatArray
    picture: FloatArray
    error: FloatArray
    outward: FloatArray


@dataclass(frozen=True, eq=False)
class Readings:
    """Places on the sheet: ``inches`` (n, 2) right and up, ``covariance`` (n, 2, 2) in²."""

    inches: FloatArray
    covariance: FloatArray

    @property
    def error(self) -> FloatArray:
        """Standard deviations right and up, (n, 2) in."""
        return np.sqrt(np.diagonal(self.covariance, axis1=1, axis2=2))


@dataclass(frozen=True, eq=False)
class Plane:
    """A picture's sheet, fitted. Made by :func:`fit_plane`.

    ``values`` are the eight of the perspective map, the lens and the spread of ink, in scaled
    coordinates; ``covariance`` (10, 10) theirs. ``misfit`` is the pins' root mean square
    distance from the fit over what their errors allow: about 1 when all is well.
    """

    size: tuple[int, int]
    values: FloatArray
    covariance: FloatArray
    middle: FloatArray
    scale: float
    misfit: float

    @property
    def lens(self) -> float:
        """The radial coefficient; at the corners of the picture a point moves out by that share."""
        return float(self.values[8])

    def pixels(self, inches: FloatArray) -> FloatArray:
        """Where places on the sheet, (n, 2) in, are in the picture: (n, 2) pixels."""
        return _project(self, self.values, np.asarray(inches, float), None)

    def inches(self, pixels: FloatArray) -> FloatArray:
        """Where pixels, (n, 2), lie on the sheet: (n, 2) in.

        Raises InputProblem for a pixel that cannot show the sheet's plane.
        """
        center, reach = _frame(self.size)
        bent = (np.atleast_2d(np.asarray(pixels, float)) - center) / reach
        straight = _unbent(bent, self.lens)
        turned = np.column_stack([straight, np.ones(len(straight))])
        back = turned @ np.linalg.inv(_matrix(self.values)).T
        if (back[:, 2] <= 0.0).any():
            raise InputProblem(
                "that place in the picture lies beyond the sheet's plane; tap on the sheet"
            )
        return np.asarray(back[:, :2] / back[:, 2:] * self.scale + self.middle)

    def read(self, pixels: FloatArray, tap_error: float = TAP_ERROR) -> Readings:
        """Places on the sheet under taps, (n, 2) pixels, with their errors.

        ``tap_error`` is the standard deviation of a tap each way, pixels. The covariance holds
        the tap's error and that of the marks.
        """
        inches = self.inches(pixels)
        by_fit, by_tap = self._slopes(inches)
        fit = by_fit @ self.covariance @ by_fit.transpose(0, 2, 1)
        return Readings(inches, fit + tap_error**2 * (by_tap @ by_tap.transpose(0, 2, 1)))

    def between(self, start: FloatArray, end: FloatArray, tap_error: float = TAP_ERROR) -> Readings:
        """What lies between taps, ``end`` minus ``start``, (n, 2) pixels each, with its error.

        What the marks' errors do to both ends alike cancels. A tear is the point's hole to the
        tail's hole.
        """
        first, last = self.inches(start), self.inches(end)
        fit_first, tap_first = self._slopes(first)
        fit_last, tap_last = self._slopes(last)
        by_fit = fit_last - fit_first
        covariance = by_fit @ self.covariance @ by_fit.transpose(0, 2, 1)
        for by_tap in (tap_first, tap_last):
            covariance = covariance + tap_error**2 * (by_tap @ by_tap.transpose(0, 2, 1))
        return Readings(last - first, covariance)

    def _slopes(self, inches: FloatArray) -> tuple[FloatArray, FloatArray]:
        """What a reading does per unit of the fit's values, (n, 2, 10), and per pixel, (n, 2, 2).

        The readings are the inverse of the projection, so their slopes are too.
        """
        steps = 1e-4 * np.eye(2)
        per_inch = np.stack(
            [(self.pixels(inches + h) - self.pixels(inches - h)) / 2e-4 for h in steps], axis=2
        )
        by_tap = np.asarray(np.linalg.inv(per_inch), float)
        return -by_tap @ _by_values(self, self.values, inches, None), by_tap


def fit_plane(size: tuple[int, int], pins: Pins, *, lens: bool = True) -> Plane:
    """Fit the perspective and the lens to at least four pins, by weighted least squares.

    Args:
        size: width and height of the picture, pixels.
        pins: four or more, no three of the outermost on a line.
        lens: whether the lens may bend the picture. Lens and spread of ink begin from what is
            usual, so that few pins leave them open, and that stays in the errors.

    Raises InputProblem if the points are too few or lie on a line.
    """
    if len(pins.sheet) < 4:
        raise InputProblem(
            f"{len(pins.sheet)} known points are too few to read a picture; it takes four: tap "
            "the middles of the corner marks"
        )
    middle = pins.sheet.mean(axis=0)
    scale = float(np.sqrt(((pins.sheet - middle) ** 2).sum(axis=1).mean()))
    rough = np.zeros(10)
    start = Plane(size, rough, np.zeros((10, 10)), middle, scale, 0.0)
    rough[:8] = _direct(start, pins)
    usual = np.array([LENS_USUAL if lens else 1e-9, SPREAD_USUAL / scale])
    values, normal, square = _refined(start, pins, usual)
    freedom = max(2 * len(pins.sheet) - 8, 1)
    excess = max(1.0, square / freedom) if len(pins.sheet) > 4 else 1.0
    covariance = np.asarray(np.linalg.inv(normal) * excess, float)
    return Plane(size, values, covariance, middle, scale, float(np.sqrt(square / freedom)))


def _direct(start: Plane, pins: Pins) -> FloatArray:
    """Eight values by the direct linear transform, in scaled coordinates."""
    center, reach = _frame(start.size)
    sheet, seen = (pins.sheet - start.middle) / start.scale, (pins.picture - center) / reach
    demand_spread(sheet)
    demand_spread(seen)
    # coordinates about the points' own middle keep the equations well conditioned
    about = seen.mean(axis=0)
    width = float(np.sqrt(((seen - about) ** 2).sum(axis=1).mean()))
    matrix = direct_map(sheet, (seen - about) / width)
    back = np.array([[width, 0.0, about[0]], [0.0, width, about[1]], [0.0, 0.0, 1.0]])
    matrix = back @ matrix
    before = (np.column_stack([sheet, np.ones(len(sheet))]) @ matrix[2]) / matrix[2, 2]
    # rows count downwards, so a sheet that is not seen in a mirror turns the other way
    if not (before > 0.0).all() or np.linalg.det(matrix / matrix[2, 2]) > 0.0:
        raise no_plane()
    return np.asarray((matrix / matrix[2, 2]).ravel()[:8])


def _refined(start: Plane, pins: Pins, usual: FloatArray) -> tuple[FloatArray, FloatArray, float]:
    """Gauss and Newton's steps to the least squares: values, normal matrix, weighted squares."""
    _center, reach = _frame(start.size)
    weight = reach / np.maximum(pins.error, 1e-3)
    prior = np.zeros((10, 10))
    prior[8, 8], prior[9, 9] = 1.0 / usual**2
    values = start.values.copy()
    for _round in range(_ROUNDS):
        apart = (pins.picture - _project(start, values, pins.sheet, pins.outward)) / reach
        slopes = _by_values(start, values, pins.sheet, pins.outward) / reach
        normal = np.einsum("nki,nkj,n->ij", slopes, slopes, weight**2) + prior
        step = np.linalg.solve(
            normal, np.einsum("nki,nk,n->i", slopes, apart, weight**2) - prior @ values
        )
        values = values + step
        if np.abs(step).max() < 1e-9:
            break
    apart = (pins.picture - _project(start, values, pins.sheet, pins.outward)) / reach
    if not np.isfinite(values).all():
        raise no_plane()
    return values, normal, float((apart**2 * weight[:, None] ** 2).sum())


def _frame(size: tuple[int, int]) -> tuple[FloatArray, float]:
    """The middle of the picture and half its diagonal, pixels."""
    width, height = size
    return np.array([(width - 1) / 2.0, (height - 1) / 2.0]), float(np.hypot(width, height) / 2.0)


def _matrix(values: FloatArray) -> FloatArray:
    return np.append(values[:8], 1.0).reshape(3, 3)


def _project(
    plane: Plane, values: FloatArray, inches: FloatArray, outward: FloatArray | None
) -> FloatArray:
    scaled = (np.atleast_2d(inches) - plane.middle) / plane.scale
    if outward is not None:
        scaled = scaled + values[9] * outward
    h = values
    below = h[6] * scaled[:, 0] + h[7] * scaled[:, 1] + 1.0
    flat = np.column_stack(
        [
            (h[0] * scaled[:, 0] + h[1] * scaled[:, 1] + h[2]) / below,
            (h[3] * scaled[:, 0] + h[4] * scaled[:, 1] + h[5]) / below,
        ]
    )
    bent = flat * (1.0 + h[8] * (flat**2).sum(axis=1, keepdims=True))
    center, reach = _frame(plane.size)
    return np.asarray(bent * reach + center)


def _unbent(bent: FloatArray, lens: float) -> FloatArray:
    """Undo the lens: Newton's iteration on the radius r·(1 + lens·r²)."""
    far = np.sqrt((bent**2).sum(axis=1, keepdims=True))
    radius = far.copy()
    for _round in range(8):
        radius -= (radius * (1.0 + lens * radius**2) - far) / (1.0 + 3.0 * lens * radius**2)
    return np.asarray(bent * np.where(far > 0.0, radius / np.maximum(far, 1e-12), 1.0))


def _by_values(
    plane: Plane, values: FloatArray, inches: FloatArray, outward: FloatArray | None
) -> FloatArray:
    """Pixels per unit of each value, (n, 2, 10)."""
    columns = []
    for i in range(10):
        step = np.zeros(10)
        step[i] = _STEP
        ahead = _project(plane, values + step, inches, outward)
        columns.append((ahead - _project(plane, values - step, inches, outward)) / (2.0 * _STEP))
    return np.stack(columns, axis=2)
