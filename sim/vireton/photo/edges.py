"""The outer corners of a mark to a fraction of a pixel: straight lines through its four edges."""

from dataclasses import dataclass

import numpy as np
from scipy import ndimage

from vireton.kernel.arrays import BoolArray, FloatArray

_FAR = 0.2  # how far to both sides of an edge is looked, in sides of the mark
_ENDS = 0.14  # share of an edge left out at each end, where the corners are blurred
_STEP = 0.5  # pixels along a profile
_GAMMA = 2.2  # a picture's numbers are light to the power 1/2.2 (IEC 61966-2-1, about)
#: No corner is trusted further than this, pixels: JPEG leaves blocks, and blur is not the same to
#: all sides. From pretended pictures: with 0.06 twice the stated error of a place held in 93 %.
_LEAST_ERROR = 0.08


@dataclass(frozen=True, eq=False)
class Sharp:
    """Corners (4, 2) pixels in the order given, and the ``error`` (4,) of each, each way."""

    corners: FloatArray
    error: FloatArray


def sharpen(gray: FloatArray, corners: FloatArray) -> Sharp | None:
    """Corners good to a pixel or two, made good to a fraction of one.

    ``gray`` (rows, columns) runs from 0 to 255. None if an edge cannot be followed over half of
    its length.
    """
    light, origin = _light_around(gray, corners)
    corners = corners - origin
    for _round in range(3):
        lines = [
            _line(light, corners[i], corners[(i + 1) % 4], corners.mean(axis=0)) for i in range(4)
        ]
        found = [one for one in lines if one is not None]
        if len(found) < 4:
            return None
        # corner i ends edge i - 1 and begins edge i
        crossed = [_crossing(found[i - 1], found[i]) for i in range(4)]
        corners = np.array([place for place, _error in crossed])
    return Sharp(corners + origin, np.array([error for _place, error in crossed]))


def _light_around(gray: FloatArray, corners: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The light, 0 to 1, in a part of the picture about a mark, and where the part begins."""
    far = 0.5 * np.ptp(corners, axis=0).max() + 4.0
    last = np.array(gray.shape[::-1])
    low = np.clip(np.floor(corners.min(axis=0) - far), 0, last - 2).astype(int)
    high = np.clip(np.ceil(corners.max(axis=0) + far), low + 2, last).astype(int)
    part = gray[low[1] : high[1], low[0] : high[0]]
    return (np.clip(part, 0.0, 255.0) / 255.0) ** _GAMMA, low.astype(float)


@dataclass(frozen=True, eq=False)
class _Line:
    """Through ``point`` along the unit vector ``way``, and the standard error across it."""

    point: FloatArray
    way: FloatArray
    error: float


def _line(
    light: FloatArray, start: FloatArray, end: FloatArray, middle: FloatArray
) -> _Line | None:
    """The straight edge between two corners, from dark inside to white outside."""
    length = float(np.hypot(*(end - start)))
    if length < 4.0:
        return None
    way = (end - start) / length
    out = np.array([way[1], -way[0]])
    out = out if out @ (start - middle) > 0.0 else -out
    count = int(np.clip(0.8 * length, 8, 90))
    along = np.linspace(_ENDS, 1.0 - _ENDS, count) * length
    across, inside = _across(light, start, way, out, along, _FAR * length)
    if inside.sum() < 0.5 * count:
        return None
    return _straight(start, way, out, along[inside], across[inside])


def _across(
    picture: FloatArray,
    start: FloatArray,
    way: FloatArray,
    out: FloatArray,
    along: FloatArray,
    far: float,
) -> tuple[FloatArray, BoolArray]:
    """Where each profile across the edge passes half of its light, pixels outwards; whether so."""
    reach = np.arange(-far, far + 1e-9, _STEP)
    places = start + along[:, None, None] * way + reach[None, :, None] * out
    rows, columns = places[..., 1], places[..., 0]
    light = ndimage.map_coordinates(picture, [rows, columns], order=1, mode="nearest")
    light = ndimage.gaussian_filter(light, (1.5, 1.0), mode="nearest")
    parts = len(reach) // 3
    black, white = light[:, : parts + 1].min(axis=1), np.median(light[:, -parts - 1 :], axis=1)
    half = 0.5 * (black + white)
    above = light > half[:, None]
    darkest = light[:, : len(reach) // 2 + 1].argmin(axis=1)
    later = np.arange(len(reach))[None, :] > darkest[:, None]
    first = (above & later).argmax(axis=1)
    row = np.arange(len(along))
    before = np.maximum(first - 1, 0)
    low, high = light[row, before], light[row, first]
    share = (half - low) / np.where(high > low, high - low, 1.0)
    inside = (first > 0) & (high > low) & (white > 1.5 * black) & (share >= 0.0)
    inside &= (rows.min(axis=1) >= 0) & (rows.max(axis=1) <= picture.shape[0] - 1)
    inside &= (columns.min(axis=1) >= 0) & (columns.max(axis=1) <= picture.shape[1] - 1)
    return reach[before] + share * _STEP, inside


def _straight(
    start: FloatArray, way: FloatArray, out: FloatArray, along: FloatArray, across: FloatArray
) -> _Line | None:
    """A line through the places, without those that lie off it, such as a hole's rim."""
    kept = _most_in_line(along, across)
    for _round in range(3):
        slope, level = np.polyfit(along[kept], across[kept], 1)
        apart = across - (slope * along + level)
        spread = 1.4826 * float(np.median(np.abs(apart[kept])))
        kept = np.abs(apart) <= max(3.0 * spread, 0.15)
        if kept.sum() < max(5, 0.4 * len(along)):
            return None
    point = start + along.mean() * way + (slope * along.mean() + level) * out
    turned = way + slope * out
    # neighbors were smoothed together, so about every fifth counts
    error = float(apart[kept].std()) / np.sqrt(max(kept.sum() / 5.0, 1.0))
    return _Line(point, turned / np.hypot(*turned), error)


def _most_in_line(along: FloatArray, across: FloatArray) -> BoolArray:
    """The better half of the places by the line, through two of them, that most lie close to."""
    some = np.linspace(0, len(along) - 1, min(len(along), 14)).astype(int)
    one, other = (some[i] for i in np.triu_indices(len(some), 1))
    slope = (across[other] - across[one]) / (along[other] - along[one])
    apart = np.abs(across - across[one, None] - slope[:, None] * (along - along[one, None]))
    best = apart[np.median(apart, axis=1).argmin()]
    return np.asarray(best <= np.median(best) + 1e-9)


def _crossing(one: _Line, other: _Line) -> tuple[FloatArray, float]:
    """Where two edges meet, and how sure.

    A line fitted to the middle 72 % of an edge is sqrt(1 + 3/0.72²) times as unsure at its end.
    """
    share = np.linalg.solve(np.column_stack([one.way, -other.way]), other.point - one.point)
    at_end = np.sqrt(1.0 + 3.0 / (1.0 - 2.0 * _ENDS) ** 2)
    error = at_end * float(np.hypot(one.error, other.error)) / np.sqrt(2.0)
    return one.point + share[0] * one.way, float(np.hypot(error, _LEAST_ERROR))
