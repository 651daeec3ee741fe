"""A walk-back as the target shows it: sideways as seen, each distance at its drop below the aim."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from vireton.kernel.arrays import FloatArray
from vireton.plots.naming import End, name_ends
from vireton.plots.style import (
    INK,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    PAPER,
    SMALL,
    STROKES,
    Stroke,
    head,
    our_look,
    prepare_face,
)
from vireton.units.display import display
from vireton.units.text import UnitSystem

_LINE = STROKES[1]
_SPOT = Stroke(INK, (), "o", "", 7.0)
_NAME_WIDTH = 12  # letters of a name beside the panel


@dataclass(frozen=True)
class Walked:
    """Places down the target, (n,) m each: ``distance`` rising, ``right`` of the plumb line, ``up``
    from the aim point with the one pin, ``error`` of ``right``: what it may be off by.
    """

    distance: FloatArray
    right: FloatArray
    up: FloatArray
    error: FloatArray


def walkback_figure(
    seen: Walked, line: Walked, name: str, *, system: UnitSystem, title: str
) -> Figure:
    """Draw the points where they landed, the plumb line and the line of the verdict.

    Args:
        seen: points, with their standard deviation.
        line: with its half-width.
        name: what the line is of.
        system: units.
        title: heading.
    """
    units = display(system)
    right, up, error = (v / units.small_size for v in (seen.right, seen.up, seen.error))
    along, down, wide = (v / units.small_size for v in (line.right, line.up, line.error))
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, PAGE_HEIGHT))
        below = (
            "As the archer sees the target: right is right, high is up. Each distance stands at "
            "the drop of the one pin. Across, the picture is stretched."
        )
        top = head(figure, title, below)
        axes = figure.add_axes((0.125, 0.07, 0.7, top - 0.125))
        prepare_face(axes, "off the plumb line", units.small)
        axes.set_ylabel(f"← low   drop with the one pin ({units.small})   high →")
        band = axes.fill_betweenx(
            down, along - wide, along + wide, facecolor=(0.5, 0.53, 0.55, 0.16),
            edgecolor=_LINE.color, hatch=_LINE.hatch, linewidth=0.0, zorder=1.0,
        )  # fmt: skip
        for edge in (-1.0, 1.0):
            axes.plot(along + edge * wide, down, color=_LINE.color, linewidth=0.6, zorder=1.2)
        (fitted,) = axes.plot(along, down, **_LINE.line)
        plumb = axes.axvline(0.0, color=INK, linewidth=1.2, zorder=1.6)
        shot = axes.errorbar(
            right, up, xerr=error, fmt="o", color=INK, markerfacecolor=PAPER, capsize=3.0, zorder=3
        )
        (aim,) = axes.plot(
            0.0, 0.0, marker="+", color=INK, markersize=16.0, markeredgewidth=1.8,
            linestyle="none", zorder=4,
        )  # fmt: skip
        _key(axes, {
            "where arrows landed, ± their error": shot, "aim point": aim, "plumb line": plumb,
            f"{name}, and its 95 % band": (band, fitted),
        })  # fmt: skip
        reach = 1.08 * float(np.max([*np.abs(right) + error, *np.abs(along) + wide]))
        reach = max(reach, 0.5 * units.small_span)
        axes.set_xlim(-reach, reach)
        low, high = min(float(up.min()), 0.0), max(float(up.max()), 0.0)
        room = 0.05 * max(high - low, units.small_span)
        axes.set_ylim(low - room, high + 2.0 * room)
        ends = [
            End(x, y, f"from {far / units.far_size:.3g} {units.far}", _SPOT)
            for x, y, far in _each_distance(seen.distance, right + error, up)
        ]
        name_ends(axes, ends, _NAME_WIDTH, samples=False)
    return figure


def _key(axes: Axes, shown: Mapping[str, Any]) -> None:
    """What is drawn in which way, in two lines above the panel."""
    axes.legend(
        list(shown.values()), list(shown), loc="lower left", bbox_to_anchor=(-0.02, 1.0), ncols=2,
        frameon=False, fontsize=SMALL, borderaxespad=0.2, columnspacing=2.0, handlelength=2.6,
    )  # fmt: skip


def _each_distance(
    distance: FloatArray, right: FloatArray, up: FloatArray
) -> list[tuple[float, float, float]]:
    """The rightmost place of each distance, so that it is named once."""
    found = []
    for far in np.unique(distance):
        own = distance == far
        found.append((float(right[own].max()), float(up[own][0]), float(far)))
    return found
