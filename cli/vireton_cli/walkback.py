"""``vireton walkback``: which cause explains the walk-back points."""

import json
import math
from typing import TYPE_CHECKING

import typer

from vireton.units.numbers import MPH
from vireton_cli import options
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from vireton.tuning.walkback import WalkbackCauses

EXAMPLE = "Example: vireton walkback examples/mill_log.toml"


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
    from vireton.answers.walkback import walkback_of, walkback_points
    from vireton.job import read_log
    from vireton_cli.shooting import say_if_first_run, warn

    options.check_plot(plot)
    read = read_log(log)
    walkback_points(read)  # refused before the flights are compiled
    say_if_first_run()
    found = walkback_of(read)
    warn(found.cautions)
    if plot is not None:
        from vireton.plots import save

        save(found.figure(units.value), plot)
    if as_json:
        typer.echo(json.dumps(found.to_dict(), indent=2, allow_nan=False))
        return
    _print(found.answer, units)


def _print(answer: "WalkbackCauses", units: UnitChoice) -> None:
    from vireton.bow.cautions import SHOOTING, SHOOTING_BARE
    from vireton.tuning.walkback import CAUSES
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
        table.add_row(CAUSES[name], share, _size(answer, name), *cells)
    seen = [f"{float(x) / shown.small_size:+.1f}" for x in answer.seen]
    table.add_row(f"seen, {shown.small} right", "", "", *seen)
    out.print(table)
    say(out, [SHOOTING_BARE if answer.verdict == "yaw_rate" else SHOOTING])


def _size(answer: "WalkbackCauses", name: str) -> str:
    if name not in answer.sizes:
        return ""
    value, sd = answer.sizes[name]
    match name:
        case "windage":
            return f"{value * 1e3:+.1f} ± {sd * 1e3:.1f} mrad"
        case "cant":
            return f"{math.degrees(value):+.1f} ± {math.degrees(sd):.1f} °"
        case "wind":
            return f"{value / MPH:+.0f} ± {sd / MPH:.0f} mph to the right"
        case _:
            return f"{value:+.2f} ± {sd:.2f} rad/s"
