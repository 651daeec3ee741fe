"""``vireton compare``: arrows or vane set-ups side by side."""

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from vireton.studies.compare import Contender

EXAMPLE = "Example: vireton compare examples/mill_bow.toml --vary vanes.count=3,4"
_DISTANCES = "20,40,60"


def compare(
    setups: Annotated[
        list[Path], typer.Argument(metavar="SETUP...", help="One setup file or several.")
    ],
    vary: Annotated[
        list[str] | None,
        typer.Option(
            "--vary",
            metavar="KEY=LIST",
            help="A key of the setup file, or the end of its path, and its values, written as in "
            "the file: 'vanes.length=1.75,2,2.25 in', 'vanes.turn=left,right'. Several --vary: "
            "every pairing.",
        ),
    ] = None,
    distances: Annotated[
        str | None,
        typer.Option(
            "--distances",
            metavar="LIST",
            help="Distances, e.g. '20,40 yd'; without it 20, 40 and 60, in yd or m by --units.",
        ),
    ] = None,
    draws: options.Draws = 64,
    seed: options.Seed = 1,
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
    plot: options.Plot = None,
) -> None:
    """Set arrows side by side: weight, drag, spin, settling, drop, wind drift, crooked launches.

    All are compared with the first. Every plausible draw of what nobody knows is put on all of
    them at once, so two bands may overlap while the difference is clear; where the band of the
    difference itself holds 0, or what nobody could see, there is no clear difference.

    With --vary the bow stays: the launch speed follows from what it stores. Separate files keep
    their own measured speeds. Still air, level ground, as the bow launches it. Vanes are geometry
    (a helical one by its mean angle); whether they touch the rest is not looked at.
    """
    import numpy as np

    from vireton.answers.compare import (
        Comparison,
        contender_of,
        demand_speeds,
        find_variants,
        notes_of,
    )
    from vireton.studies.compare import compare as compare_all
    from vireton_cli.comparing import check_drawable, draw, show
    from vireton_cli.shooting import read_distances, say_if_first_run

    options.check_plot(plot)
    usual = f"{_DISTANCES} {'yd' if units is UnitChoice.US else 'm'}"
    where = read_distances(usual if distances is None else distances, units)
    found = find_variants(setups, vary or [])
    if plot is not None:
        check_drawable(len(found))
    say_if_first_run()
    contenders = [contender_of(file, label, one) for file, label, one in found]
    notes = notes_of(contenders, [one for _, _, one in found])
    _warn(contenders)
    answers = compare_all(contenders, where, draws=draws, seed=seed, progress=_progress)
    demand_speeds(answers, where)
    if plot is not None:
        draw(answers, where, units, draws, plot)
    if as_json:
        answer = Comparison(answers, np.array(where), notes, draws, seed)
        typer.echo(json.dumps(answer.to_dict(), indent=2, allow_nan=False))
    else:
        show(answers, where, notes, draws, units)


def _warn(contenders: "Sequence[Contender]") -> None:
    from vireton.bow.cautions import cautions
    from vireton_cli.shooting import warn

    for one in contenders:
        texts = cautions(one.rig.bow, one.rig.fletched, one.rig.bare)
        warn(f"{one.label}: {text}" for text in texts)


def _progress(contenders: "Sequence[Contender]") -> "Iterable[Contender]":
    from vireton_cli.tables import with_progress

    return with_progress(contenders, "shooting arrows")
