"""Which uncertain input moves the separation of bare and fletched, and how far (demo bow)."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from vireton.flight.flight import Conditions
from vireton.kernel.arrays import FloatArray
from vireton.plots.style import (
    FAINT,
    INK,
    NORMAL,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    PAPER,
    SMALL,
    foot,
    head,
    our_look,
)
from vireton.published.checks import CaseData
from vireton.rig import Rig, assemble_rig, vary
from vireton.setup import load_setup
from vireton.uncertain import BAND_SHARE, latin_hypercube
from vireton.uncertain.inputs import words_of
from vireton.units.numbers import INCH

DEMO = Path(__file__).parent.parent.parent / "examples" / "mill_bow.toml"
YARD = 0.9144

#: The two moves, their axis in (right, up), and what the ends of the scale mean.
MOVES = (("up", "bare low", "bare high"), ("right", "bare left", "bare right"))

#: Plain words, size of the unit in SI, unit.
WORDS = {
    "rest_lets_go": ("rest lets go", 0.01, "% of stroke"),
    "string_mass": ("string's mass", 1e-3, "g"),
    "cam_stiffness": ("sideways spring of the cams", 1000.0, "N/mm"),
    "arrow_speed": ("arrow's speed", 0.3048, "fps"),
    "rest_stiffness": ("rest's stiffness", 1e3, "N/mm"),
    "shaft_damping": ("shaft's damping", 0.01, "%"),
    "shaft_stiffness": ("shaft's stiffness", 0.01, "%"),
    "crossflow_drag": ("drag across shaft", 0.01, "%"),
    "crossflow_growth": ("growth of drag across shaft", 0.01, "%"),
    "friction_across": ("friction across shaft", 0.01, "%"),
    "vane_lift": ("lift of vanes", 0.01, "%"),
    "vortex_lift": ("vortices at vanes", 0.01, "%"),
    "boundary_layer": ("slow air over vanes", 0.01, "%"),
    "friction": ("skin friction", 0.01, "%"),
    "point_lift": ("lift of point", 0.01, "%"),
    "transition": ("onset of turbulence", 0.01, "%"),
    "cam_mass": ("mass of the cams", 1e-3, "g"),
    "draw_force_rise": ("rise of the draw force", 0.01, "% of stroke"),
    "brace_tension": ("string's tension near brace", 0.01, "%"),
}


@dataclass(frozen=True)
class Alone:
    """What one input does alone, the others at their own values.

    Arrays hold the separation, in, by (move, distance): ``ends`` (2, 2, 2) at the low and the high
    end of the range, ``least`` and ``most`` (2, 2) met on the way, ``variance`` (2, 2) in² over a
    uniform range.
    """

    ends: FloatArray
    least: FloatArray
    most: FloatArray
    variance: FloatArray


@dataclass(frozen=True)
class Answer:
    """``nominal`` (2, 2) in; ``alone`` by input; ``together`` (draws, 2, 2) in."""

    ranges: Mapping[str, tuple[float, float]]
    nominal: FloatArray
    alone: dict[str, Alone]
    together: FloatArray


def separation(rig: Rig, move: float, distances: FloatArray) -> FloatArray:
    """Bare minus fletched after each move, along it: (move, distance), in."""
    found = []
    for axis, _, _ in MOVES:
        bare = rig.shoot(rig.bare, distances, **{axis: move})
        fletched = rig.shoot(rig.fletched, distances, **{axis: move})
        found.append((getattr(bare, axis) - getattr(fletched, axis)) / INCH)
    return np.array(found)


@cache
def answer(move: float, yards: tuple[float, ...], draws: int, seed: int, nodes: int) -> Answer:
    """Everything that checks and figure need, worked out once."""
    setup = load_setup(DEMO)
    rig = assemble_rig(setup.bow, setup.parts, Conditions(setup.air), setup.sight)
    away = np.array(yards) * YARD

    def apart(values: dict[str, float]) -> FloatArray:
        return separation(vary(rig, values), move, away)

    place, weight = np.polynomial.legendre.leggauss(nodes)
    alone = {}
    for name, (low, high) in setup.uncertainty.items():
        middle, half = 0.5 * (low + high), 0.5 * (high - low)
        inside = np.array([apart({name: middle + half * float(one)}) for one in place])
        ends = np.array([apart({name: low}), apart({name: high})])
        everywhere = np.concatenate([ends, inside])
        mean = np.tensordot(0.5 * weight, inside, 1)
        alone[name] = Alone(
            ends=ends,
            least=everywhere.min(axis=0),
            most=everywhere.max(axis=0),
            variance=np.tensordot(0.5 * weight, (inside - mean) ** 2, 1),
        )
    drawn = latin_hypercube(setup.uncertainty, draws, seed)
    together = np.array([apart(values) for values in drawn])
    return Answer(setup.uncertainty, separation(rig, move, away), alone, together)


def _answer(data: CaseData) -> Answer:
    given = data.data
    yards = tuple(given["distances_yards"])
    move = given["move_inches"] * INCH
    return answer(move, yards, given["draws"], given["seed"], given["nodes"])


def reproduce(data: CaseData) -> dict[str, float]:
    found = _answer(data)
    variances = np.array([one.variance for one in found.alone.values()])
    summed = variances.sum(axis=0)
    alone = summed / found.together.var(axis=0)
    five = np.sort(variances, axis=0)[-5:].sum(axis=0) / summed
    ours = {}
    for i, (axis, _, _) in enumerate(MOVES):
        for j, yards in enumerate(data.data["distances_yards"]):
            ours[f"alone_{axis}_{yards:.0f}"] = float(alone[i, j])
        ours[f"five_{axis}"] = float(five[i].min())
    return ours


def figures(data: CaseData) -> dict[str, Figure]:
    """A bar for each input, as long as it moves the separation: rest up above, right below."""
    found = _answer(data)
    yards = data.data["distances_yards"]
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, PAGE_HEIGHT))
        top = head(
            figure,
            "Which numbers decide the separation of bare and fletched",
            "Demo bow (invented), bare minus fletched after the rest moved by 1/32 in. A bar: what "
            "one input alone makes of it over its plausible range, ○ at the range's low end, ● at "
            "its high end. Solid line: the setup's own numbers. Hatched: all inputs drawn at once, "
            f"{BAND_SHARE:.0%} of {data.data['draws']} draws. Longest at {yards[0]:.0f} yd first.",
        )
        bottom = foot(
            figure,
            [
                "↔ Sideways the sizes are the model's; the side is open until a bow has shown it.",
                "% of stroke: of the way from full draw to nock release. Other %: of the model's "
                "best estimate, the shaft's damping of critical.",
            ],
        )
        grid = figure.add_gridspec(
            2, 2, left=0.335, right=0.97, top=top - 0.035, bottom=bottom + 0.055,
            hspace=0.27, wspace=0.09,
        )  # fmt: skip
        for i in range(len(MOVES)):
            order = _longest_first(found, i)
            for j in range(len(yards)):
                axes = figure.add_subplot(grid[i, j])
                _draw_panel(axes, found, order, i, j)
                axes.set_title(_title(i, yards[j]), loc="left", fontsize=NORMAL)
    return {"sensitivity": figure}


def _longest_first(found: Answer, move: int) -> list[str]:
    length = {name: one.most[move, 0] - one.least[move, 0] for name, one in found.alone.items()}
    return sorted(length, key=lambda name: -float(length[name]))


def _title(move: int, yards: float) -> str:
    axis = MOVES[move][0]
    return f"Rest 1/32 in {axis}, {yards:.0f} yd{' ↔' if axis == 'right' else ''}"


def _label(name: str, low: float, high: float) -> str:
    words, size, unit = WORDS.get(name, (words_of(name), 1.0, ""))
    return f"{words}, {low / size:.3g}–{high / size:.3g} {unit}".rstrip()


def _draw_panel(axes: Axes, found: Answer, order: list[str], i: int, j: int) -> None:
    low, high = np.percentile(
        found.together[:, i, j], [50.0 * (1.0 - BAND_SHARE), 50.0 * (1.0 + BAND_SHARE)]
    )
    axes.use_sticky_edges = False  # no bar ends on the frame
    axes.barh(
        0.0, high - low, left=low, height=0.62, facecolor=PAPER, edgecolor=INK,
        hatch="////", linewidth=0.9,
    )  # fmt: skip
    for row, name in enumerate(order, start=1):
        one = found.alone[name]
        least, most = one.least[i, j], one.most[i, j]
        axes.barh(
            row, most - least, left=least, height=0.5, facecolor="#d5dadd", edgecolor=INK,
            linewidth=0.9,
        )  # fmt: skip
        for end, fill, size in ((0, PAPER, 6.0), (1, INK, 3.4)):  # one is seen round the other
            axes.plot(
                one.ends[end, i, j], row, "o", markersize=size, markerfacecolor=fill,
                markeredgecolor=INK, markeredgewidth=0.9, zorder=4.0, clip_on=False,
            )  # fmt: skip
    axes.axvline(found.nominal[i, j], color=INK, linewidth=1.0, zorder=0.8)
    axes.axvline(0.0, color=FAINT, linewidth=1.0, dashes=(3.0, 2.0), zorder=0.7)
    axes.set_ylim(len(order) + 0.6, -0.6)
    axes.grid(True, axis="x")
    axes.tick_params(axis="y", length=0.0)
    names = ["all at once", *(_label(name, *found.ranges[name]) for name in order)]
    axes.set_yticks(range(len(names)), names if j == 0 else [""] * len(names))
    axes.set_xlabel(f"← {MOVES[i][1]}   (in)   {MOVES[i][2]} →", fontsize=SMALL)
