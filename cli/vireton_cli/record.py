"""``vireton record``: one line at the bench is one round of the job."""

import inspect
import json
import os
import sys
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from vireton.units.problems import InputProblem, named
from vireton.units.text import as_typed
from vireton_cli import options
from vireton_cli.options import UnitChoice
from vireton_cli.recording import Repeatable, Typed, counted, kept_axes, new_round, today

if TYPE_CHECKING:
    from vireton.job import TuningLog
    from vireton.tuning.rounds import Round, Stage

__all__ = ["EXAMPLE", "Repeatable", "advice_lines", "advised", "record"]

EXAMPLE = (
    "Example: vireton record my_log.toml --setup examples/mill_bow.toml "
    '--tear bare "left 1/16 in, high 1/8 in" --at 6ft'
)


@dataclass(frozen=True)
class _How:
    """What is to be done with what was typed, and how it is told."""

    log: Path
    setup: Path | None
    owner: str | None
    complaint: str | None
    correct: int | None
    back: bool
    undo: bool
    visit: bool
    done: bool
    edited: str | None
    yes: bool
    units: UnitChoice
    as_json: bool


def _record(how: _How, typed: Typed) -> None:
    """Append what was just seen or done at the bow to its job, and say what to do next.

    Every length has its unit; only shots and walk-back sizes without one are in inches, or in
    centimeters with --units metric. What is in the job already is never changed: --correct amends
    what was typed wrong, --back puts the last change back on the bow.
    """
    typed = counted(typed, how.log, how.setup)
    if how.undo:
        _undo(how, typed)
    elif how.correct is not None:
        _correct(how, typed)
    elif how.back:
        _back(how, typed)
    else:
        _append(how, typed)


def _append(how: _How, typed: Typed) -> None:
    from vireton.job import append_round, check_round
    from vireton_cli.doubting import settle_edit, settle_slips
    from vireton_cli.filming import check_against_bow

    if how.edited not in (None, "changed", "wrong"):
        raise InputProblem(f'--edited: {as_typed(how.edited)} is not "changed" or "wrong"')
    new = new_round(typed, how.units)
    check_round(how.log, new)
    check_against_bow(how.log, how.setup, new)
    stage: Stage | None = "visit" if how.visit else "done" if how.done else None
    began = _make_sure_of(how, new.date)
    new = replace(new, stage=stage, complaint=(how.complaint or "") if how.visit else "")
    if typed.is_empty() and stage is None and how.edited is None:
        if began:
            _tell_begun(how.log, began, how.as_json)
            return
        raise InputProblem(
            "nothing to record: give --rest, --nock, --changed, --tear, --group, --center, "
            "--walkback, --film, --found, --looked, --measured, --look-over, --note, --visit or "
            "--done"
        )
    if how.complaint and not (began or how.visit):
        raise InputProblem("--complaint belongs to a new job or to --visit; use --note")
    new, told = settle_edit(how.log, new, how.edited)
    new = settle_slips(how.log, new, how.units, yes=how.yes)
    done = append_round(how.log, new, how.units.value)
    _tell(how, done, [one for one in (began, *told) if one])


def _undo(how: _How, typed: Typed) -> None:
    from vireton.job import withdraw_last

    if how.setup is not None or not typed.is_empty():
        raise InputProblem("--undo stands alone: take back first, then record what is right")
    done = withdraw_last(how.log, today(), how.units.value)
    _tell(how, done, ["For what was typed by mistake; the bow is as it was"])


def _correct(how: _How, typed: Typed) -> None:
    from vireton.job import correct, read_log
    from vireton_cli.filming import check_against_bow

    assert how.correct is not None
    if typed.is_empty():
        raise InputProblem(
            "--correct: say what it should have been, such as --correct 3 --tear bare 'left 1/8 "
            "in'; --undo takes the whole last round back"
        )
    if typed.measured or typed.look_over:
        raise InputProblem("--correct: a measure is not corrected; record it again")
    new = kept_axes(read_log(how.log), how.correct, typed, new_round(typed, how.units))
    check_against_bow(how.log, None, new)
    done = correct(how.log, how.correct, new, how.units.value)
    _tell(how, done, [f"Corrected round {how.correct}: what was typed first no longer counts"])


def _back(how: _How, typed: Typed) -> None:
    from vireton.job import put_back

    if typed.rest or typed.rest_at or typed.nock or typed.changed:
        raise InputProblem("--back is a change by itself: record any other in a round of its own")
    done, was = put_back(how.log, new_round(typed, how.units), how.units.value)
    _tell(how, done, [f"Puts back what round {was.number} changed"])


