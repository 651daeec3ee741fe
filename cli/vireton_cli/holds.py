"""``vireton holds``: what wind, slope, a crooked hold and other air do at each distance."""

import json
from typing import TYPE_CHECKING, Annotated

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from vireton.rig import Rig
    from vireton.studies.holds import HoldAnswer, HoldQuestion

EXAMPLE = "Example: vireton holds examples/mill_bow.toml --distances '20:60:10 yd'"


def holds(
    setup: options.SetupFile,
    distances: options.Distances = None,
    wind_speed: Annotated[
        str | None,
        typer.Option(
            "--wind-speed",
            metavar="SPEED",
            help="Wind to work out, from the side, in the face and from behind. "
            "Without it 10 mph, or 5 m/s with --units metric.",
        ),
    ] = None,
    slopes: Annotated[
        str,
        typer.Option("--slopes", metavar="LIST", help="Slopes, uphill positive, downhill minus."),
    ] = "-30,-20,-10,10,20,30 deg",
    cant: Annotated[
        str,
        typer.Option("--cant", metavar="ANGLE", help="Cant to work out, top of the bow right."),
    ] = "2 deg",
    third_axis: Annotated[
        str,
        typer.Option(
            "--third-axis",
            metavar="ANGLE",
            help="Error of the level about the bow's upright axis, its right end forward.",
        ),
    ] = "1 deg",
    altitudes: Annotated[
        str, typer.Option("--altitude", metavar="LIST", help="Other altitudes (standard air).")
    ] = "5000 ft",
    temperatures: Annotated[
        str,
        typer.Option(
            "--temperature", metavar="LIST", help="Other temperatures, pressure and moisture kept."
        ),
    ] = "86 degF",
    draws: options.Draws = 64,
    seed: options.Seed = 1,
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
    plot: options.Plot = None,
) -> None:
    """Show what to hold for: crosswind, head and tail wind, up- and downhill, cant, other air.

    At each distance the sight is set for that very distance (a pin, or a slider dialed there), on
    level ground in still air; the table says where the fletched arrow then lands.
    """
    from vireton.answers.holds import Holds, other_airs
    from vireton.studies.holds import HoldQuestion, answer_holds
    from vireton.units.quantities import quantities, quantity
    from vireton_cli.shooting import ShotOptions, load_rig, read_distances
    from vireton_cli.tables import with_progress

    options.check_plot(plot)
    where = read_distances(distances, units)
    usual = "10 mph" if units is UnitChoice.US else "5 m/s"
    speed = quantity(
        usual if wind_speed is None else wind_speed,
        "speed",
        "--wind-speed",
        "0.1 mph",
        "60 mph",
        like="10 mph",
    )
    leaning = quantity(cant, "angle", "--cant", "-45 deg", "45 deg")
    crooked = quantity(third_axis, "angle", "--third-axis", "-20 deg", "20 deg")
    inclined = quantities(slopes, "angle", "--slopes", "-60 deg", "60 deg")
    loaded, rig = load_rig(setup, ShotOptions(sight_in="none"))
    question = HoldQuestion(
        speed,
        tuple(sorted({one for one in inclined if one != 0.0})),
        leaning,
        crooked,
        other_airs(
            loaded.air,
            quantities(altitudes, "length", "--altitude", "-1500 ft", "30000 ft", like="5000 ft"),
            quantities(temperatures, "temperature", "--temperature", "-40 degF", "130 degF"),
        ),
    )

    def progress(rigs: "Sequence[Rig]") -> "Iterable[Rig]":
        return with_progress(rigs, "shooting")

    answer = answer_holds(
        rig, where, question, loaded.uncertainty, draws=draws, seed=seed, progress=progress
    )
    found = Holds(rig, question, answer, draws, seed)
    if plot is not None:
        from vireton.plots import save

        save(found.figure(units.value), plot)
    if as_json:
        typer.echo(json.dumps(found.to_dict(), indent=2, allow_nan=False))
    else:
        _print(rig, answer, question, draws, units)


def _print(
    rig: "Rig", answer: "HoldAnswer", question: "HoldQuestion", draws: int, units: UnitChoice
) -> None:
    from vireton.bow.cautions import SHOOTING
    from vireton_cli.heading import arrow_facts
    from vireton_cli.holds_tables import hold_tables, wind_words
    from vireton_cli.showing import system
    from vireton_cli.tables import console, say

    shown = system(units)
    out = console()
    head = [
        *arrow_facts(rig, shown),
        "at each distance the sight is set for that distance, level, in still air: where the "
        "fletched arrow lands from the aim point, right and up positive. Hold the other way",
        f"in brackets: 9 of 10 of {draws} plausible bows (see [uncertainty] in the setup file); "
        "shot scatter and gusts come on top. No brackets: narrower than a twentieth of the "
        "number, or a tenth",
        *rig.notes,
    ]
    say(out, head)
    tables = hold_tables(answer, question, shown)
    out.print(tables[0])
    say(out, wind_words(answer, question, rig.conditions.wind.exponent, shown))
    for table in tables[1:]:
        out.print(table)
    say(
        out,
        [
            "other air changes the flight only: what heat or cold does to limbs and string is not "
            "in it",
            SHOOTING,
        ],
    )
