"""Rest moves as pictures: what each does to the fletched arrow and to the bare shaft."""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.gridspec import SubplotSpec

from vireton.plots.curves import MOST_CURVES, RestCurve, ShiftBand
from vireton.plots.naming import End, name_ends, sample
from vireton.plots.style import (
    NORMAL,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    SIDE_OPEN,
    SMALL,
    STROKES,
    Stroke,
    draw_band,
    foot,
    head,
    limits,
    our_look,
    prepare,
)
from vireton.units.display import Display, display
from vireton.units.problems import InputProblem
from vireton.units.text import UnitSystem

_ROWS = ("fletched", "bare", "separation")
_ROW_NAMES = {
    "fletched": "fletched shift",
    "bare": "bare shift",
    "separation": "separation",
}
_ENDS = {
    ("fletched", "right"): ("left", "right"),
    ("fletched", "up"): ("down", "up"),
    ("bare", "right"): ("left", "right"),
    ("bare", "up"): ("down", "up"),
    ("separation", "right"): ("bare left", "bare right"),
    ("separation", "up"): ("bare low", "bare high"),
}
#: A marker at each point while the points are few enough to see apart.
_MOST_MARKERS = 12
_MOST_HATCHES = 4  # more of them over each other hide the lines
_HALF_PAGE = 38  # letters of a name that fit in one of two columns


@dataclass(frozen=True)
class _Move:
    """One move as drawn: its curve, its stroke, and what stands at the end of its lines."""

    curve: RestCurve
    stroke: Stroke
    tag: str
    hatched: bool


def rest_figure(moves: Sequence[RestCurve], *, system: UnitSystem, title: str, band: str) -> Figure:
    """Draw what rest moves do, on one letter page: sideways at the left, up at the right.

    The rows are the shift of the fletched arrow, the shift of the bare shaft, and the separation
    (bare minus fletched) after the move, each against distance and with its band.

    Args:
        moves: up to eight; several are lettered A, B, … and named in a key.
        system: ``"us"`` draws yd and in, ``"metric"`` m and cm.
        title: heading; taken as it is.
        band: what the band is, for the note below, e.g. ``"5th to 95th percentile of 64 draws"``.

    Right is drawn toward the top of the sideways panels and the axes say so. The two panels of a
    row share their scale, the rows do not. Raises InputProblem, a ValueError, for too many moves,
    and ValueError for an unknown system.
    """
    units = display(system)
    if len(moves) > MOST_CURVES:
        raise InputProblem(
            f"{len(moves)} rest moves in one picture cannot be told apart; "
            f"give at most {MOST_CURVES}"
        )
    lettered = len(moves) > 1
    drawn = [
        _Move(curve, stroke, chr(ord("A") + i) if lettered else "", len(moves) <= _MOST_HATCHES)
        for i, (curve, stroke) in enumerate(zip(moves, STROKES, strict=False))
    ]
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, PAGE_HEIGHT))
        top = _key(figure, drawn, head(figure, title, _below(units))) - 0.05
        bottom = foot(figure, _notes(drawn, band)) + 0.055
        grid = figure.add_gridspec(3, 2, left=0.125, right=0.95, top=top, bottom=bottom)
        grid.update(hspace=0.26, wspace=0.53)
        for i, row in enumerate(_ROWS):
            _draw_row(figure, [grid[i, 0], grid[i, 1]], row, drawn, units)
    return figure


def _below(units: Display) -> str:
    return (
        f"Archer's view: + is right, + is up. {units.small_word.capitalize()} against distance in "
        f"{units.far_word}, the sight untouched. Shift: from before the move. Separation: bare "
        "minus fletched, after the move. Scales differ from row to row."
    )


def _shift(move: _Move, row: str) -> ShiftBand:
    shift: ShiftBand = getattr(move.curve, row)
    return shift


