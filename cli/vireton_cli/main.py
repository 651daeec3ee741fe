"""The ``vireton`` command: its parts, and how errors reach people."""

import gc
import os
import sys
from collections.abc import Iterable
from importlib import import_module
from typing import Annotated, Any

import typer
from typer.core import TyperCommand

from vireton_cli.terminal import Commands, leave_output, prepare_streams, tell

#: Every command in the order of help: its module, and of a question its class there.
COMMANDS = {
    "new": "vireton_cli.new",
    "fly": "vireton.answers.fly:Fly",
    "rest": "vireton.answers.rest:MoveRest",
    "record": "vireton_cli.record",
    "tune": "vireton.answers.tune:Tune",
    "jobs": "vireton_cli.jobs",
    "walkback": "vireton.answers.walkback:WalkBack",
    "bench": "vireton_cli.bench",
    "report": "vireton_cli.report",
    "spine": "vireton.answers.spine:CompareShafts",
    "compare": "vireton.answers.compare:CompareArrows",
    "holds": "vireton.answers.holds:FindHolds",
    "marks": "vireton.answers.marks:FindMarks",
    "hunt": "vireton.answers.hunt:PlanHunt",
    "rules": "vireton.answers.rules:CheckRules",
    "measure": "vireton.answers.measure:PlanMeasurements",
    "broadhead": "vireton.answers.broadhead:AimBroadhead",
    "scatter": "vireton.answers.scatter:ScatterShots",
    "animate": "vireton_cli.animate",
    "demo": "vireton_cli.demo",
    "target": "vireton_cli.target",
    "schema": "vireton_cli.schema",
    "validate": "vireton_cli.validate",
}

_DRAW_NOTHING = {"rules", "measure", "hunt"}
#: Questions whose answer can be a sheet to print.
_ON_A_SHEET = {"hunt"}


def app_of(names: Iterable[str]) -> typer.Typer:
    """The command with these of its parts; only their modules are imported."""
    app = typer.Typer(
        name="vireton",
        cls=Commands,
        no_args_is_help=True,
        add_completion=True,
        rich_markup_mode="rich",
        pretty_exceptions_enable=False,
        context_settings={"help_option_names": ["-h", "--help"]},
        help="Arrow flight for bow technicians: what a rest move does at every distance, and how "
        "sure that is.",
        epilog=_closing(names),
    )
    app.callback()(_options)
    for name in names:
        _add(app, name)
    return app


def _closing(names: Iterable[str]) -> str:
    """A line that runs, and in full what a terminal says of safety only once in a folder."""
    example = "Example: vireton new my_bow.toml && vireton rest my_bow.toml --up 1/32in"
    if names is not COMMANDS:
        return example
    from vireton.bow.cautions import STANDING

    return "\n\n".join((example, "Safety first.", *STANDING))


def _add(app: typer.Typer, name: str) -> None:
    place, _, question = COMMANDS[name].partition(":")
    module = import_module(place)
    if question:
        from vireton_cli.asking import command_of

        asked = getattr(module, question)
        command = command_of(
            asked, draws_pictures=name not in _DRAW_NOTHING, writes_sheet=name in _ON_A_SHEET
        )
        app.command(name, epilog=f"Example: {asked.example}")(command)
    else:
        kind = getattr(module, "Repeatable", TyperCommand)
        app.command(name, cls=kind, epilog=module.EXAMPLE)(getattr(module, name))


def _asked(arguments: list[str]) -> Iterable[str]:
    """One command of twenty: the others would take a tenth of a second to import."""
    if arguments == ["--version"]:
        return ()
    return arguments[:1] if arguments[:1] and arguments[0] in COMMANDS else COMMANDS


def _print_version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        typer.echo(f"vireton {version('vireton')}")
        raise typer.Exit


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
            app_of(_asked(sys.argv[1:]))()
        finally:
            sys.stdout.flush()
    except InputProblem as problem:
        tell(str(problem))
        sys.exit(2)
    except OSError as problem:
        leave_output(problem)


def __getattr__(name: str) -> Any:
    """``app``, the whole command, for those who look into it."""
    if name != "app":
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    globals()[name] = app_of(COMMANDS)
    return globals()[name]


if __name__ == "__main__":
    run()
