"""``vireton spine``: how the answer to a rest move changes with the shaft."""

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from vireton.bands import Banded
    from vireton.rig import Rig
    from vireton.spine import ShaftChoice, SpineAnswer

EXAMPLE = "Example: vireton spine examples/mill_bow.toml --spine 0.3:0.5:0.1in"
_SWEEP = "0.25:0.50:0.05 in"
_LOAD_WARNING = 1.0
_ENDS = ("nominal", "low", "high")


def spine(
    setup: options.SetupFile,
    spines: Annotated[
        str,
        typer.Option("--spine", metavar="LIST", help="Static spines, a list or first:last:step."),
    ] = _SWEEP,
    points: Annotated[
        str | None,
        typer.Option("--point", metavar="LIST", help="Point masses, e.g. '100,125 gr'."),
    ] = None,
    arrow_lengths: Annotated[
        str | None,
        typer.Option("--length", metavar="LIST", help="Arrow lengths, nock throat to shaft end."),
    ] = None,
    draws: options.Draws = 64,
    seed: options.Seed = 1,
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
    plot: options.Plot = None,
) -> None:
    """Show how the answer to one 32nd in of rest changes with spine, point mass and length.

    Sideways the answer can vanish or turn round with a weaker shaft; the table shows where, and how
    many plausible bows disagree. No maker's chart is behind it: each shaft is shot on your bow.
    """
    from vireton.spine import answer_spine, shaft_choices
    from vireton_cli.quantities import lengths, quantities
    from vireton_cli.shooting import ShotOptions, load_rig

    options.check_plot(plot)
    wanted = lengths(spines, "--spine", "0.1 in", "3 in")
    masses = quantities(points, "mass", "--point", "1 gr", "1000 gr") if points is not None else []
    long = lengths(arrow_lengths, "--length", "10 in", "45 in") if arrow_lengths is not None else []
    loaded, rig = load_rig(setup, ShotOptions(sight_in="none"))
    choices = shaft_choices(rig.fletched.parts, wanted, masses, long)
    _warn(rig, choices)
    answers = answer_spine(
        rig, choices, loaded.uncertainty, draws=draws, seed=seed, progress=_progress
    )
    if plot is not None:
        _draw(rig, answers, units, draws, plot)
    if as_json:
        typer.echo(json.dumps(_json(answers, draws, seed), indent=2, allow_nan=False))
    else:
        _print(rig, answers, units, draws)


def _warn(rig: "Rig", choices: "list[ShaftChoice]") -> None:
    """Shafts of the sweep that are too light for the bow, once for each point and length."""
    from vireton.arrow import assemble, bare
    from vireton.cautions import cautions
    from vireton.spine import chosen_parts
    from vireton_cli.showing import GRAIN, INCH

    different = {(one.point_mass, one.length): one for one in choices}
    for (point, length), one in different.items():
        arrow = assemble(chosen_parts(rig.fletched.parts, one))
        for text in cautions(rig.bow, arrow, bare(arrow)):
            where = f"point {point / GRAIN:.0f} gr, length {length / INCH:.4g} in"
            print(f"vireton: {where}: {text}", file=sys.stderr)


def _progress(choices: "Sequence[ShaftChoice]") -> "Iterable[ShaftChoice]":
    from vireton_cli.tables import with_progress

    return with_progress(choices, "shooting shafts")


def _json(answers: "list[SpineAnswer]", draws: int, seed: int) -> dict[str, object]:
    from vireton.spine import stiffness_of, zero_crossings
    from vireton_cli.showing import FOOT, GRAIN, INCH, number

    def banded(values: "Banded", axis: int, size: float, name: str) -> dict[str, Any]:
        ends = (float(values.low[axis]) / size, float(values.high[axis]) / size)
        return {
            name: number(float(values.nominal[axis]) / size),
            f"{name}_range": [number(end) for end in ends],
        }

    rows = []
    for one in answers:
        row: dict[str, Any] = {
            "spine_in": number(one.choice.spine / INCH),
            "point_grains": number(one.choice.point_mass / GRAIN),
            "length_in": number(one.choice.length / INCH),
            "bending_stiffness_n_m2": number(stiffness_of(one.choice)),
            "speed_fps": number(one.speed / FOOT),
            "push_per_buckling_push": number(one.load_share),
        }
        for axis, side in enumerate(("right", "up")):
            row[f"rest_{side}"] = {
                **banded(one.yaw_rate, axis, 1.0, "yaw_rate_rad_s"),
                **banded(one.yaw, axis, 1e-3, "yaw_mrad"),
                **banded(one.direction, axis, 1e-3, "direction_mrad"),
                **banded(one.separation, axis, INCH, "separation_20yd_in"),
                "share_of_draws_positive": number(one.share_positive[axis]),
            }
        row["variance_shares_right"] = {k: number(v) for k, v in one.deciders.items()}
        rows.append(row)
    return {
        "schema": 1,
        "draws": draws,
        "seed": seed,
        "move_in": 1.0 / 32.0,
        "shafts": rows,
        "sideways_yaw_rate_is_zero_at": [
            {
                "spine_in": number(spine / INCH),
                "point_grains": number(point / GRAIN),
                "length_in": number(length / INCH),
            }
            for spine, point, length in zero_crossings(answers)
        ],
    }


