"""A sheet of paper at true scale: its size, its head, and a foot with bars to measure.

The figure is as large as its paper, and one axes as large as the figure counts in inches of paper,
so that what is drawn an inch long is an inch long.
"""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path

from vireton.paper import (
    CORNERS,
    MARGIN,
    MARK_QUIET,
    MARK_SIDE,
    MILLIMETER,
    Paper,
    mark_outlines,
)
from vireton.plots.style import INK, LARGE, SMALL

Segment = tuple[tuple[float, float], tuple[float, float]]
#: Left, lower, right and upper edge of what is left for a face, in.
Room = tuple[float, float, float, float]

#: The two bars of every sheet and their lengths in inches; the names are the ids in an SVG file.
SCALE_BARS = {"bar-100-mm": 100.0 * MILLIMETER, "bar-4-in": 4.0}

#: Where words between the corner marks begin, in from the edge of the paper.
_BESIDE_MARK = MARGIN + MARK_SIDE + MARK_QUIET

_FOOT = 1.85  # in, from the edge of the paper to the end of what stands below the face

HAIR, THIN, THICK = 0.35, 0.7, 1.4  # points
TINY = 6.5  # points, numbers at a grid


@dataclass(frozen=True)
class Ruling:
    """A grid of one system in inches of paper; every ``bold``-th line is bold and numbered.

    ``unit`` is what a number counts and ``per_bold`` how many of them lie between bold lines.
    """

    fine: float
    bold: int
    unit: str
    per_bold: float

    @property
    def step(self) -> float:
        """Inches of paper from one bold line to the next."""
        return self.fine * self.bold


def open_sheet(
    figure: Figure, paper: Paper, title: str, text: str, caution: str
) -> tuple[Axes, Room]:
    """Draw head, foot and corner marks.

    Returns the axes, in inches of paper, and the room left for a face.
    """
    width, height = map(float, figure.get_size_inches())
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set(xlim=(0.0, width), ylim=(0.0, height))
    axes.set_axis_off()
    # the file's own title; the one to read is drawn on the sheet
    figure.suptitle(f"Vireton: {title}", alpha=0.0, fontsize=1.0)
    top = _head(axes, title, text)
    _foot(axes, caution)
    _corner_marks(figure, paper)
    return axes, (MARGIN, _FOOT, width - MARGIN, top)


def _head(axes: Axes, title: str, text: str) -> float:
    """Title and what to do with the sheet; returns where they end, in from the bottom."""
    width, height = axes.get_xlim()[1], axes.get_ylim()[1]
    left = _BESIDE_MARK
    axes.text(left, height - MARGIN, title, va="top", fontsize=LARGE, fontweight="bold")
    lines = textwrap.wrap(text, int((width - 2.0 * left) * 17.0))
    below = height - MARGIN - 0.27
    axes.text(left, below, "\n".join(lines), va="top", fontsize=SMALL, linespacing=1.25)
    return below - len(lines) * SMALL * 1.3 / 72.0 - 0.1


def _foot(axes: Axes, caution: str) -> None:
    """The two bars to measure, how to print, and the caution."""
    width = axes.get_xlim()[1]
    left = _BESIDE_MARK
    lines = textwrap.wrap(caution, int((width - 2.0 * left) * 19.0), break_on_hyphens=False)
    axes.text(left, MARGIN, "\n".join(lines), va="bottom", fontsize=7.0, linespacing=1.2)
    for (name, length), level in zip(SCALE_BARS.items(), (1.47, 1.18), strict=True):
        right = MARGIN + length
        axes.plot(
            [MARGIN, right],
            [level, level],
            color=INK,
            linewidth=THICK,
            solid_capstyle="butt",
            gid=name,
        )
        draw_lines(axes, [((x, level - 0.06), (x, level + 0.06)) for x in (MARGIN, right)], HAIR)
        words = "100 mm" if "mm" in name else "4 in"
        axes.text(
            MARGIN + 0.5 * length, level + 0.035, words, ha="center", va="bottom", fontsize=SMALL
        )
    axes.text(
        MARGIN + 4.25,
        1.33,
        "MEASURE BOTH BARS FIRST.\nPrint at 100 % (“actual size”), no fit to page.\n"
        "Other lengths on paper: do not use this sheet.",
        va="center",
        fontsize=SMALL,
        linespacing=1.25,
    )


def _corner_marks(figure: Figure, paper: Paper) -> None:
    """The four squares by which a picture of the sheet is read; ids in an SVG file name them."""
    codes = [Path.MOVETO, Path.LINETO, Path.LINETO, Path.LINETO, Path.CLOSEPOLY]
    for corner in CORNERS:
        outer, opening = mark_outlines(paper, corner)
        around = opening[::-1]  # the other way round, so that it stays white
        mark = PathPatch(
            Path([*outer, outer[0], *around, around[0]], 2 * codes),
            facecolor="black",
            edgecolor="none",
            transform=figure.dpi_scale_trans,
            gid=f"mark-{corner.replace(' ', '-')}",
        )
        figure.add_artist(mark)


def draw_lines(axes: Axes, segments: Sequence[Segment], weight: float, color: str = INK) -> None:
    """Draw straight pieces of ``weight`` points, in inches of paper."""
    axes.add_collection(
        LineCollection(segments, linewidths=weight, colors=color, capstyle="butt"), autolim=False
    )


def number_at(value: float) -> str:
    """A number at a grid line: halves as a fraction, no sign."""
    whole = int(value)
    return f"{whole}" if value == whole else f"{whole or ''}½"


def whole_steps(length: float, step: float) -> float:
    """The most whole steps that fit into ``length``."""
    return float(np.floor(length / step + 1e-9) * step)
