"""``vireton record``: one line at the bench is one round of the log."""

import json
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from vireton.units.problems import InputProblem, named
from vireton_cli import options
from vireton_cli.options import UnitChoice
from vireton_cli.recording import Repeatable, Typed, new_round, today

if TYPE_CHECKING:
    from vireton.job import NewRound, TuningLog
    from vireton.tuning.rounds import Round

__all__ = ["EXAMPLE", "Repeatable", "advice_lines", "record"]

EXAMPLE = (
    "Example: vireton record my_log.toml --setup examples/mill_bow.toml "
    '--tear bare "left 1/16 in, high 1/8 in" --at 6ft'
)


def record(
    log: Annotated[Path, typer.Argument(metavar="LOG", help="Tuning log (TOML).")],
    setup: Annotated[
        Path | None,
        typer.Option("--setup", metavar="FILE", help="Begin the log, for the bow of this file."),
    ] = None,
    rest: Annotated[
        str | None,
        typer.Option(
            "--rest",
            metavar="MOVE",
            help="The rest was moved: 'right 1/32 in', 'left 1/16 in, up 1/32 in'.",
        ),
    ] = None,
    rest_at: Annotated[
        str | None,
        typer.Option(
            "--rest-at", metavar="PLACE", help="Instead: where it now stands, from the log's start."
        ),
    ] = None,
    nock: Annotated[
        str | None,
        typer.Option("--nock", metavar="MOVE", help="The nocking point was moved: 'up 1/32 in'."),
    ] = None,
    tear: Annotated[
        list[str] | None,
        typer.Option(
            "--tear",
            metavar="ARROW TEAR",
            help="Where the tail hole is: bare 'left 1/16 in, high 1/8 in', bare clean. "
            "May be repeated, as --group and --center may.",
        ),
    ] = None,
    at: Annotated[
        str | None,
        typer.Option("--at", metavar="DISTANCE", help="Distance of the paper; without it 6 ft."),
    ] = None,
    group: Annotated[
        list[str] | None,
        typer.Option(
            "--group",
            metavar="ARROW DISTANCE SHOTS",
            help="Every shot, right,up of where you aimed: fletched 20yd '0.2,0.1 -0.3,0.4 in'.",
        ),
    ] = None,
    center: Annotated[
        list[str] | None,
        typer.Option(
            "--center",
            metavar="ARROW DISTANCE PLACE",
            help="Only the middle of a group: bare 20yd 'right 1 in, low 2 in'; needs --count.",
        ),
    ] = None,
    count: Annotated[
        int | None, typer.Option("--count", min=1, help="How many shots each --center is of.")
    ] = None,
    spread: Annotated[
        str | None,
        typer.Option(
            "--spread", metavar="SIZE", help="Their standard deviation on one axis, if known."
        ),
    ] = None,
    walkback: Annotated[
        str | None,
        typer.Option(
            "--walkback",
            metavar="POINTS",
            help="Fletched shots from several distances with one sight setting, right of the "
            "plumb line: '20yd 0.1in, 40yd -0.4in'.",
        ),
    ] = None,
    looked: Annotated[
        list[str] | None,
        typer.Option(
            "--looked",
            metavar="'WHAT ROUND yes|no'",
            help="What you found when you were asked to look: 'reversed 3 no', 'contact yes'.",
        ),
    ] = None,
    note: Annotated[
        str | None, typer.Option("--note", metavar="TEXT", help="Anything else.")
    ] = None,
    undo: Annotated[
        bool, typer.Option("--undo", help="Take back the last round; nothing is erased.")
    ] = False,
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
) -> None:
    """Append what was just seen, or done to the rest, to a tuning log.

    Every length has its unit; only shots and walk-back sizes without one are in inches, or in
    centimeters with --units metric. What is in the log already is never changed.
    """
    typed = Typed(
        rest,
        rest_at,
        nock,
        tear or [],
        at,
        group or [],
        center or [],
        count,
        spread,
        walkback,
        looked or [],
        note,
    )
    if undo:
        _undo(log, setup, typed, units, as_json)
        return
    from vireton.job import append_round

    new = new_round(typed, units)
    began = _make_sure_of(log, setup, new)
    if not typed.is_empty():
        _tell(log, append_round(log, new, units.value), units, as_json, began=began)
    elif began:
        _tell_begun(log, began, as_json)
    else:
        raise InputProblem(
            "nothing to record: give --rest, --nock, --tear, --group, --center, --walkback, "
            "--looked or --note"
        )


