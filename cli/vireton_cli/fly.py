"""``vireton fly``: impacts, speed, yaw and spin at each distance, fletched and bare."""

import json
import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from vireton.rig import Rig
    from vireton.whatif import FlightAnswer

EXAMPLE = "Example: vireton fly examples/mill_bow.toml --distances '20,40,60 yd'"
_PLOT_POINTS = 160


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
    """Fly the fletched arrow and the bare shaft: where each lands, how fast, how straight.

    A setup with [arrow.broadhead] flies the broadhead as well.

    The sight is set with the fletched arrow as the bow shoots it, launch errors included, in still
    air on level ground; the same aim then serves the bare shaft, a moved rest, wind, slope, cant.
    """
    from vireton.whatif import answer_flights
    from vireton_cli.shooting import (
        ShotOptions,
        demand_reached,
        load_rig,
        read_distances,
        read_move,
        sideways_open,
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
        demand_reached(kind, answer.flight)
    is_open = sideways_open(rig, move[0], yaw, yaw_rate)
    if plot is not None:
        _draw(rig, answers, where, move, units, plot, is_open=is_open)
    if as_json:
        typer.echo(json.dumps(_json(rig, answers, draws, seed), indent=2, allow_nan=False))
    else:
        _print(rig, answers, draws, units, sideways_open=is_open)


def _json(
    rig: "Rig", answers: "dict[str, FlightAnswer]", draws: int, seed: int
) -> dict[str, object]:
    from vireton.cautions import cautions
    from vireton_cli.heading import arrow_json, broadhead_json

    return {
        "schema": 1,
        "reference": "bore" if rig.sight.sight_in is None else "sight",
        "warnings": [*cautions(rig.bow, *rig.arrows), *_planing(rig)],
        "notes": list(rig.notes),
        "draws": draws,
        "seed": seed,
        "arrow": arrow_json(rig),
        "broadhead": broadhead_json(rig),
        "flights": {kind: _rows(answer) for kind, answer in answers.items()},
    }


def _planing(rig: "Rig") -> list[str]:
    from vireton.broadhead import margin_with_broadhead
    from vireton.cautions import planing

    margin = margin_with_broadhead(rig)
    return [] if margin is None else planing(margin, margin)


def _rows(answer: "FlightAnswer") -> list[dict[str, Any]]:
    from vireton_cli.showing import FOOT, INCH, YARD, number

    flight, impact = answer.flight, answer.impact
    rows = []
    for i in range(flight.distance.size):
        row: dict[str, Any] = {
            "distance_yd": number(flight.distance[i] / YARD),
            "time_s": number(flight.time[i]),
            "speed_fps": number(flight.speed[i] / FOOT),
            "right_in": number(flight.right[i] / INCH),
            "up_in": number(flight.up[i] / INCH),
            "yaw_deg": number(math.degrees(flight.yaw[i])),
            "pitch_deg": number(math.degrees(flight.pitch[i])),
            "spin_rev_s": number(flight.spin[i] / (2.0 * math.pi)),
        }
        for axis, name in enumerate(("right_in_range", "up_in_range")):
            row[name] = [
                number(impact.low[i, axis] / INCH),
                number(impact.high[i, axis] / INCH),
            ]
        rows.append(row)
    return rows


def _print(
    rig: "Rig",
    answers: "dict[str, FlightAnswer]",
    draws: int,
    units: UnitChoice,
    *,
    sideways_open: bool,
) -> None:
    from vireton.cautions import SHOOTING_BARE, SHOOTING_BROADHEADS
    from vireton_cli.heading import broadhead_heading, heading
    from vireton_cli.showing import OPEN, plain, system
    from vireton_cli.tables import cell, console, make_table, say

    shown = system(units)
    out = console()
    say(out, [*heading(rig, shown, draws), *broadhead_heading(rig, shown), *rig.notes])
    say(out, _planing(rig))
    small = shown.small
    for kind, answer in answers.items():
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


def _draw(
    rig: "Rig",
    answers: "dict[str, FlightAnswer]",
    where: list[float],
    move: tuple[float, ...],
    units: UnitChoice,
    file: Path,
    *,
    is_open: bool,
) -> None:
    import numpy as np

    from vireton.plots import FlightCurve, flight_figure, save

    nearest = min(1.0, where[0])
    line = np.linspace(nearest, where[-1], _PLOT_POINTS)
    curves = []
    for kind in answers:
        flight = rig.shoot(getattr(rig, kind), line, *move)
        curves.append(
            FlightCurve(kind, flight.distance, flight.right, flight.up, flight.yaw, flight.pitch)
        )
    figure = flight_figure(
        curves,
        system=units.value,
        title=f"{rig.bow.name}, {rig.fletched.parts.name}",
        reference="bore" if rig.sight.sight_in is None else "sight",
        marks=where,
        sideways_open=is_open,
    )
    save(figure, file)
