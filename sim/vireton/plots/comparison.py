"""Arrows side by side: a small panel for each figure, a line for each arrow."""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter, MaxNLocator

from vireton.kernel.arrays import FloatArray
from vireton.plots.style import (
    FAINT,
    INK,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    PAPER,
    SMALL,
    STROKES,
    demand_strokes,
    foot,
    head,
    our_look,
)

_COLUMNS = 3
LETTERS = "ABCDEFGH"


@dataclass(frozen=True, eq=False)
class ComparisonPanel:
    """One figure of k arrows, in ``unit``; arrays (k,), nan where an arrow has none.

    ``low`` and ``high`` are the value's band; ``apart_low`` and ``apart_high`` the first arrow's
    value plus the band of the difference from it. ``clear``: whether that difference is.
    """

    name: str
    unit: str
    value: FloatArray
    low: FloatArray
    high: FloatArray
    apart_low: FloatArray
    apart_high: FloatArray
    clear: tuple[bool, ...]


def comparison_figure(
    panels: Sequence[ComparisonPanel], *, labels: Sequence[str], title: str, band: str
) -> Figure:
    """Draw every panel with its own scale, one line an arrow, the first on top.

    Args:
        panels: of as many arrows as ``labels``, one to eight.
        labels: of the arrows.
        title: heading.
        band: what the bands are, in words.
    """
    demand_strokes(len(labels), "arrows")
    rows = -(-len(panels) // _COLUMNS)
    below = (
        "One line for each arrow, by its letter; the dotted line is the first arrow's value. Thin "
        "bar: what the value may be. Thick bar: the difference from the first, put at its value. "
        "Filled: a clear difference; hollow: no clear difference."
    )
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, PAGE_HEIGHT))
        top = _key(figure, head(figure, title, below), labels) - 0.04
        bottom = foot(
            figure,
            [
                f"Bars: {band}; all arrows share the draws, so thin bars may overlap while the "
                "difference is clear. Scales do not begin at 0. Still air; drift 10 mph from 3."
            ],
        )
        grid = figure.add_gridspec(
            rows, _COLUMNS, left=0.06, right=0.975, top=top, bottom=bottom + 0.03,
            hspace=0.75, wspace=0.16,
        )  # fmt: skip
        for i, panel in enumerate(panels):
            axes = figure.add_subplot(grid[i // _COLUMNS, i % _COLUMNS])
            _draw(axes, panel)
            axes.set_yticks(range(len(labels)))
            axes.set_yticklabels(LETTERS[: len(labels)] if i % _COLUMNS == 0 else [])
    return figure


def _key(figure: Figure, top: float, labels: Sequence[str]) -> float:
    """What each letter stands for, a line each; returns where it ends, 0 to 1 of the page."""
    lines = [
        line
        for letter, label in zip(LETTERS, labels, strict=False)
        for line in textwrap.wrap(f"{letter}   {label}", 110, subsequent_indent="     ")
    ]
    top -= 0.006
    figure.text(0.03, top, "\n".join(lines), va="top", fontsize=SMALL, parse_math=False)
    return top - len(lines) * SMALL * 1.25 / 72.0 / PAGE_HEIGHT


def _draw(axes: Axes, panel: ComparisonPanel) -> None:
    unit = f" ({panel.unit})" if panel.unit else ""
    axes.set_title(f"{panel.name}{unit}", loc="left", fontsize=SMALL, fontweight="bold")
    first = float(panel.value[0])
    if np.isfinite(first):
        axes.axvline(first, color=FAINT, linewidth=1.0, linestyle=(0.0, (1.0, 1.5)), zorder=1.0)
    for i, stroke in enumerate(STROKES[: len(panel.value)]):
        if i and np.isfinite([panel.apart_low[i], panel.apart_high[i]]).all():
            axes.barh(
                i,
                panel.apart_high[i] - panel.apart_low[i],
                left=panel.apart_low[i],
                height=0.42,
                facecolor=stroke.color if panel.clear[i] else "none",
                edgecolor=stroke.color,
                linewidth=1.0,
                zorder=2.0,
            )
        axes.plot([panel.low[i], panel.high[i]], [i, i], color=INK, linewidth=0.8, zorder=1.5)
        face = stroke.color if i and panel.clear[i] else PAPER
        edge = PAPER if i and panel.clear[i] else stroke.color
        spot = {
            **stroke.spot,
            "markersize": 5.5,
            "markerfacecolor": face,
            "markeredgecolor": edge,
        }
        axes.plot([panel.value[i]], [i], **spot, zorder=3.0)
    axes.set_ylim(len(panel.value) - 0.4, -0.6)
    axes.set_xlim(*_span(panel))
    axes.tick_params(axis="y", length=0.0)
    axes.spines["left"].set_visible(False)
    axes.grid(True, axis="x")
    axes.xaxis.set_major_locator(MaxNLocator(nbins=4, steps=[1, 2, 2.5, 5, 10]))
    axes.xaxis.set_major_formatter(FuncFormatter(lambda value, _place: f"{value:.6g}"))


def _span(panel: ComparisonPanel) -> tuple[float, float]:
    """Ends of the axis: all that is drawn, and never so narrow that noise looks like an effect."""
    drawn = np.concatenate([panel.value, panel.low, panel.high, panel.apart_low, panel.apart_high])
    finite = drawn[np.isfinite(drawn)]
    if finite.size == 0:
        return 0.0, 1.0
    low, high = float(finite.min()), float(finite.max())
    least = 0.02 * max(abs(low), abs(high), 1e-3)
    spare = max(0.0, least - (high - low)) / 2.0 + 0.06 * max(high - low, least)
    return low - spare, high + spare
