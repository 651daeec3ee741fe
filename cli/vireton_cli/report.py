"""``vireton report``: one page for the phone at the range and the sheet on the bench."""

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from vireton.report.content import Page

EXAMPLE = "Example: vireton report examples/mill_log.toml -o mill.html"

_MOST_DISTANCES = 4


def report(
    file: Annotated[
        Path, typer.Argument(metavar="LOG|SETUP", help="A tuning log, or a setup file alone.")
    ],
    output: Annotated[
        Path,
        typer.Option(
            "--output", "-o", metavar="PAGE.html", help="The page; an older one is replaced."
        ),
    ],
    distances: Annotated[
        str | None,
        typer.Option(
            "--distances",
            metavar="LIST",
            help="One to four distances; without it 20, 40 and 60, in yd or m by --units.",
        ),
    ] = None,
    tolerance: Annotated[
        str,
        typer.Option("--tolerance", metavar="LENGTH", help="Done inside this at 20 yd (of a log)."),
    ] = "1/2 in",
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
) -> None:
    """Write one page that needs no network: the next move, where arrows land, what if.

    Of a log: the next move with its probability, what the next group should look like, the rounds
    so far and the way back. Of a setup file: what the model expects. Sliders move the rest and the
    wind. It reads on a phone and prints on one sheet. A file that is no page of ours is never
    overwritten.
    """
    from vireton.report import check_target, page_html, save_page
    from vireton.units.problems import InputProblem, named
    from vireton.units.quantities import FARTHEST, LIKE_DISTANCE, NEAREST, lengths, quantity

    check_target(output)
    close = quantity(tolerance, "length", "--tolerance", "0.05 in", "6 in", like="0.75 in")
    usual = "20,40,60 yd" if units is UnitChoice.US else "20,40,60 m"
    chosen = usual if distances is None else distances
    where = sorted(set(lengths(chosen, "--distances", NEAREST, FARTHEST, like=LIKE_DISTANCE)))
    if len(where) > _MOST_DISTANCES:
        raise InputProblem(
            f"--distances: {len(where)} distances; a page holds one to {_MOST_DISTANCES}"
        )
    page, answer = _made(file, where, close, units)
    save_page(page_html(page), output)
    if as_json:
        typer.echo(json.dumps({**answer, "page": str(output)}, indent=2, allow_nan=False))
    else:
        typer.echo(f"wrote {named(output)}: {page.advice.call}")


def _made(
    file: Path, where: list[float], close: float, units: UnitChoice
) -> "tuple[Page, dict[str, Any]]":
    if _is_log(file):
        from vireton_cli.report_log import log_page

        return log_page(file, where, close, units)
    from vireton_cli.report_setup import setup_page

    return setup_page(file, where, units)


def _is_log(file: Path) -> bool:
    """A log names its setup file or holds rounds, even one that is damaged."""
    from vireton.job.errors import LOG_FILE
    from vireton.setup.mistaken import has_log_keys

    try:
        with file.open("rb") as stream:
            return has_log_keys(stream.read(LOG_FILE.largest).decode("utf-8", "replace"))
    except (OSError, ValueError):
        return False  # the reader of setup files says what is wrong
