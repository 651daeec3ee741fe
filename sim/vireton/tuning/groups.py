"""Shot statistics: whether bare and fletched really differ.

All of it takes the scatter of shots as round: normal, the same sideways and up, without slant, and
the same for bare and fletched. That makes every shot tell about the scatter twice, once an axis,
and so needs few shots. Where one axis in truth scatters one and a half times as much as the other,
its 95 % interval holds about 91 %, the other's about 98 %, and outliers are flagged in 7 % of
groups without any; the alarm for both axes together hardly suffers. Bow, shooter and arrows are
taken as the same from shot to shot: one bare shaft shot three times shows its own flaw three times,
and no number here can tell.

From memory: Johnson and Wichern 2007, *Applied Multivariate Statistical Analysis*, 6th edition,
below "JW"; Gelman et al. 2013, *Bayesian Data Analysis*, 3rd edition, below "BDA".
"""

import math
from dataclasses import dataclass

import numpy as np
from scipy import special  # its distributions: scipy.stats costs half a second more

from vireton.kernel.arrays import FloatArray
from vireton.tuning.observations import Group
from vireton.tuning.spread import (
    CONFIDENCE,
    FARTHEST_SHOT,
    GroupProblem,
    Spread,
    center_of,
    check_distance,
    check_group,
    deviations_of,
    far_words,
    squares_of,
)

#: Shots per group above which :func:`shots_needed` gives no number: nobody shoots them.
MOST_SHOTS = 50


@dataclass(frozen=True)
class Separation:
    """Bare center minus fletched center, and whether it is more than the shots' scatter.

    ``difference`` (2,) m (right, up); ``half_width`` (2,) m of the 95 % interval of each axis taken
    alone. ``p_value``: how often scatter alone gives a difference at least this long, from the
    pooled spread. It asks both axes in one question, so it can stay above 5 % where one axis'
    interval just leaves out zero. ``degrees`` of freedom of the spread; ``distance`` m.
    """

    difference: FloatArray
    half_width: FloatArray
    p_value: float
    degrees: float
    distance: float


def separation(bare: Group, fletched: Group, spread: Spread) -> Separation:
    """Bare minus fletched at one distance, and whether scatter alone could have made it.

    The half-width is t·σ·√(1/n + 1/m), t at the spread's degrees of freedom (JW section 6.3). The
    squared length over 2σ²(1/n + 1/m) follows an F distribution with 2 and those degrees where
    nothing differs: Hotelling's T² of a covariance known to be round. Raises
    :class:`GroupProblem` for groups at different distances or of the same kind.
    """
    for group, kind in ((bare, "bare"), (fletched, "fletched")):
        check_group(group)
        if group.arrow != kind:
            raise GroupProblem(f"a separation needs a {kind} group here, got a {group.arrow} one")
    if not math.isclose(bare.distance, fletched.distance, rel_tol=1e-3):
        raise GroupProblem(
            f"the bare group was shot from {far_words(bare.distance)} and the fletched one from "
            f"{far_words(fletched.distance)}: a separation needs both from the same distance"
        )
    difference = center_of(bare) - center_of(fletched)
    sd = spread.at(bare.distance) * math.sqrt(1.0 / bare.count + 1.0 / fletched.count)
    student = float(special.stdtrit(spread.degrees, 0.5 + CONFIDENCE / 2.0))
    ratio = 0.5 * float(np.sum((difference / sd) ** 2))
    return Separation(
        difference=difference,
        half_width=np.full(2, student * sd),
        p_value=float(special.fdtrc(2, spread.degrees, ratio)),
        degrees=spread.degrees,
        distance=bare.distance,
    )


