"""Asking before something odd is taken: a slip of typing, or a setup file that was edited."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from vireton.units.problems import InputProblem, named
from vireton_cli.options import UnitChoice
from vireton_cli.terminal import as_argument

if TYPE_CHECKING:
    from vireton.job import NewRound


def settle_slips(log: Path, new: "NewRound", units: UnitChoice, *, yes: bool) -> "NewRound":
    """The round as it is to be recorded: as typed, or as it was meant.

    Asks where two readings are possible. Raises InputProblem with both where nobody can be asked,
    or where neither holds; nothing is recorded then.
    """
    if yes:
        return new
    from vireton.answers.doubts import doubt_of
    from vireton.job import read_log
    from vireton.units.display import display

    doubt = doubt_of(read_log(log), new, display(units.value))
    if doubt is None:
        return new
    readings = [doubt.as_typed, *([doubt.meant] if doubt.other is not None else [])]
    if not sys.stdin.isatty():
        told = " or ".join(f'"{one}"' for one in readings)
        raise InputProblem(
            f"{doubt.question} Nothing was recorded. It may be {told}: type it again, or add --yes "
            "to take it as typed"
        )
    typer.echo(doubt.question)
    for number, one in enumerate(readings, start=1):
        typer.echo(f"  {number}  {one}")
    answer = typer.prompt("Which (Enter: neither, record nothing)", default="", show_default=False)
    if answer == "1":
        return new
    if answer == "2" and doubt.other is not None:
        return doubt.other
    raise InputProblem("nothing was recorded: type it again")


def settle_edit(log: Path, new: "NewRound", edited: str | None) -> tuple["NewRound", list[str]]:
    """The round with the setup file as it now is, where that was edited; and what to say of it.

    Raises InputProblem with the two readings where the edit may be a change of the bow or a number
    that was wrong, and nobody can be asked.
    """
    from vireton.job.edits import edit_of, with_edit

    edit = edit_of(log)
    if edit is None:
        if edited is not None:
            raise InputProblem("--edited: the setup file says what the job keeps; leave it out")
        return new, []
    if edit.of_bow and edited is None:
        edited = _ask(log, edit.words)
    new, told = with_edit(new, edit, "changed" if edited == "changed" else "corrected")
    return new, [told]


def _ask(log: Path, words: str) -> str:
    question = f"{named(log)}: the setup file was edited since the last round: {words}."
    if not sys.stdin.isatty():
        raise InputProblem(
            f"{question} Nothing was recorded. Was the bow changed? Add --edited changed: earlier "
            "rounds keep their numbers. Was the number wrong from the start? Add --edited wrong: "
            "all rounds are read with it"
        )
    typer.echo(question)
    typer.echo("  1  the bow was changed: earlier rounds keep their numbers")
    typer.echo("  2  the number was wrong: all rounds are read with the new one")
    answer = typer.prompt("Which (Enter: neither, record nothing)", default="", show_default=False)
    if answer not in ("1", "2"):
        raise InputProblem(f"nothing was recorded in {as_argument(log)}")
    return "changed" if answer == "1" else "wrong"
