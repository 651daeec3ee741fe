"""A tuning round by round: the path of the rest, and the bare shaft against the fletched group."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Ellipse, Rectangle

from vireton.kernel.arrays import FloatArray
from vireton.plots.labels import label_points
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
from vireton.units.display import Display, display
from vireton.units.numbers import INCH
from vireton.units.text import UnitSystem

_LEFT, _WIDE = 0.125, 0.845  # of the page
_REST_SHARE = 0.4  # of the height that both panels have
_BETWEEN = 1.1  # in, from panel to panel: axis, heading, key
#: What a rest is read in: its name and its size, m.
_BENCH = {"us": ("1/32 in", INCH / 32.0), "metric": ("mm", 1e-3)}
_BEND = 0.3  # of an arrow's length, to its right
_DASHED, _DOTTED = (0, (5, 3)), (0, (1, 2))


@dataclass(frozen=True, eq=False)
class SeparationSpot:
    """One round's separation (2,) m, right and up, with its standard error m on each axis."""

    label: str
    apart: FloatArray
    error: float


@dataclass(frozen=True, eq=False)
class RestStand:
    """Where the rest stood in a round, (2,) m right and up from where the log begins."""

    label: str
    at: FloatArray


@dataclass(frozen=True, eq=False)
class RestPath:
    """Where the rest stood and where it should go, m right and up from where the log begins.

    ``stands`` in order; ``now`` (2,); ``advised`` (2,), None where no move is advised, and
    ``advice`` its words; ``best`` (k, 2): draws of where nothing would be left, k may be 0.
    """

    stands: Sequence[RestStand]
    now: FloatArray
    advised: FloatArray | None
    advice: str
    best: FloatArray


def tuning_figure(
    path: RestPath,
    spots: Sequence[SeparationSpot],
    now: FloatArray,
    after: FloatArray | None,
    *,
    system: UnitSystem,
    tolerance: float,
    title: str,
    why: str,
    aim: FloatArray,
) -> Figure:
    """Draw the rest's path over the target face, both as the archer sees them.

    Args:
        path: the rest's.
        spots: separations as seen, in order; joined by a thin line.
        now: samples (k, 2) m of the separation where the rest stands: their 95 % ellipse.
        after: the same after the advised move; None without one.
        system: units.
        tolerance: m, drawn as a circle.
        title: heading: what to do next.
        why: the line below it.
        aim: (2,) m, the separation that is wanted, about which the tolerance is drawn.
    """
    units = display(system)
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, PAGE_HEIGHT))
        top = head(figure, title, why) * PAGE_HEIGHT - 0.62
        room = top - 0.55 - _BETWEEN
        rest = _panel(figure, top - _REST_SHARE * room, _REST_SHARE * room)
        face = _panel(figure, 0.55, (1.0 - _REST_SHARE) * room)
        _draw_rest(rest, path, system)
        _draw_face(face, spots, now, after, units, tolerance, aim)
    return figure


def _panel(figure: Figure, bottom: float, tall: float) -> Axes:
    """Over the width of the page, ``bottom`` and ``tall`` in inches."""
    return figure.add_axes((_LEFT, bottom / PAGE_HEIGHT, _WIDE, tall / PAGE_HEIGHT))


def _fit(axes: Axes, held: FloatArray, least: float) -> None:
    """Limits that hold the points (n, 2), to one scale both ways, and use the whole panel."""
    low, high = held.min(axis=0), held.max(axis=0)
    shape = np.array([axes.bbox.width, axes.bbox.height])
    span = np.maximum(high - low, least) * 1.24
    span = shape * float(np.max(span / shape))
    middle = 0.5 * (low + high)
    axes.set_xlim(middle[0] - 0.5 * span[0], middle[0] + 0.5 * span[0])
    axes.set_ylim(middle[1] - 0.5 * span[1], middle[1] + 0.5 * span[1])


def _heading(axes: Axes, text: str, key: Sequence[tuple[Any, str]]) -> None:
    """The panel's heading, and below it what is drawn in which way."""
    axes.annotate(
        text, (0.0, 1.0), xytext=(0.0, 20.0), xycoords="axes fraction", textcoords="offset points",
        fontsize=SMALL, fontweight="bold", va="bottom",
    )  # fmt: skip
    axes.legend(
        [sample for sample, _ in key], [words for _, words in key], loc="lower left",
        bbox_to_anchor=(-0.01, 1.0), ncols=len(key), frameon=False, fontsize=SMALL,
        borderaxespad=0.15, handlelength=2.4, columnspacing=1.4,
    )  # fmt: skip


def _draw_rest(axes: Axes, path: RestPath, system: UnitSystem) -> None:
    """Settings, arrows from each to the next, the advised one, and where the best should be."""
    name, size = _BENCH[system]
    prepare_face(axes, "rest from where it began", name)
    axes.set_ylabel(f"← down   ({name})   up →", labelpad=1.0)
    together: dict[tuple[float, float], list[str]] = {}
    for one in path.stands:
        x, y = np.round(one.at / size, 3) + 0.0
        together.setdefault((float(x), float(y)), []).append(one.label)
    places = [np.round(one.at / size, 3) for one in path.stands]
    held = [*places, path.now / size]
    key: list[tuple[Any, str]] = [
        (Line2D([], [], color=INK, marker=">", markersize=4.0), "from round to round"),
    ]
    if len(path.best):
        low, high = np.percentile(path.best, [5.0, 95.0], axis=0) / size
        box = Rectangle(tuple(low), *(high - low), fill=False, hatch="...", edgecolor=FAINT)
        axes.add_patch(box)
        held += [low, high]
        key.insert(0, (box, "best setting, 9 of 10 each way"))
    if path.advised is not None:
        held.append(path.advised / size)
    _fit(axes, np.array(held), 4.0)
    free = [path.now / size]
    for start, end in pairwise(places):
        if not np.allclose(start, end):
            _arrow(axes, start, end, weight=1.1, bend=_BEND)
            free += _along(start, end, _BEND)
    free += _arrow_to_next(axes, path, size, key)
    points = np.array(list(together)).reshape(-1, 2)
    axes.plot(points[:, 0], points[:, 1], "o", color=INK, markerfacecolor=PAPER, zorder=4.0)
    labels = [("round " if len(names) == 1 else "rounds ") + ", ".join(names)
              for names in together.values()]  # fmt: skip
    advised = None if path.advised is None else path.advised / size
    if advised is not None:
        points = np.concatenate([points, advised[None]])
        labels.append(path.advice)
    label_points(axes, points, labels, np.array(free))
    _heading(axes, "THE REST, as the archer sees it: each round's setting", key)


