"""``vireton spine``: how the answer to a rest move changes with the shaft."""

import json
from typing import TYPE_CHECKING, Annotated

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from vireton.rig import Rig
    from vireton.studies.spine import ShaftChoice, SpineAnswer

EXAMPLE = "Example: vireton spine examples/mill_bow.toml --spine 0.3:0.5:0.1in"
_SWEEP = "0.25:0.50:0.05 in"
_LOAD_WARNING = 1.0


def spine(
    setup: options.SetupFile,
    spines: Annotated[
        str,
        typer.Option("--spine", metavar="LIST", help="Static spines, a list or first:last:step."),
    ] = _SWEEP,
    points: Annotated[
        str | None,
        typer.Option("--point", metavar="LIST", help="Point masses, e.g. '100,125 gr'."),
    ] = None,
    arrow_lengths: Annotated[
        str | None,
        typer.Option("--length", metavar="LIST", help="Arrow lengths, nock throat to shaft end."),
    ] = None,
    draws: options.Draws = 64,
    seed: options.Seed = 1,
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
    plot: options.Plot = None,
) -> None:
    """Show how the answer to one 32nd in of rest changes with spine, point mass and length.

    Sideways the answer can vanish or turn round with a weaker shaft; the table shows where, and how
    many plausible bows disagree. No maker's chart is behind it: each shaft is shot on your bow.
    """
    from vireton.answers.spine import Shafts, light_shafts
    from vireton.studies.spine import answer_spine, shaft_choices
    from vireton.units.quantities import LIKE_SPINE, lengths, quantities
    from vireton_cli.shooting import ShotOptions, load_rig, warn

    options.check_plot(plot)
    wanted = lengths(spines, "--spine", "0.1 in", "3 in", like=LIKE_SPINE)
    masses = quantities(points, "mass", "--point", "1 gr", "1000 gr") if points is not None else []
    long = lengths(arrow_lengths, "--length", "10 in", "45 in") if arrow_lengths is not None else []
    loaded, rig = load_rig(setup, ShotOptions(sight_in="none"))
    choices = shaft_choices(rig.fletched.parts, wanted, masses, long)
    warn(light_shafts(rig, choices))
    answers = answer_spine(
        rig, choices, loaded.uncertainty, draws=draws, seed=seed, progress=_progress
    )
    shafts = Shafts(rig, answers, draws, seed)
    if plot is not None:
        from vireton.plots import save

        save(shafts.figure(units.value), plot)
    if as_json:
        typer.echo(json.dumps(shafts.to_dict(), indent=2, allow_nan=False))
    else:
        _print(rig, answers, units, draws)


def _progress(choices: "Sequence[ShaftChoice]") -> "Iterable[ShaftChoice]":
    from vireton_cli.tables import with_progress

    return with_progress(choices, "shooting shafts")


def _print(rig: "Rig", answers: "list[SpineAnswer]", units: UnitChoice, draws: int) -> None:
    from vireton.studies.spine import zero_crossings
    from vireton_cli.showing import GRAIN, INCH, OPEN, system, with_band
    from vireton_cli.tables import console, make_table, say
    from vireton_cli.words import decider_words

    shown = system(units)
    out = console()
    say(
        out,
        [
            f"{rig.bow.name} with {rig.fletched.parts.name} and other shafts: what one 32nd in of "
            "rest does",
            f"in brackets: 9 of 10 of {draws} plausible bows; push: the string's largest push as "
            "a share of what would buckle the shaft between nock and rest",
        ],
    )
    names = {
        "spine in": [f"{one.choice.spine / INCH:.3f}" for one in answers],
        "point gr": [f"{one.choice.point_mass / GRAIN:.0f}" for one in answers],
        "length in": [f"{one.choice.length / INCH:.4g}" for one in answers],
    }
    # what is the same for all shafts only takes room
    varied = [name for name, cells in names.items() if name == "spine in" or len(set(cells)) > 1]
    table = make_table(
        "",
        [
            *varied,
            "push",
            f"right: nose right, rad/s {OPEN}",
            f"bare − fletched right, {shown.small} {OPEN}",
            "other way",
            "up: nose up, rad/s",
            f"bare − fletched up, {shown.small}",
        ],
    )
    for i, one in enumerate(answers):
        cells = [
            with_band(
                float(values.nominal[axis]) / size,
                float(values.low[axis]) / size,
                float(values.high[axis]) / size,
            )
            for axis in (0, 1)
            for values, size in ((one.yaw_rate, 1.0), (one.separation, shown.small_size))
        ]
        table.add_row(
            *(names[name][i] for name in varied),
            f"{one.load_share * 100.0:.0f} %",
            *cells[:2],
            f"{(1.0 - one.share_positive[0]) * 100.0:.0f} %",
            *cells[2:],
        )
    out.print(table)
    say(out, _conclusions(answers, zero_crossings(answers)))
    say(out, decider_words(answers[-1].deciders, "sideways, on the last shaft,"))


def _conclusions(
    answers: "list[SpineAnswer]", crossings: list[tuple[float, float, float]]
) -> list[str]:
    from vireton_cli.showing import INCH

    lines = [
        f"sideways the nose's answer passes through 0 at a spine of about {spine / INCH:.2f} in"
        f"{_which(point, length, answers)}: there a rest move does not turn the nose (the group "
        "still moves with the rest), and beyond it the opposite"
        for spine, point, length in crossings
    ]
    touchy = [one for one in answers if one.load_share >= _LOAD_WARNING]
    if touchy:
        weakest = min(one.choice.spine for one in touchy)
        lines.append(
            f"from a spine of {weakest / INCH:.3f} in the push reaches what would buckle the shaft "
            "between nock and rest: its answer is touchy. Whether a shaft may be shot from this "
            "bow is for its maker to say"
        )
    unsure = [one for one in answers if 0.05 < one.share_positive[1] < 0.95]
    if unsure:
        lines.append(
            "up and down too the answer may vanish or turn round, at a spine of "
            + ", ".join(sorted({f"{one.choice.spine / INCH:.3f}" for one in unsure}))
            + " in: shoot before and after one move there as well"
        )
    lines.append(
        "sideways the direction is open until this bow has shown it: 'other way' is the "
        "share of plausible bows in which the bare shaft goes against the move"
    )
    return lines


def _which(point: float, length: float, answers: "list[SpineAnswer]") -> str:
    from vireton.answers.spine import curve_name

    groups = {(one.choice.point_mass, one.choice.length) for one in answers}
    return f" ({curve_name(point, length, groups)})" if len(groups) > 1 else ""
