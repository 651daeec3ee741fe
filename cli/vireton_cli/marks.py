"""``vireton marks``: sight marks for every distance from a few that were shot in."""

import json
from dataclasses import replace
from typing import Annotated

import typer

from vireton.units.numbers import YARD
from vireton_cli import options
from vireton_cli.options import UnitChoice

EXAMPLE = (
    "Example: vireton marks examples/mill_bow.toml --radius 33in --shot 20yd=1.20in "
    "--shot 60yd=1.97in"
)
_SHOT = "DISTANCE=MARK"
_SURE = 1e-6  # m
_PLOT_POINTS = 60


def marks(
    setup: options.SetupFile,
    radius: Annotated[
        str,
        typer.Option("--radius", metavar="LENGTH", help="From the peep (or the eye) to the pin."),
    ],
    shot: Annotated[
        list[str] | None,
        typer.Option(
            "--shot",
            metavar=_SHOT,
            help="A mark that you have shot in, e.g. 20yd=1.20in; give one, two or more.",
        ),
    ] = None,
    check: Annotated[
        list[str] | None,
        typer.Option(
            "--check", metavar=_SHOT, help="A shot-in mark that is kept out of the fit to check it."
        ),
    ] = None,
    distances: options.Distances = None,
    radius_error: Annotated[
        str,
        typer.Option("--radius-error", metavar="LENGTH", help="How well you know it (one SD)."),
    ] = "1/4 in",
    reading_error: Annotated[
        str,
        typer.Option("--reading-error", metavar="LENGTH", help="Of a mark on the bar (one SD)."),
    ] = "0.01 in",
    group_error: Annotated[
        str,
        typer.Option(
            "--group-error",
            metavar="LENGTH",
            help="How well a mark is centered on your group at 20 yd (one SD); grows farther out.",
        ),
    ] = "0.25 in",
    click: Annotated[
        str | None,
        typer.Option("--click", metavar="LENGTH", help="One click on the bar; marks in clicks."),
    ] = None,
    falling: Annotated[
        bool,
        typer.Option("--falling", help="The bar's number falls as the pin goes down."),
    ] = False,
    draws: options.Draws = 64,
    seed: options.Seed = 1,
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
    plot: options.Plot = None,
) -> None:
    """Work out where the pin stands for each distance, from a few marks that you have shot in.

    A lower pin is for farther. The same fit says what the marks tell of the arrow's speed and drag,
    and the bands say what they do not. Without --shot: gaps from the setup file alone.
    """
    import numpy as np

    from vireton.studies.mark_fit import ShotMark, fit_marks, mark_prior, marks_at
    from vireton.studies.marks import Marksman
    from vireton.units.quantities import quantity
    from vireton_cli.bar import Bar, read_shots
    from vireton_cli.marks_words import MarkAnswer, check_marks, mark_json, print_marks
    from vireton_cli.shooting import ShotOptions, load_rig, read_distances

    options.check_plot(plot)
    where = read_distances(distances, units)
    long = quantity(radius, "length", "--radius", "5 in", "60 in")
    bar = Bar.of(click, units, falling=falling)
    shots, kept = read_shots(shot or [], "--shot", bar), read_shots(check or [], "--check", bar)
    tape = quantity(radius_error, "length", "--radius-error", "0.001 in", "10 in")
    reading = quantity(reading_error, "length", "--reading-error", "0.0001 in", "1 in")
    group = quantity(group_error, "length", "--group-error", "0 in", "20 in")
    loaded, rig = load_rig(setup, ShotOptions())
    zero = loaded.sight.sight_in or (shots[0].distance if shots else where[0])
    marksman = Marksman(rig, long, zero)
    prior = mark_prior(
        rig,
        marksman,
        loaded.uncertainty,
        radius=long,
        radius_error=tape,
        reading=reading,
        aiming=group / (20.0 * YARD),
        reach=max([*where, *(one.distance for one in shots)]),
        draws=draws,
        seed=seed,
    )
    if not shots:
        # counted from a pin that stands where it stands
        prior = replace(prior, reading=_SURE, aiming=0.0)
    fit = fit_marks(marksman.elevations, shots or [ShotMark(zero, 0.0)], prior)
    answer = MarkAnswer(
        rig=rig,
        bar=bar,
        shots=shots,
        zero=zero,
        prior=prior,
        fit=fit,
        marks=marks_at(marksman.elevations, np.array(where), fit, prior),
        checks=check_marks(marksman.elevations, kept, fit, prior),
        drag_coefficient=marksman.drag_coefficient(where[-1], fit.trial),
    )
    if plot is not None:
        from vireton_cli.marks_words import draw_marks

        line = np.linspace(where[0], where[-1], _PLOT_POINTS)
        draw_marks(answer, marks_at(marksman.elevations, line, fit, prior), units, plot)
    if as_json:
        typer.echo(json.dumps(mark_json(answer), indent=2, allow_nan=False))
    else:
        print_marks(answer, units)
