"""Faces to print at true scale: windows to read tears, a face for groups, one for walk-back.

All of them are our own design.
"""

from collections.abc import Callable, Sequence
from typing import Literal

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Polygon

from vireton.paper import MILLIMETER, PAPERS, Paper, Point
from vireton.plots.sheets import (
    HAIR,
    THICK,
    THIN,
    TINY,
    Room,
    Ruling,
    Segment,
    draw_lines,
    number_at,
    open_sheet,
    whole_steps,
)
from vireton.plots.style import FAINT, INK, SMALL, our_look
from vireton.plots.tear_card import draw_tear
from vireton.units.problems import InputProblem
from vireton.units.text import UnitSystem

Kind = Literal["tear", "group", "plumb", "plumb-below"]

#: To read a hit to an eighth of an inch or a quarter of a centimeter, by eye between the lines.
_GROUP: dict[UnitSystem, Ruling] = {
    "us": Ruling(0.25, 4, "in", 1.0),
    "metric": Ruling(5.0 * MILLIMETER, 2, "cm", 1.0),
}


_WRITTEN = 0.5  # in, below the group face, to write on

#: The rings of the group face in bold steps of its ruling: a small one to hold fletched arrows in,
#: and the largest that the face has room for, which a bare shaft can hit (our choice).
_SMALL_RING, _LARGE_RING = {"us": 1, "metric": 2}, {"us": 3, "metric": 8}


def target_figure(kind: Kind, *, paper: Paper, system: UnitSystem, caution: str) -> Figure:
    """Draw one sheet at true scale.

    Args:
        kind: ``tear`` is a card with two windows to hold to a paper tear; ``group`` a face to aim
            at with a grid that reads right and up; ``plumb`` a face for walk-back with an aim mark
            at the top of a plumb line, and ``plumb-below`` the sheets to join below it.
        paper: ``letter`` or ``a4``; the figure is exactly as large.
        system: grid in inches (``us``) or in millimeters and centimeters (``metric``).
        caution: printed at the foot.

    Raises InputProblem, a ValueError, for a kind, a paper or a system that is not known.
    """
    for name, given, known in (
        ("kind of target", kind, tuple(KINDS)),
        ("paper", paper, tuple(PAPERS)),
        ("system", system, tuple(_GROUP)),
    ):
        if given not in known:
            raise InputProblem(f"the {name} {given!r} is not known; choose {' or '.join(known)}")
    title, text, draw = KINDS[kind]
    with our_look():
        figure = Figure(figsize=PAPERS[paper])
        axes, room = open_sheet(
            figure, paper, title, text.format(unit=_GROUP[system].unit), caution
        )
        draw(axes, room, system)
    return figure


def _grid(
    axes: Axes,
    center: tuple[float, float],
    reach: tuple[float, float, float],
    ruling: Ruling,
) -> None:
    """Lines around ``center`` to ``reach`` in to the sides, below and above, with numbers."""
    x, y = center
    side, below, above = reach
    thin: list[Segment] = []
    bold: list[Segment] = []
    for i in range(-round(side / ruling.fine), round(side / ruling.fine) + 1):
        at = x + i * ruling.fine
        (thin if i % ruling.bold else bold).append(((at, y - below), (at, y + above)))
        if i % ruling.bold == 0:
            number = number_at(abs(i) // ruling.bold * ruling.per_bold)
            for level, va in ((y - below - 0.05, "top"), (y + above + 0.05, "bottom")):
                axes.text(at, level, number, ha="center", va=va, fontsize=TINY)
    for i in range(-round(below / ruling.fine), round(above / ruling.fine) + 1):
        at = y + i * ruling.fine
        (thin if i % ruling.bold else bold).append(((x - side, at), (x + side, at)))
        if i % ruling.bold == 0:
            number = number_at(abs(i) // ruling.bold * ruling.per_bold)
            for place, ha in ((x - side - 0.06, "right"), (x + side + 0.06, "left")):
                axes.text(place, at, number, ha=ha, va="center", fontsize=TINY)
    draw_lines(axes, thin, HAIR, "#c3c9cd")
    draw_lines(axes, bold, HAIR, FAINT)
    draw_lines(axes, [((x - side, y), (x + side, y)), ((x, y - below), (x, y + above))], THIN)


def _aim_mark(axes: Axes, x: float, y: float, ways: Sequence[tuple[float, float]]) -> None:
    """Wedges that point at (x, y) from the given ways, a gap between their tips."""
    for across, up in ways:
        tip, base, half = 0.12, 0.75, 0.24
        points = [
            (x + tip * across, y + tip * up),
            (x + base * across - half * up, y + base * up + half * across),
            (x + base * across + half * up, y + base * up - half * across),
        ]
        axes.add_patch(Polygon(points, facecolor=INK, edgecolor="none", zorder=3.0))


def group_middle(paper: Paper, system: UnitSystem) -> Point:
    """Where to aim on the group face: (right, up) in from the lower left corner of the paper."""
    title, text, _draw = KINDS["group"]
    with our_look():
        figure = Figure(figsize=PAPERS[paper])
        text = text.format(unit=_GROUP[system].unit)
        _axes, room = open_sheet(figure, paper, title, text, "")
    return _middle(room)


def _middle(room: Room) -> Point:
    left, bottom, right, top = room
    return (left + right) / 2.0, (bottom + _WRITTEN + top) / 2.0


def _draw_group(axes: Axes, room: Room, system: UnitSystem) -> None:
    ruling = _GROUP[system]
    left, bottom, right, top = room
    side = whole_steps((right - left) / 2.0 - 0.3, ruling.fine)
    up = whole_steps((top - bottom - _WRITTEN) / 2.0 - 0.3, ruling.fine)
    center = _middle(room)
    _grid(axes, center, (side, up, up), ruling)
    _aim_mark(axes, *center, ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)))
    for steps, name in ((_SMALL_RING[system], "fletched"), (_LARGE_RING[system], "bare")):
        _ring(axes, center, steps * ruling.step, f"{name}: inside this ring")
    _ends(axes, center, side, up, f"numbers: {ruling.unit}")
    _writing(axes, left, bottom + 0.1, right)