def _exceeds(ratio: FloatArray, degrees: FloatArray, noncentrality: FloatArray) -> FloatArray:
    """Probability that a noncentral F of 2 and ``degrees`` exceeds ``ratio``, each (n,).

    The Poisson mixture of central ones, which is its definition; scipy.special.ncfdtr loses its
    way at some of these values.
    """
    # beyond this the answer is 1 to every digit, and the sum would be long
    half = 0.5 * np.clip(noncentrality, 1e-300, 600.0)[:, None]
    terms = np.arange(600.0)[None, :]
    weights = np.exp(terms * np.log(half) - half - special.gammaln(terms + 1.0))
    share = (2.0 * ratio / (2.0 * ratio + degrees))[:, None]
    below = special.betainc(1.0 + terms, 0.5 * degrees[:, None], share)
    return np.asarray(np.sum(weights * (1.0 - below), axis=1))


def shots_needed(
    size: float, spread: Spread, distance: float, *, share: float = CONFIDENCE, power: float = 0.8
) -> int | None:
    """Shots in each of two equal groups that show a separation of ``size`` m at ``distance`` m.

    Args:
        size: m, above 0, in any direction.
        spread: taken as true; where its interval is wide, so is this answer.
        distance: m.
        share: confidence with which it is to be called real, between 0 and 1.
        power: how often a separation of this size is then found, between 0 and 1.

    Returns the shots in all, those already shot included; None above :data:`MOST_SHOTS`. The
    fewest for which the test of :func:`separation` has that power: a noncentral F distribution with
    noncentrality n·size²/(2σ²) (JW section 6.3). Its degrees of freedom are those of the spread or
    those that the shots themselves will give, 4(n − 1), whichever are more.
    """
    check_distance(distance)
    if not (math.isfinite(size) and 0.0 < size <= FARTHEST_SHOT):
        raise GroupProblem(
            f"a separation to look for is above 0 and at most {FARTHEST_SHOT:g} m, got {size} m"
        )
    for name, value in (("share", share), ("power", power)):
        if not 0.0 < value < 1.0:
            raise GroupProblem(f"{name} is between 0 and 1, got {value}")
    shots = np.arange(1, MOST_SHOTS + 1)
    degrees = np.maximum(spread.degrees, 4.0 * (shots - 1))
    # beyond 1e3 standard deviations nothing changes, and the distribution stays finite
    noncentrality = shots * min(size / spread.at(distance), 1e3) ** 2 / 2.0
    found = _exceeds(special.fdtri(2, degrees, share), degrees, np.asarray(noncentrality))
    enough = shots[found >= power]
    return int(enough[0]) if enough.size else None


def outliers(group: Group, spread: Spread) -> tuple[int, ...]:
    """Places (from 0) of the shots that do not belong to the rest of their group: a flag, no more.

    Each shot is held against the center of the others. Its squared distance, as a share of the
    scatter that all but this shot show, follows an F distribution with 2 and the remaining degrees
    of freedom (Wilks 1963, "Multivariate Statistical Outliers", Sankhya A 25:407–426, from memory,
    for round scatter). Flagged below 5 % shared among the shots (Bonferroni), so that one group in
    twenty, at most, has a shot flagged that belongs. Two strays may hide each other.

    ``spread`` may have been pooled from this group among others or not: that is looked up in its
    ``groups``. Nothing is flagged below four shots, without every shot, or where no scatter but the
    shot's own is known.
    """
    check_group(group)
    count = len(group.shots)
    if count < 4:
        return ()
    squares, own = squares_of(group)
    elsewhere, degrees = spread.sd**2 * spread.degrees * group.distance**2, spread.degrees
    if group in spread.groups:
        # what is left of a difference of equals is rounding, not scatter
        rest = elsewhere - squares
        elsewhere, degrees = (rest if rest > 1e-9 * squares else 0.0), degrees - own
    # a shot's deviation from the others' center is n/(n − 1) times that from the center of all
    stray = np.sum(deviations_of(group) ** 2, axis=1) * count / (count - 1)
    others = elsewhere + np.where(squares - stray > 1e-9 * squares, squares - stray, 0.0)
    freedom = degrees + own - 2
    judged = np.flatnonzero(others > 0.0)
    ratio = (stray[judged] / 2.0) / (others[judged] / freedom)
    limit = (1.0 - CONFIDENCE) / count
    return tuple(int(i) for i in judged[special.fdtrc(2, freedom, ratio) < limit])
