"""``vireton new``: write a commented setup file."""

from pathlib import Path
from typing import Annotated

import typer

EXAMPLE = "Example: vireton new my_bow.toml"


def new(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Where to write it.")],
) -> None:
    """Write a commented setup file that runs as it is.

    It holds an invented bow and arrow: change the numbers to yours. An existing file is never
    overwritten.
    """
    from vireton.setup import write_template
    from vireton.units.problems import named
    from vireton_cli.terminal import as_argument

    write_template(file)
    typer.echo(f"wrote {named(file)}: an invented bow and arrow. Put in your own numbers, then run")
    typer.echo(f"  vireton rest {as_argument(file)} --up 1/32in")
