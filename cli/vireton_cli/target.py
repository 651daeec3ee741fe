"""``vireton target``: sheets to print at true scale."""

import json
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from matplotlib.figure import Figure

EXAMPLE = "Example: vireton target group -o group.pdf"


class Kind(StrEnum):
    """Which sheet."""

    TEAR = "tear"
    GROUP = "group"
    PLUMB = "plumb"
    PLUMB_BELOW = "plumb-below"


class Paper(StrEnum):
    """Which paper."""

    LETTER = "letter"
    A4 = "a4"


def target(
    kind: Annotated[
        Kind,
        typer.Argument(
            metavar="KIND",
            help="tear: a card to read paper tears; group: a face for bare and fletched groups; "
            "plumb: a face for walk-back; plumb-below: sheets to join below it.",
        ),
    ],
    file: Annotated[
        Path, typer.Option("-o", "--output", metavar="FILE", help="Where to (.pdf or .svg).")
    ],
    paper: Annotated[Paper, typer.Option("--paper", help="Size of the sheet.")] = Paper.LETTER,
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
) -> None:
    """Draw a sheet to print at true scale, with bars that show whether the printer kept it.

    Print at 100 %, no fit to page, and measure the bars before you use it.
    """
    from vireton.bow.cautions import SHOOTING_BARE
    from vireton.files.whole import is_there
    from vireton.plots import check_suffix, save, target_figure
    from vireton_cli.tables import console, say

    check_suffix(file, (".pdf", ".svg"))
    figure = target_figure(kind.value, paper=paper.value, system=units.value, caution=SHOOTING_BARE)
    there = is_there(file)
    save(figure, file)
    if as_json:
        typer.echo(json.dumps(_json(kind, paper, file, figure), indent=2))
    else:
        printing = "print at 100 %, no fit to page; the bars must measure 100 mm and 4 in"
        say(console(), [options.wrote(file, there), printing, SHOOTING_BARE])


def _json(kind: Kind, paper: Paper, file: Path, figure: "Figure") -> dict[str, object]:
    width, height = figure.get_size_inches()
    return {
        "schema": 1,
        "file": str(file),
        "kind": kind.value,
        "paper": paper.value,
        "width_mm": round(float(width) * 25.4, 3),
        "height_mm": round(float(height) * 25.4, 3),
        "bars_mm": [100.0, 101.6],
    }
