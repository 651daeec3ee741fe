"""A broadhead against the field point along the distance."""

from dataclasses import dataclass

from matplotlib.figure import Figure

from vireton.kernel.arrays import FloatArray
from vireton.plots.curves import ShiftBand
from vireton.plots.style import (
    PAGE_HEIGHT,
    PAGE_WIDTH,
    STROKES,
    draw_band,
    foot,
    head,
    left_out,
    limits,
    our_look,
    prepare,
    shows_something,
)
from vireton.units.display import display
from vireton.units.text import UnitSystem

#: rad/s of the launch error that the lowest panel is for (our choice: about what a rest that is
#: off by 1/64 in does).
NOSE_RATE = 0.1


@dataclass(frozen=True, eq=False)
class BroadheadCurve:
    """Broadhead minus field point along ``distance`` (n,) m, rising.

    ``separation`` m as the bow shoots them; ``per_rate``, ``per_rate_low``, ``per_rate_high`` (n,)
    m per rad/s that a nose turning right adds to the right, with its band. ``sideways_open`` as in
    :class:`~vireton.plots.curves.RestCurve`.
    """

    distance: FloatArray
    separation: ShiftBand
    per_rate: FloatArray
    per_rate_low: FloatArray
    per_rate_high: FloatArray
    sideways_open: bool = True


def broadhead_figure(curve: BroadheadCurve, *, system: UnitSystem, title: str, band: str) -> Figure:
    """Draw the separation up and sideways, and what a turning nose adds to it.

    Args:
        curve: the comparison.
        system: ``"us"`` for yards and inches, ``"metric"`` for meters and centimeters.
        title: heading.
        band: what the band is, in words.
    """
    units = display(system)
    apart = curve.separation
    turned = [NOSE_RATE * one for one in (curve.per_rate, curve.per_rate_low, curve.per_rate_high)]
    panels = (
        ("Up and down, as this bow shoots them", ("head low", "head high"),
         (apart.up, apart.up_low, apart.up_high)),
        ("Sideways, as this bow shoots them", ("head left", "head right"),
         (apart.right, apart.right_low, apart.right_high)),
        (f"What a nose that turns right at {NOSE_RATE:g} rad/s adds to the right (nose up: about "
         "as much upwards)", ("head left", "head right"), tuple(turned)),
    )  # fmt: skip
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, PAGE_HEIGHT))
        below = (
            f"Broadhead minus field point of the same arrow from the same bow, in "
            f"{units.small_word} against {units.far_word}; the sight is set with the field point. "
            "Scales differ from panel to panel."
        )
        top = head(figure, title, below) - 0.05
        shown = [
            one for one in panels
            if shows_something([v / units.small_size for v in one[-1]], units.small_span)
        ] or [panels[-1]]  # fmt: skip
        gone = left_out(
            [name.lower() for name, *_ in panels if name not in {one[0] for one in shown}]
        )
        notes = [f"Shaded: {band}.", *gone]
        if curve.sideways_open:
            notes.append("As shot, the side is open until this bow has shown it.")
        bottom = foot(figure, notes) + 0.07
        grid = figure.add_gridspec(
            len(shown), 1, left=0.125, right=0.97, top=top, bottom=bottom, hspace=0.3
        )
        x = curve.distance / units.far_size
        for i, (name, ends, values) in enumerate(shown):
            axes = figure.add_subplot(grid[i, 0])
            prepare(axes, "separation", units.small, *ends)
            axes.set_title(name, loc="left", fontsize="medium")
            value, low, high = (one / units.small_size for one in values)
            draw_band(axes, STROKES[0], x, low, high)
            axes.plot(x, value, **STROKES[0].line)
            axes.plot(x, value, **STROKES[0].spot)
            axes.set_ylim(*limits([value, low, high], units.small_span))
        axes.set_xlabel(f"distance from the bow ({units.far})")
    return figure
