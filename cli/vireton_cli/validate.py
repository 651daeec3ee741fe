"""``vireton validate``: rerun the published checks."""

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from vireton_cli import options

if TYPE_CHECKING:
    from vireton.published.checks import Case, Result

EXAMPLE = "Example: vireton validate validation"


def validate(
    folder: Annotated[
        Path | None,
        typer.Argument(metavar="[FOLDER]", help="The folder validation/ of a clone."),
    ] = None,
    write: Annotated[
        bool, typer.Option("--write", help="Also write REPORT.md and the figures into it.")
    ] = False,
    as_json: options.Json = False,
) -> None:
    """Rerun every check against published values and say where Vireton agrees and where not.

    Exits with 1 where a check fails that is not a known gap, or a known gap has closed unmarked.
    """
    from vireton.published.checks import find_cases, load_case, run_case
    from vireton_cli.shooting import say_if_first_run
    from vireton_cli.tables import with_progress

    where = folder or Path("validation")
    paths = find_cases(where)
    say_if_first_run()
    ran = []
    for path in with_progress(paths, "validating"):
        case = load_case(path)
        ran.append((case, run_case(case)))
    results = [result for _, some in ran for result in some]
    if write:
        _write(where, ran)
    if as_json:
        typer.echo(json.dumps(_json(results), indent=2, allow_nan=False))
    else:
        _print(results)
    if not all(result.is_expected for result in results):
        raise typer.Exit(1)


def _write(folder: Path, ran: "list[tuple[Case, list[Result]]]") -> None:
    from vireton.files.whole import replace_whole
    from vireton.plots import save
    from vireton.published.checks import figures_of
    from vireton.published.report import report
    from vireton.units.problems import InputProblem, named

    names: dict[str, list[str]] = {}
    for case, _ in ran:
        for name, figure in figures_of(case).items():
            save(figure, folder / f"{name}.png")
            names.setdefault(case.folder.name, []).append(f"{name}.png")
    page = folder / "REPORT.md"
    try:
        replace_whole(page, report(ran, names).encode("utf-8"))
    except OSError as problem:
        raise InputProblem(f"{named(page)}: cannot be written: {problem.strerror}") from None


def _json(results: "list[Result]") -> dict[str, object]:
    from vireton.units.numbers import number

    return {
        "schema": 1,
        "checks": [
            {
                "source": result.source,
                "case": result.case,
                "quantity": result.check.quantity,
                "unit": result.check.unit,
                "published": result.check.published,
                "limit": result.check.limit,
                "how": result.check.how,
                "place": result.check.place,
                "ours": number(result.ours),
                "difference": number(result.difference),
                "verdict": result.verdict,
                "fails_because": result.check.fails_because,
            }
            for result in results
        ],
    }


def _print(results: "list[Result]") -> None:
    from vireton.answers.table import Grid, Lines
    from vireton.published.report import (
        difference_shown,
        limit_shown,
        shown_pair,
        summary,
        with_unit,
    )
    from vireton_cli.tables import print_page

    heads = ("source", "published", "ours", "verdict, diff ÷ limit")
    rows = []
    # gaps first: they are what a skeptic looks for
    for result in sorted(results, key=lambda one: one.verdict == "agrees"):
        check = result.check
        published, ours = shown_pair(result)
        rows.append(
            (
                f"{result.source}: {check.quantity}",
                f"{with_unit(published, check)} {limit_shown(check)}",
                ours,
                f"{result.verdict}, {difference_shown(result)}",
            )
        )
    print_page([Grid("", heads, tuple(rows), frozenset({0, 3})), Lines((summary(results),))])