def advice_lines(log: "TuningLog", units: UnitChoice) -> list[str]:
    """What the last arrows said and what to do next, in words, shown below what was recorded."""
    return advised(log, units)[1]


def advised(log: "TuningLog", units: UnitChoice) -> tuple[str | None, list[str]]:
    """The verdict as the JSON of ``tune`` says it, and :func:`advice_lines`.

    None and nothing yet without tears, groups and findings; None and the reason where the setup
    file of the bow cannot be used: the round is recorded all the same.
    """
    from vireton.tuning.observations import Found
    from vireton.units.display import display

    counting = log.rounds.counting
    if not any(one.measures or one.seen(Found) for one in counting):
        return None, []
    from vireton_cli.shooting import say_if_first_run

    say_if_first_run(derivatives=True)
    from vireton.answers.recorded_words import recorded_words
    from vireton.answers.tune import tune_log

    try:
        tuned = tune_log(log)
        return tuned.verdict, recorded_words(tuned, display(units.value))
    except InputProblem as problem:
        return None, [f"No advice: {problem}"]


def _make_sure_of(how: _How, day: str) -> str:
    """Begin the job where there is none; what to say about that, else nothing."""
    from vireton.files.whole import is_there
    from vireton.job import Intake, LogError, create_log, read_log

    log, setup = how.log, how.setup
    if is_there(log):
        there = read_log(log).setup_path
        if setup is not None and os.path.realpath(there) != os.path.realpath(setup):
            raise InputProblem(
                f"{named(log)}: is the job of {named(there)}, not of {named(setup)}; leave "
                "--setup out, or give another job file"
            )
        if how.owner is not None:
            raise InputProblem("--owner belongs to a new job; write it under [job] in the file")
        return ""
    if setup is None:
        raise InputProblem(f"{named(log)}: there is no such job; add --setup FILE to begin one")
    from vireton.setup import load_setup

    intake = Intake(
        bow=load_setup(setup).bow.name,
        owner=how.owner or "",
        date=day if how.owner or how.complaint else "",
        complaint="" if how.visit else how.complaint or "",
    )
    try:
        create_log(log, setup, intake)
    except LogError:
        if not is_there(log):
            raise
        # another program began it this very moment
        return _make_sure_of(how, day)
    return f"Began {named(log)} for the bow of {named(setup)}"


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
    from vireton.job import setup_of
    from vireton.rig import arrows_of

    try:
        setup = setup_of(log)
        arrows = [one for one in arrows_of(setup.parts) if one is not None]
        return list(cautions(setup.bow, *arrows))
    except InputProblem:
        return []  # the round is recorded all the same; its advice tells the reason


def _tell(how: _How, done: "Round", first: list[str]) -> None:
    try:
        _show(how, done, first)
    except KeyboardInterrupt:
        # without this it would be typed once more, and count twice
        print(f"vireton: round {done.number} is recorded; its advice was stopped", file=sys.stderr)
        raise


def _show(how: _How, done: "Round", first: list[str]) -> None:
    from vireton.bow.cautions import SHOOTING_BARE
    from vireton.job import read_log
    from vireton.job.round_words import paperwork_of, round_json, round_lines, two_things
    from vireton.job.visits import moved_lines, unsafe_now
    from vireton_cli.shooting import warn
    from vireton_cli.tables import console, say

    log = read_log(how.log)
    unsafe = unsafe_now(log)
    # what was not passed in an earlier round is still to be put right
    before = () if paperwork_of(log, done).not_fine else unsafe
    warnings = [*_cautions(log), *before, *two_things(log, done)]
    warn(warnings)
    if how.as_json:
        told: dict[str, Any] = {"schema": 1, "log": str(how.log), "warnings": warnings}
        verdict, words = advised(log, how.units)
        told |= {"round": round_json(log, done), "advice": verdict, "words": words}
        typer.echo(json.dumps(told, indent=2, allow_nan=False))
        return
    is_done = done.stage == "done"
    answer = _end_lines(log, how.units) if is_done else advised(log, how.units)[1]
    if unsafe:  # what to put right stands above; nothing else comes first
        answer = ["Do not shoot this bow until that is put right"]
    if done.stage == "visit":
        answer = [*moved_lines(log), *answer]
    out = console()
    say(out, answer)
    if answer:
        out.print()
    say(out, [*first, *round_lines(log, done, how.units.value)])
    if answer and log.is_new and done.measures:  # who is told to shoot is told how, once
        say(out, [SHOOTING_BARE])
    typer.echo(_ways_back(how.log, log, done))


