"""``vireton bench``: a folder of jobs, served to the technician's own phone or tablet."""

from pathlib import Path
from typing import Annotated

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice

EXAMPLE = "Example: vireton bench jobs --lan"


def bench(
    folder: Annotated[
        Path, typer.Argument(metavar="[FOLDER]", help="Folder of jobs, one file a bow.")
    ] = Path(),
    lan: Annotated[
        bool,
        typer.Option(
            "--lan", help="For phones and tablets in the shop's network; without it this computer."
        ),
    ] = False,
    port: Annotated[
        int, typer.Option("--port", metavar="NUMBER", min=0, max=65535, help="0: any that is free.")
    ] = 8484,
    unpair: Annotated[
        bool, typer.Option("--unpair", help="A new code: phones that were paired no longer are.")
    ] = False,
    units: options.Units = UnitChoice.US,
) -> None:
    """Serve a shop's folder of jobs to a phone or tablet at the bench.

    Tears, shots and moves are tapped in and go into the job as `vireton record` writes them; what
    to do next is answered at once. What could not be sent waits on the phone and goes in later.
    """
    from vireton_bench.serve import serve

    serve(folder, port=port, is_lan=lan, units=units.value, unpair=unpair)
