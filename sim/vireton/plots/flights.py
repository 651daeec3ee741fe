"""Flights as pictures: up and sideways against distance, and how the shaft swings."""

import textwrap
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.gridspec import SubplotSpec

from vireton.kernel.arrays import FloatArray
from vireton.plots.curves import MOST_CURVES, FlightCurve
from vireton.plots.naming import End, name_ends
from vireton.plots.style import (
    NORMAL,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    SIDE_OPEN,
    STROKES,
    Stroke,
    foot,
    head,
    left_out,
    limits,
    our_look,
    prepare,
    shows_something,
)
from vireton.units.display import Display, display
from vireton.units.numbers import DEGREE
from vireton.units.problems import InputProblem
from vireton.units.text import UnitSystem

Reference = Literal["sight", "bore"]

_REFERENCES = {"sight": "line of sight", "bore": "bore line"}
#: Degrees; below this a swing of the shaft is of no matter and the panel does not magnify it.
_LEAST_SWING = 1.0
_SIDE_NOTE = (
    "↔ Sideways the sizes are the model's; whether to the right or to the left is open until this "
    "bow has shown it. Right is toward the top."
)
_PATHS = ("up", "sideways")  # the taller panels
_NAME_WIDTH = 15  # letters of a name beside a panel
_NAME_LINES = 10  # lines of names that the lowest panel has room for


@dataclass(frozen=True)
class _Panel:
    """One panel: which array, in which unit, and the words at its two ends."""

    pick: Callable[[FlightCurve], FloatArray]
    size: float
    name: str
    unit: str
    less: str
    more: str
    least_span: float
    heading: str


def flight_figure(
    curves: Sequence[FlightCurve],
    *,
    system: UnitSystem,
    title: str,
    reference: Reference,
    marks: Sequence[float] = (),
    sideways_open: bool = False,
) -> Figure:
    """Draw flights on one letter page: side view, sideways, yaw and pitch, one distance axis.

    A panel in which nothing leaves zero is left out and named in a note; the others fill the page.

    Args:
        curves: up to eight; each keeps its dash and marker in all panels. A curve without points,
            or with nothing but nan, is named in a note; one that ends early is marked with a cross.
        system: ``"us"`` draws yd and in, ``"metric"`` m and cm; angles are in degrees.
        title: heading; taken as it is.
        reference: what ``right`` and ``up`` are measured from.
        marks: distances in m at which each curve carries its marker; those that a curve does not
            reach are left out of it.
        sideways_open: the side, left or right, is the model's guess and not known of this bow; the
            sideways and the yaw panel then say so.

    Right is drawn toward the top of the sideways panel, nose right likewise, and the axes say so.
    Raises InputProblem, a ValueError, for too many curves, and ValueError for an unknown system or
    reference.
    """
    units = display(system)
    if reference not in _REFERENCES:
        raise ValueError(f"reference {reference!r} is not known; it is 'sight' or 'bore'")
    if len(curves) > MOST_CURVES:
        raise InputProblem(
            f"{len(curves)} flights in one picture cannot be told apart; give at most {MOST_CURVES}"
        )
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, PAGE_HEIGHT))
        line = _REFERENCES[reference]
        top = head(figure, title, _below(units, line)) - 0.035
        tagged, key = _tagged(curves)
        panels = _seen(_panels(units, line), curves)
        names = {one.name for one in panels}
        gone = left_out([one.name for one in _panels(units, line) if one.name not in names])
        if sideways_open:
            panels = tuple(_marked_open(one) for one in panels)
        open_note = [_SIDE_NOTE] if any(SIDE_OPEN in one.heading for one in panels) else []
        notes = [*key, *_notes(curves, marks, units), *(gone if curves else []), *open_note]
        bottom = foot(figure, notes) + 0.055
        grid = figure.add_gridspec(
            len(panels), 1, height_ratios=[3.0 if one.name in _PATHS else 2.5 for one in panels],
            left=0.13, right=0.79, top=top, bottom=bottom, hspace=0.2,
        )  # fmt: skip
        first: Axes | None = None
        for i, panel in enumerate(panels):
            first = _draw_panel(figure, grid[i, 0], panel, tagged, units, marks, first)
        figure.axes[-1].tick_params(labelbottom=True)
        figure.axes[-1].set_xlabel(f"distance from the bow ({units.far})")
    return figure


def _seen(panels: Sequence[_Panel], curves: Sequence[FlightCurve]) -> tuple[_Panel, ...]:
    """The panels in which something leaves zero; the side view where none does."""

    def shows(panel: _Panel) -> bool:
        values = [panel.pick(one) / panel.size for one in curves]
        return shows_something(values, panel.least_span)

    return tuple(filter(shows, panels)) or (panels[0],)


def _marked_open(panel: _Panel) -> _Panel:
    """The panel with a heading that says so, where left and right are not known of this bow."""
    if panel.name not in ("sideways", "yaw"):
        return panel
    return replace(panel, heading=f"{panel.heading.split(';')[0]}   {SIDE_OPEN}")


