"""Black square frames in a gray picture, wherever they are and however they are turned.

What is darker than its surroundings falls into connected pieces; a piece that is a frame around
white and, looked at squarely, has the pattern of a mark, may be one.
"""

from dataclasses import dataclass

import numpy as np
from scipy import ndimage

from vireton.kernel.arrays import BoolArray, FloatArray
from vireton.paper import MARK_FRAME, MARK_SIDE
from vireton.photo.perspective import square_map

#: Frames are looked for in a picture made smaller to about this length, pixels.
_LOOKED_AT = 2000
#: Surroundings whose mean is the local brightness, as shares of that length.
_SURROUNDINGS = (1.0 / 10.0, 1.0 / 24.0)
#: Darker than this share of the local brightness is dark.
_DARK = 0.72
_LEAST, _MOST = 11, 0.2  # pixels, and share of the picture's length: sides of a frame's box
_LIKE = 0.75  # correlation with the pattern from which a piece may be a mark
_SOFT = 0.14  # edges of the pattern are as wide, in sides, for pictures are never sharp
_OPEN = 0.3  # so much of the white around a mark the middle of its opening reaches at least
_CELLS = 20  # the pattern is compared at so many places each way
_AROUND = 0.22  # and so far around it, in sides


@dataclass(frozen=True, eq=False)
class Frame:
    """A piece that looks like a mark.

    ``corners`` (4, 2) are the outer ones, (column, row) of the picture, counterclockwise as seen.
    ``half_filled``: whether it is the one that differs; the filled half is then the side between
    the last two corners. ``likeness`` is the correlation with the pattern, 0 to 1.
    """

    corners: FloatArray
    half_filled: bool
    likeness: float

    @property
    def side(self) -> float:
        """Mean length of a side, pixels."""
        return float(np.hypot(*(self.corners - np.roll(self.corners, 1, axis=0)).T).mean())

    @property
    def center(self) -> FloatArray:
        """The place of the mark's middle: where the diagonals cross, (2,) pixels."""
        a, b, c, d = self.corners
        along, across = c - a, d - b
        gap = b - a
        share = (gap[0] * across[1] - gap[1] * across[0]) / (
            along[0] * across[1] - along[1] * across[0]
        )
        return np.asarray(a + share * along)


def find_frames(gray: FloatArray) -> list[Frame]:
    """All that look like marks in a gray picture (rows, columns), the likeliest first.

    Corners are good to about a pixel of the smaller picture.
    """
    step = max(1, round(max(gray.shape) / _LOOKED_AT))
    small = _smaller(gray, step)
    found: list[Frame] = []
    for share in _SURROUNDINGS:
        around = max(9, round(share * max(small.shape)))
        dark = small < _DARK * ndimage.uniform_filter(small, around, mode="nearest")
        found += _of_pieces(small, dark)
    moved = [
        Frame(one.corners * step + (step - 1) / 2.0, one.half_filled, one.likeness) for one in found
    ]
    return _apart(sorted(moved, key=lambda one: -one.likeness))


