"""Groups as the archer sees them: shots, the ellipse that holds 19 of 20, and the target."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Ellipse

from vireton.kernel.arrays import FloatArray
from vireton.plots.style import (
    FAINT,
    NORMAL,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    STROKES,
    Stroke,
    foot,
    head,
    our_look,
    prepare,
)
from vireton.units.display import Display, display
from vireton.units.problems import InputProblem
from vireton.units.text import UnitSystem

#: Panels that a page has room for.
MOST_PANELS = 6
_MARGIN = 1.08


@dataclass(frozen=True, eq=False)
class ShotCloud:
    """One kind of arrow at one distance, m right and up of the target's middle.

    ``shots`` (m, 2), nan where one never arrived; ``center`` (2,); ``half_axes`` m, the longer
    first, and ``lean`` rad of its direction from the right upwards, of the ellipse.
    """

    label: str
    shots: FloatArray
    center: FloatArray
    half_axes: tuple[float, float]
    lean: float


def scatter_figure(
    distances: Sequence[float],
    clouds: Sequence[Sequence[ShotCloud]],
    *,
    target: float,
    system: UnitSystem,
    title: str,
) -> Figure:
    """Draw one panel a distance, in the archer's view, right and up to one scale.

    Args:
        distances: m, one to six.
        clouds: for each distance, its kinds of arrow, each up to eight.
        target: m, diameter of the circle about 0.
        system: ``"us"`` draws inches, ``"metric"`` centimeters.
        title: heading.

    Raises InputProblem, a ValueError, for too many distances or kinds.
    """
    if not 1 <= len(distances) <= MOST_PANELS:
        raise InputProblem(
            f"{len(distances)} distances in one picture; it has room for 1 to {MOST_PANELS}"
        )
    if max(map(len, clouds)) > len(STROKES):
        raise InputProblem(f"more than {len(STROKES)} kinds of arrow cannot be told apart")
    units = display(system)
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, PAGE_HEIGHT))
        below = (
            f"Archer's view, {units.small_word} right and up of the target's middle, where "
            "the fletched arrow lands without scatter in still air. Each panel has its own scale."
        )
        top = head(figure, title, below) - 0.045
        bottom = foot(figure, _notes(clouds[0], target, units)) + 0.055
        columns = 1 if len(distances) <= 2 else 2
        rows = math.ceil(len(distances) / columns)
        grid = figure.add_gridspec(
            rows, columns, left=0.13, right=0.97, top=top, bottom=bottom, hspace=0.36, wspace=0.42
        )
        for i, (distance, kinds) in enumerate(zip(distances, clouds, strict=True)):
            axes = figure.add_subplot(grid[i // columns, i % columns])
            _draw(axes, distance, kinds, target, units)
    return figure


def _notes(kinds: Sequence[ShotCloud], target: float, units: Display) -> list[str]:
    marks = {"o": "circles", "s": "squares", "^": "triangles", "D": "diamonds"}
    named = [
        f"{cloud.label}: {marks.get(stroke.marker, 'marks')}"
        for cloud, stroke in zip(kinds, STROKES, strict=False)
    ]
    size = f"{target / units.small_size:.4g} {units.small}"
    return [
        f"{'; '.join(named)}. Thin circle: the target of {size}. Ellipses hold about 19 of 20 "
        "shots of each kind; a cross marks the middle.",
        "For targets at practice: which distance is right for a shot at game is not ours to say.",
    ]


def _draw(
    axes: Axes, distance: float, kinds: Sequence[ShotCloud], target: float, units: Display
) -> None:
    size = units.small_size
    prepare(axes, "up", units.small, "low", "high")
    axes.set_title(
        f"{distance / units.far_size:.4g} {units.far}",
        loc="left",
        fontsize=NORMAL,
        fontweight="bold",
    )
    axes.set_xlabel(f"right ({units.small})")
    axes.axvline(0.0, color=FAINT, linewidth=1.0, zorder=1.5)
    axes.add_patch(Circle((0.0, 0.0), 0.5 * target / size, fill=False, linewidth=0.9, zorder=2.0))
    for cloud, stroke in zip(kinds, STROKES, strict=False):
        _cloud(axes, cloud, stroke, size)
    axes.set_aspect("equal", adjustable="box", anchor="NW")
    half = _MARGIN * max([0.5 * target, *(_extent(cloud) for cloud in kinds)]) / size
    axes.set_xlim(-half, half)
    axes.set_ylim(-half, half)


def _cloud(axes: Axes, cloud: ShotCloud, stroke: Stroke, size: float) -> None:
    right, up = cloud.shots.T / size
    axes.plot(
        right, up, linestyle="none", marker=stroke.marker, markersize=2.2,
        markerfacecolor="none", markeredgecolor=stroke.color, markeredgewidth=0.5, alpha=0.6,
    )  # fmt: skip
    middle = cloud.center / size
    axes.add_patch(
        Ellipse(
            (float(middle[0]), float(middle[1])),
            2.0 * cloud.half_axes[0] / size,
            2.0 * cloud.half_axes[1] / size,
            angle=math.degrees(cloud.lean),
            fill=False,
            edgecolor=stroke.color,
            linestyle=(0.0, stroke.dash) if stroke.dash else "solid",
            linewidth=1.6,
            zorder=3.0,
        )
    )
    axes.plot(
        *middle, marker="x", markersize=7.0, markeredgewidth=1.6, color=stroke.color, zorder=3.0
    )


def _extent(cloud: ShotCloud) -> float:
    """How far from 0 the ellipse reaches at most, m."""
    return float(np.abs(cloud.center).max()) + cloud.half_axes[0]
