"""``vireton scatter``: groups at each distance, hits, and what the scatter comes from."""

import json
import sys
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from contextlib import AbstractContextManager

    from rich.status import Status

    from vireton.rig import Rig
    from vireton.scatter.blocks import Runner
    from vireton.scatter.case import Case
    from vireton.scatter.estimates import Group
    from vireton.scatter.sources import Scatter

EXAMPLE = "Example: vireton scatter examples/mill_bow.toml --target 8in --distances '20,40,60 yd'"
_USUAL_DISTANCES = {UnitChoice.US: "20,40,60 yd", UnitChoice.METRIC: "18,30,50 m"}
_USUAL_TARGET = {UnitChoice.US: "8 in", UnitChoice.METRIC: "20 cm"}
_MOST_ARROWS = 100_000_000
_DRAWN_SHOTS = 256
_PANEL = "Scatter: standard deviations, instead of those in the setup file"


def _sd(name: str, metavar: str, text: str) -> typer.models.OptionInfo:
    option: typer.models.OptionInfo = typer.Option(
        name, metavar=metavar, help=text, rich_help_panel=_PANEL
    )
    return option


def scatter(
    setup: options.SetupFile,
    distances: Annotated[
        str | None,
        typer.Option(
            "--distances",
            metavar="LIST",
            help="Distances, a list or first:last:step. [default: 20,40,60 yd]",
        ),
    ] = None,
    target: Annotated[
        str | None,
        typer.Option(
            "--target", metavar="SIZE", help="Diameter of the circle to hit. [default: 8 in]"
        ),
    ] = None,
    aim: Annotated[
        str | None, _sd("--aim", "ANGLE", "Aim, both ways, e.g. '1 in at 20 yd' or '2 moa'.")
    ] = None,
    yaw_rate: Annotated[str | None, _sd("--yaw-rate", "RATE", "Yaw rate at the start.")] = None,
    pitch_rate: Annotated[
        str | None, _sd("--pitch-rate", "RATE", "Pitch rate at the start.")
    ] = None,
    yaw: Annotated[str | None, _sd("--yaw", "ANGLE", "Yaw at the start.")] = None,
    pitch: Annotated[str | None, _sd("--pitch", "ANGLE", "Pitch at the start.")] = None,
    speed: Annotated[
        str | None, _sd("--speed", "SPEED", "Speed of one and the same arrow.")
    ] = None,
    gust: Annotated[
        str | None, _sd("--gust", "SPEED", "Wind from shot to shot, across and along.")
    ] = None,
    mass: Annotated[str | None, _sd("--mass", "MASS", "Mass from arrow to arrow.")] = None,
    spine: Annotated[str | None, _sd("--spine", "LENGTH", "Spine from arrow to arrow.")] = None,
    wind: options.Wind = None,
    precision: Annotated[
        str,
        typer.Option(
            "--precision",
            metavar="SHARE",
            help="Shoot until the standard error of every SD is this share of it, and that of hits "
            "half as many points.",
        ),
    ] = "1 %",
    arrows: Annotated[
        int | None,
        typer.Option(
            "--arrows",
            min=32,
            max=_MOST_ARROWS,
            help="Shoot so many of each kind instead, rounded down to 16 times a power of two.",
        ),
    ] = None,
    most: Annotated[
        int,
        typer.Option(
            "--most", min=2048, max=_MOST_ARROWS, help="Never more arrows of each kind than this."
        ),
    ] = 1_048_576,
    draws: options.Draws = 32,
    seed: options.Seed = 1,
    cluster: Annotated[
        str | None,
        typer.Option(
            "--cluster",
            metavar="ADDRESS",
            help="Shoot on the dask cluster whose scheduler is here, e.g. tcp://192.0.2.7:8786.",
        ),
    ] = None,
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
    plot: options.Plot = None,
) -> None:
    """Show how wide shots group at each distance, how many hit, and what the scatter comes from.

    Aim, launch, gusts, mass and spine differ from shot to shot by the standard deviations given.
    Each distance has its pin: the target's middle is where the fletched arrow without scatter lands
    in still air.
    """
    from vireton.scatter.case import make_case
    from vireton.scatter.plausible import ARROWS_EACH, group_bands, plausible_cases
    from vireton.scatter.study import run_study
    from vireton_cli.quantities import quantity
    from vireton_cli.scatter_json import answer_json
    from vireton_cli.scatter_words import print_answer
    from vireton_cli.shooting import ShotOptions, load_rig, read_distances

    options.check_plot(plot)
    where = read_distances(distances or _USUAL_DISTANCES[units], units)
    size = quantity(target or _USUAL_TARGET[units], "length", "--target", "1/4 in", "10 ft")
    sure = quantity(precision, "fraction", "--precision", "0.01 %", "20 %")
    loaded, rig = load_rig(setup, ShotOptions(wind=wind))
    typed = {
        "aim": aim, "yaw-rate": yaw_rate, "pitch-rate": pitch_rate, "yaw": yaw, "pitch": pitch,
        "speed": speed, "gust": gust, "mass": mass, "spine": spine,
    }  # fmt: skip
    spread = _changed(loaded.scatter, typed)
    case = make_case(rig, spread, where, size, seed=seed, label=loaded.name)
    try:
        with _runner(cluster) as runner, _Bar() as bar:
            (answer,) = run_study(
                [case],
                precision=None if arrows else sure,
                most=most,
                **({"fewest": arrows} if arrows else {}),
                runner=runner,
                progress=bar.add,
            )
            others = plausible_cases(
                rig, spread, where, size, loaded.uncertainty, draws=draws, seed=seed
            )
            few, *drawn = run_study(
                [case, *others], precision=None, fewest=ARROWS_EACH, runner=runner, progress=bar.add
            )
    except KeyboardInterrupt:
        print("vireton: stopped; nothing was written", file=sys.stderr)
        raise typer.Exit(130) from None
    bands = group_bands(answer, few, drawn)
    if plot is not None:
        _draw(rig, case, answer.groups, units, plot)
    if as_json:
        typer.echo(
            json.dumps(answer_json(rig, case, answer, bands, draws), indent=2, allow_nan=False)
        )
    else:
        print_answer(rig, case, answer, bands, draws, units)


