"""The look of every figure: reads in black and white, prints on a letter page, depends on no
setting of the reader's own matplotlib.
"""

import textwrap
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter, MaxNLocator

from vireton.kernel.arrays import FloatArray
from vireton.units.problems import InputProblem

#: Inches: a letter page (8.5 × 11) with half an inch left and right and room for a heading.
PAGE_WIDTH, PAGE_HEIGHT = 7.5, 9.6

INK, FAINT, PAPER = "#1c252c", "#8d969c", "#ffffff"
SMALL, NORMAL, LARGE = 8.0, 9.0, 12.0  # points
_EDGE = 0.03  # of the page, left of headings and notes
_LARGE_LETTERS, _SMALL_LETTERS = 9.6, 15.75  # that fit into an inch of a line


@dataclass(frozen=True)
class Stroke:
    """How one curve is drawn; no two share a dash, a marker or a hatch. Color only helps.

    ``size`` is the marker's, in points: it differs too, so that markers at one place stay seen
    around each other.
    """

    color: str
    dash: tuple[float, ...]
    marker: str
    hatch: str
    size: float

    @property
    def line(self) -> dict[str, Any]:
        """Keywords of a line in this stroke."""
        return {
            "color": self.color,
            "linestyle": (0.0, self.dash) if self.dash else "solid",
            "linewidth": 1.6,
        }

    @property
    def spot(self) -> dict[str, Any]:
        """Keywords of this stroke's marker alone: hollow, so that the curve below stays seen."""
        return {
            "linestyle": "none",
            "marker": self.marker,
            "markersize": self.size,
            "markerfacecolor": PAPER,
            "markeredgecolor": self.color,
            "markeredgewidth": 1.2,
            "clip_on": False,
        }


STROKES = (
    Stroke("#14222d", (), "o", "////", 8.4),
    Stroke("#b5521b", (5.0, 2.0), "s", "\\\\\\\\", 7.0),
    Stroke("#2b7f7a", (7.0, 1.5, 1.2, 1.5), "^", "....", 6.6),
    Stroke("#4e2560", (1.2, 1.4), "D", "||||", 5.0),
    Stroke("#7d6d14", (9.0, 1.5, 1.2, 1.5, 1.2, 1.5), "v", "----", 6.0),
    Stroke("#4a6d9c", (11.0, 2.5), "P", "xxxx", 5.8),
    Stroke("#982c49", (4.0, 1.3, 4.0, 1.3, 1.2, 1.3), "X", "++++", 5.6),
    Stroke("#566355", (2.6, 1.0), "p", "oooo", 5.0),
)

_LOOK: dict[Any, Any] = {
    "font.family": ["DejaVu Sans"],  # comes with matplotlib, so the same everywhere
    "font.size": NORMAL,
    "axes.edgecolor": FAINT,
    "axes.labelcolor": INK,
    "axes.labelsize": NORMAL,
    "axes.linewidth": 0.8,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.axisbelow": True,
    "grid.color": "#dfe3e5",
    "grid.linewidth": 0.6,
    "xtick.color": INK,
    "ytick.color": INK,
    "xtick.labelsize": SMALL,
    "ytick.labelsize": SMALL,
    "text.color": INK,
    "hatch.linewidth": 0.5,
    "pdf.fonttype": 42,  # text that can be searched and copied
    "svg.hashsalt": "vireton",  # names inside the file that do not change from run to run
}


def demand_strokes(count: int, what: str) -> None:
    """Refuse more lines than can be told apart. Raises InputProblem, a ValueError."""
    if count > len(STROKES):
        raise InputProblem(
            f"{count} {what} cannot be told apart in one picture; draw at most {len(STROKES)}"
        )


@contextmanager
def our_look() -> Iterator[None]:
    """Matplotlib's own defaults plus this look while it lasts; the reader's settings return.

    The settings are the process's, so figures are drawn one at a time, not from several threads.
    """
    with mpl.rc_context():
        mpl.rcdefaults()
        mpl.rcParams.update(_LOOK)
        yield


def head(figure: Figure, title: str, below: str) -> float:
    """Title and a line below it, wrapped to the page; a ``$`` in a name is a ``$``.

    Returns how far up the page, 0 to 1, the free room begins.
    """
    heading = _balanced(title, int(_LARGE_LETTERS * figure.get_figwidth())) or [" "]
    lines = _wrapped(figure, below)
    top = 1.0 - 0.12 / figure.get_figheight()
    figure.suptitle(
        "\n".join(heading),
        x=_EDGE,
        y=top,
        ha="left",
        va="top",
        fontsize=LARGE,
        fontweight="bold",
        parse_math=False,
    )
    middle = top - _page_share(figure, len(heading), LARGE) - 0.004
    figure.text(_EDGE, middle, "\n".join(lines), va="top", fontsize=SMALL, parse_math=False)
    return middle - _page_share(figure, len(lines), SMALL)


def foot(figure: Figure, notes: Sequence[str]) -> float:
    """Notes at the foot of the page, each from a new line; returns where they end, 0 to 1."""
    lines = [line for note in notes for line in _wrapped(figure, note)]
    bottom = 0.08 / figure.get_figheight()
    figure.text(_EDGE, bottom, "\n".join(lines), va="bottom", fontsize=SMALL, parse_math=False)
    return bottom + _page_share(figure, len(lines), SMALL)


