"""Where arrows land, and what a rest move does to that, at every distance, with bands."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from vireton.bow.arrow import Arrow
from vireton.flight.flight import Flight
from vireton.kernel.arrays import FloatArray
from vireton.rig import Rig, vary
from vireton.studies.experience import weigh
from vireton.uncertain import (
    DEFAULT_DRAWS,
    DEFAULT_SEED,
    Banded,
    band,
    latin_hypercube,
    variance_shares,
)
from vireton.uncertain.weights import WeighedDraws
from vireton.units.problems import InputProblem

Ranges = Mapping[str, tuple[float, float]]
#: Wraps the rigs that are shot, to show how far the work is.
Watched = Callable[[Sequence[Rig]], Iterable[Rig]]

#: m, 20 yd: where bare and fletched are usually compared (common practice, no source).
TALKING_DISTANCE = 18.288


def talking_index(distance: FloatArray) -> int:
    """Index of the distance that words speak of: the one nearest to 20 yd."""
    return int(np.argmin(np.abs(distance - TALKING_DISTANCE)))


@dataclass(frozen=True)
class FlightAnswer:
    """One arrow's flight with the band of its impact.

    ``impact`` holds (n, 2) arrays (right, up) m from the line of sight, or from the bore line.
    """

    flight: Flight
    impact: Banded


@dataclass(frozen=True)
class RestMove:
    """What moving the rest by ``right``, ``up`` m does, at ``distance`` (n,) m.

    Arrays (n, 2) hold (right, up) m: ``fletched`` and ``bare`` are shifts of the impact from where
    it was before the move, the sight untouched; ``separation`` is bare minus fletched after the
    move, ``separation_before`` before it, ``separation_change`` the difference. ``tear_fletched``
    and ``tear_bare`` (2,) m are tail minus point hole at the paper after the move;
    ``tear_from_bending`` (2,) m, ≥ 0, is the most that the bare shaft's swinging adds either way.
    The bands come from ``draws`` plausible bows, each counted by its weight; ``effective_draws``:
    how many that count alike are worth as much. ``share_right`` is the share of draws in which
    the move sends the bare shaft to the right of the fletched one, at the distance nearest to 20
    yd; nan without a sideways move. ``share_right_before`` is that share by the launch model alone,
    before the draws were weighed by the trade's experience. ``deciders_right`` and ``deciders_up``
    tell which inputs decide the change of separation there: shares of its variance over the draws
    by the keys of the inputs, largest first; empty on an axis that was not moved.
    """

    right: float
    up: float
    distance: FloatArray
    fletched: Banded
    bare: Banded
    separation: Banded
    separation_before: Banded
    separation_change: Banded
    tear_fletched: Banded
    tear_bare: Banded
    tear_from_bending: FloatArray
    share_right: float
    deciders_right: dict[str, float]
    deciders_up: dict[str, float]
    draws: int
    share_right_before: float = float("nan")
    effective_draws: float = float("nan")


def _impact(flight: Flight) -> FloatArray:
    return np.column_stack([flight.right, flight.up])


def answer_flights(
    rig: Rig,
    distances: npt.ArrayLike,
    ranges: Ranges,
    *,
    right: float = 0.0,
    up: float = 0.0,
    draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
    progress: Watched = iter,
) -> dict[str, FlightAnswer]:
    """Fly the fletched arrow and the bare shaft, the rest moved by (right, up) m.

    Args:
        rig: sighted in before the rest is moved.
        distances: (n,) m from the grip.
        ranges: plausible ranges by the keys of :data:`vireton.uncertain.inputs.INPUTS`, SI.
        right: m, rest move.
        up: m.
        draws: how many plausible rigs the bands come from. Where rest, nock or release push to a
            side they are weighed by the trade's experience, as in :func:`answer_rest_moves`.
        seed: of the draws.
        progress: wraps the rigs, to show how far the work is.

    Returns answers under ``fletched`` (only where the arrow has vanes), ``bare``, and ``broadhead``
    where the setup has one. Raises InputProblem where a drawn rig cannot be sighted in.
    """
    weights = None
    if rig.bow.pushes_aside(rig.bow.rest.offset_right + right):
        weighed = weigh(rig, ranges, draws=draws, seed=seed)
        drawn, weights = weighed.values, weighed.weights
    else:
        drawn = latin_hypercube(ranges, draws, seed)
    rigs = [vary(rig, values) for values in drawn]

    kinds: tuple[str, ...] = ("fletched", "bare") if rig.fletched.is_fletched else ("bare",)
    if rig.broadhead is not None:
        kinds += ("broadhead",)

    def flown(one: Rig) -> dict[str, Flight]:
        return {kind: one.shoot(getattr(one, kind), distances, right, up) for kind in kinds}

    def impacts(flights: dict[str, Flight]) -> dict[str, FloatArray]:
        return {kind: _impact(flight) for kind, flight in flights.items()}

    nominal = flown(rig)
    own, others = impacts(nominal), [impacts(flown(one)) for one in progress(rigs)]
    return {
        kind: FlightAnswer(nominal[kind], band(own[kind], [one[kind] for one in others], weights))
        for kind in kinds
    }


@dataclass(frozen=True)
class _Shots:
    """Impacts (n, 2) and tears (2,) of one rig, before or after a move."""

    fletched: FloatArray
    bare: FloatArray
    tear_fletched: FloatArray
    tear_bare: FloatArray


def _shots(rig: Rig, distances: FloatArray, paper: float, right: float, up: float) -> _Shots:
    def impact(arrow: Arrow) -> FloatArray:
        return _impact(rig.shoot(arrow, distances, right, up))

    def hole(arrow: Arrow) -> FloatArray:
        return np.array(rig.tear(arrow, paper, right, up))

    return _Shots(impact(rig.fletched), impact(rig.bare), hole(rig.fletched), hole(rig.bare))


def answer_rest_moves(
    rig: Rig,
    moves: Sequence[tuple[float, float]],
    distances: npt.ArrayLike,
    ranges: Ranges,
    *,
    paper: float,
    draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
    progress: Watched = iter,
) -> list[RestMove]:
    """What each of the ``moves`` (right, up) m from the setup's own rest setting does.

    Args:
        rig: sighted in before the move; the sight is not touched.
        moves: rest moves, each from the same starting place.
        distances: (n,) m.
        ranges: plausible ranges by the keys of :data:`vireton.uncertain.inputs.INPUTS`.
        paper: m from the grip to the tear paper.
        draws: how many plausible rigs the bands come from, at least: they are weighed by the
            trade's experience, and more are drawn where too few are left.
        seed: of the draws.
        progress: wraps the rigs, to show how far the work is.

    Raises InputProblem for an arrow without vanes, and where a drawn rig cannot be sighted in.
    """
    if not rig.fletched.is_fletched:
        raise InputProblem("a rest move is read against a fletched arrow: give the arrow vanes")
    where = np.atleast_1d(np.asarray(distances, dtype=float))
    weighed = weigh(rig, ranges, draws=draws, seed=seed)
    rigs = [rig, *(vary(rig, values) for values in weighed.values)]
    settings = [(0.0, 0.0), *moves]
    shot = [[_shots(one, where, paper, *move) for move in settings] for one in progress(rigs)]
    before, *moved = [[one[place] for one in shot] for place in range(len(settings))]
    answers = []
    for (right, up), after in zip(moves, moved, strict=True):
        bending = np.array(rig.tear_from_bending(rig.bare, paper, right, up))
        answers.append(_rest_move(right, up, where, before, after, bending, weighed))
    return answers


def _rest_move(
    right: float,
    up: float,
    where: FloatArray,
    before: list[_Shots],
    after: list[_Shots],
    bending: FloatArray,
    weighed: WeighedDraws,
) -> RestMove:
    drawn, weights = weighed.values, weighed.weights

    def banded(values: list[FloatArray]) -> Banded:
        return band(values[0], values[1:], weights)

    pairs = list(zip(before, after, strict=True))
    separated = [b.bare - b.fletched for b in after]
    separated_before = [a.bare - a.fletched for a in before]
    change = [new - old for new, old in zip(separated, separated_before, strict=True)]
    nearest = talking_index(where)
    there = np.array([one[nearest] for one in change[1:]])
    return RestMove(
        right=right,
        up=up,
        distance=where,
        fletched=banded([b.fletched - a.fletched for a, b in pairs]),
        bare=banded([b.bare - a.bare for a, b in pairs]),
        separation=banded(separated),
        separation_before=banded(separated_before),
        separation_change=banded(change),
        tear_fletched=banded([b.tear_fletched for b in after]),
        tear_bare=banded([b.tear_bare for b in after]),
        tear_from_bending=bending,
        share_right=float(weights @ (there[:, 0] > 0.0)) if right else float("nan"),
        deciders_right=variance_shares(drawn, there[:, 0], weights) if right else {},
        deciders_up=variance_shares(drawn, there[:, 1], weights) if up else {},
        draws=len(drawn),
        share_right_before=float(np.mean(there[:, 0] > 0.0)) if right else float("nan"),
        effective_draws=weighed.effective,
    )
