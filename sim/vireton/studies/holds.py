"""What wind, slope, a crooked hold and other air do to a sighted-in arrow, at every distance.

At each distance the sight is set for that very distance, on level ground, in still air, the bow
upright: the answers are how far the arrow then lands from the aim point.
"""

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from vireton.flight.air import Air
from vireton.flight.flight import Conditions, Flight, Wind, fly_prepared, prepare
from vireton.flight.reaching import demand_reached
from vireton.flight.sighting import sight_in
from vireton.flight.volley import Aim
from vireton.kernel.arrays import FloatArray
from vireton.rig import Rig, vary
from vireton.uncertain import DEFAULT_DRAWS, DEFAULT_SEED, Banded, band, latin_hypercube
from vireton.units.problems import InputProblem

#: Where along the way, as shares of the distance, the level path is looked at for the distance that
#: a sloping shot is like: fine enough for a parabola through three neighbors.
_SHARES = np.linspace(0.25, 1.05, 41)


@dataclass(frozen=True)
class HoldQuestion:
    """What to work out.

    ``wind_speed`` m/s; ``slopes`` rad, uphill positive; ``cant`` rad, top of the bow to the right
    positive; ``third_axis`` rad, see :func:`third_axis_cant`; ``airs`` other airs by name.
    """

    wind_speed: float
    slopes: tuple[float, ...]
    cant: float
    third_axis: float
    airs: Mapping[str, Air] = field(default_factory=dict)


@dataclass(frozen=True)
class SlopeHold:
    """One slope. ``shift`` and ``third_axis`` (n, 2) m; ``shoot_as`` (n,) m.

    ``shift`` is measured across the sloping line of sight. ``shoot_as`` is the level distance whose
    sight setting hits there, nan where no level distance asks for so little. ``third_axis`` is what
    the crooked level adds, (right, up).
    """

    slope: float
    shift: Banded
    shoot_as: Banded
    third_axis: Banded


@dataclass(frozen=True)
class HoldAnswer:
    """Shifts of the impact, (n, 2) m right and up, at ``distance`` (n,) m.

    ``crosswind`` is full and blows to the right, ``headwind`` from 12, ``tailwind`` from 6.
    ``elevation`` (n,) rad of the bore line above the line of sight for each distance.
    ``drift_at_half`` (n,) is the drift in half the wind ÷ the drift in all of it: 0.5 where drift
    goes with the wind.
    """

    distance: FloatArray
    elevation: Banded
    crosswind: Banded
    drift_at_half: FloatArray
    headwind: Banded
    tailwind: Banded
    cant: Banded
    slopes: tuple[SlopeHold, ...]
    airs: dict[str, Banded]


def third_axis_cant(third_axis: float, slope: float) -> float:
    """The cant (rad) into which a level that is crooked about the bow's upright axis lures.

    Args:
        third_axis: rad, the level's right end toward the target positive.
        slope: rad, uphill positive; the bow, and with it the level, is tilted by it.

    Returns:
        The cant at which the bubble stands in the middle, top of the bow to the right positive.

    The level's tube lies along (sin τ forward, cos τ right) in the bow. Canted by c about the line
    of sight and tilted by the slope θ its rise is sin τ sin θ − cos τ cos θ sin c, which the archer
    makes zero: sin c = tan τ tan θ (derived here). Level ground hides it. Raises InputProblem
    where no cant can bring the bubble to the middle.
    """
    sine = math.tan(third_axis) * math.tan(slope)
    if not -1.0 <= sine <= 1.0:
        raise InputProblem(
            f"with a third axis off by {math.degrees(third_axis):.3g} deg no hold brings the "
            f"bubble to the middle on a slope of {math.degrees(slope):.3g} deg"
        )
    return math.asin(sine)


def answer_holds(
    rig: Rig,
    distances: npt.ArrayLike,
    question: HoldQuestion,
    ranges: Mapping[str, tuple[float, float]],
    *,
    draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
    progress: Callable[[Sequence[Rig]], Iterable[Rig]] = iter,
) -> HoldAnswer:
    """Work out all holds of the fletched arrow, with bands.

    Args:
        rig: its sight height and launch count; its own wind, slope, cant and sight-in do not,
            except that its wind's profile with height serves here too.
        distances: (n,) m along the line of sight.
        question: what to work out.
        ranges: plausible ranges by the keys of :data:`vireton.uncertain.inputs.INPUTS`.
        draws: how many plausible rigs the bands come from.
        seed: of the draws.
        progress: wraps the rigs, to show how far the work is.

    Raises InputProblem where the arrow does not reach a distance.
    """
    where = np.atleast_1d(np.asarray(distances, dtype=float))
    rigs = [rig, *(vary(rig, values) for values in latin_hypercube(ranges, draws, seed))]
    found = [_shifts(one, where, question) for one in progress(rigs)]

    def banded(name: str) -> Banded:
        return band(found[0][name], [one[name] for one in found[1:]])

    return HoldAnswer(
        distance=where,
        elevation=banded("elevation"),
        crosswind=banded("crosswind"),
        drift_at_half=found[0]["half"][:, 0] / found[0]["crosswind"][:, 0],
        headwind=banded("headwind"),
        tailwind=banded("tailwind"),
        cant=banded("cant"),
        slopes=tuple(
            SlopeHold(slope, *(banded(f"{what} {i}") for what in ("slope", "as", "third")))
            for i, slope in enumerate(question.slopes)
        ),
        airs={name: banded(f"air {name}") for name in question.airs},
    )