def _arrow_to_next(
    axes: Axes, path: RestPath, size: float, key: list[tuple[Any, str]]
) -> list[FloatArray]:
    """From where the rest stands to where it should go, if it should; places on that arrow."""
    now = path.now / size
    axes.plot(*now, "o", color=INK, markersize=9.0, markerfacecolor=INK, zorder=3.5)
    key.insert(0, (Line2D([], [], color=INK, marker="o", linestyle="none"), "now"))
    if path.advised is not None:
        goal = path.advised / size
        axes.plot(*goal, "*", color=INK, markersize=13.0, markerfacecolor=PAPER, zorder=4.0)
        _arrow(axes, now, goal, weight=2.6, bend=0.0)
        star = Line2D([], [], color=INK, marker="*", markersize=10.0, markerfacecolor=PAPER)
        key.insert(1, (star, "advised"))
        return _along(now, goal, 0.0)
    return []


def _arrow(axes: Axes, start: FloatArray, end: FloatArray, *, weight: float, bend: float) -> None:
    """Bent to the side, so that a way back does not lie on the way there."""
    axes.annotate(
        "", tuple(end), xytext=tuple(start), zorder=3.0,
        arrowprops={
            "arrowstyle": "-|>", "color": INK, "linewidth": weight, "shrinkA": 6.0,
            "shrinkB": 7.0, "connectionstyle": f"arc3,rad={bend}",
        },
    )  # fmt: skip


def _along(start: FloatArray, end: FloatArray, bend: float) -> list[FloatArray]:
    """Places on an arrow, in the panel's units: a curve about the corner that bends it."""
    way = end - start
    corner = 0.5 * (start + end) + bend * np.array([way[1], -way[0]])
    return [
        (1.0 - t) ** 2 * start + 2.0 * t * (1.0 - t) * corner + t**2 * end
        for t in np.linspace(0.06, 0.94, 15)
    ]


def _draw_face(
    axes: Axes,
    spots: Sequence[SeparationSpot],
    now: FloatArray,
    after: FloatArray | None,
    units: Display,
    tolerance: float,
    aim: FloatArray,
) -> None:
    """Where the bare shaft landed beside the fletched group, where it should be, the tolerance."""
    size = units.small_size
    prepare_face(axes, "bare minus fletched", units.small)
    circle = Ellipse(
        (aim[0] / size, aim[1] / size), 2 * tolerance / size, 2 * tolerance / size, fill=False
    )
    circle.set(edgecolor=INK, linestyle=_DOTTED, linewidth=1.4)
    axes.add_patch(circle)
    here = _ellipse(axes, now / size, filled=False)
    key: list[tuple[Any, str]] = [(circle, "near enough"), (here, "now (95 %)")]
    held = [_ends(here), _ends(circle), np.zeros((1, 2))]
    if after is not None:
        moved = _ellipse(axes, after / size, filled=True)
        key.append((moved, "after the move (95 %)"))
        held.append(_ends(moved))
    places = np.array([spot.apart for spot in spots]).reshape(-1, 2) / size
    errors = np.array([spot.error for spot in spots]).reshape(-1, 1) / size
    _fit(axes, np.concatenate([*held, places - errors, places + errors]), 2.0)
    axes.plot(0.0, 0.0, "P", color=INK, markersize=7.0, zorder=3.0)
    axes.plot(places[:, 0], places[:, 1], color=FAINT, linewidth=1.0)
    cross = axes.errorbar(
        places[:, 0], places[:, 1], xerr=errors[:, 0], yerr=errors[:, 0], fmt="o", color=INK,
        elinewidth=1.0, markersize=4.0,
    )  # fmt: skip
    if spots:
        key.insert(0, (cross, "a round, ± its error"))
    middle = np.array([[0.0, 0.0]])
    texts = [*(spot.label for spot in spots), "fletched group"]
    label_points(axes, np.concatenate([places, middle]), texts)
    _heading(axes, "THE FACE AT 20 yd, as the archer sees it: the bare shaft", key)


def _ellipse(axes: Axes, samples: FloatArray, *, filled: bool) -> Ellipse:
    """The 95 % ellipse of a Gaussian with these samples' mean and covariance."""
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
        linestyle="solid" if filled else _DASHED,
        hatch="///" if filled else None,
    )
    axes.add_patch(patch)
    return patch


def _ends(patch: Ellipse) -> FloatArray:
    """(2, 2) lower left and upper right corner of what it covers."""
    turn, half = np.radians(patch.angle), 0.5 * np.array([patch.width, patch.height])
    across = np.hypot(half[0] * np.cos(turn), half[1] * np.sin(turn))
    up = np.hypot(half[0] * np.sin(turn), half[1] * np.cos(turn))
    reach = np.array([across, up])
    return np.array([patch.center - reach, patch.center + reach])