def _end_lines(log: "TuningLog", units: UnitChoice) -> list[str]:
    """What is handed over: the sight reset, marks, what is left; why not, where that cannot be."""
    from vireton.answers.hand_over import hand_over, hand_over_words
    from vireton.units.display import display

    try:
        shown = display(units.value)
        return hand_over_words(hand_over(log, shown), shown)
    except InputProblem as problem:
        return [f"No summary: {problem}"]


def _ways_back(path: Path, log: "TuningLog", done: "Round") -> str:
    """The two ways: what was typed wrong, and what the bow did not like."""
    from vireton_cli.terminal import as_argument

    file = as_argument(path)
    lines = [f"typed wrong: vireton record {file} --correct {done.number} WHAT (or --undo)"]
    if done.undoes is not None:
        lines = [f"take one more back: vireton record {file} --undo"]
    before = [one for one in log.rounds.counting if one.number < done.number]
    moved = bool(before) and before[-1].setting != done.setting
    can_be = (moved or done.changes) and all(one.kind.is_undone for one in done.changes)
    if done.undoes is None and done.puts_back is None and can_be:
        lines.append(f"put the bow back: vireton record {file} --back")
    return "\n".join(lines)


_FLAGS: tuple[tuple[str, Any, Any], ...] = (
    ("log", Annotated[Path, typer.Argument(metavar="JOB", help="Job file (TOML).")], ...),
    (
        "setup",
        Annotated[
            Path | None,
            typer.Option(
                "--setup", metavar="FILE", help="Begin the job, for the bow of this file."
            ),
        ],
        None,
    ),
    (
        "owner",
        Annotated[str | None, typer.Option("--owner", metavar="TEXT", help="Whose bow.")],
        None,
    ),
    (
        "complaint",
        Annotated[
            str | None,
            typer.Option("--complaint", metavar="TEXT", help="What the customer complains of."),
        ],
        None,
    ),
)
_AFTER: tuple[tuple[str, Any, Any], ...] = (
    (
        "correct",
        Annotated[
            int | None,
            typer.Option(
                "--correct",
                metavar="ROUND",
                help="Number of a round that was typed wrong; the other options say what it should "
                "have been. The bow is not touched.",
            ),
        ],
        None,
    ),
    (
        "back",
        Annotated[bool, typer.Option("--back", help="The last change was put back on the bow.")],
        False,
    ),
    (
        "undo",
        Annotated[
            bool,
            typer.Option(
                "--undo", help="Take the last round back, typed wrong; it stays in the file."
            ),
        ],
        False,
    ),
    (
        "visit",
        Annotated[bool, typer.Option("--visit", help="The bow came back: a new visit begins.")],
        False,
    ),
    (
        "done",
        Annotated[bool, typer.Option("--done", help="The bow is handed over; says how.")],
        False,
    ),
    (
        "edited",
        Annotated[
            str | None,
            typer.Option(
                "--edited",
                metavar="changed|wrong",
                help="The setup file was edited: the bow was changed, or its number was wrong.",
            ),
        ],
        None,
    ),
    (
        "yes",
        Annotated[bool, typer.Option("--yes", help="Take it as typed, however odd it looks.")],
        False,
    ),
    ("units", options.Units, UnitChoice.US),
    ("as_json", options.Json, False),
)


def _command() -> Any:
    """The function that typer calls: its parameters are the fields of what may be typed."""

    def command(**given: Any) -> None:
        how = {one.name: given.pop(one.name) for one in fields(_How)}
        typed: dict[str, Any] = {
            name: () if value is None and many[name] else value for name, value in given.items()
        }
        _record(_How(**how), Typed(**typed))

    many = {one.name: one.default == () for one in fields(Typed)}
    rows: list[tuple[str, Any, Any]] = [*_FLAGS]
    for one in fields(Typed):
        told = one.metadata
        kind: Any = int | None if one.name == "count" else str | None
        if many[one.name]:
            kind = list[str] | None
        info = typer.Option(
            *told["flags"],
            metavar=told["metavar"] or None,
            help=told["help"],
            min=1 if one.name == "count" else None,
        )
        rows.append((one.name, Annotated[kind, info], None))
    parameters = [
        inspect.Parameter(
            name,
            inspect.Parameter.KEYWORD_ONLY,
            annotation=kind,
            default=inspect.Parameter.empty if usual is ... else usual,
        )
        for name, kind, usual in (*rows, *_AFTER)
    ]
    command.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    command.__annotations__ = {one.name: one.annotation for one in parameters}
    command.__name__ = "record"
    command.__doc__ = inspect.getdoc(_record)
    return command


record = _command()
