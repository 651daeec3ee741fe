"""A card with two windows to hold to a paper tear; each corner that is a zero serves one tear."""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Polygon

from vireton.paper import MILLIMETER
from vireton.plots.sheets import (
    HAIR,
    THIN,
    TINY,
    Room,
    Ruling,
    Segment,
    draw_lines,
    number_at,
)
from vireton.plots.style import FAINT, INK, SMALL
from vireton.units.text import UnitSystem

#: To read a tear to a sixteenth of an inch or a millimeter.
_TEAR: dict[UnitSystem, Ruling] = {
    "us": Ruling(1.0 / 16.0, 8, "in", 0.5),
    "metric": Ruling(MILLIMETER, 10, "mm", 10.0),
}


def draw_tear(axes: Axes, room: Room, system: UnitSystem) -> None:
    """Two windows, one above the other; each edge of a window counts from one of its corners."""
    ruling = _TEAR[system]
    left, bottom, right, top = room
    gap = 0.5  # for the numbers outside a window
    wanted = min((top - bottom) / 2.0 - 2.0 * gap, right - left - 3.2)
    size = np.floor(wanted / ruling.step) * ruling.step
    x = left + gap
    half = (top - bottom) / 2.0
    windows = (
        (bottom + 1.5 * half, ("high and LEFT", "low and RIGHT"), False),
        (bottom + 0.5 * half, ("high and RIGHT", "low and LEFT"), True),
    )
    for middle, words, mirrored in windows:
        _window(axes, (x, middle - size / 2.0), size, ruling, mirrored=mirrored)
        axes.text(
            x + size + gap,
            middle,
            f"tail {words[0]}: use the lower\n{'right' if mirrored else 'left'} corner\n\n"
            f"tail {words[1]}: use the upper\n{'left' if mirrored else 'right'} corner\n\n"
            f"numbers: {ruling.unit} from that corner\n"
            f"fine marks: {'1/16 in' if system == 'us' else '1 mm'}",
            va="center",
            fontsize=SMALL,
            linespacing=1.35,
        )


def _window(
    axes: Axes, corner: tuple[float, float], size: float, ruling: Ruling, *, mirrored: bool
) -> None:
    """A square to cut out, ``corner`` its lower left; two opposite corners are the zeros.

    Lower left and upper right; with ``mirrored`` lower right and upper left.
    """
    square = np.array([(0.0, 0.0), (size, 0.0), (size, size), (0.0, size)])
    axes.add_patch(Polygon(square + corner, fill=False, edgecolor=INK, linewidth=THIN))
    marks = np.arange(round(size / ruling.fine) + 1)
    segments: list[Segment] = []
    # each edge: zero corner, along the edge, and outwards
    edges = (
        ((0.0, 0.0), (1.0, 0.0), (0.0, -1.0)),
        ((0.0, 0.0), (0.0, 1.0), (-1.0, 0.0)),
        ((size, size), (-1.0, 0.0), (0.0, 1.0)),
        ((size, size), (0.0, -1.0), (1.0, 0.0)),
    )

    def place(point: np.ndarray) -> tuple[float, float]:
        across = size - point[0] if mirrored else point[0]
        return float(corner[0] + across), float(corner[1] + point[1])

    for zero, along, out in (map(np.array, edge) for edge in edges):
        for mark in marks:
            at = zero + mark * ruling.fine * along
            length = 0.22 if mark % ruling.bold == 0 else 0.08
            if mark % ruling.bold and (2 * mark) % ruling.bold == 0:
                length = 0.14
            segments.append((place(at), place(at + length * out)))
            if mark % ruling.bold == 0:
                axes.text(
                    *place(at + 0.31 * out),
                    number_at(mark // ruling.bold * ruling.per_bold),
                    ha="center",
                    va="center",
                    fontsize=TINY,
                )
        heart = place(zero + 0.22 * (along + np.abs(out) * np.sign(size / 2.0 - zero)))
        axes.plot(*heart, marker="o", markersize=4.0, color=FAINT, markeredgewidth=0.0)
    draw_lines(axes, segments, HAIR)
