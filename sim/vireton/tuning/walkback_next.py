"""The shots after a walk-back that would tell most of what is behind it.

Each is shot in thought, many times, by draws from what is believed; what then is believed follows
by weighing the other draws with what was seen. Worth is the probability of the right cause.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.tuning.observations import WalkbackPoint
from vireton.tuning.observations.group import CENTER_ERROR, MODEL_ERROR
from vireton.tuning.prior import BARE_BESIDE
from vireton.tuning.walkback_fit import Drawn
from vireton.tuning.walkback_lines import Lines
from vireton.units.numbers import YARD

Kind = Literal["farther", "nearer", "again", "level", "calm", "bare"]

ARROWS = 3  # of a new point, and of each kind for a bare shaft's (our choice)
_NEAR, _STEP, _FARTHEST = 10.0 * YARD, 20.0 * YARD, 100.0 * YARD
_TELLS = 0.02  # a gain below this is none
_TRUTHS, _OTHERS, _SEED = 250, 1500, 11


@dataclass(frozen=True)
class Shot:
    """What could be shot next: walk-back points; none for bare and fletched arrows at 20 yd."""

    kind: Kind
    points: tuple[WalkbackPoint, ...] = ()


@dataclass(frozen=True)
class NextShot:
    """The shot that tells most; ``gain`` in the probability of the right cause."""

    shot: Shot
    gain: float


def candidates(points: Sequence[WalkbackPoint], *, has_bare: bool) -> list[Shot]:
    """What could be shot next after these points, which are in order of distance."""
    far, near = points[-1], points[0]
    new = replace(far, count=ARROWS, spread=None)
    found = [Shot("again", (new,))]
    if far.distance + _STEP <= _FARTHEST:
        found.append(Shot("farther", (replace(new, distance=far.distance + _STEP),)))
    if near.distance > 1.2 * _NEAR:
        found.append(Shot("nearer", (replace(new, distance=_NEAR),)))
    if not all(one.level for one in points):
        found.append(Shot("level", tuple(replace(one, level=True) for one in points)))
    if not all(one.calm for one in points):
        found.append(Shot("calm", tuple(replace(one, calm=True) for one in points)))
    return [*found, Shot("bare")] if has_bare else found


def next_shot(
    shots: Sequence[Shot], lines: Lines, drawn: Drawn, outcome: FloatArray
) -> NextShot | None:
    """The one that tells most; None where none tells anything worth shooting for."""
    random = np.random.default_rng(_SEED)
    one, other = (random.choice(len(outcome), size, p=drawn.weights) for size in (_TRUTHS, _OTHERS))
    same = outcome[one][:, None] == outcome[other][None, :]
    before = float(same.mean())
    gains = []
    for shot in shots:
        means, variances = _shown(shot, lines, drawn)
        noise = random.standard_normal((_TRUTHS, means.shape[1]))
        seen = means[one] + noise * np.sqrt(variances[one])
        off = (seen[:, None] - means[other]) ** 2 / variances[other]
        logs = -0.5 * (off + np.log(variances[other])).sum(axis=2)
        weights = np.exp(logs - logs.max(axis=1, keepdims=True))
        after = (weights * same).sum(axis=1) / weights.sum(axis=1)
        gains.append(NextShot(shot, float(after.mean()) - before))
    best = max(gains, key=lambda one: one.gain)
    return best if best.gain >= _TELLS else None


def _shown(shot: Shot, lines: Lines, drawn: Drawn) -> tuple[FloatArray, FloatArray]:
    """What each draw would show, mean and variance (k, points)."""
    scatter = drawn.scatter[:, None]
    if shot.kind == "bare":
        at = TALKING_DISTANCE
        still = 2.0 * CENTER_ERROR**2 / ARROWS + (MODEL_ERROR * at) ** 2 + BARE_BESIDE[0] ** 2
        return drawn.lines[:, -1:], 2.0 * (scatter * at) ** 2 / ARROWS + still
    rows = lines.at([one.distance for one in shot.points])
    variances = [[one.variance(float(s)) for one in shot.points] for s in np.unique(scatter)]
    place = np.searchsorted(np.unique(scatter), drawn.scatter)
    return drawn.shown(rows, lines.acting(shot.points)), np.array(variances)[place]
