"""The page of ``measured.py``: what each measurement buys on the demo bows, and bows played."""

import math
from collections.abc import Sequence
from pathlib import Path

from vireton.answers.shot import rig_for
from vireton.launch.draw_force import brace_stiffness, plucked_note
from vireton.setup import Setup, parse_setup
from vireton.studies import measuring
from vireton.studies.measuring import MOVE, worth_of_measuring
from vireton.studies.rest_moves import TALKING_DISTANCE, answer_rest_moves
from vireton.uncertain.measurements import measurement
from vireton.units.numbers import INCH

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
BOWS = (("Mill bow", "mill_bow"), ("Orchard bow", "orchard_bow"))
DRAWS = 128

HEAD = """# What measuring at the bench buys

Written by `python validation/tuning/measured.py page FOLDER`. Bows and readings are invented; what
a measurement tells, its errors and minutes are rows of `vireton/uncertain/measurements.py`.

**What was expected, and what came.** An estimate from before the draw force and the string's
tension near brace had ranges of their own said that push test, string, let-go within 5 points and
the own spine take the sideways band of the *Mill bow* at 20 yd per 1/16 in from -0.08…3.13 in to
-0.12…+0.08: 0.2 in wide. With those two ranges in, the band is narrower to begin with, 1.4 in,
and the four leave 0.65 in. Were draw force and tension in the shot known as well, 0.24 in would be
left: the estimate was right about what it looked at. What stays open is the tension in the shot,
where the string stops the cams: nothing at rest reads it.

**What it does to a tuning.** Little on most bows: a move with a tear behind it tells how the bow
answers as well, and the median stays at five arrows. The push test alone saves none that could be
told from chance; with string, let-go and spine the long runs get shorter, and the mean falls by
some three arrows, not quite clear of chance either. At half an arrow a minute the adviser therefore
goes on shooting; see `[costs]`.

"""


def _readings(setup: Setup) -> dict[str, list[str]]:
    """Readings of a bow that is just what its setup file says, by measurement."""
    bow, parts = setup.bow, setup.parts
    weight = 5.0 * 4.4482216152605
    cams, string = weight / bow.cam_stiffness, weight / brace_stiffness(bow)
    span = min(28.0, 0.95 * parts.shaft.length / INCH)
    spine = (parts.shaft.spine_deflection or math.nan) * (span / 28.0) ** 3
    mass = bow.string_mass / 0.8
    return {
        "push": [
            'push.weight = "5 lbf"',
            f'push.nock = "{(cams + string) / INCH:.4f} in"',
            f'push.cams = "{cams / INCH:.4f} in"',
        ],
        "string_mass": [f'string_mass = "{1e3 * bow.string_mass:.3f} g"'],
        "lets_go": [f'lets_go = "{100.0 * bow.rest.lets_go:.2f} % ± 5 %"'],
        "own_spine": [
            f'own_spine.deflection = "{spine / INCH:.5f} in"',
            f'own_spine.span = "{span:.4f} in"',
        ],
        "note": [
            f'note.frequency = "{plucked_note(bow, 0.8, mass):.2f} Hz"',
            'note.free_length = "0.8 m"',
            f'note.mass_per_length = "{1e3 * mass:.3f} g/m"',
        ],
    }


def _bands(setup: Setup, more: dict[str, tuple[float, float]] | None = None) -> tuple[str, ...]:
    rig = rig_for(setup)
    ranges = setup.uncertainty | (more or {})
    right, up = answer_rest_moves(
        rig, [(MOVE, 0.0), (0.0, MOVE)], [TALKING_DISTANCE], ranges, paper=2.0, draws=DRAWS
    )
    found = []
    for axis, one in enumerate((right, up)):
        low, high = (
            float(getattr(one.separation_change, end)[0, axis]) / INCH for end in ("low", "high")
        )
        found += [f"{low:+.2f}…{high:+.2f}", f"{high - low:.2f}"]
    return tuple(found)


FOUR = ("push", "string_mass", "lets_go", "own_spine")


def _narrowed(name: str, file: str) -> list[str]:
    """Bands of a bow that reads just what its setup file says."""
    text = (EXAMPLES / f"{file}.toml").read_text(encoding="utf-8")
    plain = parse_setup(text)
    readings = _readings(plain)
    ways = [(), *((key,) for key in readings), FOUR, tuple(readings)]
    lines = []
    for keys in ways:
        lines_of = [line for key in keys for line in readings[key]]
        setup = parse_setup(text + ("\n[measured]\n" + "\n".join(lines_of) if keys else ""))
        assert not setup.odd, setup.odd
        said = ", ".join(measurement(key).words for key in keys) or "nothing"
        lines.append(f"| {name} | {said} | {' | '.join(_bands(setup))} |")
        held = {
            (*readings,): ("and the tension in the shot", ("brace_tension",)),
            FOUR: ("and draw force and tension in the shot", ("brace_tension", "draw_force_rise")),
        }
        if keys in held:
            words, known = held[keys]
            own = (setup.bow.brace_tension, setup.bow.draw_curve.rise)
            middle = dict(zip(("brace_tension", "draw_force_rise"), own, strict=True))
            rows = _bands(setup, {key: (0.99 * middle[key], 1.01 * middle[key]) for key in known})
            lines.append(f"| {name} | {words}, if they were known | {' | '.join(rows)} |")
    return lines


def _expected(name: str, file: str) -> list[str]:
    setup = parse_setup((EXAMPLES / f"{file}.toml").read_text(encoding="utf-8"))
    found = worth_of_measuring(rig_for(setup), setup.uncertainty, draws=DRAWS)
    lines = []
    for one in (*found.alone, *found.together):
        words = ", ".join(measurement(key).words for key in one.keys)
        width = found.width(one) / INCH
        shares = [f"{100.0 * min(1.0, float(left)):.0f} %" for left in one.left]
        lines.append(
            f"| {name} | {words} | {one.minutes:.0f} | {width[0]:.2f} ({shares[0]}) | "
            f"{width[1]:.2f} ({shares[1]}) |"
        )
    return lines


def page(played: Sequence[str]) -> str:
    """The whole page."""
    measuring.DRAWS, measuring.READINGS = 48, 6
    lines = [
        "## On a bow that reads just what its setup file says",
        "",
        f"What 1/16 in of rest adds to bare minus fletched at 20 yd, inches; 9 of 10 of {DRAWS} "
        "plausible bows or more.",
        "",
        "| bow | measured | by a move right | wide | by a move up | wide |",
        "|---|---|---|---|---|---|",
        *(line for bow in BOWS for line in _narrowed(*bow)),
        "",
        "## What to expect beforehand",
        "",
        "By `vireton measure`, with 48 draws narrowed for 6 made-up readings each: expected width "
        "of the same bands in inches, and of what it is now.",
        "",
        "| bow | measurement | minutes | sideways | up |",
        "|---|---|---|---|---|",
        *(line for bow in BOWS for line in _expected(*bow)),
        "",
        "## Bows tuned with and without",
        "",
        "Bows of the second launch model (PROTOCOL.md, truth `bent`), each played once a row by "
        "the same adviser, on seeds from 40000 on; nothing was chosen by looking at them. Readings "
        "are made up from the truth with the instruments' errors. Arrows count tears; what a "
        "measurement costs in minutes is not in them.",
        "",
        *played,
        "",
    ]
    return HEAD + "\n".join(lines)
