"""The perspective map of a plane through points, by the direct linear transform.

Hartley and Zisserman, Multiple View Geometry in Computer Vision, 2nd ed. 2004, section 4.1 (from
memory). Maps are (3, 3) and take (x, y, 1) to (u, v, 1) but for a factor.
"""

from collections.abc import Sequence

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.units.problems import InputProblem


def direct_map(sheet: FloatArray, seen: FloatArray) -> FloatArray:
    """The map of ``sheet`` to ``seen``, (n, 2) each of about unit size, n at least 4."""
    x, y = sheet.T
    u, v = seen.T
    one, none = np.ones_like(x), np.zeros_like(x)
    rows = np.concatenate(
        [
            np.column_stack([x, y, one, none, none, none, -u * x, -u * y, -u]),
            np.column_stack([none, none, none, x, y, one, -v * x, -v * y, -v]),
        ]
    )
    return np.asarray(np.linalg.svd(rows)[2][-1].reshape(3, 3))


def square_map(corners: Sequence[Sequence[float]] | FloatArray) -> FloatArray:
    """The (3, 3) perspective map of the unit square, counterclockwise from (0, 0), to corners."""
    unit = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)])
    return direct_map(unit, np.asarray(corners, float))


def rough_misfit(sheet: FloatArray, picture: FloatArray) -> float:
    """How far points miss the best perspective map by the direct method: rms, pixels.

    Quick, without lens or ink; ``inf`` if there is none.
    """
    center, reach = picture.mean(axis=0), float(np.ptp(picture, axis=0).max())
    middle, scale = sheet.mean(axis=0), float(np.ptp(sheet, axis=0).max())
    matrix = direct_map((sheet - middle) / scale, (picture - center) / reach)
    seen = np.column_stack([(sheet - middle) / scale, np.ones(len(sheet))]) @ matrix.T
    if not (seen[:, 2] * np.sign(seen[0, 2]) > 1e-6).all():
        return np.inf
    apart = seen[:, :2] / seen[:, 2:] * reach + center - picture
    return float(np.sqrt((apart**2).sum(axis=1).mean()))


def demand_spread(points: FloatArray) -> None:
    """Refuse points that lie so near a line that no plane is fixed by them."""
    small = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
    if small[1] < 0.02 * small[0]:
        raise no_plane()


def no_plane() -> InputProblem:
    """What to say of points that fix no plane."""
    return InputProblem(
        "the four corner points do not make a sheet seen from the front: tap the middles of the "
        "marks again, each at its own corner"
    )