def _print(rig: "Rig", answers: "list[SpineAnswer]", units: UnitChoice, draws: int) -> None:
    from vireton.spine import zero_crossings
    from vireton_cli.showing import GRAIN, INCH, OPEN, system, with_band
    from vireton_cli.tables import console, make_table, say
    from vireton_cli.words import decider_words

    shown = system(units)
    out = console()
    say(
        out,
        [
            f"{rig.bow.name} with {rig.fletched.parts.name} and other shafts: what one 32nd in of "
            "rest does",
            f"in brackets: 9 of 10 of {draws} plausible bows; push: the string's largest push as "
            "a share of what would buckle the shaft between nock and rest",
        ],
    )
    names = {
        "spine in": [f"{one.choice.spine / INCH:.3f}" for one in answers],
        "point gr": [f"{one.choice.point_mass / GRAIN:.0f}" for one in answers],
        "length in": [f"{one.choice.length / INCH:.4g}" for one in answers],
    }
    # what is the same for all shafts only takes room
    varied = [name for name, cells in names.items() if name == "spine in" or len(set(cells)) > 1]
    table = make_table(
        "",
        [
            *varied,
            "push",
            f"right: nose right, rad/s {OPEN}",
            f"bare − fletched right, {shown.small} {OPEN}",
            "other way",
            "up: nose up, rad/s",
            f"bare − fletched up, {shown.small}",
        ],
    )
    for i, one in enumerate(answers):
        cells = [
            with_band(
                float(values.nominal[axis]) / size,
                float(values.low[axis]) / size,
                float(values.high[axis]) / size,
            )
            for axis in (0, 1)
            for values, size in ((one.yaw_rate, 1.0), (one.separation, shown.small_size))
        ]
        table.add_row(
            *(names[name][i] for name in varied),
            f"{one.load_share * 100.0:.0f} %",
            *cells[:2],
            f"{(1.0 - one.share_positive[0]) * 100.0:.0f} %",
            *cells[2:],
        )
    out.print(table)
    say(out, _conclusions(answers, zero_crossings(answers)))
    say(out, decider_words(answers[-1].deciders, "sideways, on the last shaft,"))


def _curve_name(
    point: float, length: float, groups: "dict[tuple[float, float], list[SpineAnswer]]"
) -> str:
    """What sets this curve apart from the others: its point, its length, or both."""
    from vireton_cli.showing import GRAIN, INCH

    parts = []
    if len({one[0] for one in groups}) > 1:
        parts.append(f"{point / GRAIN:.0f} gr")
    if len({one[1] for one in groups}) > 1:
        parts.append(f"{length / INCH:.4g} in")
    return ", ".join(parts) or "this arrow"


def _conclusions(
    answers: "list[SpineAnswer]", crossings: list[tuple[float, float, float]]
) -> list[str]:
    from vireton_cli.showing import INCH

    lines = [
        f"sideways the nose's answer passes through 0 at a spine of about {spine / INCH:.2f} in"
        f"{_which(point, length, answers)}: there a rest move does not turn the nose (the group "
        "still moves with the rest), and beyond it the opposite"
        for spine, point, length in crossings
    ]
    touchy = [one for one in answers if one.load_share >= _LOAD_WARNING]
    if touchy:
        weakest = min(one.choice.spine for one in touchy)
        lines.append(
            f"from a spine of {weakest / INCH:.3f} in the push reaches what would buckle the shaft "
            "between nock and rest: its answer is touchy. Whether a shaft may be shot from this "
            "bow is for its maker to say"
        )
    unsure = [one for one in answers if 0.05 < one.share_positive[1] < 0.95]
    if unsure:
        lines.append(
            "up and down too the answer may vanish or turn round, at a spine of "
            + ", ".join(sorted({f"{one.choice.spine / INCH:.3f}" for one in unsure}))
            + " in: shoot before and after one move there as well"
        )
    lines.append(
        "sideways the direction is open until this bow has shown it: 'other way' is the "
        "share of plausible bows in which the bare shaft goes against the move"
    )
    return lines


def _which(point: float, length: float, answers: "list[SpineAnswer]") -> str:
    groups = {(one.choice.point_mass, one.choice.length): [one] for one in answers}
    return f" ({_curve_name(point, length, groups)})" if len(groups) > 1 else ""


def _draw(
    rig: "Rig", answers: "list[SpineAnswer]", units: UnitChoice, draws: int, file: Path
) -> None:
    import numpy as np

    from vireton.bands import Banded
    from vireton.plots import SpineCurve, save, spine_figure
    from vireton_cli.drawing import shift_band

    def stacked(values: "list[Banded]") -> Banded:
        return Banded(*(np.array([getattr(one, e) for one in values]) for e in _ENDS))

    groups: dict[tuple[float, float], list[SpineAnswer]] = {}
    for one in answers:
        groups.setdefault((one.choice.point_mass, one.choice.length), []).append(one)
    curves = []
    for (point, length), some in groups.items():
        some.sort(key=lambda one: one.choice.spine)
        curves.append(
            SpineCurve(
                label=_curve_name(point, length, groups),
                spine=np.array([one.choice.spine for one in some]),
                yaw_rate=shift_band(stacked([one.yaw_rate for one in some])),
                separation=shift_band(stacked([one.separation for one in some])),
            )
        )
    figure = spine_figure(
        curves,
        system=units.value,
        title=f"{rig.bow.name}: the answer to a rest move by spine",
        band=f"5th to 95th percentile of {draws} plausible bows",
    )
    save(figure, file)
