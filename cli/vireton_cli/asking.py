"""From a question to its command: options, help, tables, JSON and picture, all read from it."""

import inspect
import json
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any

import typer

from vireton.answers.kinds import File, Flag, Repeated, SetupSources, Whole
from vireton.answers.question import Asked, Question, about, option_of
from vireton_cli import options
from vireton_cli.options import UnitChoice


def command_of(
    question: type[Question], *, draws_pictures: bool = True, writes_sheet: bool = False
) -> Callable[..., None]:
    """The function that typer calls: its parameters are the question's fields."""
    fields = about(question)

    def command(**typed: Any) -> None:
        units, as_json, plot = typed.pop("units"), typed.pop("as_json"), typed.pop("plot", None)
        sheet = typed.pop("sheet", None)
        options.check_plot(plot)
        options.check_sheet(sheet)
        names = {name: _spelled(name, one) for name, one in fields.items()}
        read = question.read(typed, spelled=names.__getitem__, system=units.value)
        show(read, units, as_json=as_json, plot=plot, sheet=sheet)

    parameters = [_parameter(name, one) for name, one in fields.items()]
    common: list[tuple[str, Any, Any]] = [
        ("units", options.Units, UnitChoice.US),
        ("as_json", options.Json, False),
    ]
    if draws_pictures:
        common.append(("plot", options.Plot, None))
    if writes_sheet:
        common.append(("sheet", options.Sheet, None))
    parameters += [
        inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, annotation=kind, default=usual)
        for name, kind, usual in common
    ]
    command.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    command.__annotations__ = {one.name: one.annotation for one in parameters}
    command.__name__ = question.command
    command.__doc__ = _help(question)
    return command


def _help(question: type[Question]) -> str:
    """Its docstring without the Python example, for a screen that wraps and knows markup."""
    paragraphs = (inspect.getdoc(question) or "").split("\n\n")
    told = [" ".join(one.split()) for one in paragraphs if ">>>" not in one]
    return "\n\n".join(told).replace("[", r"\[")


def show(
    read: Question,
    units: UnitChoice,
    *,
    as_json: bool,
    plot: Path | None = None,
    sheet: Path | None = None,
) -> None:
    """Ask, and print what was found. Warnings come first, on stderr."""
    from vireton.units.display import display
    from vireton_cli.shooting import say_if_first_run, warn
    from vireton_cli.tables import print_page, with_progress

    say_if_first_run(derivatives=read.needs_derivatives)
    read.prepare(with_progress)
    warn(read.warnings)
    if plot is not None:
        read.demand_drawable()
    found = read.answer(with_progress)
    if plot is not None:
        from vireton.plots import save

        save(found.figure(units.value), plot)
    if sheet is not None:
        from vireton.report import save_page
        from vireton.report.sheet import sheet_of

        save_page(sheet_of(found, display(units.value)), sheet)
    if as_json:
        typer.echo(json.dumps(found.to_dict(), indent=2, allow_nan=False))
    else:
        print_page(found.page(display(units.value)))


def _spelled(name: str, one: Asked) -> str:
    return name if isinstance(one.kind, File) else option_of(name, one)


def _parameter(name: str, one: Asked) -> inspect.Parameter:
    kind, usual = _typed(one), one.usual
    if isinstance(one.kind, File):
        several = "..." if isinstance(one.kind, SetupSources) else ""
        metavar = f"{one.kind.label}{several}"
        info: Any = typer.Argument(metavar=metavar, help=one.help)
        usual = inspect.Parameter.empty
    elif isinstance(one.kind, Whole):
        info = typer.Option(
            option_of(name, one), min=one.kind.low, max=one.kind.high, help=one.help
        )
    elif isinstance(one.kind, Flag):
        info = typer.Option(option_of(name, one), help=one.help)
    else:
        info = typer.Option(option_of(name, one), metavar=one.flag or None, help=one.help)
        usual = None if one.metric is not None else usual
    return inspect.Parameter(
        name, inspect.Parameter.KEYWORD_ONLY, annotation=Annotated[kind, info], default=usual
    )


def _typed(one: Asked) -> Any:
    """What typer reads."""
    if isinstance(one.kind, SetupSources):
        return list[Path]
    if isinstance(one.kind, File):
        return Path
    if isinstance(one.kind, Repeated):
        return list[str] | None
    if isinstance(one.kind, Whole):
        return int if one.usual is not None else int | None
    if isinstance(one.kind, Flag):
        return bool
    return str if one.usual is not None and one.metric is None else str | None
