"""The answer to one 32nd in of rest against the shaft's static spine."""

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
    demand_strokes,
    draw_band,
    foot,
    head,
    limits,
    our_look,
    prepare,
)
from vireton.units.display import display
from vireton.units.numbers import INCH
from vireton.units.text import UnitSystem


@dataclass(frozen=True, eq=False)
class SpineCurve:
    """One point mass and length over static spines (n,) m, rising.

    ``yaw_rate`` rad/s (right: nose right by a move right; up: nose up by a move up) and
    ``separation`` m at 20 yd, each (n,) with its band.
    """

    label: str
    spine: FloatArray
    yaw_rate: ShiftBand
    separation: ShiftBand


def spine_figure(
    curves: Sequence[SpineCurve], *, system: UnitSystem, title: str, band: str
) -> Figure:
    """Draw yaw rate and separation per 1/32 in of rest against static spine, with bands.

    Args:
        curves: one to eight.
        system: ``"us"`` draws separations in inches, ``"metric"`` in centimeters; spine is in
            inches in both, as it is printed on shafts.
        title: heading.
        band: what the band is, in words.

    Raises InputProblem, a ValueError, for more than eight curves.
    """
    demand_strokes(len(curves), "curves")
    units = display(system)
    rows = (
        ("yaw_rate", "turn of the nose", "rad/s", 1.0, 0.1, ("nose left", "nose right"),
         ("nose down", "nose up")),
        ("separation", "separation", units.small, units.small_size, units.small_span,
         ("bare left", "bare right"), ("bare low", "bare high")),
    )  # fmt: skip
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, PAGE_HEIGHT))
        below = (
            "What one 32nd in of rest does, to the right (left column) and up (right column), "
            "against the shaft's static spine in inches: a larger number is a weaker shaft. "
            "Separation: change of bare minus fletched at 20 yd. Where a sideways line passes "
            "through 0 the move does not turn the nose, and beyond it turns it the other way."
        )
        top = head(figure, title, below) - 0.07
        notes = [
            f"Shaded: {band}.",
            "Sideways the direction is open until this bow has shown it, wherever the band lies.",
        ]
        bottom = foot(figure, notes) + 0.07
        grid = figure.add_gridspec(
            2, 2, left=0.125, right=0.9, top=top, bottom=bottom, hspace=0.3, wspace=0.75
        )
        for i, (field, name, unit, size, span, ends_right, ends_up) in enumerate(rows):
            for j, (axis, ends) in enumerate((("right", ends_right), ("up", ends_up))):
                axes = figure.add_subplot(grid[i, j])
                prepare(axes, name, unit, *ends)
                if i == 0:
                    heading = "REST RIGHT (side open)" if axis == "right" else "REST UP"
                    axes.set_title(heading, loc="left", fontsize=SMALL, fontweight="bold")
                else:
                    axes.set_xlabel("static spine (in)")
                _draw(axes, curves, field, axis, size, span)
    return figure


def _draw(
    axes: Axes, curves: Sequence[SpineCurve], field: str, axis: str, size: float, span: float
) -> None:
    everything: list[FloatArray] = []
    ends: list[End] = []
    for curve, stroke in zip(curves, STROKES, strict=False):
        shift: ShiftBand = getattr(curve, field)
        value, low, high = (getattr(shift, f"{axis}{end}") / size for end in ("", "_low", "_high"))
        everything += [value, low, high]
        spine = curve.spine / INCH
        draw_band(axes, stroke, spine, low, high)
        axes.plot(spine, value, **stroke.line)
        axes.plot(spine, value, **stroke.spot)
        if spine.size:
            ends.append(End(float(spine[-1]), float(value[-1]), curve.label, stroke, False))
    axes.set_ylim(*limits(everything, span))
    if len(curves) > 1:
        name_ends(axes, ends, 10, samples=False)
