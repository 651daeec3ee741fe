"""Shot statistics: how wide a group is, and whether bare and fletched really differ.

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
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import stats

from vireton.observations import Group
from vireton.problems import InputProblem

FloatArray = npt.NDArray[np.float64]

#: Share of the intervals that hold the truth.
CONFIDENCE = 0.95

#: Shots per group above which :func:`shots_needed` gives no number: nobody shoots them.
MOST_SHOTS = 50

_FARTHEST = 1000.0  # m, of a shot from the aim point and of the target
_NEAREST = 0.1  # m, of the target


class GroupProblem(InputProblem):
    """A group or what is asked of it makes no sense."""


@dataclass(frozen=True)
class GroupSummary:
    """One group in numbers; what the group does not tell is None.

    ``centre`` (2,) m (right, up) from the aim point; ``covariance`` (2, 2) m²; ``sd`` m of one
    arrow on one axis, both axes pooled, with its 95 % interval ``sd_interval`` (low, high) m;
    ``mean_radius`` m, the mean distance of the shots from their own centre (which lies nearer to
    them than the true one: not corrected); ``largest_spread`` m between any two shots.
    """

    count: int
    centre: FloatArray
    covariance: FloatArray | None
    sd: float | None
    sd_interval: tuple[float, float] | None
    mean_radius: float | None
    largest_spread: float | None


@dataclass(frozen=True)
class Spread:
    """The scatter of one arrow on one axis as an angle: it grows with distance.

    ``sd``, ``low``, ``high`` rad: the standard deviation and its 95 % interval; ``degrees`` of
    freedom, 1 or more: how much is behind it. ``groups`` are those that it was pooled from. Made by
    :func:`pooled_spread` or :func:`assumed_spread`.
    """

    sd: float
    low: float
    high: float
    degrees: float
    groups: tuple[Group, ...] = ()

    def __post_init__(self) -> None:
        if not 0.0 < self.sd < math.inf:
            raise GroupProblem(f"a spread is a number above 0, got {self.sd} rad")
        if not 1.0 <= self.degrees < math.inf:
            raise GroupProblem(
                f"a spread has a weight of 1 degree of freedom or more, got {self.degrees}"
            )

    def at(self, distance: float) -> float:
        """The standard deviation at ``distance`` m, m."""
        return self.sd * distance

    def interval_at(self, distance: float) -> tuple[float, float]:
        """Its 95 % interval (low, high) at ``distance`` m, m."""
        return self.low * distance, self.high * distance


@dataclass(frozen=True)
class Separation:
    """Bare centre minus fletched centre, and whether it is more than the shots' scatter.

    ``difference`` (2,) m (right, up); ``half_width`` (2,) m of the 95 % interval of each axis taken
    alone. ``p_value``: how often scatter alone gives a difference at least this long, from the
    pooled spread; ``is_real`` where that is below 5 %. It asks both axes in one question, so it can
    say no where one axis' interval just leaves out zero. ``hotelling_p``: the same from these
    shots alone and without taking the scatter as round: needs every shot and far more of them; None
    where they are too few or lie on a line. ``degrees`` of freedom of the spread; ``distance`` m.
    """

    difference: FloatArray
    half_width: FloatArray
    p_value: float
    is_real: bool
    hotelling_p: float | None
    degrees: float
    distance: float


def _far(distance: float) -> str:
    return f"{distance:.1f} m ({distance / 0.9144:.0f} yd)"


def _check_distance(distance: float) -> None:
    if not _NEAREST <= distance <= _FARTHEST:
        raise GroupProblem(
            f"a target stands {_NEAREST:g} to {_FARTHEST:g} m away, got {distance} m: check the "
            "number and its unit"
        )


def check_group(group: Group) -> None:
    """Raise :class:`GroupProblem` for a group that cannot have been shot."""
    _check_distance(group.distance)
    if group.shots and len(group.shots) != group.count:
        raise GroupProblem(
            f"a group of {group.count} shots lists {len(group.shots)}: give all or only the centre"
        )
    if group.count < 1:
        raise GroupProblem(f"a group has one shot at least, not {group.count}")
    for place in (group.centre, *group.shots):
        if not all(math.isfinite(x) and abs(x) <= _FARTHEST for x in place):
            raise GroupProblem(
                f"a shot lies within {_FARTHEST:g} m of the aim point, got {place} m: check the "
                "number and its unit"
            )
    if group.spread is not None and not group.shots:
        if not (math.isfinite(group.spread) and 0.0 < group.spread <= _FARTHEST):
            raise GroupProblem(
                f"a noted spread is above 0 and at most {_FARTHEST:g} m, got {group.spread} m: "
                "leave it out where it was not measured"
            )
        if group.count == 1:
            raise GroupProblem("one shot has no spread: leave the spread out, or give the count")


def _centre(group: Group) -> FloatArray:
    return np.asarray(np.mean(group.shots, axis=0) if group.shots else group.centre, dtype=float)


def _deviations(group: Group) -> FloatArray:
    """Shots (n, 2) from their own centre, m; (0, 2) where only the centre is known."""
    shots = np.asarray(group.shots, dtype=float).reshape(-1, 2)
    # counted from the first shot, so that shots in one place deviate by nothing, not by rounding
    shots = shots - shots[:1]
    return np.asarray(shots - shots.mean(axis=0) if len(shots) else shots)


def _squares(group: Group) -> tuple[float, int]:
    """Squared deviations summed over shots and axes, m², and their degrees of freedom."""
    degrees = 2 * (group.count - 1)
    if group.shots:
        return float(np.sum(_deviations(group) ** 2)), degrees
    if group.spread is None:
        return 0.0, 0
    return degrees * group.spread**2, degrees


def _sd_interval(sd: float, degrees: float) -> tuple[float, float]:
    tail = (1.0 - CONFIDENCE) / 2.0
    few, many = stats.chi2.isf([tail, 1.0 - tail], degrees)
    return sd * math.sqrt(degrees / few), sd * math.sqrt(degrees / many)


def _hotelling(bare: Group, fletched: Group) -> float | None:
    """Two-sample T² on every shot (JW section 6.3): its p-value, None where there is none."""
    freedom = len(bare.shots) + len(fletched.shots) - 3
    if not bare.shots or not fletched.shots or freedom < 1:
        return None
    deviations = np.vstack([_deviations(bare), _deviations(fletched)])
    pooled = deviations.T @ deviations / (freedom + 1)
    if np.linalg.det(pooled) <= 1e-12 * np.trace(pooled) ** 2:
        return None
    difference = _centre(bare) - _centre(fletched)
    squared = difference @ np.linalg.solve(pooled, difference)
    squared /= 1.0 / bare.count + 1.0 / fletched.count
    return float(stats.f.sf(squared * freedom / (2.0 * (freedom + 1)), 2, freedom))


def assumed_spread(sd: float, distance: float, degrees: float) -> Spread:
    """A spread that is known or assumed before any shot counts, for :func:`pooled_spread`.

    Args:
        sd: m, of one arrow on one axis at ``distance``, above 0.
        distance: m.
        degrees: its weight, 1 or more: it counts as much as a group of 1 + degrees/2 shots.

    Its interval is that of a scaled inverse chi-square distribution (BDA section 2.6).
    """
    _check_distance(distance)
    if not (math.isfinite(sd) and 0.0 < sd <= _FARTHEST):
        raise GroupProblem(f"an assumed spread is above 0 and at most {_FARTHEST:g} m, got {sd} m")
    angle = sd / distance
    return Spread(angle, *_sd_interval(angle, degrees), degrees)


#: For a shooter of whom nothing is known: 1.5 in at 20 yd, with the weight of a three-shot group,
#: which takes 95 % of all shooters to lie between 0.9 and 4.3 in. Our choice, no source.
UNKNOWN_SHOOTER = assumed_spread(1.5 * 0.0254, 20.0 * 0.9144, 4.0)


def summary(group: Group) -> GroupSummary:
    """Centre, covariance, scatter and size of one group.

    The interval of the standard deviation: 2(n − 1)·sd²/σ² follows a chi-square distribution with
    2(n − 1) degrees of freedom (JW section 4.4, both axes pooled). Of a group of which only the
    centre was noted, only what was noted is given. Raises :class:`GroupProblem` for a group that
    makes no sense.
    """
    check_group(group)
    squares, degrees = _squares(group)
    deviations = _deviations(group)
    sd = math.sqrt(squares / degrees) if degrees else None
    each = len(deviations) > 1
    pairs = deviations[:, None, :] - deviations[None, :, :]
    return GroupSummary(
        count=group.count,
        centre=_centre(group),
        covariance=deviations.T @ deviations / (len(deviations) - 1) if each else None,
        sd=sd,
        sd_interval=None if sd is None else _sd_interval(sd, degrees),
        mean_radius=float(np.mean(np.hypot(*deviations.T))) if each else None,
        largest_spread=float(np.hypot(pairs[..., 0], pairs[..., 1]).max()) if each else None,
    )


def pooled_spread(groups: Iterable[Group], prior: Spread | None = UNKNOWN_SHOOTER) -> Spread:
    """The scatter of one arrow from all ``groups`` together, at whatever distances.

    Args:
        groups: each keeps its own centre. Those of one shot, or of a centre without a spread, tell
            nothing about scatter and may be among them.
        prior: what is taken as known beforehand, weighted by its degrees of freedom. None: the
            shots alone.

    Squared deviations, as angles, are added and divided by the degrees of freedom, 2(n − 1) a group
    (JW section 6.3; with the prior BDA section 2.6). The intervals hold 95 % over all shooters that
    the prior stands for, not for each: who scatters twice as much as :data:`UNKNOWN_SHOOTER` sees a
    separation that is none in 17 % of cases with one shot each, 9 % with three, 8 % with six; who
    scatters half as much in hardly any, and misses small ones. Raises :class:`GroupProblem` where
    nothing is known: no prior and no two shots, or no prior and no group with two shots apart.
    """
    pooled = tuple(groups)
    squares, degrees = (0.0, 0.0) if prior is None else (prior.sd**2 * prior.degrees, prior.degrees)
    for group in pooled:
        check_group(group)
        more, freedom = _squares(group)
        squares += more / group.distance**2
        degrees += freedom
    if degrees == 0.0:
        raise GroupProblem("no group has two shots: shoot two or more, or assume a spread")
    if squares == 0.0:
        raise GroupProblem(
            "all shots of each group lie in one place, so how much they scatter is not known: "
            "measure them more finely, or assume a spread"
        )
    sd = math.sqrt(squares / degrees)
    before = () if prior is None else prior.groups
    return Spread(sd, *_sd_interval(sd, degrees), degrees, before + pooled)


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
            f"the bare group was shot from {_far(bare.distance)} and the fletched one from "
            f"{_far(fletched.distance)}: a separation needs both from the same distance"
        )
    difference = _centre(bare) - _centre(fletched)
    sd = spread.at(bare.distance) * math.sqrt(1.0 / bare.count + 1.0 / fletched.count)
    student = float(stats.t.ppf(0.5 + CONFIDENCE / 2.0, spread.degrees))
    ratio = 0.5 * float(np.sum((difference / sd) ** 2))
    p_value = float(stats.f.sf(ratio, 2, spread.degrees))
    return Separation(
        difference=difference,
        half_width=np.full(2, student * sd),
        p_value=p_value,
        is_real=p_value < 1.0 - CONFIDENCE,
        hotelling_p=_hotelling(bare, fletched),
        degrees=spread.degrees,
        distance=bare.distance,
    )


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
    _check_distance(distance)
    if not (math.isfinite(size) and 0.0 < size <= _FARTHEST):
        raise GroupProblem(
            f"a separation to look for is above 0 and at most {_FARTHEST:g} m, got {size} m"
        )
    for name, value in (("share", share), ("power", power)):
        if not 0.0 < value < 1.0:
            raise GroupProblem(f"{name} is between 0 and 1, got {value}")
    shots = np.arange(1, MOST_SHOTS + 1)
    degrees = np.maximum(spread.degrees, 4.0 * (shots - 1))
    # beyond 1e3 standard deviations nothing changes, and the distribution stays finite
    noncentrality = shots * min(size / spread.at(distance), 1e3) ** 2 / 2.0
    found = stats.ncf.sf(stats.f.isf(1.0 - share, 2, degrees), 2, degrees, noncentrality)
    enough = shots[found >= power]
    return int(enough[0]) if enough.size else None


def outliers(group: Group, spread: Spread) -> tuple[int, ...]:
    """Places (from 0) of the shots that do not belong to the rest of their group: a flag, no more.

    Each shot is held against the centre of the others. Its squared distance, as a share of the
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
    squares, own = _squares(group)
    elsewhere, degrees = spread.sd**2 * spread.degrees * group.distance**2, spread.degrees
    if group in spread.groups:
        # what is left of a difference of equals is rounding, not scatter
        rest = elsewhere - squares
        elsewhere, degrees = (rest if rest > 1e-9 * squares else 0.0), degrees - own
    # a shot's deviation from the others' centre is n/(n − 1) times that from the centre of all
    stray = np.sum(_deviations(group) ** 2, axis=1) * count / (count - 1)
    others = elsewhere + np.where(squares - stray > 1e-9 * squares, squares - stray, 0.0)
    freedom = degrees + own - 2
    judged = np.flatnonzero(others > 0.0)
    ratio = (stray[judged] / 2.0) / (others[judged] / freedom)
    limit = (1.0 - CONFIDENCE) / count
    return tuple(int(i) for i in judged[stats.f.sf(ratio, 2, freedom) < limit])
