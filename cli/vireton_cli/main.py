"""The ``vireton`` command: its parts, and how errors reach people."""

import gc
import os
import sys
from typing import Annotated

import typer

from vireton.answers.broadhead import AimBroadhead
from vireton.answers.compare import CompareArrows
from vireton.answers.fly import Fly
from vireton.answers.holds import FindHolds
from vireton.answers.marks import FindMarks
from vireton.answers.question import Question
from vireton.answers.rest import MoveRest
from vireton.answers.rules import CheckRules
from vireton.answers.scatter import ScatterShots
from vireton.answers.spine import CompareShafts
from vireton.answers.tune import Tune
from vireton.answers.walkback import WalkBack
from vireton_cli import (
    animate,
    demo,
    new,
    record,
    report,
    schema,
    target,
    validate,
)
from vireton_cli.asking import command_of
from vireton_cli.terminal import Commands, leave_output, prepare_streams, tell

app = typer.Typer(
    name="vireton",
    cls=Commands,
    no_args_is_help=True,
    add_completion=True,
    rich_markup_mode="rich",
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="Arrow flight for bow technicians: what a rest move does at every distance, and how sure "
    "that is.",
    epilog="Example: vireton new my_bow.toml && vireton rest my_bow.toml --up 1/32in",
)


def add(question: type[Question], *, draws_pictures: bool = True) -> None:
    """The command of a question."""
    app.command(question.command, epilog=f"Example: {question.example}")(
        command_of(question, draws_pictures=draws_pictures)
    )


app.command("new", epilog=new.EXAMPLE)(new.new)
add(Fly)
add(MoveRest)
app.command("record", cls=record.Repeatable, epilog=record.EXAMPLE)(record.record)
add(Tune)
add(WalkBack)
app.command("report", epilog=report.EXAMPLE)(report.report)
add(CompareShafts)
add(CompareArrows)
add(FindHolds)
add(FindMarks)
add(CheckRules, draws_pictures=False)
add(AimBroadhead)
add(ScatterShots)
app.command("animate", epilog=animate.EXAMPLE)(animate.animate)
app.command("demo", epilog=demo.EXAMPLE)(demo.demo)
app.command("target", epilog=target.EXAMPLE)(target.target)
app.command("schema", epilog=schema.EXAMPLE)(schema.schema)
app.command("validate", epilog=validate.EXAMPLE)(validate.validate)


def _print_version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        typer.echo(f"vireton {version('vireton')}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool,
        typer.Option("--version", help="Show the version.", callback=_print_version, is_eager=True),
    ] = False,
) -> None:
    """Arrow flight for bow technicians."""


def run() -> None:
    """Entry point: problems with what was given go to stderr in words, with exit code 2."""
    prepare_streams()
    from vireton.units.problems import InputProblem

    # a process of a second: sweeping what imports leave behind costs a seventh of it
    gc.set_threshold(1_000_000)
    # the matrices here are small: several threads on one cost half of a `tune`
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

    try:
        try:
            app()
        finally:
            sys.stdout.flush()
    except InputProblem as problem:
        tell(str(problem))
        sys.exit(2)
    except OSError as problem:
        leave_output(problem)


if __name__ == "__main__":
    run()
