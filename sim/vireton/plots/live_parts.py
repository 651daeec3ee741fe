"""What the live window is made of: panels over distance, the face, sliders and buttons."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.text import Annotation, Text
from matplotlib.ticker import MaxNLocator
from matplotlib.widgets import Button, CheckButtons, Slider

from vireton.kernel.arrays import FloatArray
from vireton.plots.curves import FlightCurve
from vireton.plots.style import (
    FAINT,
    NORMAL,
    PAPER,
    SMALL,
    STROKES,
    Stroke,
    prepare,
    prepare_face,
    shows_something,
)
from vireton.units.display import Display
from vireton.units.numbers import DEGREE, INCH, MPH
from vireton.units.text import UnitSystem

_LEFT, _WIDE, _GAP = 0.085, 0.43, 0.035  # of the window: panels and what is between them

#: Half widths that the axes may take, small units or degrees: they jump, so the eye keeps a scale.
REACHES = (2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)


@dataclass(frozen=True)
class Knob:
    """One slider: what it says, its ends and step in the unit shown, and that unit in SI."""

    name: str
    low: float
    high: float
    step: float
    size: float


KNOBS: dict[UnitSystem, dict[str, Knob]] = {
    "us": {
        "right": Knob("rest right, 1/32 in", -4.0, 4.0, 0.5, INCH / 32.0),
        "up": Knob("rest up, 1/32 in", -4.0, 4.0, 0.5, INCH / 32.0),
        "wind": Knob("wind to the right, mph", -20.0, 20.0, 1.0, MPH),
    },
    "metric": {
        "right": Knob("rest right, mm", -3.0, 3.0, 0.25, 1e-3),
        "up": Knob("rest up, mm", -3.0, 3.0, 0.25, 1e-3),
        "wind": Knob("wind to the right, m/s", -10.0, 10.0, 0.5, 1.0),
    },
}


@dataclass(frozen=True)
class Panel:
    """One quantity over distance: the axes, a line for each arrow, and how to read a value."""

    axes: Axes
    lines: Sequence[Line2D]
    pick: Callable[[FlightCurve], FloatArray]
    size: float
    least_span: float

    def shows(self, flights: Sequence[FlightCurve]) -> bool:
        """Whether anything leaves zero there."""
        return shows_something([self.pick(one) / self.size for one in flights], self.least_span)


def shifts(flight: FlightCurve, start: FlightCurve) -> tuple[FloatArray, FloatArray]:
    """Right and up, m, from the path of the arrow as it was sighted in."""
    return flight.right - start.right, flight.up - start.up


def add_panels(figure: Figure, units: Display, start: FlightCurve) -> list[Panel]:
    """Three panels over distance; :func:`lay_out` puts them one below the other."""
    far = float(start.distance[-1]) / units.far_size
    described = (
        ("sideways", units.small, units.small_size, ("left", "right"),
         lambda one: shifts(one, start)[0]),
        ("up", units.small, units.small_size, ("below", "above"),
         lambda one: shifts(one, start)[1]),
        ("nose", "deg", DEGREE, ("left", "right"), lambda one: one.yaw),
    )  # fmt: skip
    panels = []
    for name, unit, size, ends, pick in described:
        axes = figure.add_axes((_LEFT, 0.0, _WIDE, 1.0))
        prepare(axes, name, unit, *ends)
        axes.set_xlim(0.0, far)
        axes.yaxis.set_major_locator(MaxNLocator(nbins=4, steps=[1, 2, 5, 10]))
        axes.set_ylim(-REACHES[0], REACHES[0])
        lines = [axes.plot([], [], animated=True, **stroke.line)[0] for stroke in STROKES[:2]]
        least = 1.0 if unit == "deg" else units.small_span
        panels.append(Panel(axes, lines, pick, size, least))
    return panels


def lay_out(
    panels: Sequence[Panel], shown: Sequence[Panel], room: tuple[float, float], far: str
) -> None:
    """Put the panels that are ``shown`` one below the other, between the heights of ``room``."""
    low, high = room
    tall = (high - low - _GAP * (len(shown) - 1)) / len(shown)
    for panel in panels:
        panel.axes.set_visible(panel in shown)
    for i, panel in enumerate(shown):
        is_last = i == len(shown) - 1
        panel.axes.set_position((_LEFT, high - tall - i * (tall + _GAP), _WIDE, tall))
        panel.axes.tick_params(labelbottom=is_last)
        panel.axes.set_xlabel(f"distance from the bow ({far})" if is_last else "", labelpad=2.0)


def add_face(
    figure: Figure, units: Display, room: tuple[float, float]
) -> tuple[Axes, list[Line2D], list[Annotation], Text]:
    """The square face with a spot and its name for each arrow, and its heading."""
    low, high = room
    tall = high - low
    wide = tall * figure.get_figheight() / figure.get_figwidth()
    axes = figure.add_axes((0.975 - wide, low, wide, tall))
    prepare_face(axes, "", units.small)
    axes.set(xlim=(-REACHES[0], REACHES[0]), ylim=(-REACHES[0], REACHES[0]))
    spots: list[Line2D] = []
    names: list[Annotation] = []
    # one name below its spot and one above: they never lie over each other's
    for stroke, label, away in zip(STROKES, ("fletched", "bare"), (-1.0, 1.0), strict=False):
        spots.append(_spot(axes, stroke))
        name = axes.annotate(
            "", (0.0, 0.0), xytext=(0.0, 9.0 * away), textcoords="offset points", ha="center",
            va="bottom" if away > 0.0 else "top", fontsize=SMALL, color=stroke.color,
            annotation_clip=False, gid=label,
        )  # fmt: skip
        name.set_animated(True)
        names.append(name)
    heading = figure.text(
        0.975 - wide, high + 0.012, "", fontsize=NORMAL, va="bottom", animated=True
    )
    return axes, spots, names, heading


def _spot(axes: Axes, stroke: Stroke) -> Line2D:
    (spot,) = axes.plot([], [], animated=True, **{**stroke.spot, "markersize": 9.0})
    return spot


def add_slider(figure: Figure, knob: Knob, place: int, top: float, start: float) -> Slider:
    """A slider in a grid of two columns below ``top``; the window draws it, not itself."""
    across, down = place % 2, place // 2
    axes = figure.add_axes((0.185 + 0.29 * across, top - 0.055 * down - 0.03, 0.13, 0.03))
    slider = Slider(
        axes, knob.name, knob.low, knob.high, valinit=start, valstep=knob.step,
        valfmt="%+g" if knob.low < 0.0 else "%g", color=FAINT, track_color=FAINT,
    )  # fmt: skip
    for text in (slider.label, slider.valtext):
        text.set_fontsize(SMALL)
    slider.vline.set_visible(False)
    slider.drawon = False
    axes.set_animated(True)
    return slider


def add_buttons(figure: Figure, bottom: float) -> tuple[CheckButtons, Button]:
    """Which arrows are drawn, each with a piece of its line, and all back to the beginning."""
    boxes = figure.add_axes((0.69, bottom - 0.185, 0.17, 0.11))
    vanes = CheckButtons(boxes, ("with vanes", "bare shaft"), (True, True))
    for stroke, level in zip(STROKES, (2.0 / 3.0, 1.0 / 3.0), strict=False):
        where = boxes.transAxes
        boxes.add_artist(Line2D((0.72, 0.95), (level, level), transform=where, **stroke.line))
    place = figure.add_axes((0.88, bottom - 0.155, 0.09, 0.055))
    reset = Button(place, "Reset", color=PAPER)
    for axes in (boxes, place):
        for spine in axes.spines.values():
            spine.set_visible(True)
    return vanes, reset
