"""A flight in slow motion, frame by frame: paths at the left, the shafts from near at the right.

Drawn once and then only what moves, so that a frame costs some milliseconds.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.text import Text
from matplotlib.ticker import MaxNLocator

from vireton.kernel.arrays import FloatArray
from vireton.plots.near_view import NearView
from vireton.plots.style import (
    NORMAL,
    STROKES,
    Stroke,
    foot,
    head,
    left_out,
    limits,
    our_look,
    prepare,
    shows_something,
)
from vireton.units.display import Display, display
from vireton.units.numbers import DEGREE
from vireton.units.text import UnitSystem

Frame = npt.NDArray[np.uint8]

#: Inches and pixels per inch: 960 × 600 pixels, an even number each, as films want it.
WIDTH, HEIGHT, PIXELS_PER_INCH = 9.6, 6.0, 100

#: Factors by which angles may be enlarged, and how far from its flight a shaft may then point, rad.
_FACTORS = (1, 2, 5, 10, 20)
_LARGEST_DRAWN = 35.0 * DEGREE
_ON_THE_PATH = 42.0  # pixels, the length of a shaft drawn on its path


@dataclass(frozen=True, eq=False)
class Motion:
    """One arrow in time. Arrays of shape (n,), n ≥ 2, times rising.

    ``time`` s since nock release; ``distance`` m from the bow; ``right``, ``up`` m of the point
    from the line of sight or the bore line; ``yaw`` (nose right) and ``pitch`` (nose up) rad
    against the direction of flight; ``turned`` rad about its own axis, clockwise for the archer.
    ``vanes`` is their number, 0 for a bare shaft. Raises ValueError for arrays that do not fit
    together or hold what is no finite number.
    """

    label: str
    vanes: int
    time: FloatArray
    distance: FloatArray
    right: FloatArray
    up: FloatArray
    yaw: FloatArray
    pitch: FloatArray
    turned: FloatArray

    def __post_init__(self) -> None:
        for name in ("time", "distance", "right", "up", "yaw", "pitch", "turned"):
            values = getattr(self, name)
            if values.shape != self.time.shape or values.ndim != 1 or values.size < 2:
                raise ValueError(f"{self.label}: {name} has shape {values.shape}")
            if not np.isfinite(values).all():
                raise ValueError(f"{self.label}: {name} holds what is no finite number")
        if np.any(np.diff(self.time) <= 0.0):
            raise ValueError(f"{self.label}: the times must rise from each to the next")

    def at(self, time: float) -> dict[str, float]:
        """All its values at ``time`` s; those at an end of the flight before and after it."""
        names = ("distance", "right", "up", "yaw", "pitch", "turned")
        return {name: float(np.interp(time, self.time, getattr(self, name))) for name in names}


def enlargement(motions: Sequence[Motion]) -> int:
    """By how much the angles of these flights are enlarged: 1, 2, 5, 10 or 20."""
    largest = max(float(np.abs([one.yaw, one.pitch]).max()) for one in motions)
    return max((f for f in _FACTORS if f * largest <= _LARGEST_DRAWN), default=1)


def frame_times(motions: Sequence[Motion], frames: int) -> FloatArray:
    """Times (frames,) s, evenly spaced, from when all have begun to when all have arrived."""
    first = max(float(one.time[0]) for one in motions)
    last = max(float(one.time[-1]) for one in motions)
    return np.linspace(first, last, frames)


def film(
    motions: Sequence[Motion],
    times: Iterable[float],
    *,
    system: UnitSystem,
    title: str,
    slower: float,
    reference: str,
    notes: Sequence[str] = (),
) -> Iterator[Frame]:
    """Draw one picture for each time: (600, 960, 3) bytes, red, green, blue.

    Args:
        motions: one or two.
        times: s.
        system: ``"us"`` or ``"metric"``.
        title: heading.
        slower: how many times slower the film will run than the arrow flies, said on the picture.
        reference: what ``right`` and ``up`` are measured from, in words.
        notes: at the foot of the picture.

    Raises ValueError for more motions than there are lanes, or none.
    """
    if not 1 <= len(motions) <= 2:
        raise ValueError(f"a film shows one arrow or two, not {len(motions)}")
    with our_look():
        stage = _Stage.build(motions, display(system), title, slower, reference, notes)
        canvas = FigureCanvasAgg(stage.figure)
        canvas.draw()  # type: ignore[no-untyped-call]
        background = canvas.copy_from_bbox(stage.figure.bbox)  # type: ignore[no-untyped-call]
    for time in times:
        with our_look():
            canvas.restore_region(background)  # type: ignore[no-untyped-call]
            for artist in stage.move_to(float(time)):
                stage.figure.draw_artist(artist)
            yield np.array(canvas.buffer_rgba())[..., :3]  # type: ignore[no-untyped-call]


@dataclass(frozen=True)
class _Trail:
    """One arrow on one path panel: the path flown, the marker at its tip, the shaft."""

    axes: Axes
    place: str
    angle: str
    size: float
    far: float
    line: Line2D
    spot: Line2D
    shaft: Line2D

    def move_to(self, motion: Motion, time: float, factor: int) -> None:
        """Show the path until ``time``, and the shaft at its end."""
        now = motion.at(time)
        flown = motion.time <= time
        x = np.append(motion.distance[flown], now["distance"]) / self.far
        y = np.append(getattr(motion, self.place)[flown], now[self.place]) / self.size
        tip = (x[-1], y[-1])
        self.line.set_data(x, y)
        self.spot.set_data([tip[0]], [tip[1]])
        # along its path as drawn, turned by the enlarged angle
        ends = [motion.at(time + share * float(np.ptp(motion.time))) for share in (-0.01, 0.01)]
        places = [(one["distance"] / self.far, one[self.place] / self.size) for one in ends]
        here, before, after = self.axes.transData.transform([tip, *places])
        way = after - before
        turn = math.atan2(way[1], way[0]) + factor * now[self.angle]
        back = (
            2.0 * _ON_THE_PATH * PIXELS_PER_INCH / 72.0 * np.array([math.cos(turn), math.sin(turn)])
        )
        tail = self.axes.transData.inverted().transform(here - back)
        self.shaft.set_data([tip[0], tail[0]], [tip[1], tail[1]])


@dataclass(frozen=True)
class _View:
    """One direction to look from: the place and the angle that it shows, and its words."""

    place: str
    angle: str
    name: str
    heading: str
    ends: tuple[str, str]

    def shows(self, motions: Sequence[Motion], units: Display) -> bool:
        """Whether anything leaves zero there."""
        places = [getattr(one, self.place) / units.small_size for one in motions]
        angles = [getattr(one, self.angle) / DEGREE for one in motions]
        return shows_something(places, units.small_span) or shows_something(angles, 1.0)

    def prepare(
        self, axes: Axes, motions: Sequence[Motion], units: Display, reference: str
    ) -> None:
        """The panel of the paths, before any moves."""
        prepare(axes, self.name, units.small, *self.ends)
        heading = self.heading.format(reference)
        axes.set_title(heading, loc="left", fontsize=NORMAL, pad=4.0)
        values = [getattr(one, self.place) / units.small_size for one in motions]
        axes.set_ylim(*limits(values, units.small_span))
        farthest = max(float(one.distance[-1]) for one in motions)
        axes.set_xlim(0.0, 1.03 * farthest / units.far_size)
        axes.xaxis.set_major_locator(MaxNLocator(nbins=8, steps=[1, 2, 5, 10]))


_VIEWS = (
    _View("up", "pitch", "up", "From the side, 0 = {}", ("below", "above")),
    _View("right", "yaw", "sideways", "Sideways: the archer's right is up here", ("left", "right")),
)
_BETWEEN = 0.08  # of the picture's height, from one view to the next


@dataclass(frozen=True)
class _Stage:
    """The picture with all that moves on it."""

    figure: Figure
    motions: Sequence[Motion]
    factor: int
    trails: Sequence[tuple[Motion, _Trail]]
    near: NearView
    clock: Text

    @staticmethod
    def build(
        motions: Sequence[Motion],
        units: Display,
        title: str,
        slower: float,
        reference: str,
        notes: Sequence[str],
    ) -> "_Stage":
        figure = Figure(figsize=(WIDTH, HEIGHT), dpi=PIXELS_PER_INCH)
        factor = enlargement(motions)
        enlarged = f"{factor} times too large" if factor > 1 else "true"
        below = (
            f"Shown {slower:.3g} times slower than it flies. Angles of the shafts against their "
            f"flight: {enlarged}. Paths: {units.small_word} up the page against {units.far_word} "
            "across it."
        )
        top = head(figure, title, below) - 0.06
        views = [one for one in _VIEWS if one.shows(motions, units)] or [_VIEWS[0]]
        gone = left_out([one.name for one in _VIEWS if one not in views])
        bottom = foot(figure, [*notes, *gone]) + 0.09
        tall = (top - bottom - _BETWEEN * (len(views) - 1)) / len(views)
        lows = [top - tall - k * (tall + _BETWEEN) for k in range(len(views))]
        trails: list[tuple[Motion, _Trail]] = []
        for view, low in zip(views, lows, strict=True):
            axes = figure.add_axes((0.1, low, 0.5, tall))
            view.prepare(axes, motions, units, reference)
            for motion, stroke in zip(motions, STROKES, strict=False):
                trails.append((motion, _trail(axes, stroke, view.place, view.angle, units)))
        axes.set_xlabel(f"distance from the bow ({units.far})", labelpad=2.0)
        near = NearView.build(
            figure,
            {v.angle: (0.635, low, 0.355, tall) for v, low in zip(views, lows, strict=True)},
            [(one.label, one.vanes, stroke) for one, stroke in zip(motions, STROKES, strict=False)],
        )
        clock = figure.text(0.98, bottom - 0.05, "", ha="right", va="top", fontsize=NORMAL)
        for artist in (clock, *near.artists):
            artist.set_animated(True)
        return _Stage(figure, motions, factor, trails, near, clock)

    def move_to(self, time: float) -> list[Artist]:
        """Set everything to ``time`` s and return what must be drawn, in order."""
        for motion, trail in self.trails:
            trail.move_to(motion, time, self.factor)
        self.near.move_to([one.at(time) for one in self.motions], self.factor)
        self.clock.set_text(f"{1e3 * time:.0f} ms after the string lets go")
        drawn: list[Artist] = []
        for _, trail in self.trails:
            drawn += [trail.line, trail.shaft, trail.spot]
        return [*drawn, *self.near.artists, self.clock]


def _trail(axes: Axes, stroke: Stroke, place: str, angle: str, units: Display) -> _Trail:
    (line,) = axes.plot([], [], **stroke.line, animated=True)
    (spot,) = axes.plot([], [], **{**stroke.spot, "animated": True, "markersize": 5.0})
    (shaft,) = axes.plot([], [], color=stroke.color, linewidth=2.6, animated=True, clip_on=False)
    return _Trail(axes, place, angle, units.small_size, units.far_size, line, spot, shaft)