def _ring(axes: Axes, center: Point, radius: float, words: str) -> None:
    """A ring about the aim, and whose it is, upon its upper right."""
    turn = np.linspace(0.0, 2.0 * np.pi, 181)
    x, y = center[0] + radius * np.cos(turn), center[1] + radius * np.sin(turn)
    axes.plot(x, y, color=INK, linewidth=THICK)
    across = radius / np.sqrt(2.0)
    axes.text(
        center[0] + across, center[1] + across, words, ha="left", va="center", fontsize=SMALL,
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0},
    )  # fmt: skip


def _ends(axes: Axes, center: tuple[float, float], side: float, up: float, unit: str) -> None:
    """The archer's words inside the four ends of the grid."""
    x, y = center
    box = {"facecolor": "white", "edgecolor": "none", "pad": 1.0}
    for across, level, text, ha in (
        (x - side + 0.08, y, "← left", "left"),
        (x + side - 0.08, y, "right →", "right"),
        (x, y + up - 0.16, "↑ up", "center"),
        (x, y - up + 0.16, f"↓ down ({unit})", "center"),
    ):
        axes.text(across, level, text, ha=ha, va="center", fontsize=SMALL, bbox=box)


def _writing(axes: Axes, left: float, level: float, right: float) -> None:
    """Dotted lines to write on."""
    names = ("date", "bow", "arrow", "distance", "rest right", "rest up")
    wide = (right - left) / len(names)
    for i, name in enumerate(names):
        start = left + i * wide
        axes.text(start, level, name, va="baseline", fontsize=SMALL)
        after = start + 0.075 * len(name) + 0.06
        axes.plot(
            [after, start + wide - 0.08], [level - 0.02] * 2,
            color=FAINT, linewidth=THIN, linestyle=(0.0, (1.0, 2.0)),
        )  # fmt: skip


def _draw_plumb(axes: Axes, room: Room, system: UnitSystem) -> None:
    ruling = _GROUP[system]
    left, bottom, right, top = room
    side = whole_steps((right - left) / 2.0 - 0.3, ruling.fine)
    above = whole_steps(1.2, ruling.step)
    x, y = (left + right) / 2.0, top - above - 0.3
    below = whole_steps(y - bottom - 0.15, ruling.step)
    _grid(axes, (x, y), (side, below, above), ruling)
    _aim_mark(axes, x, y, ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0)))
    draw_lines(axes, [((x, y - below), (x, y - 0.12))], 2.5 * THICK)
    _join(axes, x, y - below, side, "lay the top line of the next sheet on this line")


def _draw_plumb_below(axes: Axes, room: Room, system: UnitSystem) -> None:
    ruling = _GROUP[system]
    left, bottom, right, top = room
    side = whole_steps((right - left) / 2.0 - 0.3, ruling.fine)
    x, y = (left + right) / 2.0, top - 0.3
    below = whole_steps(y - bottom - 0.15, ruling.step)
    _grid(axes, (x, y), (side, below, 0.0), ruling)
    draw_lines(axes, [((x, y - below), (x, y))], 2.5 * THICK)
    _join(axes, x, y - 0.14, side, "cut along the top line and lay it on the last line above")
    _join(axes, x, y - below, side, "lay the top line of the next sheet on this line")


def _join(axes: Axes, x: float, y: float, side: float, text: str) -> None:
    axes.text(
        x - side + 0.08, y + 0.05, text, va="bottom", fontsize=TINY,
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0},
    )  # fmt: skip


_Draw = Callable[[Axes, Room, UnitSystem], None]

#: Title, what to do with the sheet, and what draws it.
KINDS: dict[Kind, tuple[str, str, _Draw]] = {
    "tear": (
        "Tear reader",
        "Cut out the two squares with a sharp blade. Hold the card level on the torn paper and "
        "take the corner that is named for your tear. Slide it until one edge goes through the "
        "middle of the tail's hole and the other edge through the middle of the point's hole. Read "
        "sideways along the level edge, up and down along the upright edge, both from the corner.",
        draw_tear,
    ),
    "group": (
        "Face for bare and fletched groups",
        "Hang it level. Aim every arrow, fletched and bare, at the gap between the wedges. Bare "
        "shafts that miss the large ring: shoot from half as far. Write down each hit from the "
        "middle, right and up, left and down with a minus, for "
        'vireton record LOG --group bare 20yd "right,up … {unit}".',
        _draw_group,
    ),
    "plumb": (
        "Plumb-line face for walk-back",
        "Hang it so that the heavy line is plumb (hold a string with a weight beside it). With one "
        "sight setting aim at the gap between the wedges from every distance. Write down how far "
        "right or left of the heavy line each arrow stands, and from which distance. The sheet "
        "plumb-below continues the line.",
        _draw_plumb,
    ),
    "plumb-below": (
        "Plumb line, continued",
        "Join it below the plumb-line face. The heavy line must run on straight: check it with the "
        "plumb string over all sheets. Only right and left are read here; the numbers down the "
        "side count from the top of this sheet.",
        _draw_plumb_below,
    ),
}