def _draw_row(
    figure: Figure, places: Sequence[SubplotSpec], row: str, moves: Sequence[_Move], units: Display
) -> None:
    """The two panels of a row, on one scale: a shift that is small beside the other looks small."""
    everything = [
        getattr(_shift(move, row), f"{axis}{end}") / units.small_size
        for move in moves
        for axis in ("right", "up")
        for end in ("", "_low", "_high")
    ]
    farthest = max((float(m.curve.distance[-1]) for m in moves if len(m.curve.distance)), default=0)
    for place, axis in zip(places, ("right", "up"), strict=True):
        axes: Axes = figure.add_subplot(place)
        prepare(axes, _ROW_NAMES[row], units.small, *_ENDS[row, axis])
        axes.set_ylim(*limits(everything, units.small_span))
        axes.set_xlim(0.0, (farthest or 1.0) / units.far_size)
        _title(axes, row, axis, moves)
        if row == _ROWS[-1]:
            axes.set_xlabel(f"distance from the bow ({units.far})")
        ends = [end for move in moves if (end := _draw_move(axes, move, row, axis, units))]
        if len(moves) > 1:
            name_ends(axes, ends, 4, samples=False)


def _title(axes: Axes, row: str, axis: str, moves: Sequence[_Move]) -> None:
    """Which way this column goes; sideways also whether the side is known."""
    lines = []
    if row == _ROWS[0]:
        lines.append("SIDEWAYS (right is to the top)" if axis == "right" else "UP AND DOWN")
    if axis == "right" and any(move.curve.sideways_open for move in moves):
        lines.append(SIDE_OPEN)
    axes.set_title(
        "\n".join(lines), loc="left", fontsize=SMALL, fontweight="bold", pad=4.0, linespacing=1.4
    )


def _draw_move(axes: Axes, move: _Move, row: str, axis: str, units: Display) -> End | None:
    """Band, line and markers of one move in one panel; None where there is nothing to draw."""
    shift = _shift(move, row)
    far = move.curve.distance / units.far_size
    value, low, high = (
        getattr(shift, f"{axis}{end}") / units.small_size for end in ("", "_low", "_high")
    )
    known = np.flatnonzero(np.isfinite(value))
    if known.size == 0:
        return None
    draw_band(axes, move.stroke, far, low, high, hatched=move.hatched)
    axes.plot(far, value, **move.stroke.line)
    every = max(1, -(-known.size // _MOST_MARKERS))
    axes.plot(far[known[::every]], value[known[::every]], **move.stroke.spot)
    last = int(known[-1])
    tag = f"{move.tag}↔" if axis == "right" and move.curve.sideways_open else move.tag
    early = last < len(far) - 1
    return End(float(far[last]), float(value[last]), tag, move.stroke, early)


def _key(figure: Figure, moves: Sequence[_Move], top: float) -> float:
    """Letters and names of the moves with a sample of their lines; returns where it ends, 0 to 1.

    It stands below ``top``, in two columns where the names are short enough.
    """
    if not moves:
        return top
    names = [textwrap.fill(f"{m.tag}  {m.curve.label}".strip(), 80) for m in moves]
    columns = 2 if max(map(len, names)) <= _HALF_PAGE else 1
    legend = figure.legend(
        [sample(move.stroke) for move in moves],
        names,
        loc="upper left",
        bbox_to_anchor=(0.02, top),
        borderaxespad=0.2,
        ncols=columns,
        frameon=False,
        handlelength=5.0,
        fontsize=NORMAL,
    )
    for text in legend.get_texts():
        text.set_parse_math(False)
    lines = sum(name.count("\n") + 1 for name in names)
    return top - 0.006 - -(-lines // columns) * NORMAL * 1.75 / 72.0 / PAGE_HEIGHT


def _notes(moves: Sequence[_Move], band: str) -> list[str]:
    if not moves:
        return ["No rest move was given: there is nothing to draw."]
    notes = [f"Shaded: {band}."]
    if any(_has_gap(move) for move in moves):
        notes.append(
            "Where a line stops, or loses its band, that distance was not reached by this bow, or "
            "not by all the bows behind the band."
        )
    if any(move.curve.sideways_open for move in moves):
        notes.append(
            "↔ Sideways the sizes are the model's; whether to the right or to the left is open "
            "until this bow has shown it: shoot fletched and bare before and after one move."
        )
    return notes


def _has_gap(move: _Move) -> bool:
    return any(
        bool(np.any(np.isnan(getattr(_shift(move, row), name))))
        for row in _ROWS
        for name in ("right", "up", "right_low", "right_high", "up_low", "up_high")
    )
