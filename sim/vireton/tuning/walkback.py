"""What walk-back points say: straight, or which cause, how large, and how sure that is.

Sight or center shot, cant, wind and launch are weighed together, each at work or not: sixteen
linear Gaussian models at five sizes of the shots' scatter, in closed form, then as draws. A cause
counts where it moves the arrow by something worth correcting, so the odds of straight, of each
cause alone and of two together add up to 1.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.rig import Rig
from vireton.studies.fitting import error_inflation
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.tuning.belief import Belief
from vireton.tuning.observations import Group, WalkbackPoint
from vireton.tuning.spread import UNKNOWN_SHOOTER, Spread, assumed_spread, pooled_spread
from vireton.tuning.walkback_fit import Drawn, alone, draw, fits, free
from vireton.tuning.walkback_lines import CAUSES, drops, lines_of, sighted
from vireton.tuning.walkback_next import NextShot, candidates, next_shot
from vireton.units.numbers import YARD

#: What a walk-back can be, in the order of the odds.
OUTCOMES = ("nothing", *CAUSES, "two")
#: Where what is left open is told: 60 yd, or the farthest point where that is nearer.
REACH = 60.0 * YARD
#: Share of one arrow's scatter below which a line is not worth correcting (our choice).
WORTH = 0.25
#: And a cause that does less than this share of what the largest does is not told (our choice).
_BESIDE = 1.0 / 3.0
TELLING = 0.75  # probability from which a cause is named
CLEAN = 0.5  # the same for straight: what may hide is told with it
_HELD = 0.95


@dataclass(frozen=True)
class WalkbackCauses:
    """What the points say.

    ``points`` in order of distance; ``drops`` (n,) m above the aim point with the one pin.
    ``probabilities`` of :data:`OUTCOMES`, they add up to 1; ``sizes``: what each cause alone would
    be, with its standard deviation (rad, rad, m/s, rad/s), and ``curves`` (n,) m its line;
    ``verdict``: one of :data:`OUTCOMES`, ``cannot_tell`` or ``none_fits``.

    ``line`` (n,) m: that of the verdict, the middle of all where there is none; ``band`` (n,) m:
    the true line is within this of it in 95 %, no cause taken to be nothing. ``reach`` m with
    ``there`` and ``half_width``: line and band at 60 yd or at the farthest point;
    ``half_width_far`` at 60 yd; ``near``: the line at 20 yd, m. ``next``: the
    shot that would tell most, None where none tells.
    """

    points: tuple[WalkbackPoint, ...]
    drops: FloatArray
    spread: Spread
    probabilities: dict[str, float]
    sizes: dict[str, tuple[float, float]]
    curves: dict[str, FloatArray]
    verdict: str
    line: FloatArray
    band: FloatArray
    reach: float
    there: float
    half_width: float
    half_width_far: float
    near: float
    next: NextShot | None

    @property
    def distances(self) -> FloatArray:
        """(n,) m."""
        return np.array([one.distance for one in self.points])

    @property
    def seen(self) -> FloatArray:
        """(n,) m to the right of the plumb line."""
        return np.array([one.right for one in self.points])

    @property
    def errors(self) -> FloatArray:
        """(n,) m, standard deviation of each point."""
        return np.sqrt([one.variance(self.spread.sd) for one in self.points])


def walkback_spread(groups: Sequence[Group], points: Sequence[WalkbackPoint]) -> Spread:
    """The scatter of one arrow, from groups and from points that tell their own."""
    prior = UNKNOWN_SHOOTER
    squares, degrees = prior.sd**2 * prior.degrees, prior.degrees
    for one in points:
        if one.spread is not None:
            squares += (one.count - 1) * (one.spread / one.distance) ** 2
            degrees += one.count - 1
    both = assumed_spread(float(np.sqrt(squares / degrees)), 1.0, degrees)
    return pooled_spread(groups, both)


def weigh_causes(
    rig: Rig, points: Sequence[WalkbackPoint], spread: Spread, launch: Belief | None = None
) -> WalkbackCauses:
    """Weigh the causes of these points.

    Args:
        rig: upright, in still air; sighted in at 20 yd where it is not.
        points: from two distances or more; ValueError below that.
        spread: of one arrow, with its doubt, see :func:`walkback_spread`.
        launch: what the rest of the log says of the launch at this rest setting, if anything.
    """
    if len({one.distance for one in points}) < 2:
        raise ValueError("walk-back needs points at two distances or more")
    points = tuple(sorted(points, key=lambda one: one.distance))
    rig = sighted(rig)
    away = np.array([one.distance for one in points])
    reach = min(REACH, away[-1])
    asked = candidates(points, has_bare=rig.bare is not rig.fletched)
    others = [one.distance for shot in asked for one in shot.points]
    known = np.unique([*away, reach, REACH, TALKING_DISTANCE, *others])
    lines = lines_of(rig, known, launch)
    found = fits(lines, points, spread)
    drawn = draw(lines, found)
    single = {name: alone(lines, found, name) for name in CAUSES}
    rows, row = lines.at(away), lines.at([reach])[0]
    outcome = outcomes(drawn, lines.distances, rows, row, WORTH * spread.sd)
    shares = np.array([drawn.weights[outcome == k].sum() for k in range(len(OUTCOMES))])
    middle = drawn.weights @ drawn.lines
    expected = drawn.weights @ drawn.shown(rows, lines.acting(points))
    verdict = _verdict(shares, points, spread, expected)
    line = single[verdict][0] if verdict in single else middle * (verdict != "nothing")
    loose = draw(lines, free(found))
    band = np.array([_quantile(one, loose.weights) for one in np.abs(loose.lines - line).T])
    return WalkbackCauses(
        points,
        drops(rig, away),
        spread,
        dict(zip(OUTCOMES, shares.tolist(), strict=True)),
        {
            name: (float(mean[row] / unit), float(sd[row] / abs(unit)))
            for name, (mean, sd) in single.items()
            for unit in (lines.units[name][row],)
        },
        {name: mean[rows] for name, (mean, _) in single.items()},
        verdict,
        line[rows],
        band[rows],
        float(reach),
        float(line[row]),
        float(band[row]),
        float(band[lines.at([REACH])[0]]),
        float(line[lines.at([TALKING_DISTANCE])[0]]),
        next_shot(asked, lines, drawn, outcome),
    )


def outcomes(
    drawn: Drawn, distances: FloatArray, rows: Sequence[int], row: int, slack: float
) -> FloatArray:
    """(k,) which of :data:`OUTCOMES` each draw is.

    Straight: within ``slack`` rad at every point, the ``rows`` of these ``distances``. Otherwise
    the causes that move the arrow by more than that at ``row``.
    """
    parts = np.abs(drawn.parts[:, :, row])
    least = np.maximum(_BESIDE * parts.max(axis=1), slack * distances[row])
    told = np.where((parts > least[:, None]).sum(axis=1) > 1, len(CAUSES), parts.argmax(axis=1))
    straight = np.all(np.abs(drawn.lines[:, rows]) <= slack * distances[rows], axis=1)
    return np.where(straight, 0, 1 + told)


def _quantile(values: FloatArray, weights: FloatArray) -> float:
    order = np.argsort(values)
    place = np.searchsorted(np.cumsum(weights[order]), _HELD)
    return float(values[order][min(int(place), len(values) - 1)])


def _verdict(
    shares: FloatArray, points: Sequence[WalkbackPoint], spread: Spread, expected: FloatArray
) -> str:
    errors = np.array([one.variance(spread.high) for one in points])
    seen = np.array([one.right for one in points])
    misfit = float(np.sum((seen - expected) ** 2 / errors))
    if error_inflation(misfit, len(points))[1] > 1.0:
        return "none_fits"
    best = OUTCOMES[int(np.argmax(shares))]
    sure = shares.max() >= (CLEAN if best == "nothing" else TELLING)
    return best if sure else "cannot_tell"
