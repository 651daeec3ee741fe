"""What clearly sets arrows apart from the first: a bar for each difference, the largest on top."""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter, MaxNLocator

from vireton.plots.style import (
    FAINT,
    INK,
    LARGE,
    NORMAL,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    SMALL,
    demand_strokes,
    foot,
    head,
    our_look,
    signed,
)
from vireton.units.display import LIKE_YOURS

_LEFT, _WIDE = 0.45, 6.8  # in, of the panels
_ROW, _HEADING = 0.42, 0.3  # in: a bar with its words, a panel's name
_AXIS, _EDGE = 0.45, 0.06  # in: the numbers below the last panel, and what the others have
_LETTERS = 15.0  # of small type, an inch


@dataclass(frozen=True)
class Difference:
    """One clear difference in words, as a share of the first arrow's value, with its band."""

    words: str
    share: float
    low: float
    high: float


@dataclass(frozen=True)
class ComparisonPanel:
    """One arrow against the first: ``clear`` differences, the largest first, and what is not."""

    label: str
    clear: Sequence[Difference]
    alike: Sequence[str]


def comparison_figure(panels: Sequence[ComparisonPanel], *, first: str, title: str) -> Figure:
    """Draw a panel for each arrow, on one scale; what has no room is counted in a note.

    Args:
        panels: of all arrows but the first, one to seven.
        first: the first arrow's name.
        title: heading.

    Raises InputProblem, a ValueError, for more arrows.
    """
    demand_strokes(len(panels) + 1, "arrows")
    with our_look():
        above, beneath = _frame(Figure(figsize=(PAGE_WIDTH, PAGE_HEIGHT)), first, title)
        rows = _shared_out(panels, PAGE_HEIGHT - above - beneath - _AXIS)
        used = sum(map(_fixed, panels)) + _ROW * sum(rows) + _AXIS
        figure = Figure(figsize=(PAGE_WIDTH, min(PAGE_HEIGHT, above + used + beneath)))
        _frame(figure, first, title)
        reach = max((abs(v) for one in panels for d in one.clear for v in (d.low, d.high)),
                    default=0.0)  # fmt: skip
        top = figure.get_figheight() - above
        last = max((k for k, one in enumerate(panels) if one.clear), default=0)
        for k, (panel, count) in enumerate(zip(panels, rows, strict=True)):
            top = _draw(figure, panel, count, top, 1.1 * reach, is_last=k == last)
    return figure


def _frame(figure: Figure, first: str, title: str) -> tuple[float, float]:
    """Heading and notes; returns how many inches they take above and below the panels."""
    below = (
        f"Against {first}. Each bar: the difference as a share of its value, the largest on top; "
        "the thin line is the band of the difference."
    )
    notes = [
        f"Band: {LIKE_YOURS}, the same bows for every arrow. Still air, and drift in "
        "10 mph from 3 o'clock; your own shot scatter comes on top."
    ]
    tall = figure.get_figheight()
    return (1.0 - head(figure, title, below)) * tall + 0.1, foot(figure, notes) * tall + 0.1


def _said(panel: ComparisonPanel, count: int) -> list[str]:
    """What stands below a panel's bars: how many are left out, and what is the same."""
    lines = []
    if left := len(panel.clear) - count:
        lines.append(f"and {left} smaller clear difference{'' if left == 1 else 's'}")
    if panel.alike and panel.clear:
        text = f"No clear difference: {', '.join(panel.alike)}."
        lines += textwrap.wrap(text, int(_LETTERS * _WIDE))
    return lines


def _fixed(panel: ComparisonPanel) -> float:
    """Inches that a panel takes besides its bars."""
    lines = len(_said(panel, 0))
    return _HEADING + _EDGE + (lines + 0.6) * SMALL * 1.3 / 72.0 if panel.clear else 1.1


def _shared_out(panels: Sequence[ComparisonPanel], room: float) -> list[int]:
    """How many bars each panel gets: all, or as many as the page has room for, evenly."""
    free = int((room - sum(map(_fixed, panels))) / _ROW)
    counts = [0] * len(panels)
    while free > 0 and any(k < len(p.clear) for k, p in zip(counts, panels, strict=True)):
        for i, panel in enumerate(panels):
            if counts[i] < len(panel.clear) and free > 0:
                counts[i] += 1
                free -= 1
    return [max(k, min(1, len(p.clear))) for k, p in zip(counts, panels, strict=True)]


def _draw(
    figure: Figure, panel: ComparisonPanel, count: int, top: float, reach: float, *, is_last: bool
) -> float:
    """One panel below ``top`` inches; returns where it ends."""
    figure.text(
        _LEFT / PAGE_WIDTH, (top - 0.1) / figure.get_figheight(), panel.label, va="top",
        fontsize=NORMAL, fontweight="bold", parse_math=False,
    )  # fmt: skip
    top -= _HEADING
    if not panel.clear:
        _text(figure, top - 0.15, "NO CLEAR DIFFERENCE", LARGE)
        lines = textwrap.wrap(f"Looked at: {', '.join(panel.alike)}.", int(_LETTERS * _WIDE))
        _text(figure, top - 0.42, "\n".join(lines), SMALL)
        return top - _fixed(panel) + _HEADING
    tall = count * _ROW
    axes = figure.add_axes(
        (
            _LEFT / PAGE_WIDTH,
            (top - tall) / figure.get_figheight(),
            _WIDE / PAGE_WIDTH,
            tall / figure.get_figheight(),
        )
    )
    for k, one in enumerate(panel.clear[:count]):
        _bar(axes, one, k, reach)
    axes.set(xlim=(-reach, reach), ylim=(count - 0.5, -0.5), yticks=[])
    axes.axvline(0.0, color=INK, linewidth=1.0)
    axes.spines["left"].set_visible(False)
    axes.grid(True, axis="x")
    axes.xaxis.set_major_locator(MaxNLocator(nbins=8, steps=[1, 2, 5, 10]))
    axes.xaxis.set_major_formatter(FuncFormatter(lambda x, _place: f"{signed(100.0 * x)} %"))
    axes.tick_params(labelbottom=is_last)
    if is_last:
        axes.set_xlabel("← less   of the first arrow's value   more →", labelpad=1.0)
    said = _said(panel, count)
    below = top - tall - (_AXIS if is_last else 0.0) - _EDGE
    _text(figure, below, "\n".join(said), SMALL)
    return below - (len(said) + 0.6) * SMALL * 1.3 / 72.0


def _text(figure: Figure, top: float, text: str, size: float) -> None:
    figure.text(_LEFT / PAGE_WIDTH, top / figure.get_figheight(), text, va="top", fontsize=size,
                fontweight="bold" if size == LARGE else "normal")  # fmt: skip


def _bar(axes: Axes, one: Difference, row: int, reach: float) -> None:
    """A bar with its band, hatched where it is less, and its words above it."""
    level = row + 0.22
    axes.barh(
        level, one.share, height=0.3, facecolor=FAINT if one.share > 0.0 else "none",
        edgecolor=INK, hatch=None if one.share > 0.0 else "////", linewidth=0.8, zorder=2.0,
    )  # fmt: skip
    axes.plot([one.low, one.high], [level, level], color=INK, linewidth=1.4, zorder=3.0,
              marker="|", markersize=7.0)  # fmt: skip
    axes.text(-reach, row - 0.18, one.words, fontsize=SMALL, va="center", parse_math=False,
              bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.6}, zorder=2.5)  # fmt: skip
