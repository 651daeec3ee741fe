"""``vireton walkback``: which cause explains the walk-back points."""

import json
import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from vireton.tuning.walkback import WalkbackAnswer

EXAMPLE = "Example: vireton walkback examples/mill_log.toml"

_NAMES = {
    "nothing": "nothing but scatter",
    "windage": "sight windage",
    "cant": "cant of the bow or sight",
    "wind": "crosswind",
    "yaw_rate": "yaw rate at the launch",
}


def walkback(
    log: options.LogFile,
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
    plot: options.Plot = None,
) -> None:
    """Weigh sight windage, cant, wind, yaw rate and scatter against the walk-back points.

    Windage grows with distance, cant with the drop, wind with the arrow's lag; a small yaw of a
    fletched arrow hides behind the others, which is why a bare shaft tells it and walk-back cannot.
    """
    from vireton.log import read_log
    from vireton.observations import Group, WalkbackPoint
    from vireton.problems import InputProblem, named
    from vireton.setup import load_setup
    from vireton.spread import pooled_spread
    from vireton.tuning.walkback import read_walkback
    from vireton_cli.shooting import say_if_first_run
    from vireton_cli.tuning import rig_of

    options.check_plot(plot)
    read = read_log(log)
    seen = [one for r in read.rounds.counting for one in r.observations]
    points = [one for one in seen if isinstance(one, WalkbackPoint)]
    apart = len({point.distance for point in points})
    if apart < 2:
        raise InputProblem(
            f"{named(log)}: walk-back needs points at two distances or more, it has {apart}. Add "
            'them with vireton record LOG --walkback "20yd 0.1in, 40yd 0.4in"'
        )
    setup = load_setup(read.setup_path)
    say_if_first_run()
    spread = pooled_spread([one for one in seen if isinstance(one, Group)])
    answer = read_walkback(rig_of(setup), points, spread.sd)
    if plot is not None:
        _draw(answer, spread.sd, units, plot)
    if as_json:
        typer.echo(json.dumps(_json(answer), indent=2, allow_nan=False))
        return
    _print(answer, units)


def _json(answer: "WalkbackAnswer") -> dict[str, Any]:
    from vireton_cli.showing import INCH, YARD, number

    return {
        "schema": 1,
        "verdict": answer.verdict,
        "words": answer.words,
        "probabilities": {k: number(v) for k, v in answer.probabilities.items()},
        "sizes": {k: {"value": number(v), "sd": number(sd)} for k, (v, sd) in answer.sizes.items()},
        "points": [
            {"distance_yd": number(d / YARD), "right_in": number(x / INCH)}
            for d, x in zip(answer.distances, answer.seen, strict=True)
        ],
    }


def _print(answer: "WalkbackAnswer", units: UnitChoice) -> None:
    from vireton_cli.showing import percent, system
    from vireton_cli.tables import console, make_table, say

    shown = system(units)
    out = console()
    say(out, [f"walk-back: {answer.words}"])
    order = sorted(answer.probabilities, key=lambda k: -answer.probabilities[k])
    table = make_table("", ["cause", "probability", "if it is that one", *(
        shown.distance(float(d)) for d in answer.distances)])  # fmt: skip
    table.columns[0].justify = "left"
    for name in order:
        curve = answer.curves.get(name)
        cells = [""] * answer.distances.size
        if curve is not None:
            cells = [f"{float(x) / shown.small_size:+.1f}" for x in curve]
        share = percent(answer.probabilities[name])
        table.add_row(_NAMES[name], share, _size(answer, name), *cells)
    seen = [f"{float(x) / shown.small_size:+.1f}" for x in answer.seen]
    table.add_row(f"seen, {shown.small} right", "", "", *seen)
    out.print(table)


def _size(answer: "WalkbackAnswer", name: str) -> str:
    if name not in answer.sizes:
        return ""
    value, sd = answer.sizes[name]
    match name:
        case "windage":
            return f"{value * 1e3:+.1f} ± {sd * 1e3:.1f} mrad"
        case "cant":
            return f"{math.degrees(value):+.1f} ± {math.degrees(sd):.1f} °"
        case "wind":
            return f"{value / 0.44704:+.0f} ± {sd / 0.44704:.0f} mph to the right"
        case _:
            return f"{value:+.2f} ± {sd:.2f} rad/s"


def _draw(answer: "WalkbackAnswer", spread_angle: float, units: UnitChoice, file: Path) -> None:
    from vireton.plots import save
    from vireton.plots.walkback import walkback_figure
    from vireton_cli.showing import percent

    curves = {
        f"{_NAMES[name]}, {percent(answer.probabilities[name])}": line
        for name, line in answer.curves.items()
    }
    figure = walkback_figure(
        answer.distances,
        answer.seen,
        spread_angle * answer.distances,
        curves,
        system=units.value,
        title=f"Walk-back: {answer.words}",
    )
    save(figure, file)
