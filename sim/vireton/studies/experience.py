"""Plausible bows weighed by the trade's experience."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from vireton.bow.arrow import Arrow
from vireton.bow.bow import Sight
from vireton.flight.flight import Wind, fly
from vireton.flight.volley import Aim
from vireton.kernel.arrays import FloatArray
from vireton.launch import Launch
from vireton.rig import Rig, vary
from vireton.uncertain import DEFAULT_DRAWS, DEFAULT_SEED, latin_hypercube
from vireton.uncertain.experience import Experience
from vireton.uncertain.weights import (
    WeighedDraws,
    by_classes,
    carried,
    classes_of,
    effective_number,
    tilt,
)
from vireton.units.numbers import INCH, YARD

#: Draws that must be left, by their effective number (our choice).
LEAST_EFFECTIVE = 60

_MOST_BATCHES = 6
_NEXT_SEED = 7919
_MOVE = INCH / 32.0
_AT = 20.0 * YARD
_STEPS = (0.1, 1e-3, 1e-3)  # rad/s, rad, rad


def weigh(
    rig: Rig,
    ranges: Mapping[str, tuple[float, float]],
    experience: Experience | None = None,
    *,
    draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
) -> WeighedDraws:
    """Draw plausible bows and weigh them by the trade's rules for this rig's own arrow.

    Args:
        rig: the nominal one.
        ranges: plausible low and high by the keys of the uncertain inputs, SI.
        experience: how often the rules hold; without it the rig's own.
        draws: at least so many; more follow, each batch a Latin hypercube of its own, until
            :data:`LEAST_EFFECTIVE` (or this many, if fewer) are left.
        seed: of the draws.

    Where the bow was measured the weights are those of bows like it that nobody has measured (the
    experience's ``crowd``): a draw counts as its class does there.

    Where no draw, or every draw, follows the sideways rule there is nothing to weigh; where so few
    are on one side that they cannot carry the share, it stops short: ``share_after`` tells. A shaft
    that is taken as rigid is not weighed: what decides the side is not in it.
    """
    given = rig.experience if experience is None else experience
    if given.crowd is not None:
        return _measured(rig, ranges, given, draws, seed)
    level = _level(rig)
    slopes = _both_slopes(level)
    least = min(LEAST_EFFECTIVE, draws) - 1e-6
    values: list[dict[str, float]] = []
    opened: list[FloatArray] = []
    count = draws
    for batch in range(_MOST_BATCHES):
        fresh = latin_hypercube(ranges, count, seed + _NEXT_SEED * batch)
        values += fresh
        opened += [_opened(vary(level, one), slopes) for one in fresh]
        follows = _follows(opened)
        wanted = _wanted(follows, given) if rig.bends else (None, None)
        left = effective_number(tilt(follows, wanted))
        if left >= least:
            break
        # as many as would do if the next were like these, and some more
        missing = 1.1 * (least / left - 1.0) * len(values)
        count = int(np.clip(np.ceil(missing), 0.25 * draws, 2.0 * draws))
    weights = carried(follows, wanted, least)
    return _weighed(values, follows, weights)


def _weighed(
    values: list[dict[str, float]],
    follows: npt.NDArray[np.bool_],
    weights: FloatArray,
    crowd: WeighedDraws | None = None,
) -> WeighedDraws:
    before, after = follows.mean(axis=0), weights @ follows
    return WeighedDraws(
        values,
        weights,
        effective_number(weights),
        float(before[0]),
        float(after[0]),
        float(before[1]),
        float(after[1]),
        classes_of(follows, weights) if crowd is None else crowd.classes,
        None if crowd is None else crowd.share_after,
    )


def _measured(
    rig: Rig, ranges: Mapping[str, tuple[float, float]], given: Experience, draws: int, seed: int
) -> WeighedDraws:
    """Draws of a bow that was measured, weighed as those of bows like it that were not."""
    assert given.crowd is not None
    crowd = weigh(rig, given.crowd, replace(given, crowd=None), draws=draws, seed=seed)
    level = _level(rig)
    slopes = _both_slopes(level)
    values = latin_hypercube(ranges, draws, seed)
    follows = _follows([_opened(vary(level, one), slopes) for one in values])
    return _weighed(values, follows, by_classes(follows, crowd.classes), crowd)


def _wanted(follows: npt.NDArray[np.bool_], given: Experience) -> tuple[float | None, float | None]:
    up = given.up
    if up is not None and follows[:, 1].mean() >= up:
        up = None  # at least
    return given.sideways, up


def _level(rig: Rig) -> Rig:
    return replace(
        rig, sight=Sight(None, 0.0), conditions=replace(rig.conditions, wind=Wind(), slope=0.0)
    )


def _both_slopes(level: Rig) -> tuple[FloatArray, ...]:
    return tuple(_slopes(level, arrow) for arrow in (level.bare, level.fletched))


def _follows(opened: list[FloatArray]) -> npt.NDArray[np.bool_]:
    """(n, 2) whether each follows the rule sideways, and the one up and down."""
    return np.asarray(np.array(opened) * (-1.0, 1.0) > 0.0)


def _slopes(rig: Rig, arrow: Arrow) -> FloatArray:
    """(3, 2): impact at 20 yd (right, up) m by turning (rad/s), yaw or pitch, and direction (rad).

    By differences, with the setup's own air and arrow: what differs from draw to draw there does
    not turn a sign round.
    """
    start = rig.launch(arrow)

    def impact(launch: Launch) -> FloatArray:
        flight = fly(
            arrow, launch, rig.conditions, [_AT], aim=Aim(), brace_height=rig.bow.brace_height
        )
        return np.array([flight.right[0], flight.up[0]])

    slopes = np.empty((3, 2))
    for axis, names in enumerate(
        (("yaw_rate", "yaw", "direction_right"), ("pitch_rate", "pitch", "direction_up"))
    ):
        for row, (name, step) in enumerate(zip(names, _STEPS, strict=True)):
            moved = [
                impact(replace(start, **{name: getattr(start, name) + sign * step}))[axis]
                for sign in (1.0, -1.0)
            ]
            slopes[row, axis] = (moved[0] - moved[1]) / (2.0 * step)
    return slopes


def _opened(rig: Rig, slopes: tuple[FloatArray, ...]) -> FloatArray:
    """(2,) m: what a 32nd in of rest right, and up, adds to bare minus fletched at 20 yd.

    Up and down both arrows take the fletched one's launch, from which the bare shaft's differs by
    less than a tenth there: launches are what costs.
    """
    bare, fletched = slopes
    moved = rig.launch(rig.fletched, _MOVE, _MOVE).by_axis - rig.launch(rig.fletched).by_axis
    own = rig.launch(rig.bare, _MOVE).by_axis - rig.launch(rig.bare).by_axis
    right = own[0] @ bare[:, 0] - moved[0] @ fletched[:, 0]
    return np.array([right, moved[1] @ (bare - fletched)[:, 1]])
