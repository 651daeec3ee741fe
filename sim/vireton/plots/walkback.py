"""Walk-back points with the line that each cause would draw."""

from collections.abc import Mapping

import numpy as np
from matplotlib.figure import Figure

from vireton.arrays import FloatArray
from vireton.plots.naming import sample
from vireton.plots.scales import System, scale
from vireton.plots.style import (
    INK,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    STROKES,
    head,
    limits,
    our_look,
    prepare,
)


def walkback_figure(
    distance: FloatArray,
    seen: FloatArray,
    error: FloatArray,
    curves: Mapping[str, FloatArray],
    *,
    system: System,
    title: str,
) -> Figure:
    """Draw the points over distance, right towards the top, and each cause's line with its name.

    Args:
        distance: (n,) m.
        seen: (n,) m to the right of the plumb line.
        error: (n,) m, standard deviation of a shot.
        curves: (n,) m by name, up to eight; names carry their probability.
        system: units.
        title: heading.
    """
    units = scale(system)
    order = np.argsort(distance)
    far = distance[order] / units.far_size
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, PAGE_HEIGHT))
        below = (
            "Points: shots of one sight setting from each distance, with one standard deviation. "
            "Lines: what each cause alone would draw, at its likeliest size."
        )
        top = head(figure, title, below)
        axes = figure.add_axes((0.125, 0.22, 0.82, top - 0.25))
        prepare(axes, "off the plumb line", units.small, "left", "right")
        lines = []
        for (_, line), stroke in zip(curves.items(), STROKES, strict=False):
            values = line[order] / units.small_size
            axes.plot(far, values, **stroke.line)
            axes.plot(far, values, **stroke.spot)
            lines.append(sample(stroke))
        figure.legend(
            lines,
            list(curves),
            loc="upper left",
            bbox_to_anchor=(0.11, 0.165),
            frameon=False,
            handlelength=5.0,
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
        axes.set_xlabel(f"distance from the bow ({units.far})")
    return figure
