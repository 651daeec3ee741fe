"""Labels beside points of a panel, none over another or over a point."""

import math
from collections.abc import Sequence
from itertools import product

import numpy as np
from matplotlib.axes import Axes

from vireton.kernel.arrays import FloatArray
from vireton.plots.style import FAINT, PAPER, SMALL

_LETTER, _LINE = 0.62, 1.3  # of the size of the type: about as wide and high as a letter is
_WAYS = [math.radians(turn) for turn in (45, -45, 90, -90, 135, -135, 0, 180)]
_AWAY = (11.0, 20.0, 32.0, 46.0, 62.0)  # points, tried in turn
_SPOT = 4.0  # points about each point that stay free


def label_points(
    axes: Axes, points: FloatArray, texts: Sequence[str], keep_free: FloatArray | None = None
) -> None:
    """Write each text near its point (n, 2), in the panel's units; call it when its limits stand.

    A label that has to stand farther off is tied to its point by a thin line. ``keep_free``: other
    points (m, 2) that no label is to cover.
    """
    where = axes.transData.transform(points.reshape(-1, 2)) / axes.figure.dpi * 72.0
    free = where
    if keep_free is not None:
        others = axes.transData.transform(keep_free.reshape(-1, 2)) / axes.figure.dpi * 72.0
        free = np.concatenate([where, others])
    room = np.array(axes.bbox.extents) / axes.figure.dpi * 72.0
    taken = [(x - _SPOT, y - _SPOT, x + _SPOT, y + _SPOT) for x, y in free]
    for point, at, text in zip(points.reshape(-1, 2), where, texts, strict=True):
        wide, high = len(text) * _LETTER * SMALL + 4.0, _LINE * SMALL
        away, box = _free(at, (wide, high), taken, room)
        taken.append(box)
        middle = (0.5 * (box[0] + box[2]) - at[0], 0.5 * (box[1] + box[3]) - at[1])
        if away > _AWAY[0]:
            _tie(axes, point, middle)
        axes.annotate(
            text, tuple(point), xytext=middle, textcoords="offset points", ha="center",
            va="center", fontsize=SMALL, zorder=5.0, annotation_clip=False, parse_math=False,
            bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.5, "alpha": 0.85},
        )  # fmt: skip


def _tie(axes: Axes, point: FloatArray, middle: tuple[float, float]) -> None:
    """A thin line from a point to where its label stands."""
    axes.annotate(
        "", tuple(point), xytext=middle, textcoords="offset points", annotation_clip=False,
        arrowprops={"arrowstyle": "-", "color": FAINT, "linewidth": 0.6, "shrinkA": 0,
                    "shrinkB": 3},
    )  # fmt: skip


_Box = tuple[float, float, float, float]


def _free(
    at: FloatArray, size: tuple[float, float], taken: Sequence[_Box], room: FloatArray
) -> tuple[float, _Box]:
    """How far off and the box of the first place that is free; else the first of all.

    All in points.
    """
    tried = [(away, _box(at, away, way, size)) for away, way in product(_AWAY, _WAYS)]
    for away, box in tried:
        inside = box[0] >= room[0] and box[1] >= room[1] and box[2] <= room[2] and box[3] <= room[3]
        if inside and not any(_overlap(box, other) for other in taken):
            return away, box
    return tried[0]


def _box(at: FloatArray, away: float, way: float, size: tuple[float, float]) -> _Box:
    """A box of ``size`` whose near side or corner lies ``away`` from ``at``."""
    across, up = math.cos(way), math.sin(way)
    gap = 0.55 * away
    x = at[0] + across * gap + 0.5 * size[0] * _sign(across)
    y = at[1] + up * gap + 0.5 * size[1] * _sign(up)
    return x - 0.5 * size[0], y - 0.5 * size[1], x + 0.5 * size[0], y + 0.5 * size[1]


def _sign(value: float) -> float:
    return 0.0 if abs(value) < 1e-9 else math.copysign(1.0, value)


def _overlap(one: _Box, other: _Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
