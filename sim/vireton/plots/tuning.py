"""The bare shaft against the fletched group, round by round, and where it should land next."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Ellipse

from vireton.kernel.arrays import FloatArray
from vireton.plots.style import (
    FAINT,
    INK,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    PAPER,
    SMALL,
    head,
    our_look,
    prepare_face,
)
from vireton.units.display import display
from vireton.units.text import UnitSystem

_AFTER = "Solid and hatched: where the next group should be after the advised move. "


@dataclass(frozen=True, eq=False)
class SeparationSpot:
    """One round's separation (2,) m, right and up, with its standard error m on each axis."""

    label: str
    apart: FloatArray
    error: float


def tuning_figure(
    spots: Sequence[SeparationSpot],
    now: FloatArray,
    after: FloatArray | None,
    *,
    system: UnitSystem,
    tolerance: float,
    title: str,
    aim: FloatArray,
) -> Figure:
    """Draw the target face as the archer sees it, the fletched group in the middle.

    Args:
        spots: separations as seen, in order; joined by a thin line.
        now: samples (k, 2) m of the separation where the rest stands: their 95 % ellipse.
        after: the same after the advised move; None without one.
        system: units.
        tolerance: m, drawn as a circle.
        title: heading.
        aim: (2,) m, the separation that is wanted, about which the tolerance is drawn.
    """
    units = display(system)
    size = units.small_size
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, PAGE_HEIGHT))
        top = head(
            figure,
            title,
            "The face as the archer sees it, at 20 yd: the fletched group is the middle. Crosses: "
            "the bare shaft in each round, with its standard error. Dashed: where it should be "
            f"now (95 %). {'' if after is None else _AFTER}Dotted: the tolerance about the aim.",
        )
        wide = 0.82
        high = wide * PAGE_WIDTH / PAGE_HEIGHT  # as high as wide: one scale both ways
        axes = figure.add_axes((0.13, top - high - 0.03, wide, high))
        prepare_face(axes, "bare minus fletched", units.small)
        circle = Ellipse(
            (aim[0] / size, aim[1] / size), 2 * tolerance / size, 2 * tolerance / size, fill=False
        )
        circle.set(edgecolor=INK, linestyle=(0, (1, 2)), linewidth=1.2)
        axes.add_patch(circle)
        _name(axes, "tolerance", aim[0] / size, (aim[1] + tolerance) / size, above=True)
        _ellipse(axes, now / size, "now (95 %)", filled=False)
        if after is not None:
            _ellipse(axes, after / size, "after the move (95 %)", filled=True)
        places = np.array([spot.apart for spot in spots]).reshape(-1, 2) / size
        axes.plot(places[:, 0], places[:, 1], color=FAINT, linewidth=1.0)
        for spot, (x, y) in zip(spots, places, strict=True):
            axes.errorbar(
                x, y, xerr=spot.error / size, yerr=spot.error / size, color=INK, linewidth=1.0
            )
            axes.annotate(
                spot.label, (x, y), xytext=(6, 6), textcoords="offset points", fontsize=SMALL,
                bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 1.0, "alpha": 0.8},
            )  # fmt: skip
        bars = np.array([spot.error for spot in spots]).reshape(-1, 1) / size
        everything = np.concatenate([np.abs(places) + bars, now / size, np.zeros((1, 2))])
        if after is not None:
            everything = np.concatenate([everything, after / size])
        reach = max(float(np.abs(everything).max()), 2.0 * tolerance / size) * 1.08
        axes.set_xlim(-reach, reach)
        axes.set_ylim(-reach, reach)
    return figure


def _name(axes: Axes, text: str, x: float, y: float, *, above: bool) -> None:
    """A name at the upper or lower end of what it names."""
    axes.annotate(
        text, (x, y), xytext=(0, 3 if above else -3), textcoords="offset points", fontsize=SMALL,
        ha="center", va="bottom" if above else "top",
        bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.5, "alpha": 0.8},
    )  # fmt: skip


def _ellipse(axes: Axes, samples: FloatArray, name: str, *, filled: bool) -> None:
    """The 95 % ellipse of a Gaussian with these samples' mean and covariance, and its name."""
    middle = samples.mean(axis=0)
    values, vectors = np.linalg.eigh(np.cov(samples.T))
    wide = 2.0 * np.sqrt(5.991 * np.maximum(values, 0.0))  # chi-square, 2 degrees, 95 %
    turn = float(np.degrees(np.arctan2(vectors[1, 0], vectors[0, 0])))
    patch = Ellipse(
        (float(middle[0]), float(middle[1])), float(wide[0]), float(wide[1]), angle=turn
    )
    patch.set(
        fill=False,
        edgecolor=INK,
        linewidth=1.4,
        linestyle="solid" if filled else (0, (5, 3)),
        hatch="///" if filled else None,
    )
    axes.add_patch(patch)
    highest = float(
        np.hypot(wide[0] * np.sin(np.radians(turn)), wide[1] * np.cos(np.radians(turn)))
    )
    _name(axes, name, float(middle[0]), float(middle[1]) + 0.5 * highest, above=True)
