"""A what-if window for a lesson: sliders for rest and wind, both arrows at once.

Only what moves is drawn anew while a slider is dragged, so that the picture follows the hand.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.text import Annotation, Text
from matplotlib.widgets import Button, CheckButtons, Slider

from vireton.kernel.arrays import FloatArray
from vireton.plots.curves import FlightCurve
from vireton.plots.live_parts import (
    KNOBS,
    REACHES,
    Knob,
    Panel,
    add_buttons,
    add_face,
    add_panels,
    add_slider,
    lay_out,
    shifts,
)
from vireton.plots.style import foot, head, our_look, signed
from vireton.units.display import Display, display
from vireton.units.text import UnitSystem

#: Inches; a window of 1100 × 700 pixels at 100 pixels an inch.
WIDTH, HEIGHT, PIXELS_PER_INCH = 11.0, 7.0, 100

_ROOM = 1.1  # free beyond the largest value

#: What the sliders set: rest right m, rest up m, wind to the right m/s. The answer: the fletched
#: arrow's and the bare shaft's flight over the same distances.
Shoot = Callable[[float, float, float], tuple[FlightCurve, FlightCurve]]


@dataclass
class LiveWindow:
    """The picture, its controls and what they show. Build it with :func:`live_window`."""

    figure: Figure
    shoot: Shoot
    units: Display
    knobs: dict[str, Knob]
    sliders: dict[str, Slider]
    vanes: CheckButtons
    reset: Button
    panels: Sequence[Panel]
    room: tuple[float, float]
    face: Axes
    spots: Sequence[Line2D]
    names: Sequence[Annotation]
    heading: Text
    start: FlightCurve
    flights: tuple[FlightCurve, FlightCurve]
    drawn: Sequence[Panel] = ()
    background: Any = field(default=None)

    def values(self) -> dict[str, float]:
        """What the sliders stand at, SI: ``right``, ``up`` m, ``wind`` m/s, ``face`` m."""
        found = {name: float(self.sliders[name].val) * k.size for name, k in self.knobs.items()}
        return {**found, "face": float(self.sliders["face"].val) * self.units.far_size}

    def impacts(self) -> FloatArray:
        """(2, 2) right and up, m, of fletched and bare at the face, from the sighted-in arrow."""
        where = self.values()["face"]
        return np.array(
            [
                [np.interp(where, one.distance, values) for values in shifts(one, self.start)]
                for one in self.flights
            ]
        )

    def shown(self) -> tuple[bool, bool]:
        """Whether the fletched arrow and the bare shaft are drawn."""
        fletched, bare = self.vanes.get_status()
        return bool(fletched), bool(bare)

    def refresh(self, _value: object = None) -> None:
        """Shoot as the sliders say and draw what has changed."""
        now = self.values()
        self.flights = self.shoot(now["right"], now["up"], now["wind"])
        if self._set_panels() | self._set_curves() | self._set_face():
            self.figure.canvas.draw_idle()
        else:
            self._draw_moving()

    def put_back(self, _event: object = None) -> None:
        """All sliders to where they began, and one new picture."""
        for slider in self.sliders.values():
            slider.eventson = False
            slider.reset()
            slider.eventson = True
        for axes in (self.face, *(panel.axes for panel in self.panels)):
            axes.set_ylim(-REACHES[0], REACHES[0])
        self.face.set_xlim(-REACHES[0], REACHES[0])
        self.drawn = ()
        self.refresh()
        self.figure.canvas.draw_idle()

    def stand_still(self) -> Figure:
        """The figure as it is now, to be saved: all of it is drawn at once from here on."""
        moving = [line for panel in self.panels for line in panel.lines]
        axes = [slider.ax for slider in self.sliders.values()]
        for artist in (*moving, *self.spots, *self.names, self.heading, *axes):
            artist.set_animated(False)
        return self.figure

    def keep_background(self, _event: object = None) -> None:
        """After the whole was drawn: remember it, then draw on it what moves."""
        canvas = self.figure.canvas
        if isinstance(canvas, FigureCanvasAgg) and not canvas.is_saving():
            self.background = canvas.copy_from_bbox(self.figure.bbox)  # type: ignore[no-untyped-call]
            self._draw_moving()

    def _draw_moving(self) -> None:
        canvas = self.figure.canvas
        if self.background is None or not isinstance(canvas, FigureCanvasAgg):
            canvas.draw_idle()
            return
        canvas.restore_region(self.background)  # type: ignore[no-untyped-call]
        for panel in self.drawn:
            for line in panel.lines:
                panel.axes.draw_artist(line)
        for artist in (*self.spots, *self.names, self.heading):
            self.figure.draw_artist(artist)
        for slider in self.sliders.values():
            self.figure.draw_artist(slider.ax)
        canvas.blit(self.figure.bbox)

    def _set_panels(self) -> bool:
        """Leave out panels that show only zeros; whether one came. None goes until the reset."""
        drawn = [p for p in self.panels if p in self.drawn or p.shows(self.flights)]
        drawn = drawn or [self.panels[0]]
        if list(self.drawn) == drawn:
            return False
        self.drawn = drawn
        lay_out(self.panels, drawn, self.room, self.units.far)
        return True

    def _set_curves(self) -> bool:
        """Put the flights into their panels; whether an axis had to change."""
        changed = False
        for panel in self.panels:
            largest = 0.0
            for line, flight, seen in zip(panel.lines, self.flights, self.shown(), strict=True):
                values = self._read(panel, flight)
                line.set_data(flight.distance / self.units.far_size, values)
                line.set_visible(seen)
                largest = max(largest, float(np.nanmax(np.abs(values))) if seen else 0.0)
            changed |= _reach(panel.axes.set_ylim, panel.axes.get_ylim(), largest)
        return changed

    def _read(self, panel: Panel, flight: FlightCurve) -> FloatArray:
        return panel.pick(flight) / panel.size

    def _set_face(self) -> bool:
        places = self.impacts() / self.units.small_size
        largest = 0.0
        for (x, y), spot, name, seen in zip(
            places, self.spots, self.names, self.shown(), strict=True
        ):
            spot.set_data([x], [y])
            name.xy = (x, y)
            known = f"{signed(round(x, 1))}, {signed(round(y, 1))}"
            name.set_text(f"{name.get_gid()} {known if np.isfinite(x) else 'never gets there'}")
            for artist in (spot, name):
                artist.set_visible(seen)
            largest = max(largest, abs(x), abs(y)) if seen else largest
        where = self.values()["face"] / self.units.far_size
        self.heading.set_text(f"The face at {where:.3g} {self.units.far}, as the archer sees it")
        wide = _reach(self.face.set_xlim, self.face.get_xlim(), largest)
        return _reach(self.face.set_ylim, self.face.get_ylim(), largest) or wide


def _reach(set_limits: Any, limits: tuple[float, float], largest: float) -> bool:
    """Make an axis about zero reach ``largest``; whether it had to change."""
    reach = next((one for one in REACHES if one >= _ROOM * largest), _ROOM * largest)
    # never narrower, until all is put back: a scale that jumps with the hand teaches nothing
    if limits[1] >= reach:
        return False
    set_limits(-reach, reach)
    return True


def live_window(
    figure: Figure,
    shoot: Shoot,
    *,
    system: UnitSystem,
    title: str,
    face: float,
    notes: Sequence[str],
) -> LiveWindow:
    """Fill ``figure`` with the panels and controls, and let them answer to the hand.

    Keep what is returned as long as the window is open: the controls live in it.

    Args:
        figure: empty, :data:`WIDTH` by :data:`HEIGHT` in.
        shoot: what answers; called for every move of a slider.
        system: ``"us"`` or ``"metric"``.
        title: heading.
        face: m, where the face stands at first.
        notes: at the foot.
    """
    units = display(system)
    with our_look():
        flights = shoot(0.0, 0.0, 0.0)
        below = (
            "Everything is measured from the path of the fletched arrow as it was sighted in: rest "
            "where it is, no wind. Archer's view: + is right, up, nose right."
        )
        top = head(figure, title, below) - 0.045
        bottom = foot(figure, notes) + 0.2
        start = flights[0]
        panels = add_panels(figure, units, start)
        face_axes, spots, names, heading = add_face(figure, units, (bottom, top))
        knobs = KNOBS[system]
        far = float(start.distance[-1]) / units.far_size
        to_face = Knob(f"the face at, {units.far}", 5.0, float(np.floor(far)), 1.0, 1.0)
        sliders = {
            name: add_slider(figure, knob, i, bottom - 0.085, begin)
            for i, (name, knob, begin) in enumerate(
                [*((name, knob, 0.0) for name, knob in knobs.items()),
                 ("face", to_face, face / units.far_size)]
            )
        }  # fmt: skip
        vanes, reset = add_buttons(figure, bottom)
    window = LiveWindow(
        figure, shoot, units, knobs, sliders, vanes, reset, panels, (bottom, top), face_axes, spots,
        names, heading, start, flights,
    )  # fmt: skip
    for slider in sliders.values():
        slider.on_changed(window.refresh)
    vanes.on_clicked(window.refresh)
    reset.on_clicked(window.put_back)
    if isinstance(figure.canvas, FigureCanvasAgg):
        figure.canvas.mpl_connect("draw_event", window.keep_background)
    else:
        window.stand_still()  # a canvas that can only draw the whole
    window.refresh()
    return window
