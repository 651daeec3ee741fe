"""``vireton broadhead``: where a broadhead goes when the sight is set with the field point."""

import json
import math
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from vireton.rig import Rig
    from vireton.studies.broadhead import BroadheadAnswer
    from vireton.uncertain import Banded

EXAMPLE = "Example: vireton broadhead examples/mill_broadhead.toml --distances '20,30,40 yd'"


def broadhead(
    setup: options.SetupFile,
    distances: options.Distances = None,
    vanes_at: Annotated[
        str,
        typer.Option("--vanes-at", metavar="DISTANCE", help="Where other vanes are compared."),
    ] = "40 yd",
    sight_in: options.SightIn = None,
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
    r"""Show where a broadhead lands, the sight set with the field point, and what decides it.

    The setup needs \[arrow.broadhead] beside \[arrow.point]. Both arrows leave the same bow with
    the same aim. Shown are their separation, the launch error that alone opens an inch (a
    centimeter) of it, and what other vanes would do.
    """
    from vireton.flight.reaching import demand_reached
    from vireton.studies.broadhead import answer_broadhead
    from vireton.units.quantities import FARTHEST, LIKE_DISTANCE, NEAREST, quantity
    from vireton_cli.shooting import ShotOptions, load_rig, read_distances

    options.check_plot(plot)
    where = read_distances(distances, units)
    at = quantity(vanes_at, "length", "--vanes-at", NEAREST, FARTHEST, like=LIKE_DISTANCE)
    chosen = ShotOptions(sight_in, yaw=yaw, pitch=pitch, yaw_rate=yaw_rate, pitch_rate=pitch_rate)
    loaded, rig = load_rig(setup, chosen)
    answer = answer_broadhead(
        rig, where, loaded.uncertainty, vane_distance=at, draws=draws, seed=seed
    )
    demand_reached("an arrow", answer.distance, answer.separation.nominal)
    is_open = (yaw is None or yaw_rate is None) and (
        rig.bow.rest.offset_right != 0.0 or bool(rig.bow.nock_travel_right)
    )
    if plot is not None:
        _draw(rig, answer, units, plot, sideways_open=is_open)
    if as_json:
        typer.echo(json.dumps(_json(rig, answer, seed), indent=2, allow_nan=False))
    else:
        _print(rig, answer, units, sideways_open=is_open)


def _planing(answer: "BroadheadAnswer") -> list[str]:
    from vireton.bow.cautions import planing

    margin = answer.broadhead_margin
    return planing(float(margin.nominal), float(margin.low))


def _json(rig: "Rig", answer: "BroadheadAnswer", seed: int) -> dict[str, object]:
    from vireton.bow.cautions import cautions
    from vireton_cli.heading import arrow_json, broadhead_json
    from vireton_cli.showing import INCH, YARD, number

    vanes = answer.vanes
    rows = []
    for i, distance in enumerate(answer.distance):
        row: dict[str, Any] = {"distance_yd": number(distance / YARD)}
        for axis, side in enumerate(("right", "up")):
            row |= _with_range(f"separation_{side}_in", answer.separation, INCH, (i, axis))
            row |= _with_range(f"straight_separation_{side}_in", answer.straight, INCH, (i, axis))
        row |= _with_range("separation_per_yaw_rate_in_s_per_rad", answer.per_yaw_rate, INCH, (i,))
        row |= _with_range(
            "separation_per_yaw_in_per_deg", answer.per_yaw, INCH / math.radians(1.0), (i,)
        )
        rows.append(row)
    return {
        "schema": 1,
        "reference": "bore" if rig.sight.sight_in is None else "sight",
        "warnings": [*cautions(rig.bow, *rig.arrows), *_planing(answer)],
        "notes": list(rig.notes),
        "draws": answer.draws,
        "seed": seed,
        "arrow": arrow_json(rig),
        "broadhead": broadhead_json(rig),
        **_with_range("point_static_margin_in", answer.point_margin, INCH),
        **_with_range("broadhead_static_margin_in", answer.broadhead_margin, INCH),
        "rows": rows,
        "vanes": {
            "distance_yd": number(vanes.distance / YARD),
            **_with_range("point_drift_per_yaw_rate_in_s_per_rad", vanes.point_per_rate, INCH),
            **_with_range(
                "broadhead_drift_per_yaw_rate_in_s_per_rad", vanes.broadhead_per_rate, INCH
            ),
            **_with_range("height_factor_to_halve", vanes.to_halve, 1.0),
            **_with_range("height_factor_to_match_point", vanes.to_match, 1.0),
            **_with_range("separation_factor_with_one_more_vane", vanes.one_more, 1.0),
        },
    }


def _with_range(
    name: str, values: "Banded", size: float, index: tuple[int, ...] = ()
) -> dict[str, Any]:
    from vireton_cli.showing import number, pair

    ends = (float(values.low[index]), float(values.high[index]))
    return {name: number(values.nominal[index] / size), f"{name}_range": pair(ends, size)}


def _print(
    rig: "Rig", answer: "BroadheadAnswer", units: UnitChoice, *, sideways_open: bool
) -> None:
    from vireton.bow.cautions import SHOOTING_BARE, SHOOTING_BROADHEADS
    from vireton_cli.broadhead_words import (
        angle_cell,
        margin_words,
        rate_cell,
        straight_words,
        vane_words,
    )
    from vireton_cli.heading import broadhead_heading, heading
    from vireton_cli.showing import OPEN, system
    from vireton_cli.tables import cell, console, make_table, say
    from vireton_cli.words import decider_words

    shown = system(units)
    out = console()
    say(out, [*heading(rig, shown, answer.draws), *broadhead_heading(rig, shown), *rig.notes])
    say(out, _planing(answer))
    one = f"1 {shown.small}"
    table = make_table(
        "\nbroadhead − field point",
        [
            "at",
            f"right {shown.small}",
            f"up {shown.small}",
            f"{one} by a nose rate of, rad/s",
            f"{one} by a nose angle of, °",
        ],
    )
    for i, distance in enumerate(answer.distance):
        table.add_row(
            shown.distance(float(distance)),
            cell(answer.separation, i, 0, shown, is_open=sideways_open),
            cell(answer.separation, i, 1, shown),
            rate_cell(answer.per_yaw_rate, i, shown),
            angle_cell(answer.per_yaw, i, shown),
        )
    out.print(table)
    lines = [
        *straight_words(answer, shown),
        *margin_words(answer, shown),
        *vane_words(rig, answer.vanes, shown),
    ]
    lines += decider_words(answer.deciders, "of the nose rate")
    if sideways_open:
        lines.append(f"{OPEN} the direction is open until this bow has shown it")
    say(out, [*lines, SHOOTING_BROADHEADS, SHOOTING_BARE])


def _draw(
    rig: "Rig", answer: "BroadheadAnswer", units: UnitChoice, file: Path, *, sideways_open: bool
) -> None:
    from vireton.answers.pictures import shift_band
    from vireton.plots import BroadheadCurve, broadhead_figure, save

    rate = answer.per_yaw_rate
    curve = BroadheadCurve(
        distance=answer.distance,
        separation=shift_band(answer.separation),
        per_rate=rate.nominal,
        per_rate_low=rate.low,
        per_rate_high=rate.high,
        sideways_open=sideways_open,
    )
    figure = broadhead_figure(
        curve,
        system=units.value,
        title=f"{rig.bow.name}, {rig.fletched.parts.name}: broadhead against field point",
        band=f"5th to 95th percentile of {answer.draws} plausible bows",
    )
    save(figure, file)
