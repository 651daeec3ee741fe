"""What to hold for, over distance: wind, slope, a crooked hold."""

from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from vireton.kernel.arrays import FloatArray
from vireton.plots.curves import ShiftBand
from vireton.plots.naming import End, name_ends
from vireton.plots.style import (
    PAGE_HEIGHT,
    PAGE_WIDTH,
    SMALL,
    STROKES,
    draw_band,
    foot,
    head,
    limits,
    our_look,
    prepare,
)
from vireton.units.display import LIKE_YOURS, WIND, Display, display
from vireton.units.text import UnitSystem


@dataclass(frozen=True, eq=False)
class HoldCurve:
    """One cause and the shift of the impact that it brings, (n,) m over the same distances."""

    label: str
    shift: ShiftBand


def holds_figure(
    distance: FloatArray,
    *,
    crosswind: HoldCurve,
    heights: Sequence[HoldCurve],
    slopes: Sequence[HoldCurve],
    crooked: Sequence[HoldCurve],
    system: UnitSystem,
    title: str,
    wind: float,
) -> Figure:
    """Draw four panels over distance: drift, wind along the shot, slopes, a crooked hold.

    Args:
        distance: (n,) m, rising.
        crosswind: full wind from the left; its sideways shift is drawn.
        heights: head and tail wind; their shift up and down is drawn.
        slopes: the same of slopes.
        crooked: cant and level; their sideways shift is drawn.
        system: units.
        title: heading.
        wind: m/s, for the words.
    """
    units = display(system)
    name, size = units.unit(WIND)
    speed = f"{wind / size:.3g} {name}"
    panels = (
        (f"WIND OF {speed} FROM THE LEFT", "right", [crosswind], ("lands left", "lands right")),
        (f"WIND OF {speed} ALONG THE SHOT", "up", heights, ("lands low", "lands high")),
        ("SLOPE", "up", slopes, ("lands low", "lands high")),
        ("BOW OR LEVEL CROOKED", "right", crooked, ("lands left", "lands right")),
    )
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, PAGE_HEIGHT))
        below = (
            "How far the fletched arrow lands from the aim point, the sight set for each distance "
            "on level ground in still air. Hold the other way."
        )
        top = head(figure, title, below) - 0.06
        notes = [f"Shaded: {LIKE_YOURS}; your own shot scatter comes on top."]
        bottom = foot(figure, notes) + 0.07
        grid = figure.add_gridspec(
            2, 2, left=0.125, right=0.87, top=top, bottom=bottom, hspace=0.3, wspace=0.95
        )
        for i, (name, axis, curves, ends) in enumerate(panels):
            axes = figure.add_subplot(grid[i // 2, i % 2])
            prepare(axes, "shift", units.small, *ends)
            axes.set_title(name, loc="left", fontsize=SMALL, fontweight="bold")
            axes.set_xlabel(f"distance ({units.far})")
            _draw(axes, distance, curves, axis, units)
    return figure


def _draw(
    axes: Axes, distance: FloatArray, curves: Sequence[HoldCurve], axis: str, units: Display
) -> None:
    far = distance / units.far_size
    everything: list[FloatArray] = []
    ends: list[End] = []
    for curve, stroke in zip(curves, STROKES, strict=False):
        value, low, high = (
            getattr(curve.shift, f"{axis}{end}") / units.small_size for end in ("", "_low", "_high")
        )
        everything += [value, low, high]
        draw_band(axes, stroke, far, low, high)
        axes.plot(far, value, **stroke.line)
        axes.plot(far, value, **stroke.spot)
        ends.append(End(float(far[-1]), float(value[-1]), curve.label, stroke, False))
    axes.set_ylim(*limits(everything, units.small_span))
    if len(curves) > 1:
        name_ends(axes, ends, 14, samples=False)
