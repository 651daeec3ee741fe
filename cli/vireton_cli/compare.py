"""``vireton compare``: arrows or vane set-ups side by side."""

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from vireton.compare import Compared, Contender
    from vireton.setup.variants import Variant

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
    from vireton.compare import compare as compare_all
    from vireton_cli.comparing import answer_json, check_drawable, draw, show
    from vireton_cli.shooting import read_distances, say_if_first_run

    options.check_plot(plot)
    usual = f"{_DISTANCES} {'yd' if units is UnitChoice.US else 'm'}"
    where = read_distances(usual if distances is None else distances, units)
    found = _variants(setups, vary or [])
    if plot is not None:
        check_drawable(len(found))
    say_if_first_run()
    contenders = [_contender(file, label, one) for file, label, one in found]
    notes = _notes(contenders, [one for _, _, one in found])
    _warn(contenders)
    answers = compare_all(contenders, where, draws=draws, seed=seed, progress=_progress)
    _demand_reached(answers, where)
    if plot is not None:
        draw(answers, where, units, draws, plot)
    if as_json:
        answer = answer_json(answers, where, notes, draws, seed)
        typer.echo(json.dumps(answer, indent=2, allow_nan=False))
    else:
        show(answers, where, notes, draws, units)


def _variants(setups: "Sequence[Path]", vary: "Sequence[str]") -> "list[tuple[int, str, Variant]]":
    """(number of the file, label, variant) of every column."""
    from vireton.problems import InputProblem
    from vireton.setup.variants import MOST_VARIANTS, variants

    files = [variants(path, vary) for path in setups]
    count = sum(len(some) for some in files)
    if count < 2:
        raise InputProblem(
            "one arrow alone cannot be compared: give a second setup file, or "
            "--vary with two values or more, such as --vary vanes.count=3,4"
        )
    if count > MOST_VARIANTS:
        raise InputProblem(f"{count} variants; at most {MOST_VARIANTS} at once")
    for key in files[0][0].changed:
        if key.startswith(("wind.", "sight.")):
            raise InputProblem(
                f"--vary: {key} changes nothing here: arrows are compared in still air and from "
                "the bore line"
            )
    names = [some[0].setup.name for some in files]
    if len(set(names)) < len(names):
        names = [str(path) for path in setups]
    return [
        (file, _label(names[file] if len(files) > 1 else "", one), one)
        for file, some in enumerate(files)
        for one in some
    ]


def _label(file: str, one: "Variant") -> str:
    """File and what was varied, as far as there are several of each."""
    return ", ".join(part for part in (file, one.label if one.changed else "") if part)


def _contender(file: int, label: str, one: "Variant") -> "Contender":
    from dataclasses import replace

    from vireton.arrow import assemble
    from vireton.compare import contender
    from vireton.flight import Conditions
    from vireton.rig import assemble_rig

    setup = one.setup
    conditions = Conditions(setup.air, drag_coefficient=setup.drag_coefficient)
    rig = assemble_rig(setup.bow, setup.parts, conditions, replace(setup.sight, sight_in=None))
    return contender(
        label,
        rig,
        setup.uncertainty,
        measured_bow=one.measured.bow,
        measured_arrow=assemble(one.measured.parts),
        file=file,
    )


def _warn(contenders: "Sequence[Contender]") -> None:
    from vireton.cautions import cautions

    for one in contenders:
        for text in cautions(one.rig.bow, one.rig.fletched, one.rig.bare):
            print(f"vireton: {one.label}: {text}", file=sys.stderr)


def _notes(contenders: "Sequence[Contender]", found: "Sequence[Variant]") -> list[str]:
    """What parts and numbers disagree about; what not all share is named with its label."""
    notes: dict[str, list[str]] = {}
    for one, variant in zip(contenders, found, strict=True):
        for text in (*one.rig.notes, *variant.notes):
            notes.setdefault(text, []).append(one.label)
    return [
        text if len(labels) == len(contenders) else f"{'; '.join(labels)}: {text}"
        for text, labels in notes.items()
    ]


def _progress(contenders: "Sequence[Contender]") -> "Iterable[Contender]":
    from vireton_cli.tables import with_progress

    return with_progress(contenders, "shooting arrows")


def _demand_reached(answers: "Sequence[Compared]", where: "Sequence[float]") -> None:
    import math

    from vireton.problems import InputProblem

    for one in answers:
        for distance, speed in zip(where, one.figures["speed"].nominal, strict=True):
            if not math.isfinite(speed):
                raise InputProblem(
                    f"{one.contender.label}: shot along the bore line the arrow never reaches "
                    f"{distance / 0.9144:.4g} yd ({distance:.4g} m). Ask for shorter distances"
                )
