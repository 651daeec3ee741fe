"""``vireton rest``: what a rest move does at every distance."""

import json
from typing import TYPE_CHECKING, Annotated

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from vireton.rig import Rig
    from vireton.studies.rest_moves import RestMove
    from vireton_cli.showing import Shown

EXAMPLE = "Example: vireton rest examples/mill_bow.toml --up 1/32in"
#: Up to this many moves each get their own words and table; more become one table.
_MOVES_IN_FULL = 3


def rest(
    setup: options.SetupFile,
    right: Annotated[
        str | None,
        typer.Option(
            "--right",
            metavar="LIST",
            help="Move right, minus: left. One, several ('1/32,1/16 in') or a sweep "
            "first:last:step ('-1/16:1/16:1/32 in').",
        ),
    ] = None,
    up: Annotated[
        str | None,
        typer.Option("--up", metavar="LIST", help="The same up, minus: down. Every pair is run."),
    ] = None,
    distances: options.Distances = None,
    paper: Annotated[
        str, typer.Option("--paper", metavar="DISTANCE", help="Distance of the tear paper.")
    ] = "6 ft",
    sight_in: options.SightIn = None,
    draws: options.Draws = 64,
    seed: options.Seed = 1,
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
    plot: options.Plot = None,
) -> None:
    """Show what moving the rest does to fletched and bare arrows at every distance.

    The sight stays as it was before the move. Each move starts from the setup's own rest setting.
    Without --right or --up: one step of this rest up.
    """
    from vireton.answers.rest import RestMoves, demand_all_reached
    from vireton.studies.rest_moves import answer_rest_moves
    from vireton.units.quantities import quantity
    from vireton_cli.shooting import (
        ShotOptions,
        load_rig,
        read_distances,
        read_moves,
    )

    options.check_plot(plot)
    where = read_distances(distances, units)
    moves = [(r, u) for r in read_moves(right, "--right") for u in read_moves(up, "--up")]
    at_paper = quantity(paper, "length", "--paper", "1 m", "20 m", like="6 ft")
    loaded, rig = load_rig(setup, ShotOptions(sight_in))
    if right is None and up is None:
        moves = [(0.0, loaded.rest_step)]
    answers = answer_rest_moves(
        rig, moves, where, loaded.uncertainty, paper=at_paper, draws=draws, seed=seed
    )
    demand_all_reached(answers)
    moved = RestMoves(rig, answers, seed)
    if plot is not None:
        from vireton.plots import save

        save(moved.figure(units.value), plot)
    if as_json:
        typer.echo(json.dumps(moved.to_dict(), indent=2, allow_nan=False))
    else:
        _print(rig, answers, at_paper, units)


def _print(rig: "Rig", answers: "list[RestMove]", paper: float, units: UnitChoice) -> None:
    from vireton.bow.cautions import SHOOTING_BARE
    from vireton_cli.heading import heading
    from vireton_cli.showing import OPEN, system
    from vireton_cli.tables import console, say
    from vireton_cli.words import move_name, rest_words

    shown = system(units)
    out = console()
    say(out, [*heading(rig, shown, answers[0].draws), *rig.notes])
    if len(answers) > _MOVES_IN_FULL:
        _print_summary(answers, shown)
    else:
        for move in answers:
            out.print(f"\n{move_name(move.right, move.up)}", style="bold")
            say(out, rest_words(move, shown, paper))
            _print_move(move, shown)
    if any(move.right for move in answers):
        say(out, [f"{OPEN} the direction is open until this bow has shown it"])
    say(out, [SHOOTING_BARE])


def _print_move(move: "RestMove", shown: "Shown") -> None:
    from vireton_cli.tables import cell, console, make_table

    axes = [(1, "up")] if not move.right else [(0, "right"), (1, "up")]
    kinds = [
        ("fletched", "fletched moves"),
        ("bare", "bare moves"),
        ("separation", "bare − fletched"),
    ]
    columns = [f"{words} {side}, {shown.small}" for _, words in kinds for _, side in axes]
    table = make_table("", ["at", *columns])
    for i, distance in enumerate(move.distance):
        cells = [
            cell(getattr(move, name), i, axis, shown, is_open=axis == 0)
            for name, _ in kinds
            for axis, _ in axes
        ]
        table.add_row(shown.distance(float(distance)), *cells)
    console().print(table)


def _print_summary(answers: "list[RestMove]", shown: "Shown") -> None:
    from vireton_cli.tables import cell, console, make_table
    from vireton_cli.words import move_name, talking_index, tear_words

    i = talking_index(answers[0].distance)
    sideways = any(move.right for move in answers)
    axes = [(0, "right"), (1, "up")] if sideways else [(1, "up")]
    small = shown.small
    columns = [f"fletched moves {side}, {small}" for _, side in axes]
    columns += [f"bare − fletched {side}, {small}" for _, side in axes]
    at = shown.distance(float(answers[0].distance[i]))
    table = make_table(f"\nat {at} (--json has every distance)", ["move", *columns, "bare tear"])
    table.columns[0].no_wrap = True
    for move in answers:
        cells = [
            cell(getattr(move, name), i, axis, shown, is_open=axis == 0)
            for name in ("fletched", "separation")
            for axis, _ in axes
        ]
        tear = tear_words(move.tear_bare, shown, sideways_open=move.right != 0.0)
        table.add_row(move_name(move.right, move.up).removeprefix("rest "), *cells, tear)
    console().print(table)
