"""Groups as the archer sees them: shots, the ellipse that holds 19 of 20, and the target."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Circle, Ellipse

from vireton.kernel.arrays import FloatArray
from vireton.plots.style import (
    NORMAL,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    SMALL,
    STROKES,
    Stroke,
    foot,
    head,
    our_look,
    prepare_face,
)
from vireton.units.display import Display, display
from vireton.units.problems import InputProblem
from vireton.units.text import UnitSystem

#: Panels that a page has room for.
MOST_PANELS = 6
_MARGIN = 1.08
_TWO_TALL = 5.2  # inches, for two panels beside each other
_TARGET, _TARGET_WIDE = "#b9c0c4", 4.0  # the target's ring: pale and broad, unlike any oval


@dataclass(frozen=True, eq=False)
class ShotCloud:
    """One kind of arrow at one distance, m right and up of the target's middle.

    ``shots`` (m, 2), nan where one never arrived; ``center`` (2,); ``half_axes`` m, the longer
    first, and ``lean`` rad of its direction from the right upwards, of the ellipse; ``hits``: the
    share inside the target, in words.
    """

    label: str
    shots: FloatArray
    center: FloatArray
    half_axes: tuple[float, float]
    lean: float
    hits: str


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
        count = len(distances)
        tall = PAGE_HEIGHT if count != 2 else _TWO_TALL
        figure = Figure(figsize=(PAGE_WIDTH, tall))
        below = (
            f"Archer's view, {units.small_word} right and up of the target's middle, where "
            "the fletched arrow lands without scatter in still air. Each panel has its own scale."
        )
        top = head(figure, title, below)
        bottom = foot(figure, [_CAUTION])
        key = _key(clouds[0], target, units)
        if count % 2 == 0 or count == 1:  # no corner is free for the key
            figure.legend(
                *key,
                loc="upper left",
                bbox_to_anchor=(0.02, top),
                ncols=len(clouds[0]),
                frameon=False,
            )
            top -= (1 + math.ceil(len(key[0]) / len(clouds[0]))) * NORMAL * 1.7 / 72.0 / tall
        columns = 1 if count == 1 else 2
        kinds_high = 0.17 * len(clouds[0]) / tall
        grid = figure.add_gridspec(
            math.ceil(count / columns), columns, left=0.13, right=0.97,
            top=top - 0.22 / tall - kinds_high, bottom=bottom + 0.35 / tall,
            hspace=0.4 + 0.1 * len(clouds[0]), wspace=0.42,
        )  # fmt: skip
        for i, (distance, kinds) in enumerate(zip(distances, clouds, strict=True)):
            axes = figure.add_subplot(grid[i // columns, i % columns])
            _draw(axes, distance, kinds, target, units)
        if count % 2 and count > 1:
            corner = figure.add_subplot(grid[-1, 1])
            corner.set_axis_off()
            corner.legend(
                *key, loc="center left", bbox_to_anchor=(-0.2, 0.5), labelspacing=1.3, frameon=False
            )
    return figure


_CAUTION = "For targets at practice: which distance is right for a shot at game is not ours to say."


def _key(
    kinds: Sequence[ShotCloud], target: float, units: Display
) -> tuple[list[Line2D], list[str]]:
    """Samples and words: each kind's shots and its oval, the target, the crosses."""
    samples = [Line2D([], [], **{**stroke.line, **stroke.spot, "markersize": 4.0,
                                 "linestyle": stroke.line["linestyle"]})
               for stroke, _ in zip(STROKES, kinds, strict=False)]  # fmt: skip
    samples.append(Line2D([], [], color=_TARGET, linewidth=_TARGET_WIDE))
    samples.append(Line2D([], [], color="black", marker="x", markersize=7.0, linestyle="none"))
    size = f"{target / units.small_size:.4g} {units.small}"
    words = [f"{cloud.label}: shots, oval of 19 in 20" for cloud in kinds]
    return samples, [*words, f"target, {size} across", "middle of each kind"]


def _draw(
    axes: Axes, distance: float, kinds: Sequence[ShotCloud], target: float, units: Display
) -> None:
    size = units.small_size
    prepare_face(axes, "", units.small)
    axes.set_title(
        f"{distance / units.far_size:.4g} {units.far}",
        loc="left",
        fontsize=NORMAL,
        fontweight="bold",
        pad=5.0 + 12.0 * len(kinds),
    )
    inside = "\n".join(f"{cloud.label}: {cloud.hits} inside" for cloud in kinds)
    axes.annotate(
        inside, (0.0, 1.0), xytext=(0.0, 4.0), xycoords="axes fraction",
        textcoords="offset points", va="bottom", fontsize=SMALL, linespacing=1.25,
        parse_math=False,
    )  # fmt: skip
    axes.add_patch(
        Circle(
            (0.0, 0.0),
            0.5 * target / size,
            fill=False,
            edgecolor=_TARGET,
            linewidth=_TARGET_WIDE,
            zorder=0.5,
        )
    )
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
