"""The shafts from near, as if one flew along: from the side, sideways, and from behind."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Circle, Polygon
from matplotlib.text import Text

from vireton.kernel.arrays import FloatArray
from vireton.plots.style import FAINT, NORMAL, PAPER, SMALL, Stroke, signed
from vireton.units.numbers import DEGREE

# an arrow along x about its point of turning, in lane units
_SHAFT = np.array([(-3.0, 0.0), (2.6, 0.0)])
_POINT = np.array([(2.55, 0.13), (3.05, 0.0), (2.55, -0.13)])
_VANE = np.array([(-2.75, 0.0), (-2.6, 0.42), (-2.05, 0.2), (-1.8, 0.0)])
_PIVOT = 3.7
_WIDE = 11.0
_LANES = (0.73, 0.27)  # heights of the two arrows, shares of a panel
_BESIDE = 7.5  # where names and numbers stand
_BEHIND = 9.75  # where the view from behind stands
_RADIUS, _TUBE = 0.95, 0.22
_HEADINGS = {"pitch": "Near by: from the side", "yaw": "Near by, sideways: nose right is up"}
_FROM_BEHIND = ", and from behind"


@dataclass(frozen=True)
class _Near:
    """One arrow in one direction of view: what turns about its pivot."""

    angle: str
    pivot: tuple[float, float]
    shaft: Line2D
    solids: Sequence[tuple[Polygon, FloatArray]]
    words: Text

    def move_to(self, now: dict[str, float], factor: int) -> None:
        """Turn it to its angle, ``factor`` times too large, and write the true angle."""
        turn = factor * now[self.angle]
        rotation = np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
        self.shaft.set_data(*(_SHAFT @ rotation + self.pivot).T)
        for solid, shape in self.solids:
            solid.set_xy(shape @ rotation + self.pivot)
        self.words.set_text(f"{signed(round(now[self.angle] / DEGREE, 1) + 0.0)}°")


@dataclass(frozen=True)
class _Behind:
    """The vanes seen by the archer; one of them is marked."""

    center: tuple[float, float]
    vanes: Sequence[Line2D]
    mark: Line2D

    def move_to(self, turned: float) -> None:
        """Turn the vanes clockwise by ``turned`` rad."""
        for i, vane in enumerate(self.vanes):
            turn = turned + 2.0 * math.pi * i / len(self.vanes)
            way = np.array([math.sin(turn), math.cos(turn)])
            ends = np.array([_TUBE * way, _RADIUS * way]) + self.center
            vane.set_data(*ends.T)
            if i == 0:
                self.mark.set_data([ends[1, 0]], [ends[1, 1]])


@dataclass(frozen=True)
class NearView:
    """All that is seen from near."""

    shafts: Sequence[Sequence[_Near]]
    behind: Sequence[_Behind | None]

    @staticmethod
    def build(
        figure: Figure,
        rooms: Mapping[str, tuple[float, float, float, float]],
        arrows: Sequence[tuple[str, int, Stroke]],
    ) -> "NearView":
        """Lay out a panel for each angle, with a lane for each arrow.

        Args:
            figure: to draw on.
            rooms: left, lower edge, width and height of the panels, shares of the figure, by the
                angle that they show, ``pitch`` or ``yaw``. The first also shows it from behind.
            arrows: name, number of vanes and stroke of each.
        """
        headings = dict(_HEADINGS)
        headings[next(iter(rooms))] += _FROM_BEHIND
        panels = [_panel(figure, room, headings[angle], arrows) for angle, room in rooms.items()]
        shafts = [
            [
                _near(axes, angle, lane, vanes, stroke)
                for (_, vanes, stroke), lane in zip(arrows, _LANES, strict=False)
            ]
            for axes, angle in zip(panels, rooms, strict=True)
        ]
        behind = [
            _from_behind(panels[0], lane, vanes, stroke) if vanes else None
            for (_, vanes, stroke), lane in zip(arrows, _LANES, strict=False)
        ]
        return NearView(shafts, behind)

    @property
    def artists(self) -> list[Artist]:
        """What moves, in the order of drawing."""
        moving: list[Artist] = []
        for panel in self.shafts:
            for one in panel:
                moving += [*(solid for solid, _ in one.solids), one.shaft, one.words]
        for view in self.behind:
            if view is not None:
                moving += [*view.vanes, view.mark]
        return moving

    def move_to(self, arrows: Sequence[dict[str, float]], factor: int) -> None:
        """Set all to what the arrows do now."""
        for panel in self.shafts:
            for one, now in zip(panel, arrows, strict=True):
                one.move_to(now, factor)
        for view, now in zip(self.behind, arrows, strict=True):
            if view is not None:
                view.move_to(now["turned"])


def _panel(
    figure: Figure,
    room: tuple[float, float, float, float],
    heading: str,
    arrows: Sequence[tuple[str, int, Stroke]],
) -> Axes:
    axes = figure.add_axes(room)
    high = _WIDE * axes.bbox.height / axes.bbox.width  # one scale both ways
    axes.set(xlim=(0.0, _WIDE), ylim=(0.0, high), xticks=[], yticks=[])
    axes.set_title(heading, loc="left", fontsize=NORMAL, pad=4.0)
    for side in axes.spines.values():
        side.set_visible(False)
    for (label, _, stroke), lane in zip(arrows, _LANES, strict=False):
        level = _level(axes, lane)
        axes.plot([0.3, 7.2], [level, level], color=FAINT, linewidth=0.8, linestyle=(0, (4, 3)))
        axes.plot([_BESIDE + 0.15], [level + 1.1], **{**stroke.spot, "markersize": 5.0})
        axes.text(
            _BESIDE + 0.45, level + 1.1, label, va="center", fontsize=SMALL,
            color=stroke.color, parse_math=False,
        )  # fmt: skip
    return axes


def _level(axes: Axes, lane: float) -> float:
    return lane * axes.get_ylim()[1]


def _near(axes: Axes, angle: str, lane: float, vanes: int, stroke: Stroke) -> _Near:
    level = _level(axes, lane)
    (shaft,) = axes.plot(
        [], [], color=stroke.color, linewidth=2.4, solid_capstyle="butt", clip_on=False
    )
    shapes = [_POINT, _VANE, _VANE * (1.0, -1.0)] if vanes else [_POINT]
    solids = []
    for shape in shapes:
        solid = Polygon(
            shape,
            facecolor=stroke.color if shape is _POINT else PAPER,
            edgecolor=stroke.color,
            linewidth=1.2,
            clip_on=False,
        )
        axes.add_patch(solid)
        solids.append((solid, shape))
    words = axes.text(_BESIDE, level, "", va="center", fontsize=SMALL)
    return _Near(angle, (_PIVOT, level), shaft, solids, words)


def _from_behind(axes: Axes, lane: float, vanes: int, stroke: Stroke) -> _Behind:
    level = _level(axes, lane)
    center = (_BEHIND, level)
    axes.add_patch(Circle(center, _TUBE, fill=False, edgecolor=stroke.color, linewidth=1.4))
    lines = [axes.plot([], [], color=stroke.color, linewidth=1.8)[0] for _ in range(vanes)]
    (mark,) = axes.plot([], [], marker="o", markersize=5.0, color=stroke.color, linestyle="none")
    return _Behind(center, lines, mark)