def _balanced(text: str, letters: int) -> list[str]:
    """Lines of at most so many letters, about equally long: no word stands alone on the last."""
    count = len(textwrap.wrap(text, letters))
    narrow = next(n for n in range(1, letters + 1) if len(textwrap.wrap(text, n)) <= max(count, 1))
    # a narrower column than the page's must not break a word that the page would not
    whole = max([narrow, *map(len, text.split())])
    return textwrap.wrap(text, min(whole, letters))


def _wrapped(figure: Figure, text: str) -> list[str]:
    """Small text in lines as long as the page is wide."""
    letters = int(_SMALL_LETTERS * figure.get_figwidth())
    return textwrap.wrap(text, letters, break_on_hyphens=False)


def _page_share(figure: Figure, lines: int, size: float) -> float:
    """Height of ``lines`` of text of ``size`` points, as a share of the page."""
    return lines * size * 1.25 / 72.0 / figure.get_figheight()


def prepare(axes: Axes, name: str, unit: str, less: str, more: str) -> None:
    """Axis names with unit and direction, the zero line, a light grid.

    ``less`` stands at the lower and ``more`` at the upper end of the axis, each with an arrow that
    way, so that the sign of the panel is in words. Call it when the panel is in its place.
    """
    width = axes.bbox.width / axes.figure.dpi * 72.0
    axes.set_ylabel(f"{name} ({unit})")
    axes.yaxis.set_label_coords(-53.0 / width, 0.5)
    for text, end, side in ((f"← {less}", 0.0, "bottom"), (f"{more} →", 1.0, "top")):
        axes.annotate(
            text,
            xy=(0.0, end),
            xycoords="axes fraction",
            xytext=(-40.0, 0.0),
            textcoords="offset points",
            rotation=90.0,
            ha="center",
            va=side,
            fontsize=SMALL,
        )
    axes.axhline(0.0, color=FAINT, linewidth=1.0, zorder=1.5)
    axes.grid(True, axis="both")
    axes.yaxis.set_major_locator(MaxNLocator(nbins=6, steps=[1, 2, 2.5, 5, 10]))
    axes.yaxis.set_major_formatter(FuncFormatter(signed))


#: Stands at a sideways panel whose side, left or right, no model knows.
SIDE_OPEN = "↔ SIDE OPEN: may go the other way"


def prepare_face(axes: Axes, name: str, unit: str) -> None:
    """A target face as the archer sees it: right is right, high is high, the aim in the middle."""
    axes.grid(True)
    axes.axhline(0.0, color=FAINT, linewidth=1.0)
    axes.axvline(0.0, color=FAINT, linewidth=1.0)
    middle = f"{name} ({unit})" if name else f"({unit})"
    axes.set_xlabel(f"← left   {middle}   right →", labelpad=2.0)
    axes.set_ylabel(f"← low   {middle}   high →", labelpad=1.0)
    for axis in (axes.xaxis, axes.yaxis):
        axis.set_major_locator(MaxNLocator(nbins=6, steps=[1, 2, 5, 10]))
        axis.set_major_formatter(FuncFormatter(signed))


def draw_band(
    axes: Axes,
    stroke: Stroke,
    x: FloatArray,
    low: FloatArray,
    high: FloatArray,
    *,
    hatched: bool = True,
) -> None:
    """Shade between ``low`` and ``high`` over ``x``, each (n,), a thin line in the stroke's dash at
    each edge.
    """
    axes.fill_between(
        x, low, high, facecolor=(0.5, 0.53, 0.55, 0.16), edgecolor=stroke.color,
        hatch=stroke.hatch if hatched else None, linewidth=0.0, zorder=1.0,
    )  # fmt: skip
    # dashed as its own line: where two bands cross, each edge is still known without color
    for edge in (low, high):
        axes.plot(x, edge, **{**stroke.line, "linewidth": 0.8}, zorder=1.2)


def signed(value: float, _place: int | None = None) -> str:
    """A tick with its sign in view: ``+2``, ``0``, ``−0.5``."""
    if abs(value) < 1e-9:
        return "0"
    return f"{value:+.6g}".replace("-", "−")


#: Of a panel's least height: what stays below it about zero cannot be told from the zero line.
_SEEN = 0.04


def shows_something(values: Sequence[FloatArray], least_span: float) -> bool:
    """Whether any of the ``values``, in the panel's unit, leaves the zero line to the eye.

    ``least_span`` is the least height of the panel, in that unit. A panel without anything to see
    is not drawn: :func:`left_out` says so instead.
    """
    joined = np.concatenate([np.zeros(1), *values])
    return bool(np.nanmax(np.abs(joined)) > _SEEN * least_span)


def left_out(names: Sequence[str]) -> list[str]:
    """The note about panels that would show only zeros; nothing where there are none."""
    return [f"Not drawn, for nothing leaves 0 at its scale: {', '.join(names)}."] if names else []


def limits(values: Sequence[FloatArray], least_span: float) -> tuple[float, float]:
    """Ends of an axis that holds zero and all finite ``values``, at least ``least_span`` long."""
    joined = np.concatenate([np.zeros(1), *values])
    finite = joined[np.isfinite(joined)]
    low, high = float(finite.min()), float(finite.max())
    spare = max(0.0, least_span - (high - low)) / 2.0
    margin = 0.07 * max(high - low, least_span)
    return low - spare - margin, high + spare + margin
