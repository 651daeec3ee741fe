"""Names of curves beside their ends, so that no legend has to be matched by color."""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from vireton.plots.style import FAINT, SMALL, Stroke

_GAP = 0.13  # in, from the panel to what stands beside it
_SAMPLE = 0.33  # in, length of a sample of the line


@dataclass(frozen=True)
class End:
    """Where a curve ends, in the units of its panel, and the words to put there.

    ``early`` ends get no leader: one across the panel would look like more of the curve.
    """

    x: float
    y: float
    text: str
    stroke: Stroke
    early: bool = False


def name_ends(axes: Axes, ends: Sequence[End], wrap: int, *, samples: bool) -> None:
    """Write each curve's name right of the panel, level with its end or as near as fits.

    Call it when the limits of the panel stand. A thin leader ties each name to its curve, and with
    ``samples`` a piece of the line stands before the name: ends that meet can still be told apart.
    """
    low, high = axes.get_ylim()
    width = axes.bbox.width / axes.figure.dpi
    height = axes.bbox.height / axes.figure.dpi * 72.0
    ordered = sorted(ends, key=lambda end: end.y)
    texts = [_wrapped(end.text, wrap) for end in ordered]
    sizes = [(text.count("\n") + 1) * SMALL * 1.3 for text in texts]
    wanted = [(end.y - low) / (high - low) * height for end in ordered]
    left = 1.0 + _GAP / width
    for end, text, at in zip(ordered, texts, spread(wanted, sizes, height), strict=True):
        level = at / height
        if not end.early:
            _leader(axes, end, (left, level))
        start = left
        if samples:
            start = left + _SAMPLE / width
            _piece(axes, end.stroke, (left, start), level)
        axes.text(
            start + 0.05 / width,
            level,
            text,
            transform=axes.transAxes,
            va="center",
            fontsize=SMALL,
            color=end.stroke.color,
            parse_math=False,
        )


def _wrapped(text: str, width: int) -> str:
    return "\n".join(textwrap.fill(line, width) for line in text.split("\n"))


def _leader(axes: Axes, end: End, to: tuple[float, float]) -> None:
    axes.annotate(
        "",
        xy=(end.x, end.y),
        xytext=to,
        textcoords="axes fraction",
        annotation_clip=False,
        arrowprops={
            "arrowstyle": "-",
            "color": FAINT,
            "linewidth": 0.6,
            "shrinkA": 0.0,
            "shrinkB": 4.5,
        },
    )


def _piece(axes: Axes, stroke: Stroke, between: tuple[float, float], level: float) -> None:
    """A sample of the line with its marker in the middle."""
    where = axes.transAxes
    axes.add_artist(Line2D(between, (level, level), transform=where, clip_on=False, **stroke.line))
    middle = sum(between) / 2.0
    axes.add_artist(Line2D([middle], [level], transform=where, **{**stroke.spot, "markersize": 5}))


def spread(wanted: Sequence[float], sizes: Sequence[float], height: float) -> list[float]:
    """Centers of labels near ``wanted`` (rising), none over another, in [0, ``height``] if it fits.

    ``sizes`` are the labels' heights, in the same unit. Labels that need more than ``height`` in
    all stand from 0 upwards, past it.
    """
    placed: list[float] = []
    floor = 0.0
    for center, size in zip(wanted, sizes, strict=True):
        placed.append(max(center, floor + size / 2.0))
        floor = placed[-1] + size / 2.0
    ceiling = max(height, float(sum(sizes)))
    for i in range(len(placed) - 1, -1, -1):
        placed[i] = min(placed[i], ceiling - sizes[i] / 2.0)
        ceiling = placed[i] - sizes[i] / 2.0
    return placed


def sample(stroke: Stroke) -> Line2D:
    """A piece of line with its marker, for a key."""
    return Line2D([], [], **{**stroke.spot, **stroke.line})
