"""Say what launch and flight now answer to a rest move, beside what they answered in 0.1.0.

Run:  python validation/launch_and_flight.py

Both demo bows (invented). Writes launch_and_flight.md beside itself, in a minute; asserts nothing.
"""

from pathlib import Path

import numpy as np

from vireton.flight.flight import Conditions
from vireton.rig import Rig, assemble_rig
from vireton.setup import load_setup
from vireton.studies.experience import weigh
from vireton.studies.rest_moves import RestMove, answer_rest_moves
from vireton.studies.spine import SpineAnswer, answer_spine, shaft_choices
from vireton.tuning.causes import correlation, launch_errors, resampled, tear_tells
from vireton.uncertain import Banded
from vireton.units.numbers import FOOT, INCH, YARD, percent

HERE = Path(__file__).parent
EXAMPLES = HERE.parent / "examples"
SPINES = (0.250, 0.300, 0.340, 0.400, 0.500)
YARDS = (20.0, 40.0, 60.0)
DRAWS, ALIKE = 256, 64
MOVE, READING = INCH / 16.0, INCH / 16.0
HEADS = [
    *("spine, in", "right, 0.1.0", "right: nose right, rad/s", "up, 0.1.0", "up: nose up, rad/s"),
    *("sideways rule, 0.1.0", "sideways rule, alone → weighed"),
    "rule up and down, alone → weighed",
]

#: *Mill bow* in 0.1.0, handed down and not worked out here: rate by the setup's own numbers, and
#: the share of draws that followed the sideways rule. A dash: not handed down.
BEFORE_RIGHT = {
    0.300: ("+0.2", "2 %"),
    0.340: ("+0.10", "8 %"),
    0.400: ("+0.02", "24 %"),
    0.500: ("-0.13", "53 %"),
}
BEFORE_UP = {0.300: "+0.19", 0.340: "+0.168", 0.400: "+0.14", 0.500: "+0.10"}
BEFORE_APART = {
    ("mill", "right"): ("+0.55 (-0.08…+3.13)", "–", "–"),
    ("mill", "up"): ("+0.93", "+5.97", "+11.5"),
    ("orchard", "up"): ("+0.66", "+4.21", "+8.1"),
}


def banded(one: Banded, size: float, digits: int) -> str:
    """``+0.75 (+0.63…+1.03)``."""
    middle, low, high = (float(end) / size for end in (one.nominal, one.low, one.high))
    return f"{middle:+.{digits}f} ({low:+.{digits}f}…{high:+.{digits}f})"


def table(heads: list[str], rows: list[list[str]]) -> list[str]:
    """Markdown, with an empty line behind."""
    return [
        f"| {' | '.join(heads)} |",
        "|" + "---|" * len(heads),
        *(f"| {' | '.join(row)} |" for row in rows),
        "",
    ]


def gains(name: str, shafts: list[SpineAnswer]) -> list[str]:
    """Turning of the nose for one 32nd in of rest, and the share that follows each rule."""
    rows = []
    for spine, one in zip(SPINES, shafts, strict=True):
        rate, share = BEFORE_RIGHT.get(spine, ("–", "–")) if name == "mill" else ("–", "–")
        up = BEFORE_UP.get(spine, "–") if name == "mill" else "–"
        alone, weighed = one.share_positive_before, one.share_positive
        rules = [
            f"{percent(1.0 - alone[0])} → {percent(1.0 - weighed[0])}",
            f"{percent(alone[1])} → {percent(weighed[1])}",
        ]
        turns = [rate, banded(one.yaw_rate[0], 1.0, 2), up, banded(one.yaw_rate[1], 1.0, 3)]
        rows.append([f"{spine:.3f}", *turns, share, *rules])
    return table(HEADS, rows)


def apart(name: str, right: RestMove, up: RestMove) -> list[str]:
    """Change of bare minus fletched for 1/16 in of rest."""
    rows = []
    for axis, (side, move) in enumerate((("right", right), ("up", up))):
        before = BEFORE_APART.get((name, side), ("–",) * 3)
        for i, yards in enumerate(YARDS):
            change = move.separation_change[i, axis]
            rows.append([side, f"{yards:.0f} yd", before[i], banded(change, INCH, 2)])
    return table(["rest 1/16 in", "at", "0.1.0, in", "now, in"], rows)


def tear(rig: Rig, bows: list[dict[str, float]], weights: np.ndarray) -> list[str]:
    """What one bare tear at 6 ft says of the separation at 20 yd."""
    errors = launch_errors(rig, resampled(bows, weights, ALIKE))
    tied = correlation(errors[:, :2, :2])[:, 0, 1]
    told = tear_tells(rig, errors, READING, 6.0 * FOOT) / INCH
    rows = [
        [side, f"{tied[axis]:+.2f}", f"{told[axis, 0]:.2f} in", f"{told[axis, 1]:.2f} in"]
        for axis, side in enumerate(("sideways", "up and down"))
    ]
    return table(["", "rate with angle", "unknown before (SD)", "unknown after (SD)"], rows)


def main() -> None:
    """Ask the library and write the page."""
    lines = [
        "# What launch and flight answer to a rest move",
        "",
        "Written by `python validation/launch_and_flight.py`. In brackets: 9 of 10 of "
        f"{DRAWS} plausible bows or more, weighed by the trade's experience. Columns of 0.1.0 are "
        "handed down, not worked out anew (*Mill bow*). The sideways rule: rest right brings "
        "back a bare shaft that lands right (common practice, no source). Up and down: rest up "
        "raises the bare shaft. Drag against published points: [REPORT.md](REPORT.md).",
        "",
    ]
    for name in ("mill", "orchard"):
        setup = load_setup(EXAMPLES / f"{name}_bow.toml")
        rig = assemble_rig(setup.bow, setup.parts, Conditions(setup.air), setup.sight)
        ranges, own = setup.uncertainty, setup.parts.shaft.spine_deflection or 0.0
        weighed = weigh(rig, ranges, draws=DRAWS)
        shafts = shaft_choices(setup.parts, [spine * INCH for spine in SPINES], (), ())
        moves = answer_rest_moves(
            rig, [(MOVE, 0.0), (0.0, MOVE)], np.array(YARDS) * YARD, ranges,
            paper=6.0 * FOOT, draws=DRAWS,
        )  # fmt: skip
        lines += [
            f"## {setup.bow.name}, {setup.parts.name}",
            "",
            f"The setup's own shaft has a spine of {own / INCH:.3f}"
            f" in; {len(weighed.values)} draws, weighed worth {weighed.effective:.0f} equal ones.",
            "",
            "For one 32nd in of rest:",
            "",
            *gains(name, answer_spine(rig, shafts, ranges, draws=DRAWS)),
            "Change of bare minus fletched:",
            "",
            *apart(name, *moves),
            "Launch errors from their causes, and what one bare tear at 6 ft, read to 1/16 in "
            "(SD), then says of bare minus fletched at 20 yd:",
            "",
            *tear(rig, weighed.values, weighed.weights),
        ]
    (HERE / "launch_and_flight.md").write_text("\n".join(lines).rstrip() + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
