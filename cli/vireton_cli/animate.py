"""``vireton animate``: a flight in slow motion, for a class."""

import json
import math
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from vireton.answers import shot
from vireton.answers.kinds import MOVE, One
from vireton.answers.question import asked
from vireton.answers.rest_typed import one_way
from vireton.units.problems import InputProblem
from vireton.units.quantity import Quantity
from vireton_cli import options
from vireton_cli.options import UnitChoice
from vireton_cli.shooting import option_name, say_if_first_run, warn

if TYPE_CHECKING:
    from collections.abc import Iterator

    from vireton.kernel.arrays import FloatArray
    from vireton.plots import Frame, Motion
    from vireton.rig import Rig
    from vireton.setup import Setup

EXAMPLE = (
    "Example: vireton animate examples/mill_bow.toml --yaw '0 deg' --yaw-rate '0.5 rad/s' "
    "-o flight.gif"
)
_PLANES = 400
_NEAREST = 1.0  # m, where the film begins


@dataclass(frozen=True)
class Film(shot.OneBow):
    """What is filmed."""

    setup: "Setup" = asked(*shot.SETUP)
    distance: float = asked(One(Quantity("length", "2 m", "200 m", "20 yd")), "20 yd", "")
    right: float = asked(MOVE, "0 in", "")
    left: float = asked(MOVE, "0 in", "")
    up: float = asked(MOVE, "0 in", "")
    down: float = asked(MOVE, "0 in", "")
    wind: tuple[float, float] | None = asked(*shot.WIND)
    yaw: float | None = asked(*shot.YAW)
    pitch: float | None = asked(*shot.PITCH)
    yaw_rate: float | None = asked(*shot.YAW_RATE)
    pitch_rate: float | None = asked(*shot.PITCH_RATE)

    @property
    def changed(self) -> dict[str, Any]:
        """Wind and launch."""
        names = ("wind", "yaw", "pitch", "yaw_rate", "pitch_rate")
        return {name: getattr(self, name) for name in names}


def animate(
    setup: options.SetupFile,
    file: Annotated[
        Path, typer.Option("-o", "--output", metavar="FILE", help="Where to (.gif or .mp4).")
    ],
    distance: Annotated[
        str, typer.Option("--distance", metavar="DISTANCE", help="Where the film ends.")
    ] = "20 yd",
    right: options.Right = None,
    left: options.Left = None,
    up: options.Up = None,
    down: options.Down = None,
    wind: options.Wind = None,
    yaw: options.Yaw = None,
    pitch: options.Pitch = None,
    yaw_rate: options.YawRate = None,
    pitch_rate: options.PitchRate = None,
    slower: Annotated[
        float,
        typer.Option("--slower", min=1.0, max=1000.0, help="How many times slower than it flies."),
    ] = 40.0,
    frames: Annotated[
        int, typer.Option("--frames", min=2, max=400, help="How many pictures the film has.")
    ] = 120,
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
) -> None:
    """Film the fletched arrow beside the bare shaft, in slow motion and with enlarged angles.

    One bow that could be yours, without bands: a picture to teach from, not advice. An .mp4 needs
    the program ffmpeg.
    """
    from vireton.files.whole import is_there
    from vireton.plots import check_film, delay_of, enlargement, frame_times, save_film

    check_film(file)
    if math.isnan(slower):  # typer's own check of the range lets it pass before 0.29
        raise InputProblem("--slower: nan is outside 1 to 1000")
    typed = {
        "setup": setup,
        "distance": distance,
        "right": right,
        "left": left,
        "up": up,
        "down": down,
        "wind": wind,
        "yaw": yaw,
        "pitch": pitch,
        "yaw_rate": yaw_rate,
        "pitch_rate": pitch_rate,
    }
    film = Film.read(one_way(Film, typed, option_name), spelled=option_name)
    say_if_first_run()
    rig, far, move = film.rig, film.distance, (film.right - film.left, film.up - film.down)
    warn(film.warnings)
    motions = _motions(rig, far, move)
    times = frame_times(motions, frames)
    lasts = float(times[-1] - times[0])
    delay = delay_of(lasts * slower / (frames - 1))
    true_slower = delay * (frames - 1) / lasts
    there = is_there(file)
    is_open = rig.sideways_open(move[0])
    title = _title(film, units)
    pictures = _pictures(rig, motions, times, true_slower, units, title, is_open=is_open)
    size = save_film(pictures, delay, file)
    if as_json:
        told: dict[str, Any] = {
            "schema": 1,
            "file": str(file),
            "size_bytes": size,
            "frames": frames,
            "delay_s": delay,
            "slower": true_slower,
            "angles_enlarged": enlargement(motions),
            "arrows": [one.label for one in motions],
            "title": title,
        }
        typer.echo(json.dumps(told, indent=2))
    else:
        from vireton.bow.cautions import SHOOTING_BARE
        from vireton_cli.tables import console, say

        films = (
            f"{frames} pictures, {true_slower:.3g} times slower than it flies; angles "
            f"{enlargement(motions)} times too large"
        )
        say(console(), [options.wrote(file, there), films, SHOOTING_BARE])


def _title(film: Film, units: UnitChoice) -> str:
    """The bow, its arrow, and what the film shows of them."""
    from vireton.answers.shot_words import shot_words
    from vireton.units.display import display

    shown = shot_words(film.right, film.up, film.changed, display(units.value), "rest where it is")
    return f"{film.rig.bow.name}, {film.rig.fletched.parts.name}: {shown}"


def _motions(rig: "Rig", far: float, move: tuple[float, float]) -> "list[Motion]":
    import numpy as np

    from vireton.flight.flight import demand_flown
    from vireton.plots import Motion

    planes = np.linspace(_NEAREST, far, _PLANES)
    arrows = [("fletched", rig.fletched), ("bare shaft", rig.bare)]
    motions = []
    for label, arrow in arrows if rig.fletched.is_fletched else arrows[1:]:
        flight = rig.shoot(arrow, planes, *move)
        demand_flown(label, flight)
        steps = np.diff(flight.time) * 0.5 * (flight.spin[1:] + flight.spin[:-1])
        vanes = arrow.parts.vanes
        motions.append(
            Motion(
                label,
                vanes.count if vanes else 0,
                flight.time,
                flight.distance,
                flight.right,
                flight.up,
                flight.yaw,
                flight.pitch,
                np.concatenate([[0.0], np.cumsum(steps)]),
            )
        )
    return motions


def _pictures(
    rig: "Rig",
    motions: "list[Motion]",
    times: "FloatArray",
    slower: float,
    units: UnitChoice,
    title: str,
    *,
    is_open: bool,
) -> "Iterator[Frame]":
    from vireton.bow.cautions import SHOOTING_BARE
    from vireton.plots import film
    from vireton.units.display import OPEN
    from vireton_cli.tables import with_progress

    notes = ["One bow drawn by a model: to teach from, not advice."]
    if is_open:
        notes[0] += f" {OPEN} Sideways its direction is open: only this bow can tell."
    return film(
        motions,
        with_progress(times, "drawing"),
        system=units.value,
        title=title,
        slower=slower,
        reference="bore line" if rig.sight.sight_in is None else "line of sight",
        notes=[*notes, SHOOTING_BARE],
    )
