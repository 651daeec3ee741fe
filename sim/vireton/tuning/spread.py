"""How much one arrow scatters, from groups and from what is taken as known of the shooter.

From memory: Johnson and Wichern 2007, *Applied Multivariate Statistical Analysis*, 6th edition,
below "JW"; Gelman et al. 2013, *Bayesian Data Analysis*, 3rd edition, below "BDA".
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from scipy import special  # its distributions: scipy.stats costs half a second more

from vireton.kernel.arrays import FloatArray
from vireton.tuning.observations import Group
from vireton.units.numbers import INCH, YARD
from vireton.units.problems import InputProblem

#: Share of the intervals that hold the truth.
CONFIDENCE = 0.95

#: m, of a shot from the aim point and of the target; of the target.
FARTHEST_SHOT, NEAREST_TARGET = 1000.0, 0.1


class GroupProblem(InputProblem):
    """A group or what is asked of it makes no sense."""


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


def far_words(distance: float) -> str:
    """A distance in m and yd."""
    return f"{distance:.1f} m ({distance / YARD:.0f} yd)"


def check_distance(distance: float) -> None:
    """Raises GroupProblem for a target that stands nowhere near."""
    if not NEAREST_TARGET <= distance <= FARTHEST_SHOT:
        raise GroupProblem(
            f"a target stands {NEAREST_TARGET:g} to {FARTHEST_SHOT:g} m away, got {distance} m: "
            "check the number and its unit"
        )


def check_group(group: Group) -> None:
    """Raise :class:`GroupProblem` for a group that cannot have been shot."""
    check_distance(group.distance)
    if group.shots and len(group.shots) != group.count:
        raise GroupProblem(
            f"a group of {group.count} shots lists {len(group.shots)}: give all or only the center"
        )
    if group.count < 1:
        raise GroupProblem(f"a group has one shot at least, not {group.count}")
    for place in (group.center, *group.shots):
        if not all(math.isfinite(x) and abs(x) <= FARTHEST_SHOT for x in place):
            raise GroupProblem(
                f"a shot lies within {FARTHEST_SHOT:g} m of the aim point, got {place} m: check "
                "the number and its unit"
            )
    if group.spread is not None and not group.shots:
        if not (math.isfinite(group.spread) and 0.0 < group.spread <= FARTHEST_SHOT):
            raise GroupProblem(
                f"a noted spread is above 0 and at most {FARTHEST_SHOT:g} m, got {group.spread} m: "
                "leave it out where it was not measured"
            )
        if group.count == 1:
            raise GroupProblem("one shot has no spread: leave the spread out, or give the count")


def center_of(group: Group) -> FloatArray:
    """Center of a group, (2,) m."""
    return np.asarray(np.mean(group.shots, axis=0) if group.shots else group.center, dtype=float)


def deviations_of(group: Group) -> FloatArray:
    """Shots (n, 2) from their own center, m; (0, 2) where only the center is known."""
    shots = np.asarray(group.shots, dtype=float).reshape(-1, 2)
    # counted from the first shot, so that shots in one place deviate by nothing, not by rounding
    shots = shots - shots[:1]
    return np.asarray(shots - shots.mean(axis=0) if len(shots) else shots)


def squares_of(group: Group) -> tuple[float, int]:
    """Squared deviations summed over shots and axes, m², and their degrees of freedom."""
    degrees = 2 * (group.count - 1)
    if group.shots:
        return float(np.sum(deviations_of(group) ** 2)), degrees
    if group.spread is None:
        return 0.0, 0
    return degrees * group.spread**2, degrees


def sd_interval_of(sd: float, degrees: float) -> tuple[float, float]:
    """The 95 % interval of a standard deviation with these degrees of freedom."""
    tail = (1.0 - CONFIDENCE) / 2.0
    few, many = special.chdtri(degrees, [tail, 1.0 - tail])
    return sd * math.sqrt(degrees / few), sd * math.sqrt(degrees / many)


def assumed_spread(sd: float, distance: float, degrees: float) -> Spread:
    """A spread that is known or assumed before any shot counts, for :func:`pooled_spread`.

    Args:
        sd: m, of one arrow on one axis at ``distance``, above 0.
        distance: m.
        degrees: its weight, 1 or more: it counts as much as a group of 1 + degrees/2 shots.

    Its interval is that of a scaled inverse chi-square distribution (BDA section 2.6).
    """
    check_distance(distance)
    if not (math.isfinite(sd) and 0.0 < sd <= FARTHEST_SHOT):
        raise GroupProblem(
            f"an assumed spread is above 0 and at most {FARTHEST_SHOT:g} m, got {sd} m"
        )
    angle = sd / distance
    return Spread(angle, *sd_interval_of(angle, degrees), degrees)


#: For a shooter of whom nothing is known: 1.5 in at 20 yd, with the weight of a three-shot group,
#: which takes 95 % of all shooters to lie between 0.9 and 4.3 in. Our choice, no source.
UNKNOWN_SHOOTER = assumed_spread(1.5 * INCH, 20.0 * YARD, 4.0)


def pooled_spread(groups: Iterable[Group], prior: Spread | None = UNKNOWN_SHOOTER) -> Spread:
    """The scatter of one arrow from all ``groups`` together, at whatever distances.

    Args:
        groups: each keeps its own center. Those of one shot, or of a center without a spread, tell
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
        more, freedom = squares_of(group)
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
    return Spread(sd, *sd_interval_of(sd, degrees), degrees, before + pooled)
