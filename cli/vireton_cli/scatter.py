"""``vireton scatter``: groups at each distance, hits, and what the scatter comes from."""

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from vireton.units.problems import InputProblem
from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from vireton.rig import Rig
    from vireton.scatter.case import Case
    from vireton.scatter.estimates import Group
    from vireton.setup import Setup
    from vireton_cli.shooting import ShotOptions

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
    vary: Annotated[
        list[str] | None,
        typer.Option(
            "--vary",
            metavar="KEY=LIST",
            help="Do it for each value of a key of the setup file, as in `vireton compare`; the "
            "shots are the same for all.",
        ),
    ] = None,
    distances: Annotated[
        str | None,
        typer.Option(
            "--distances",
            metavar="LIST",
            help="Distances, a list or first:last:step; without it '20,40,60 yd', or "
            "'18,30,50 m' with --units metric.",
        ),
    ] = None,
    target: Annotated[
        str | None,
        typer.Option(
            "--target",
            metavar="SIZE",
            help="Diameter of the circle to hit; without it 8 in, or 20 cm with --units metric.",
        ),
    ] = None,
    aim: Annotated[
        str | None,
        _sd("--aim", "ANGLE", "SD of the aim, both ways, e.g. '1 in at 20 yd' or '2 moa'."),
    ] = None,
    yaw_rate: Annotated[
        str | None, _sd("--yaw-rate", "RATE", "SD of the yaw rate at the start.")
    ] = None,
    pitch_rate: Annotated[
        str | None, _sd("--pitch-rate", "RATE", "SD of the pitch rate at the start.")
    ] = None,
    yaw: Annotated[str | None, _sd("--yaw", "ANGLE", "SD of the yaw at the start.")] = None,
    pitch: Annotated[str | None, _sd("--pitch", "ANGLE", "SD of the pitch at the start.")] = None,
    speed: Annotated[
        str | None, _sd("--speed", "SPEED", "SD of the speed of one and the same arrow.")
    ] = None,
    gust: Annotated[
        str | None, _sd("--gust", "SPEED", "SD of the wind from shot to shot, across and along.")
    ] = None,
    mass: Annotated[
        str | None, _sd("--mass", "MASS", "SD of the mass from arrow to arrow.")
    ] = None,
    spine: Annotated[
        str | None, _sd("--spine", "LENGTH", "SD of the spine from arrow to arrow.")
    ] = None,
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
            min=256,
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
    from vireton.units.quantities import quantity
    from vireton_cli.scatter_json import answer_json
    from vireton_cli.scatter_words import print_answer
    from vireton_cli.scattering import Bar, changed, runner_at
    from vireton_cli.shooting import ShotOptions, read_distances

    options.check_plot(plot)
    where = read_distances(_USUAL_DISTANCES[units] if distances is None else distances, units)
    circle = _USUAL_TARGET[units] if target is None else target
    size = quantity(circle, "length", "--target", "1/4 in", "10 ft", like="8 in")
    sure = quantity(precision, "fraction", "--precision", "0.01 %", "20 %")
    found = _rigs(setup, vary or [], ShotOptions(wind=wind))
    if plot is not None and len(found) > 1:
        raise InputProblem("--plot draws one set-up: give --vary one value, or leave it out")
    typed = {
        "aim": aim, "yaw-rate": yaw_rate, "pitch-rate": pitch_rate, "yaw": yaw, "pitch": pitch,
        "speed": speed, "gust": gust, "mass": mass, "spine": spine,
    }  # fmt: skip
    spreads = [changed(loaded.scatter, typed) for _, loaded, _ in found]
    cases = [
        make_case(rig, spread, where, size, seed=seed, label=label)
        for (label, _, rig), spread in zip(found, spreads, strict=True)
    ]
    with runner_at(cluster) as runner, Bar() as bar:
        answers = run_study(
            cases,
            precision=None if arrows else sure,
            most=most,
            **({"fewest": arrows} if arrows else {}),
            runner=runner,
            progress=bar.add,
        )
        bands = []
        for case, answer, spread, (_, loaded, rig) in zip(
            cases, answers, spreads, found, strict=True
        ):
            others = plausible_cases(
                rig, spread, where, size, loaded.uncertainty, draws=draws, seed=seed
            )
            few, *drawn = run_study(
                [case, *others],
                precision=None,
                fewest=ARROWS_EACH,
                runner=runner,
                progress=bar.add,
            )
            bands.append(group_bands(answer, few, drawn))
    if plot is not None:
        _draw(found[0][2], cases[0], answers[0].groups, units, plot)
    told = [
        (rig, case, answer, band)
        for (_, _, rig), case, answer, band in zip(found, cases, answers, bands, strict=True)
    ]
    if not as_json:
        for rig, case, answer, band in told:
            if vary:
                typer.echo(f"\n{case.label}")
            print_answer(rig, case, answer, band, draws, units)
        return
    each = [answer_json(*one, draws) for one in told]
    whole = {"schema": 1, "variants": each} if vary else each[0]

    typer.echo(json.dumps(whole, indent=2, allow_nan=False))


def _rigs(setup: Path, vary: list[str], chosen: "ShotOptions") -> "list[tuple[str, Setup, Rig]]":
    """(label, setup, rig) of each set-up asked for."""
    from vireton.setup.variants import variants
    from vireton_cli.shooting import rig_of

    return [(one.label, one.setup, rig_of(one.setup, chosen)) for one in variants(setup, vary)]


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
            center = group.center.value[i]
            kinds.append(ShotCloud(kind, places[k, :, i], center, (long, short), lean))
        clouds.append(kinds)
    figure = scatter_figure(
        [float(case.distances[i]) for i in picked],
        clouds,
        target=case.target,
        system=units.value,
        title=f"{rig.bow.name}, {rig.fletched.parts.name}: how shots scatter",
    )
    save(figure, file)
