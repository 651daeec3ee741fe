"""``vireton fly``: impacts, speed, yaw and spin at each distance, fletched and bare."""

import json
import math
from typing import TYPE_CHECKING

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from vireton.answers.fly import Flights

EXAMPLE = "Example: vireton fly examples/mill_bow.toml --distances '20,40,60 yd'"


def fly(
    setup: options.SetupFile,
    distances: options.Distances = None,
    right: options.Right = "0 in",
    up: options.Up = "0 in",
    sight_in: options.SightIn = None,
    wind: options.Wind = None,
    slope: options.Slope = "0 deg",
    cant: options.Cant = "0 deg",
    yaw: options.Yaw = None,
    pitch: options.Pitch = None,
    yaw_rate: options.YawRate = None,
    pitch_rate: options.PitchRate = None,
    draws: options.Draws = 64,
    seed: options.Seed = 1,
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
    plot: options.Plot = None,
) -> None:
    r"""Fly the fletched arrow and the bare shaft: where each lands, how fast, how straight.

    A setup with \[arrow.broadhead] flies the broadhead as well.

    The sight is set with the fletched arrow as the bow shoots it, launch errors included, in still
    air on level ground; the same aim then serves the bare shaft, a moved rest, wind, slope, cant.
    """
    from vireton.answers.fly import Flights
    from vireton.answers.readying import demand_flown
    from vireton.studies.rest_moves import answer_flights
    from vireton_cli.shooting import (
        ShotOptions,
        load_rig,
        read_distances,
        read_move,
    )

    options.check_plot(plot)
    where = read_distances(distances, units)
    move = read_move(right, up)
    chosen = ShotOptions(sight_in, wind, slope, cant, yaw, pitch, yaw_rate, pitch_rate)
    loaded, rig = load_rig(setup, chosen)
    answers = answer_flights(
        rig, where, loaded.uncertainty, right=move[0], up=move[1], draws=draws, seed=seed
    )
    for kind, answer in answers.items():
        demand_flown(kind, answer.flight)
    flights = Flights(rig, answers, move[0], move[1], draws, seed)
    if plot is not None:
        from vireton.plots import save

        save(flights.figure(units.value), plot)
    if as_json:
        typer.echo(json.dumps(flights.to_dict(), indent=2, allow_nan=False))
    else:
        _print(flights, units)


def _print(flights: "Flights", units: UnitChoice) -> None:
    from vireton.bow.cautions import SHOOTING_BARE, SHOOTING_BROADHEADS
    from vireton_cli.heading import broadhead_heading, heading
    from vireton_cli.showing import OPEN, plain, system
    from vireton_cli.tables import cell, console, make_table, say

    shown = system(units)
    out = console()
    rig, sideways_open = flights.rig, flights.sideways_open
    say(out, [*heading(rig, shown, flights.draws), *broadhead_heading(rig, shown), *rig.notes])
    say(out, flights.planing)
    small = shown.small
    for kind, answer in flights.answers.items():
        flight = answer.flight
        table = make_table(
            f"\n{kind}",
            ["at", f"right {small}", f"up {small}", shown.speed, "s", "yaw °", "pitch °", "rev/s"],
        )
        for i, distance in enumerate(flight.distance):
            table.add_row(
                shown.distance(float(distance)),
                cell(answer.impact, i, 0, shown, is_open=sideways_open),
                cell(answer.impact, i, 1, shown),
                f"{flight.speed[i] / shown.speed_size:.{0 if small == 'in' else 1}f}",
                f"{flight.time[i]:.3f}",
                plain(math.degrees(flight.yaw[i]), 2),
                plain(math.degrees(flight.pitch[i]), 2),
                plain(flight.spin[i] / (2.0 * math.pi), 1),
            )
        out.print(table)
    closing = [SHOOTING_BARE]
    if rig.broadhead is not None:
        closing.insert(0, SHOOTING_BROADHEADS)
    if sideways_open:
        closing.insert(
            0,
            f"{OPEN} the direction is open: it hangs on how shaft and string bend, which differs "
            "from bow to bow. Only this bow can tell",
        )
    say(out, closing)
