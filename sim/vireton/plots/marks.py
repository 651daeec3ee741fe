"""Sight marks: a strip of the bar in true size, and the marks over distance."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from vireton.kernel.arrays import FloatArray
from vireton.plots.naming import spread
from vireton.plots.style import (
    FAINT,
    INK,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    SMALL,
    STROKES,
    draw_band,
    foot,
    head,
    our_look,
)
from vireton.units.display import display
from vireton.units.numbers import INCH
from vireton.units.text import UnitSystem

_STRIP_LEFT, _STRIP_WIDTH = 0.6, 1.1  # inches on the page
_LINES, _NAMES = 0.45, 0.58  # inches into the strip: where its lines end, where names begin
_SPARE = 0.25  # inches of the strip above the first and below the last mark


@dataclass(frozen=True, eq=False)
class MarkCurve:
    """Marks along ``distance`` (m,) m, rising, with the ends of their interval; m on the bar."""

    distance: FloatArray
    mark: FloatArray
    low: FloatArray
    high: FloatArray


def marks_figure(
    distance: FloatArray,
    mark: FloatArray,
    curve: MarkCurve,
    *,
    shots: Sequence[tuple[float, float]],
    downwards: bool,
    system: UnitSystem,
    title: str,
) -> Figure:
    """Draw the strip and the curve.

    Args:
        distance: (n,) m of the lines on the strip, rising.
        mark: (n,) m on the bar, as its own number runs.
        curve: the same along a fine grid.
        shots: (distance, mark) m of the shot-in ones.
        downwards: whether the bar's number rises as the pin goes down.
        system: units.
        title: heading.

    The strip is in true size where the page holds it: print it at 100 %.
    """
    units = display(system)
    unit, size = ("in", INCH) if system == "us" else ("mm", 1e-3)
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, PAGE_HEIGHT))
        below = (
            "Left: the pin's place on the bar for each distance, farther is lower. Right: the same "
            "numbers over distance; rings are marks that were shot in."
        )
        top = head(figure, title, below) - 0.05
        notes = ["Shaded: 95 % interval. Check a mark by shooting before you trust it."]
        bottom = foot(figure, notes) + 0.07
        _strip(figure, distance, mark, top, bottom, downwards, units.far, units.far_size)
        axes = figure.add_axes((0.42, bottom, 0.54, top - bottom - 0.02))
        axes.grid(True)
        axes.set_xlabel(f"distance ({units.far})")
        axes.set_ylabel(f"mark on the bar ({unit})")
        far = curve.distance / units.far_size
        draw_band(axes, STROKES[0], far, curve.low / size, curve.high / size)
        axes.plot(far, curve.mark / size, **STROKES[0].line)
        if shots:
            at = np.array(shots)
            axes.plot(at[:, 0] / units.far_size, at[:, 1] / size, **STROKES[0].spot)
        if downwards:
            axes.invert_yaxis()
    return figure


def _strip(
    figure: Figure,
    distance: FloatArray,
    mark: FloatArray,
    top: float,
    bottom: float,
    downwards: bool,
    far: str,
    far_size: float,
) -> None:
    """The bar with a line for each distance, and a length to check the print by."""
    # inches below the highest pin
    down = (mark - mark.min() if downwards else mark.max() - mark) / INCH
    length = float(down.max()) + 2.0 * _SPARE
    room = (top - bottom) * PAGE_HEIGHT - 0.35
    true_size = length <= room
    height = min(length, room)
    axes = figure.add_axes(
        (
            _STRIP_LEFT / PAGE_WIDTH,
            top - height / PAGE_HEIGHT - 0.02,
            _STRIP_WIDTH / PAGE_WIDTH,
            height / PAGE_HEIGHT,
        )
    )
    axes.set_xlim(0.0, _STRIP_WIDTH)
    axes.set_ylim(length - _SPARE, -_SPARE)
    axes.set_xticks([])
    axes.set_yticks([])
    for side in axes.spines.values():
        side.set_visible(True)
    _labels(axes, distance / far_size, down, length, height, far)
    words = (
        "true size at 100 % print:\nthe line is 1 in (25.4 mm)" if true_size else "NOT true size"
    )
    place = top - height / PAGE_HEIGHT - 0.045
    if true_size:
        line = figure.add_axes(
            (_STRIP_LEFT / PAGE_WIDTH, place, 1.0 / PAGE_WIDTH, 0.002), frameon=False
        )
        line.plot([0.0, 1.0], [0.0, 0.0], color=INK, linewidth=2.0, solid_capstyle="butt")
        line.set_xlim(0.0, 1.0)
        line.set_axis_off()
    figure.text(_STRIP_LEFT / PAGE_WIDTH, place - 0.006, words, va="top", fontsize=SMALL)


def _labels(
    axes: Axes, far: FloatArray, down: FloatArray, length: float, height: float, unit: str
) -> None:
    """Lines into the strip, each named inside of it without one name over another.

    Where the strip is too short for all names, every second, fifth, … line has one; the others
    are short and thin.
    """
    order = np.argsort(down)
    points = height * 72.0  # of the strip
    room = SMALL * 1.25
    every = next(n for n in (1, 2, 5, 10, 20, 50, len(far)) if len(order[::n]) * room <= points)
    named = order[::every]
    for i, at in enumerate(down):
        long, wide = (_LINES, 0.9) if i in named else (0.4 * _LINES, 0.4)
        axes.plot([0.0, long], [at, at], color=INK, linewidth=wide)
    wanted = [float((down[i] + _SPARE) / length * points) for i in named]
    places = spread(wanted, [room] * len(wanted), points)
    for i, place in zip(named, places, strict=True):
        level = place / points * length - _SPARE
        axes.plot([_LINES, _NAMES - 0.03], [down[i], level], color=FAINT, linewidth=0.6)
        axes.text(_NAMES, level, f"{far[i]:.4g} {unit}", va="center", fontsize=SMALL)
