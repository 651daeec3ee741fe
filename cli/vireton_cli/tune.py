"""``vireton tune``: what the log says about the bow, and the next rest move."""

import json
from typing import TYPE_CHECKING, Annotated

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from vireton.tuning.outlook import Left

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
    from vireton.job import read_log
    from vireton.units.quantities import FARTHEST, LIKE_DISTANCE, NEAREST, lengths, quantity
    from vireton_cli.shooting import say_if_first_run, warn
    from vireton_cli.tuning import tune_log

    options.check_plot(plot)
    close = quantity(tolerance, "length", "--tolerance", "0.05 in", "6 in", like="0.75 in")
    far = lengths(distances, "--distances", NEAREST, FARTHEST, like=LIKE_DISTANCE)
    read = read_log(log)
    say_if_first_run(derivatives=True)
    tuned = tune_log(read, close)
    warn(tuned.cautions)
    if plot is not None:
        from vireton.plots import save

        save(tuned.figure(units.value), plot)
    if as_json:
        typer.echo(json.dumps(tuned.to_dict(far), indent=2, allow_nan=False))
        return
    from vireton.bow.cautions import SHOOTING_BARE
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
    _print_left(tuned.left(far), units)
    say(
        out,
        [
            f"cause: {c.name}, {percent(c.probability)}"
            for c in tuned.causes()
            if c.probability >= 0.01 and tuned.turn.data
        ],
    )
    best = tuned.next_tests()[0]
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
