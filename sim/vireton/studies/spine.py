"""How the answer to a rest move changes with spine, point mass and length."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from vireton.bow.arrow import assemble, bending_stiffness
from vireton.bow.bow import Sight
from vireton.bow.parts import ArrowParts
from vireton.kernel.arrays import FloatArray
from vireton.launch import column_load_share
from vireton.rig import Rig, assemble_rig, vary
from vireton.studies.experience import weigh
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.uncertain import DEFAULT_DRAWS, DEFAULT_SEED, Banded, band, variance_shares
from vireton.uncertain.weights import WeighedDraws
from vireton.units.numbers import INCH
from vireton.units.problems import InputProblem

#: The move that all answers are for, m: one 32nd of an inch, small enough to be in proportion.
MOVE = INCH / 32.0

#: The string's largest push ÷ what would buckle the shaft, on ordinary bows with the shafts that
#: are usual on them (common practice, no source): 0.79 to 1.15 over the pairings of the tests.
USUAL_LOAD = (0.80, 1.15)


@dataclass(frozen=True)
class ShaftChoice:
    """One shaft of a sweep: static ``spine`` m, ``point_mass`` kg, ``length`` m (throat to end)."""

    spine: float
    point_mass: float
    length: float


@dataclass(frozen=True)
class SpineAnswer:
    """What one 32nd in of rest does with this shaft.

    Bands hold (2,) arrays (by a move to the right, by a move up): ``yaw_rate`` rad/s nose right or
    nose up, ``yaw`` rad, ``direction`` rad, and ``separation`` m, the change of bare minus fletched
    at 20 yd. ``share_positive`` (2,) is the share of draws in which the separation goes the way of
    the move, ``share_positive_before`` that by the launch model alone, ``draws`` their number,
    ``effective_draws`` how many equal draws the weighed ones are worth. ``load_share`` is the
    string's largest push ÷ the push that would buckle the shaft; :data:`USUAL_LOAD` holds what is
    usual. ``deciders`` tell which inputs decide the sideways separation. ``speed`` m/s of the
    fletched arrow.
    """

    choice: ShaftChoice
    speed: float
    yaw_rate: Banded
    yaw: Banded
    direction: Banded
    separation: Banded
    share_positive: FloatArray
    load_share: float
    deciders: dict[str, float]
    share_positive_before: FloatArray
    draws: int
    effective_draws: float


def shaft_choices(
    parts: ArrowParts,
    spines: Sequence[float],
    point_masses: Sequence[float],
    lengths: Sequence[float],
) -> list[ShaftChoice]:
    """Every pairing; an empty list stands for the arrow's own value.

    Raises InputProblem where the setup has no spine and none is given.
    """
    own = parts.shaft.spine_deflection
    if not spines and own is None:
        raise InputProblem("the setup file gives no arrow.shaft.spine: give --spine")
    return [
        ShaftChoice(spine, point, length)
        for length in (lengths or [parts.length])
        for point in (point_masses or [parts.point.mass])
        for spine in (spines or [own or 0.0])
    ]


def chosen_parts(parts: ArrowParts, choice: ShaftChoice) -> ArrowParts:
    """The arrow with this shaft. A measured mass or balance is of the old arrow and is dropped
    where point or length differ.
    """
    changed = choice.point_mass != parts.point.mass or choice.length != parts.length
    return replace(
        parts,
        length=choice.length,
        shaft=replace(
            parts.shaft,
            length=choice.length - parts.nock.throat_to_shaft,
            spine_deflection=choice.spine,
        ),
        point=replace(parts.point, mass=choice.point_mass),
        measured_mass=None if changed else parts.measured_mass,
        measured_balance=None if changed else parts.measured_balance,
    )


def answer_spine(
    rig: Rig,
    choices: Sequence[ShaftChoice],
    ranges: Mapping[str, tuple[float, float]],
    *,
    draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
    progress: Callable[[Sequence[ShaftChoice]], Iterable[ShaftChoice]] = iter,
) -> list[SpineAnswer]:
    """Work out each shaft on this bow.

    Args:
        rig: the bow with its own arrow, whose measured speed sets what the bow gives to others.
        choices: shafts, see :func:`shaft_choices`.
        ranges: plausible ranges; the arrow's speed follows from the bow and is not drawn.
        draws: plausible bows per shaft, at least. They are weighed by the trade's experience with
            the rig's own arrow, and keep their weights for every shaft: it is the bow that is
            likelier or not, and a weaker shaft on it follows the sideways rule more often.
        seed: of the draws; the same bows serve every shaft.
        progress: wraps the choices, to show how far the work is.
    """
    bows = {name: pair for name, pair in ranges.items() if name != "arrow_speed"}
    own = rig
    if rig.fletched.stiffness is None:  # nothing is known of it: the first choice's, then
        own = _shot_with(rig, choices[0])
    weighed = weigh(own, bows, draws=draws, seed=seed)
    return [_answer(rig, choice, weighed) for choice in progress(choices)]


def _shot_with(rig: Rig, choice: ShaftChoice) -> Rig:
    """The bow with another shaft; without a sight, which does not matter for what a move changes:
    measured from the bore line.
    """
    parts = chosen_parts(rig.fletched.parts, choice)
    speed = rig.stroke.speed_of(assemble(parts).mass)
    bow = replace(rig.bow, arrow_speed=speed, launch_model="flexible")
    return assemble_rig(bow, parts, rig.conditions, Sight(None, 0.0), experience=rig.experience)


def _answer(rig: Rig, choice: ShaftChoice, weighed: WeighedDraws) -> SpineAnswer:
    nominal = _shot_with(rig, choice)
    rigs = [nominal, *(vary(nominal, values) for values in weighed.values)]
    rows = np.array([_gains(one) for one in rigs])
    weights = weighed.weights
    yaw_rate, yaw, direction, separation = (
        band(rows[0, k], list(rows[1:, k]), weights) for k in range(4)
    )
    load = column_load_share(nominal.bow, nominal.stroke, nominal.fletched)
    follows = rows[1:, 3] > 0.0
    return SpineAnswer(
        choice=choice,
        speed=nominal.bow.arrow_speed,
        yaw_rate=yaw_rate,
        yaw=yaw,
        direction=direction,
        separation=separation,
        share_positive=weights @ follows,
        load_share=float("nan") if load is None else load,
        deciders=variance_shares(weighed.values, rows[1:, 3, 0], weights),
        share_positive_before=np.mean(follows, axis=0),
        draws=len(weighed.values),
        effective_draws=weighed.effective,
    )


def _gains(rig: Rig) -> FloatArray:
    """(4, 2): yaw rate, yaw, direction, separation; each by a move right and by a move up."""
    arrow, bare = rig.fletched, rig.bare
    start = rig.launch(arrow).by_axis
    turned = rig.launch(arrow, MOVE).by_axis[0] - start[0]
    lifted = rig.launch(arrow, 0.0, MOVE).by_axis[1] - start[1]

    def apart(move_right: float, move_up: float) -> FloatArray:
        shots = [rig.shoot(one, [TALKING_DISTANCE], move_right, move_up) for one in (bare, arrow)]
        return np.array([shots[0].right[0] - shots[1].right[0], shots[0].up[0] - shots[1].up[0]])

    before = apart(0.0, 0.0)
    separation = apart(MOVE, 0.0)[0] - before[0], apart(0.0, MOVE)[1] - before[1]
    return np.vstack([np.column_stack([turned, lifted]), separation])


def zero_crossings(answers: Sequence[SpineAnswer]) -> list[tuple[float, float, float]]:
    """Spines (m) at which the sideways yaw rate turns round, by straight lines between shafts.

    Returns:
        (spine, point mass, length) of each crossing; empty where the sign never changes.
    """
    found = []
    for one, other in pairwise(answers):
        a, b = float(one.yaw_rate.nominal[0]), float(other.yaw_rate.nominal[0])
        first, second = one.choice, other.choice
        same = (first.point_mass, first.length) == (second.point_mass, second.length)
        if same and a * b < 0.0:
            spine = first.spine + (second.spine - first.spine) * a / (a - b)
            found.append((spine, first.point_mass, first.length))
    return found


def stiffness_of(choice: ShaftChoice) -> float:
    """EI of the shaft, N·m²."""
    return bending_stiffness(choice.spine)
