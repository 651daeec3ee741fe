"""Rest moves as pictures: what each does to the fletched arrow and to the bare shaft."""

import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.gridspec import SubplotSpec

from vireton.kernel.arrays import FloatArray
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
    left_out,
    limits,
    our_look,
    prepare,
    shows_something,
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
_AXIS_WORDS = {"right": "sideways", "up": "up and down"}
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
    row share their scale, the rows do not. A panel in which nothing leaves zero is left out, a note
    names it, and the others fill the page. Raises InputProblem, a ValueError, for too many moves,
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
        rows = _rows_seen(drawn, units)
        gone = [
            f"{_ROW_NAMES[row]} {_AXIS_WORDS[axis]}"
            for row in _ROWS
            for axis in _AXIS_WORDS
            if moves and axis not in rows.get(row, ())
        ]
        bottom = foot(figure, [*_notes(drawn, band), *left_out(gone)]) + 0.055
        grid = figure.add_gridspec(len(rows), 1, left=0.125, right=0.95, top=top, bottom=bottom)
        grid.update(hspace=0.34)
        for i, (row, seen) in enumerate(rows.items()):
            inner = grid[i, 0].subgridspec(1, len(seen), wspace=0.53)
            places = {axis: inner[0, k] for k, axis in enumerate(seen)}
            _draw_row(figure, places, row, drawn, units, is_last=i == len(rows) - 1)
    return figure


def _rows_seen(moves: Sequence[_Move], units: Display) -> dict[str, list[str]]:
    """Of each row that shows something, the axes that do; all of them without a move."""
    if not moves:
        return {row: list(_AXIS_WORDS) for row in _ROWS}
    found: dict[str, list[str]] = {}
    for row in _ROWS:
        drawn = {axis: _values(moves, row, axis, units) for axis in _AXIS_WORDS}
        low, high = limits([one for some in drawn.values() for one in some], units.small_span)
        # a row has one scale: what is flat on it tells nothing
        if axes := [axis for axis, some in drawn.items() if shows_something(some, high - low)]:
            found[row] = axes
    return found or {_ROWS[-1]: ["up"]}


def _values(moves: Sequence[_Move], row: str, axis: str, units: Display) -> list[FloatArray]:
    """All that one panel draws, in its unit."""
    return [
        getattr(_shift(move, row), f"{axis}{end}") / units.small_size
        for move in moves
        for end in ("", "_low", "_high")
    ]


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
    figure: Figure,
    places: Mapping[str, SubplotSpec],
    row: str,
    moves: Sequence[_Move],
    units: Display,
    *,
    is_last: bool,
) -> None:
    """The panels of a row, on one scale: a shift that is small beside the other looks small."""
    everything = [one for axis in places for one in _values(moves, row, axis, units)]
    farthest = max((float(m.curve.distance[-1]) for m in moves if len(m.curve.distance)), default=0)
    for axis, place in places.items():
        axes: Axes = figure.add_subplot(place)
        prepare(axes, _ROW_NAMES[row], units.small, *_ENDS[row, axis])
        axes.set_ylim(*limits(everything, units.small_span))
        axes.set_xlim(0.0, (farthest or 1.0) / units.far_size)
        _title(axes, axis, moves)
        if is_last:
            axes.set_xlabel(f"distance from the bow ({units.far})")
        ends = [end for move in moves if (end := _draw_move(axes, move, row, axis, units))]
        if len(moves) > 1:
            name_ends(axes, ends, 4, samples=False)


def _title(axes: Axes, axis: str, moves: Sequence[_Move]) -> None:
    """Which way this panel goes; sideways also whether the side is known."""
    lines = ["UP AND DOWN"]
    if axis == "right":
        lines = ["SIDEWAYS (right is to the top)"]
        if any(move.curve.sideways_open for move in moves):
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
