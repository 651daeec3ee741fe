"""``vireton tune``: what the log says about the bow, and the next rest move."""

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from vireton.tuning.outlook import Left
    from vireton_cli.tuning import Tuned

EXAMPLE = "Example: vireton tune examples/mill_log.toml"
_LEFT_AT = "40,60,100 yd"


def tune(
    log: options.LogFile,
    tolerance: Annotated[
        str,
        typer.Option("--tolerance", metavar="LENGTH", help="Done inside this at 20 yd."),
    ] = "1/2 in",
    distances: Annotated[
        str, typer.Option("--distances", metavar="LIST", help="Where to say what is left.")
    ] = _LEFT_AT,
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
    plot: options.Plot = None,
) -> None:
    """Infer the launch errors from the log and say what to do next.

    A move in whole rest steps with its probability of helping, or to stop, or that it cannot be
    told yet. Until the bow has shown which way it answers sideways, the move there is a test.
    """
    from vireton.log import read_log
    from vireton.tuning.outlook import causes, next_tests, what_is_left
    from vireton_cli.quantities import lengths, quantity
    from vireton_cli.shooting import FARTHEST, NEAREST, say_if_first_run
    from vireton_cli.tuning import advice_json, tune_log

    options.check_plot(plot)
    close = quantity(tolerance, "length", "--tolerance", "0.05 in", "6 in")
    far = lengths(distances, "--distances", NEAREST, FARTHEST)
    read = read_log(log)
    say_if_first_run(derivatives=True)
    tuned = tune_log(read, close)
    left = what_is_left(tuned.tuner, tuned.turn, far)
    tests = next_tests(tuned.tuner, tuned.turn, tuned.tuner.step)
    fits = causes(tuned.tuner, tuned.turn)
    if plot is not None:
        _draw(tuned, units, plot)
    if as_json:
        answer = advice_json(tuned)
        answer["left"] = [_left_json(one) for one in left]
        answer["next_tests"] = [{"test": t.name, "gain": round(t.gain, 4)} for t in tests]
        answer["causes"] = [
            {"cause": c.name, "probability": round(c.probability, 4), "test": c.test} for c in fits
        ]
        typer.echo(json.dumps(answer, indent=2, allow_nan=False))
        return
    from vireton.cautions import SHOOTING_BARE
    from vireton_cli.showing import percent, system
    from vireton_cli.tables import console, make_table, say
    from vireton_cli.tuning import advice_words, standing_words, unknown_rows

    shown = system(units)
    out = console()
    say(out, [standing_words(tuned, shown)])
    out.print()
    say(out, advice_words(tuned, shown))
    table = make_table("\nwhat is known", ["", "mean (95 %)", ""])
    for column in table.columns:
        column.justify = "left"
    for row in unknown_rows(tuned):
        table.add_row(*row)
    out.print(table)
    _print_left(left, units)
    say(
        out,
        [
            f"cause: {c.name}, {percent(c.probability)}"
            for c in fits
            if c.probability >= 0.01 and tuned.turn.settings
        ],
    )
    best = tests[0]
    say(out, [f"the test that would tell most: {best.name}", SHOOTING_BARE])


def _print_left(left: "list[Left]", units: UnitChoice) -> None:
    from vireton_cli.showing import system, with_band
    from vireton_cli.tables import console, make_table

    shown = system(units)
    small = shown.small
    table = make_table(
        "\nif you stop here",
        [
            "at",
            f"bare − fletched right, {small}",
            f"bare − fletched up, {small}",
            f"fletched right, {small}",
            f"fletched up, {small}",
        ],
    )
    for one in left:
        cells = [
            with_band(*(float(end[axis]) / shown.small_size for end in values))
            for values in (one.separation, one.fletched)
            for axis in (0, 1)
        ]
        table.add_row(shown.distance(one.distance), *cells)
    console().print(table)


def _left_json(one: "Left") -> dict[str, Any]:
    from vireton_cli.showing import INCH, YARD, number, pair

    def interval(values: Any) -> dict[str, Any]:
        return {
            "mean": pair(values[0], INCH),
            "interval_95": [pair(values[1], INCH), pair(values[2], INCH)],
        }

    return {
        "distance_yd": number(one.distance / YARD),
        "separation_in": interval(one.separation),
        "fletched_in": interval(one.fletched),
    }


def _draw(tuned: "Tuned", units: UnitChoice, file: Path) -> None:
    import numpy as np

    from vireton.observations import Group
    from vireton.plots import save
    from vireton.plots.tuning import SeparationSpot, tuning_figure
    from vireton.tuning.advice import separation_samples

    spots = []
    for one in tuned.log.rounds.counting:
        groups = {g.arrow: g for g in one.observations if isinstance(g, Group)}
        if len(groups) == 2 and groups["bare"].distance == groups["fletched"].distance:
            apart = np.subtract(groups["bare"].centre, groups["fletched"].centre)
            error = tuned.turn.spread.at(groups["bare"].distance) * np.sqrt(
                1.0 / groups["bare"].count + 1.0 / groups["fletched"].count
            )
            spots.append(SeparationSpot(f"round {one.number}", apart, float(error)))
    now, slopes = separation_samples(tuned.tuner.shooter, tuned.turn.posterior, tuned.turn.rest)
    move = np.array([tuned.turn.advice.move_right, tuned.turn.advice.move_up])
    after = now + np.einsum("kij,j->ki", slopes, move)
    figure = tuning_figure(
        spots,
        now,
        after if move.any() else None,
        system=units.value,
        tolerance=tuned.turn.advice.tolerance,
        title=f"{tuned.setup.bow.name}: bare shaft against the fletched group",
    )
    save(figure, file)