def _shifts(rig: Rig, where: FloatArray, question: HoldQuestion) -> dict[str, FloatArray]:
    """All raw answers of one rig, by name."""
    own = rig.conditions
    still = replace(own, wind=Wind(), slope=0.0)
    shots = _Shots(rig, where, still)

    def blown(speed: float, clock: float) -> Conditions:
        profile = (own.wind.exponent, own.wind.reference_height)
        return replace(still, wind=Wind.from_clock(speed, clock, *profile))

    zero = shots.impacts(still)
    wind = question.wind_speed
    found = {
        "elevation": np.array([aim.elevation for aim in shots.aims]),
        "crosswind": shots.impacts(blown(wind, 9.0)) - zero,
        "half": shots.impacts(blown(0.5 * wind, 9.0)) - zero,
        "headwind": shots.impacts(blown(wind, 12.0)) - zero,
        "tailwind": shots.impacts(blown(wind, 6.0)) - zero,
        "cant": shots.impacts(still, question.cant) - zero,
    }
    for name, air in question.airs.items():
        found[f"air {name}"] = shots.impacts(replace(still, air=air)) - zero
    for i, slope in enumerate(question.slopes):
        sloping = replace(still, slope=slope)
        straight = shots.impacts(sloping)
        found[f"slope {i}"] = straight - zero
        found[f"as {i}"] = shots.level_distances(sloping, straight[:, 1])
        lured = third_axis_cant(question.third_axis, slope)
        found[f"third {i}"] = shots.impacts(sloping, lured) - straight
    return found


class _Shots:
    """The fletched arrow of one rig, with one aim for each distance."""

    def __init__(self, rig: Rig, where: FloatArray, still: Conditions) -> None:
        self._rig, self._where, self._still = rig, where, still
        self._launch = rig.launch(rig.fletched)
        self.aims = [
            sight_in(
                rig.fletched,
                self._launch,
                still,
                float(distance),
                rig.sight.height_above_arrow,
                rig.bow.brace_height,
            )
            for distance in where
        ]

    def _flights(
        self, conditions: Conditions, aims: Sequence[Aim], planes: Sequence[npt.ArrayLike]
    ) -> list[Flight]:
        arrow, brace = self._rig.fletched, self._rig.bow.brace_height
        body = prepare(arrow, self._launch.speed, conditions)
        return [
            fly_prepared(arrow, body, self._launch, there, aim, brace)
            for aim, there in zip(aims, planes, strict=True)
        ]

    def impacts(self, conditions: Conditions, cant: float = 0.0) -> FloatArray:
        """(n, 2) m right and up of the aim point, each distance with its own sight setting."""
        aims = [replace(aim, cant=cant) for aim in self.aims]
        flights = self._flights(conditions, aims, [[d] for d in self._where])
        found = np.array([(one.right[0], one.up[0]) for one in flights])
        demand_reached(
            "the arrow",
            self._where,
            found,
            why="not in all that was asked for",
            instead="Ask for shorter distances, gentler slopes or less wind",
        )
        return found

    def level_distances(self, sloping: Conditions, high: FloatArray) -> FloatArray:
        """(n,) m: on level ground the sight setting that hits on the slope hits there.

        nan where that setting does not carry the arrow so far on the slope.
        """
        aims = [
            replace(aim, elevation=aim.elevation - up / distance)
            for aim, up, distance in zip(self.aims, high, self._where, strict=True)
        ]
        # what is left of it after turning the bow: a hundredth, so once more is enough
        left = self._flights(sloping, aims, [[d] for d in self._where])
        off = np.array([float(one.up[0]) for one in left])
        aims = [
            replace(aim, elevation=aim.elevation - up / distance)
            for aim, up, distance in zip(aims, np.nan_to_num(off), self._where, strict=True)
        ]
        level = self._flights(self._still, aims, [_SHARES * d for d in self._where])
        found = np.array([last_crossing(one.distance, one.up) for one in level])
        return np.where(np.isfinite(off), found, math.nan)


def last_crossing(distance: FloatArray, up: FloatArray) -> float:
    """Where a path comes down through the line of sight for good, m; nan where it does not.

    A parabola through the three points around the crossing.
    """
    falls = np.nonzero((up[:-1] >= 0.0) & (up[1:] < 0.0))[0]
    if falls.size == 0:
        return math.nan
    first = min(max(int(falls[-1]) - 1, 0), up.size - 3)
    x, y = distance[first : first + 3], up[first : first + 3]
    middle = float(x[1])
    bend, slope, height = map(float, np.polyfit(x - middle, y, 2))
    # of the two roots the one on the falling side
    inside = max(slope * slope - 4.0 * bend * height, 0.0)
    return middle - 2.0 * height / (slope - math.sqrt(inside))
