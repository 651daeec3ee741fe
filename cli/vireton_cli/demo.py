"""``vireton demo``: a live what-if window for a lesson."""

import json
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from vireton.answers.question import asked
from vireton.answers.shot import SETUP, OneBow, load
from vireton.units.numbers import MPH
from vireton_cli import options
from vireton_cli.options import UnitChoice
from vireton_cli.shooting import say_if_first_run, warn

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.plots import FlightCurve, LiveWindow
    from vireton.plots.live import Shoot
    from vireton.rig import Rig
    from vireton.setup import Setup

EXAMPLE = "Example: vireton demo --plot window.png"
_FARTHEST, _FACE = 60.0, 20.0  # yd or m
_POINTS = 80

_NO_WINDOW = (
    "no window can be opened here: there is no display, or Python has no toolkit for windows "
    "(such as tkinter: the package python3-tk of many systems). Use a computer with a screen, "
    "`vireton demo --plot FILE` for a still picture, or `vireton animate` for a film"
)


@dataclass(frozen=True)
class Demo(OneBow):
    """Whose window it is."""

    setup: "Setup" = asked(*SETUP)


def demo(
    setup: Annotated[
        Path | None,
        typer.Argument(
            metavar="[SETUP]", help="Setup file; without it the invented bow of `vireton new`."
        ),
    ] = None,
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
    plot: Annotated[
        Path | None,
        typer.Option(
            "--plot",
            metavar="FILE",
            help="Draw the window to FILE (.png, .svg or .pdf) instead of opening it.",
        ),
    ] = None,
) -> None:
    """Open a window with sliders for rest and wind: both arrows answer at once.

    One bow that could be yours, without bands: a picture to teach from, not advice. With --json
    what the sliders stood at when the window was closed is printed.
    """
    from vireton.plots import save
    from vireton.plots.live import HEIGHT, PIXELS_PER_INCH, WIDTH

    options.check_plot(plot)
    if plot is None:
        figure, show = _open_window()
    shown = Demo(load(setup))
    say_if_first_run()
    rig = shown.rig
    warn(shown.warnings)
    if plot is None:
        window = _fill(figure, rig, units)
        show()
    else:
        from matplotlib.figure import Figure as StillFigure

        window = _fill(StillFigure((WIDTH, HEIGHT), dpi=PIXELS_PER_INCH), rig, units)
        there = plot.exists()
        save(window.stand_still(), plot)
    if as_json:
        typer.echo(json.dumps(_json(window), indent=2, allow_nan=False))
    elif plot is not None:
        typer.echo(options.wrote(plot, there))


def _open_window() -> "tuple[Figure, Any]":
    """An empty figure in a window, and what shows it until it is closed."""
    import matplotlib as mpl
    from matplotlib import pyplot as plt

    from vireton.plots.live import HEIGHT, PIXELS_PER_INCH, WIDTH
    from vireton.units.problems import InputProblem

    mpl.rcParams["toolbar"] = "None"  # its tools would fight with the sliders
    try:
        figure = plt.figure("Vireton", (WIDTH, HEIGHT), dpi=PIXELS_PER_INCH)
    except ImportError as error:
        raise InputProblem(f"{_NO_WINDOW} ({error})") from error
    if type(figure.canvas).required_interactive_framework is None:
        raise InputProblem(_NO_WINDOW)
    return figure, plt.show


def _fill(figure: "Figure", rig: "Rig", units: UnitChoice) -> "LiveWindow":
    from vireton.bow.cautions import SHOOTING_BARE
    from vireton.plots import live_window
    from vireton.units.display import OPEN, display

    far = display(units.value).far_size
    return live_window(
        figure,
        _shooting(rig, _FARTHEST * far),
        system=units.value,
        title=f"{rig.bow.name}, {rig.fletched.parts.name}",
        face=_FACE * far,
        notes=[
            "One bow drawn by a model, without bands: to teach from, not advice. "
            f"{OPEN} Sideways the direction of a rest move is open: only this bow can tell.",
            SHOOTING_BARE,
        ],
    )


def _shooting(rig: "Rig", farthest: float) -> "Shoot":
    """What answers the sliders."""
    from dataclasses import replace

    import numpy as np

    from vireton.flight.flight import Wind, demand_flown
    from vireton.plots import FlightCurve

    where = np.linspace(1.0, farthest, _POINTS)
    for kind in ("fletched", "bare"):
        demand_flown(kind, rig.shoot(getattr(rig, kind), where))

    def shoot(right: float, up: float, wind: float) -> "tuple[FlightCurve, FlightCurve]":
        blown = replace(rig, conditions=replace(rig.conditions, wind=Wind(0.0, wind)))
        fletched, bare = (
            FlightCurve(kind, one.distance, one.right, one.up, one.yaw, one.pitch)
            for kind, one in (
                (kind, blown.shoot(getattr(rig, kind), where, right, up))
                for kind in ("fletched", "bare")
            )
        )
        return fletched, bare

    return shoot


def _json(window: "LiveWindow") -> dict[str, object]:
    from vireton.units.numbers import INCH, YARD, number, pair

    now = window.values()
    fletched, bare = window.impacts()
    return {
        "schema": 1,
        "rest_right_in": number(now["right"] / INCH),
        "rest_up_in": number(now["up"] / INCH),
        "wind_to_right_mph": number(now["wind"] / MPH),
        "face_yd": number(now["face"] / YARD),
        "fletched_shift_in": pair(fletched, INCH),
        "bare_shift_in": pair(bare, INCH),
    }
