"""Walk-back points with the line that each cause would draw."""

from collections.abc import Mapping

import numpy as np
from matplotlib.figure import Figure

from vireton.kernel.arrays import FloatArray
from vireton.plots.naming import End, name_ends
from vireton.plots.style import (
    INK,
    NORMAL,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    STROKES,
    head,
    limits,
    our_look,
    prepare,
)
from vireton.units.display import display
from vireton.units.text import UnitSystem

_NAME_WIDTH = 17  # letters of a name beside the panel


def walkback_figure(
    distance: FloatArray,
    seen: FloatArray,
    error: FloatArray,
    curves: Mapping[str, FloatArray],
    *,
    system: UnitSystem,
    title: str,
) -> Figure:
    """Draw the points over distance, right toward the top, and each cause's line with its name.

    Args:
        distance: (n,) m.
        seen: (n,) m to the right of the plumb line.
        error: (n,) m, standard deviation of a shot.
        curves: (n,) m by name, up to eight; names carry their probability.
        system: units.
        title: heading.
    """
    units = display(system)
    order = np.argsort(distance)
    far = distance[order] / units.far_size
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, PAGE_HEIGHT))
        below = (
            "Points: shots of one sight setting from each distance, with one standard deviation. "
            "Lines: what each cause alone would draw, at its likeliest size."
        )
        top = head(figure, title, below)
        axes = figure.add_axes((0.125, 0.08, 0.62, top - 0.12))
        prepare(axes, "off the plumb line", units.small, "left", "right")
        heading = "Sideways, 0 = plumb line; the archer's right is toward the top"
        axes.set_title(heading, loc="left", fontsize=NORMAL, pad=4.0)
        ends = []
        for (name, line), stroke in zip(curves.items(), STROKES, strict=False):
            values = line[order] / units.small_size
            axes.plot(far, values, **stroke.line)
            axes.plot(far, values, **stroke.spot)
            ends.append(
                End(float(far[-1]), float(values[-1]), name.replace(" %", "\u00a0%"), stroke)
            )
        axes.errorbar(
            far,
            seen[order] / units.small_size,
            yerr=error[order] / units.small_size,
            fmt="o",
            color=INK,
            capsize=3.0,
        )
        both = [(seen + sign * error) / units.small_size for sign in (-1.0, 1.0)]
        axes.set_ylim(*limits([*both, *(c / units.small_size for c in curves.values())], 1.0))
        axes.set_xlim(0.0, float(far[-1]) * 1.02)
        name_ends(axes, ends, _NAME_WIDTH, samples=True)
        axes.set_xlabel(f"distance from the bow ({units.far})")
    return figure