#: What each option changes, its dimension and its range; the aim is read apart.
_OPTIONS = {
    "aim": (("aim_right", "aim_up"), "seen_angle", "0 mrad", "50 mrad"),
    "yaw-rate": (("yaw_rate",), "angular_rate", "0 rad/s", "10 rad/s"),
    "pitch-rate": (("pitch_rate",), "angular_rate", "0 rad/s", "10 rad/s"),
    "yaw": (("yaw",), "angle", "0 deg", "5 deg"),
    "pitch": (("pitch",), "angle", "0 deg", "5 deg"),
    "speed": (("speed",), "speed", "0 fps", "15 fps"),
    "gust": (("gust_across", "gust_along"), "speed", "0 mph", "40 mph"),
    "mass": (("mass",), "mass", "0 gr", "30 gr"),
    "spine": (("spine",), "length", "0 in", "0.05 in"),
}


def _changed(spread: "Scatter", typed: dict[str, str | None]) -> "Scatter":
    """The setup's scatter with what the command line gives put in."""
    from dataclasses import replace

    from vireton.problems import InputProblem
    from vireton.seen_angle import parse_seen_angle
    from vireton.units import parse
    from vireton_cli.quantities import quantity

    changes = {}
    for name, text in typed.items():
        if text is None:
            continue
        fields, dimension, low, high = _OPTIONS[name]
        option = f"--{name}"
        if dimension == "seen_angle":
            value = parse_seen_angle(text, where=option)
            if not parse(low, "angle") <= value <= parse(high, "angle"):
                raise InputProblem(f"{option}: {text!r} is outside {low} to {high}")
        else:
            value = quantity(text, dimension, option, low, high)
        changes.update(dict.fromkeys(fields, value))
    return replace(spread, **changes)


def _runner(address: str | None) -> "AbstractContextManager[Runner]":
    if address is None:
        from vireton.scatter.blocks import run_here

        return nullcontext(run_here)
    from vireton.scatter.cluster import on_cluster

    return on_cluster(address)


def _draw(
    rig: "Rig", case: "Case", groups: "dict[str, Group]", units: UnitChoice, file: Path
) -> None:
    import numpy as np

    from vireton.plots import MOST_PANELS, ShotCloud, save, scatter_figure
    from vireton.scatter.blocks import shots
    from vireton.scatter.draws import normal_draws
    from vireton.scatter.estimates import ellipse

    places = shots(case, normal_draws(case.seed, 0, 0, _DRAWN_SHOTS)) - case.middle
    count = case.distances.size
    # more distances than panels: the first, the last and some between
    picked = np.unique(np.linspace(0, count - 1, min(count, MOST_PANELS)).round().astype(int))
    clouds = []
    for i in picked:
        kinds = []
        for k, (kind, group) in enumerate(groups.items()):
            long, short, lean = ellipse(group.covariance[i])
            centre = group.centre.value[i]
            kinds.append(ShotCloud(kind, places[k, :, i], centre, (long, short), lean))
        clouds.append(kinds)
    figure = scatter_figure(
        [float(case.distances[i]) for i in picked],
        clouds,
        target=case.target,
        system=units.value,
        title=f"{rig.bow.name}, {rig.fletched.parts.name}: how shots scatter",
    )
    save(figure, file)


class _Bar:
    """Arrows shot so far, on stderr, once it takes more than a second and somebody watches."""

    def __init__(self) -> None:
        import time

        self._clock = time.monotonic
        self._begun = self._clock()
        self._shot = 0
        self._status: Status | None = None

    def __enter__(self) -> "_Bar":
        return self

    def add(self, arrows: int) -> None:
        """So many more."""
        self._shot += arrows
        if self._clock() - self._begun < 1.0 or not sys.stderr.isatty():
            return
        words = f"{self._shot:,} arrows shot"
        if self._status is None:
            from rich.console import Console

            self._status = Console(file=sys.stderr).status(words)
            self._status.start()
        self._status.update(words)

    def __exit__(self, *_: object) -> None:
        if self._status is not None:
            self._status.stop()