def advice_lines(log: "TuningLog", units: UnitChoice) -> list[str]:
    """What to do next, in words, shown below what was recorded.

    Nothing yet without tears and groups, or where the setup file of the bow cannot be used: the
    round is recorded all the same, and the reason is told.
    """
    from vireton.tuning.observations import WalkbackPoint
    from vireton.units.display import display

    counting = log.rounds.counting
    if all(isinstance(one, WalkbackPoint) for r in counting for one in r.observations):
        return []
    from vireton_cli.shooting import say_if_first_run

    say_if_first_run(derivatives=True)
    from vireton.answers.tune import tune_log
    from vireton.answers.tune_words import advice_words

    try:
        return advice_words(tune_log(log), display(units.value))
    except InputProblem as problem:
        return [f"no advice: {problem}"]


def _undo(log: Path, setup: Path | None, typed: Typed, units: UnitChoice, as_json: bool) -> None:
    from vireton.job import undo_last

    if setup is not None or not typed.is_empty():
        raise InputProblem("--undo stands alone: take back first, then record what holds")
    _tell(log, undo_last(log, today(), units.value), units, as_json, began="")


def _make_sure_of(log: Path, setup: Path | None, new: "NewRound") -> str:
    """Begin the log where there is none; what to say about that, else nothing."""
    from vireton.files.whole import is_there
    from vireton.job import LogError, check_round, create_log, read_log

    if is_there(log):
        there = read_log(log).setup_path
        if setup is not None and os.path.realpath(there) != os.path.realpath(setup):
            raise InputProblem(
                f"{named(log)}: is the log of {named(there)}, not of {named(setup)}; leave "
                "--setup out, or give another log"
            )
        return ""
    if setup is None:
        raise InputProblem(f"{named(log)}: there is no such log; add --setup FILE to begin one")
    check_round(log, new)
    try:
        create_log(log, setup)
    except LogError:
        if not is_there(log):
            raise
        # another program began it this very moment
        return _make_sure_of(log, setup, new)
    return f"began {named(log)} for the bow of {named(setup)}"


def _tell_begun(path: Path, began: str, as_json: bool) -> None:
    from vireton.job import read_log
    from vireton_cli.shooting import warn

    warnings = _cautions(read_log(path))
    warn(warnings)
    told = {"schema": 1, "log": str(path), "warnings": warnings, "round": None}
    typer.echo(json.dumps(told) if as_json else began)


def _cautions(log: "TuningLog") -> list[str]:
    """Warnings about the bow's arrows; none where its setup file cannot be used."""
    from vireton.bow.cautions import cautions
    from vireton.rig import arrows_of
    from vireton.setup import load_setup

    try:
        setup = load_setup(log.setup_path)
        arrows = [one for one in arrows_of(setup.parts) if one is not None]
        return list(cautions(setup.bow, *arrows))
    except InputProblem:
        return []  # the round is recorded all the same; its advice tells the reason


def _tell(path: Path, done: "Round", units: UnitChoice, as_json: bool, *, began: str) -> None:
    try:
        _show(path, done, units, as_json, began=began)
    except KeyboardInterrupt:
        # without this it would be typed once more, and count twice
        print(f"vireton: round {done.number} is recorded, without its advice", file=sys.stderr)
        raise


def _show(path: Path, done: "Round", units: UnitChoice, as_json: bool, *, began: str) -> None:
    from vireton.bow.cautions import SHOOTING_BARE
    from vireton.job import read_log
    from vireton.job.round_words import round_json, round_lines, two_things
    from vireton_cli.shooting import warn
    from vireton_cli.tables import console, say

    log = read_log(path)
    warnings = [*_cautions(log), *two_things(log, done)]
    warn(warnings)
    if as_json:
        told = {"schema": 1, "log": str(path), "warnings": warnings}
        told |= {"round": round_json(log, done), "advice": advice_lines(log, units)}
        typer.echo(json.dumps(told, indent=2, allow_nan=False))
        return
    lines = [began] if began else []
    lines += round_lines(log, done, units.value)
    advice = advice_lines(log, units)
    # who is told to shoot is told how
    say(console(), [*lines, *advice, SHOOTING_BARE] if advice else lines)
    typer.echo(_way_back(path, done))


def _way_back(path: Path, done: "Round") -> str:
    from vireton_cli.terminal import as_argument

    what = "undo" if done.undoes is None else "take back one more"
    return f"{what}: vireton record {as_argument(path)} --undo"