def _smaller(gray: FloatArray, step: int) -> FloatArray:
    """Means of blocks of ``step`` by ``step`` pixels."""
    rows, columns = (n // step for n in gray.shape)
    cut = gray[: rows * step, : columns * step].reshape(rows, step, columns, step)
    return np.asarray(cut.mean(axis=(1, 3)), np.float32)


def _of_pieces(small: FloatArray, dark: BoolArray) -> list[Frame]:
    pieces, _count = ndimage.label(dark, structure=np.ones((3, 3), int))
    most = _MOST * max(small.shape)
    found = []
    for number, box in enumerate(ndimage.find_objects(pieces), start=1):
        high, wide = (one.stop - one.start for one in box)
        if not (min(high, wide) >= _LEAST and max(high, wide) <= min(most, 3 * min(high, wide))):
            continue
        frame = _frame_of(small, pieces[box] == number, (box[1].start, box[0].start))
        if frame is not None:
            found.append(frame)
    return found


def _frame_of(small: FloatArray, piece: BoolArray, corner: tuple[int, int]) -> Frame | None:
    """The mark that a piece is, if it is a frame, a quadrilateral, and has the pattern."""
    full = ndimage.binary_fill_holes(piece)
    area = int(full.sum())
    if not 0.02 < 1.0 - piece.sum() / area < 0.6:
        return None
    corners = _four_corners(full)
    if corners is None:
        return None
    ahead = np.roll(corners, -1, axis=0)
    turns = ahead[:, 0] * corners[:, 1] - corners[:, 0] * ahead[:, 1]  # rows count downwards
    sides = np.hypot(*(ahead - corners).T)
    if not 0.8 < 0.5 * turns.sum() / area < 1.25 or sides.min() < 0.3 * sides.max():
        return None
    return _compared(small, corners + np.array(corner))


def _four_corners(full: BoolArray) -> FloatArray | None:
    """Extreme points of a filled piece: counterclockwise as seen, (4, 2), or None.

    The farthest from the middle is a corner, the farthest from that another, and the farthest to
    both sides of the line between them are the other two. They are moved out to the pixels' edges.
    """
    rim = full & ~ndimage.binary_erosion(full)
    rows, columns = np.nonzero(rim)
    points = np.column_stack([columns, rows]).astype(float)
    middle = points.mean(axis=0)
    first = points[((points - middle) ** 2).sum(axis=1).argmax()]
    third = points[((points - first) ** 2).sum(axis=1).argmax()]
    along = third - first
    aside = along[0] * (points[:, 1] - first[1]) - along[1] * (points[:, 0] - first[0])
    if aside.max() <= 0.0 or aside.min() >= 0.0:
        return None
    corners = np.array([first, points[aside.argmax()], third, points[aside.argmin()]])
    away = corners - middle
    return np.asarray(corners + 0.6 * away / np.maximum(np.hypot(*away.T)[:, None], 1.0))


def _compared(small: FloatArray, corners: FloatArray) -> Frame | None:
    """Look at the piece squarely and take the likeliest pattern and turn."""
    share = (np.arange(_CELLS) + 0.5) / _CELLS * (1.0 + 2.0 * _AROUND) - _AROUND
    u, v = (grid.ravel() for grid in np.meshgrid(share, share))
    places = np.column_stack([u, v, np.ones_like(u)]) @ square_map(corners).T
    if not (places[:, 2] * places[0, 2] > 0).all():
        return None
    columns, rows = (places[:, :2] / places[:, 2:]).T
    seen = ndimage.map_coordinates(small, [rows, columns], order=1, mode="nearest")
    best = max(range(5), key=lambda turn: _likeness(seen, u, v, turn))
    likeness = _likeness(seen, u, v, best)
    if likeness < _LIKE:
        return None
    return Frame(np.roll(corners, best % 4, axis=0), best < 4, likeness)


def _likeness(seen: FloatArray, u: FloatArray, v: FloatArray, turn: int) -> float:
    """Correlation with the half-filled pattern turned ``turn`` times, or with the plain at 4."""
    if seen.std() < 1e-6:
        return 0.0
    for _once in range(turn % 4):
        u, v = 1.0 - v, u
    frame = MARK_FRAME / MARK_SIDE
    from_middle = np.maximum(np.abs(u - 0.5), np.abs(v - 0.5))
    within = 0.5 - frame - from_middle  # the opening, in sides
    if turn < 4:
        within = np.minimum(within, 0.5 - v)
    drawn = np.clip(np.maximum(from_middle - 0.5, within) / _SOFT + 0.5, 0.0, 1.0)
    around, inside = from_middle > 0.5 + _SOFT / 2.0, within > 0.02
    black = float(np.median(seen[(from_middle < 0.48) & (within < -0.02)]))
    # a solid square is much like a mark but for this
    if np.median(seen[inside]) - black < _OPEN * (np.median(seen[around]) - black):
        return 0.0
    return float(np.corrcoef(seen, drawn)[0, 1])


def _apart(frames: list[Frame]) -> list[Frame]:
    """Without those that another, likelier one covers."""
    kept: list[Frame] = []
    for one in frames:
        if all(np.hypot(*(one.center - other.center)) > 0.4 * other.side for other in kept):
            kept.append(one)
    return kept
