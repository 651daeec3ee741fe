"""Options that commands share: one spelling, one help text, one place."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from vireton.units.problems import named


class UnitChoice(StrEnum):
    """How results are shown."""

    US = "us"
    METRIC = "metric"


SetupFile = Annotated[
    Path, typer.Argument(metavar="SETUP", help="Setup file written by `vireton new`.")
]
Units = Annotated[UnitChoice, typer.Option("--units", help="Units of the tables and plots.")]
Json = Annotated[
    bool, typer.Option("--json", help="Print JSON (stable keys, units in their names).")
]
Plot = Annotated[
    Path | None,
    typer.Option("--plot", metavar="FILE", help="Also draw to FILE (.png, .svg or .pdf)."),
]
Sheet = Annotated[
    Path | None,
    typer.Option(
        "--output", "-o", metavar="PAGE.html", help="Also write it as one sheet to print."
    ),
]
Right = Annotated[
    str | None, typer.Option("--right", metavar="MOVE", help="Rest moved right (minus: left).")
]
Left = Annotated[str | None, typer.Option("--left", metavar="MOVE", help="The same left.")]
Up = Annotated[
    str | None, typer.Option("--up", metavar="MOVE", help="Rest moved up (minus: down).")
]
Down = Annotated[str | None, typer.Option("--down", metavar="MOVE", help="The same down.")]
Wind = Annotated[
    str | None,
    typer.Option(
        "--wind",
        metavar="WIND",
        help="E.g. '10 mph from 3': out of 3 o'clock, which is from the right; 12 is in the face.",
    ),
]
Yaw = Annotated[
    str | None,
    typer.Option("--yaw", metavar="ANGLE", help="Launch yaw, nose right; replaces the model's."),
]
Pitch = Annotated[
    str | None,
    typer.Option("--pitch", metavar="ANGLE", help="Launch pitch, nose up; replaces the model's."),
]
YawRate = Annotated[
    str | None,
    typer.Option("--yaw-rate", metavar="RATE", help="Launch yaw rate, e.g. '0.5 rad/s'."),
]
PitchRate = Annotated[
    str | None,
    typer.Option("--pitch-rate", metavar="RATE", help="Launch pitch rate, e.g. '20 deg/s'."),
]


def wrote(file: Path, replaced: bool) -> str:
    """``"wrote flight.gif"``, and whether an older file of that name is gone."""
    return f"wrote {named(file)}" + (", in place of an older one" if replaced else "")


def check_sheet(file: Path | None) -> None:
    """Refuse a sheet's name that cannot be written to, before the long calculation."""
    if file is not None:
        from vireton.report import check_target

        check_target(file)


def check_plot(file: Path | None) -> None:
    """Refuse a picture's name that has no known ending, before the long calculation."""
    if file is not None:
        from vireton.plots import check_suffix

        check_suffix(file)