def _tagged(curves: Sequence[FlightCurve]) -> tuple[Sequence[FlightCurve], list[str]]:
    """The curves with names that fit beside a panel, and notes that spell out letters if need be.

    One more line is kept for each name, for the distance at which its flight may end.
    """
    lines = sum(len(textwrap.wrap(curve.label, _NAME_WIDTH)) for curve in curves)
    if lines + (len(curves) if any(map(_ends_early, curves)) else 0) <= _NAME_LINES:
        return curves, []
    letters = [chr(ord("A") + i) for i in range(len(curves))]
    named = [f"{letter}: {c.label}" for letter, c in zip(letters, curves, strict=True)]
    tagged = [replace(c, label=letter) for letter, c in zip(letters, curves, strict=True)]
    return tagged, ["; ".join(named) + "."]


def _ends_early(curve: FlightCurve) -> bool:
    known = np.isfinite(curve.up)
    return bool(known.any() and not known[-1])


def _panels(units: Display, line: str) -> tuple[_Panel, ...]:
    small, size, span = units.small, units.small_size, units.small_span
    swing = _LEAST_SWING
    return (
        _Panel(lambda c: c.up, size, "up", small, "below", "above", span, f"Side view, 0 = {line}"),
        _Panel(
            lambda c: c.right, size, "sideways", small, "left", "right", span,
            f"Sideways, 0 = {line}; the archer's right is toward the top",
        ),
        _Panel(
            lambda c: c.yaw, DEGREE, "yaw", "deg", "nose left", "nose right", swing,
            "Yaw of the shaft, 0 = along its flight",
        ),
        _Panel(
            lambda c: c.pitch, DEGREE, "pitch", "deg", "nose down", "nose up", swing,
            "Pitch of the shaft, 0 = along its flight",
        ),
    )  # fmt: skip


def _draw_panel(
    figure: Figure,
    place: SubplotSpec,
    panel: _Panel,
    curves: Sequence[FlightCurve],
    units: Display,
    marks: Sequence[float],
    first: Axes | None,
) -> Axes:
    """One panel with all curves; returns the axes that share their distance with the others."""
    axes: Axes = figure.add_subplot(place, sharex=first)
    prepare(axes, panel.name, panel.unit, panel.less, panel.more)
    axes.set_title(panel.heading, loc="left", fontsize=NORMAL, pad=4.0)
    axes.set_ylim(*limits([panel.pick(c) / panel.size for c in curves], panel.least_span))
    axes.set_xlim(0.0, _farthest(curves) / units.far_size)
    ends = []
    for curve, stroke in zip(curves, STROKES, strict=False):
        values = panel.pick(curve) / panel.size
        end = _draw_curve(axes, curve, values, stroke, units, marks)
        if end is not None:
            ends.append(end)
    name_ends(axes, ends, _NAME_WIDTH, samples=True)
    axes.tick_params(labelbottom=False)
    return first or axes


def _draw_curve(
    axes: Axes,
    curve: FlightCurve,
    values: FloatArray,
    stroke: Stroke,
    units: Display,
    marks: Sequence[float],
) -> End | None:
    """Line, markers and the cross of an early end; None where there is nothing to draw."""
    far = curve.distance / units.far_size
    known = np.flatnonzero(np.isfinite(values))
    if known.size == 0:
        return None
    axes.plot(far, values, **stroke.line)
    spots = np.asarray(marks, dtype=float) / units.far_size
    heights = _heights(spots, far, values)
    axes.plot(spots, heights, **stroke.spot)
    if known.size == 1:
        axes.plot(far[known], values[known], **stroke.spot)
    last = int(known[-1])
    x, y = float(far[last]), float(values[last])
    if last == len(far) - 1:
        return End(x, y, curve.label, stroke)
    axes.plot(
        [x], [y], linestyle="none", marker="x", markersize=8.0,
        markeredgewidth=2.0, color=stroke.color,
    )  # fmt: skip
    return End(x, y, f"{curve.label} (to\u00a0{x:.3g}\u00a0{units.far})", stroke, early=True)


def _heights(spots: FloatArray, far: FloatArray, values: FloatArray) -> FloatArray:
    """``values`` at ``spots``, nan outside the curve and in its gaps."""
    heights = np.interp(spots, far, values, left=np.nan, right=np.nan)
    for i, spot in enumerate(spots):
        # at a point itself a gap beside it, or a rounded last digit, must not hide the marker
        nearest = int(np.argmin(np.abs(far - spot)))
        if np.isclose(far[nearest], spot, rtol=1e-9, atol=0.0):
            heights[i] = values[nearest]
    return heights


def _farthest(curves: Sequence[FlightCurve]) -> float:
    """The longest distance asked for, m; one meter where there is none."""
    return max([float(c.distance[-1]) for c in curves if len(c.distance)], default=0.0) or 1.0


def _below(units: Display, line: str) -> str:
    return (
        f"Archer's view: + is up, right, nose up, nose right. Measured from the {line}; "
        f"{units.small_word} up the page against {units.far_word} across it, not to one scale."
    )


def _notes(curves: Sequence[FlightCurve], marks: Sequence[float], units: Display) -> list[str]:
    notes = []
    empty = [c.label for c in curves if not np.any(np.isfinite(c.up))]
    if not curves:
        notes.append("No flight was given: there is nothing to draw.")
    elif empty:
        notes.append(f"Nothing to draw of: {', '.join(empty)}.")
    if any(map(_ends_early, curves)):
        notes.append("× the flight ends here, short of the farthest distance asked for.")
    if len(marks):
        where = ", ".join(f"{one / units.far_size:.4g}" for one in marks)
        notes.append(f"Markers at {where} {units.far}.")
    return notes
