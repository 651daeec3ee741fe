"""Where arrows land for every place of the page's sliders, as whole numbers that a script reads.

The rest moves in whole steps, so each of its places is flown. The crosswind is free: cubic
interpolation between flights at even steps, whose error is measured against flights.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from vireton.answers.question import Progress, in_silence
from vireton.flight.reaching import demand_reached
from vireton.kernel.arrays import FloatArray
from vireton.report.cases import Case, Seen
from vireton.tuning.observations import ArrowKind

#: Correlations are written in thousandths.
CORRELATION = 1000

Counts = npt.NDArray[np.int64]

_CHECKS = 400  # random places of the sliders at which the error is measured, each arrow and case
#: The stated error is this much larger than the largest found: other places may be a little worse
#: than those looked at (our choice).
_MARGIN = 1.5
_CUBIC = 4


@dataclass(frozen=True)
class Reach:
    """Where the sliders go: rest moved ``right`` and ``up`` (m, whole steps, 0 among them) and
    crosswinds ``wind`` that are flown, m/s toward the right, five or more at even steps.
    """

    right: FloatArray
    up: FloatArray
    wind: FloatArray

    @property
    def stands(self) -> tuple[int, int]:
        """Where in ``right`` and ``up`` the rest is not moved."""
        return int(np.argmin(np.abs(self.right))), int(np.argmin(np.abs(self.up)))


@dataclass(frozen=True)
class CaseTable:
    """One case in counts of :attr:`Tables.size`.

    ``places`` by arrow, (r, u, w, n, 2); ``spreads`` (r, u, 5, n, 3): standard deviations right and
    up, and their correlation in thousandths, in the winds of :func:`spread_winds`.
    """

    weight: float
    nose: int
    places: dict[ArrowKind, Counts]
    spreads: dict[Seen, Counts]


@dataclass(frozen=True)
class Tables:
    """All that the page's script reads.

    ``size`` m a count; ``errors`` (n,) m: no place read from the tables is farther off than that,
    on either axis.
    """

    reach: Reach
    distances: FloatArray
    size: float
    cases: tuple[CaseTable, ...]
    errors: FloatArray


def wind_weights(nodes: FloatArray, wind: float) -> tuple[int, FloatArray]:
    """First of the four nodes around ``wind`` and their weights (4,): Lagrange's cubic."""
    below = int(np.searchsorted(nodes, wind, side="right"))
    first = min(max(below - 2, 0), len(nodes) - _CUBIC)
    near = nodes[first : first + _CUBIC]
    weights = [
        math.prod((wind - other) / (own - other) for other in near if other != own) for own in near
    ]
    return first, np.array(weights)


def spread_winds(nodes: FloatArray) -> FloatArray:
    """The five of the winds, evenly among them, at which spreads are worked out."""
    return nodes[[round(share * (len(nodes) - 1)) for share in (0.0, 0.25, 0.5, 0.75, 1.0)]]


def line_weights(nodes: FloatArray, wind: float) -> FloatArray:
    """Weights (n,) of straight lines between ``nodes``."""
    return np.array([np.interp(wind, nodes, one) for one in np.eye(len(nodes))])


def look_up(
    tables: Tables, case: int, kind: ArrowKind, right: int, up: int, wind: float
) -> FloatArray:
    """Where an arrow lands (n, 2) m, as the page's script reads it.

    ``right`` and ``up`` are places in the reach's lists, ``wind`` m/s within its list.
    """
    first, weights = wind_weights(tables.reach.wind, wind)
    near = tables.cases[case].places[kind][right, up, first : first + _CUBIC]
    return np.asarray(np.tensordot(weights, near, 1) * tables.size)


def tabulate(
    cases: Sequence[Case],
    reach: Reach,
    distances: FloatArray,
    size: float,
    seed: int = 1,
    progress: Progress = in_silence,
) -> Tables:
    """Fly every place of the sliders and measure what interpolation costs.

    Args:
        cases: the likelier first.
        reach: where the sliders go.
        distances: (n,) m, those of the cases.
        size: m a count, the grain of the tables.
        seed: of the places at which the error is measured.
        progress: shows how far the work is.

    Raises InputProblem where an arrow does not reach a distance from some place of the sliders.
    """
    found = tuple(CaseTable(case.weight, case.nose, {}, {}) for case in cases)
    parts = [(k, one) for k, case in enumerate(cases) for one in _seen(case)]
    for k, one in progress(parts, "flying to every place of the sliders"):
        if one != "apart":
            found[k].places[one] = _places(cases[k], one, reach, distances, size)
        found[k].spreads[one] = _spread(cases[k], one, reach, distances, size)
    rough = Tables(reach, distances, size, found, np.zeros(len(distances)))
    worst = np.max(
        [
            measured_errors(rough, k, case, kind, _CHECKS, seed)
            for k, case in enumerate(cases)
            for kind in case.kinds
        ],
        axis=0,
    )
    return Tables(reach, distances, size, found, _MARGIN * worst)


def measured_errors(
    tables: Tables, number: int, case: Case, kind: ArrowKind, count: int, seed: int
) -> FloatArray:
    """Largest error (n,) m of the tables at ``count`` random places of the sliders."""
    random = np.random.default_rng(seed)
    reach = tables.reach
    rights = random.integers(len(reach.right), size=count)
    ups = random.integers(len(reach.up), size=count)
    winds = random.uniform(reach.wind[0], reach.wind[-1], count)
    flown = case.places(kind, np.column_stack([reach.right[rights], reach.up[ups], winds]))
    read = [
        look_up(tables, number, kind, right, up, wind)
        for right, up, wind in zip(rights, ups, winds, strict=True)
    ]
    return np.asarray(np.abs(np.array(read) - flown).max(axis=(0, 2)))


def _seen(case: Case) -> tuple[Seen, ...]:
    return (*case.kinds, "apart") if len(case.kinds) > 1 else case.kinds


def _places(
    case: Case, kind: ArrowKind, reach: Reach, distances: FloatArray, size: float
) -> Counts:
    """(r, u, w, n, 2)."""
    grid = np.stack(np.meshgrid(reach.right, reach.up, reach.wind, indexing="ij"), axis=-1)
    landed = case.places(kind, grid.reshape(-1, 3))
    _demand_reached(landed, kind, distances)
    return np.rint(landed / size).astype(np.int64).reshape(*grid.shape[:3], -1, 2)


def _spread(case: Case, seen: Seen, reach: Reach, distances: FloatArray, size: float) -> Counts:
    """(r, u, 5, n, 3). Standard deviations bend upwards with the wind, so that a line between two
    winds says too much rather than too little.
    """
    axes = (reach.right, reach.up, spread_winds(reach.wind))
    grid = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1)
    found = case.covariances(seen, grid.reshape(-1, 3))
    # a plausible bow may be weaker than the setup's own
    _demand_reached(found, seen, distances)
    sd = np.sqrt(np.stack([found[..., 0, 0], found[..., 1, 1]], axis=-1))
    both = np.prod(sd, axis=-1)
    correlation = np.where(both > 0.0, found[..., 0, 1] / np.where(both > 0.0, both, 1.0), 0.0)
    numbers = np.concatenate([sd / size, CORRELATION * correlation[..., None]], axis=-1)
    counts = np.rint(numbers).astype(np.int64)
    return np.asarray(counts.reshape(*grid.shape[:3], -1, 3))


def _demand_reached(values: FloatArray, kind: str, distances: FloatArray) -> None:
    """Of values (m, n, …), none of which may be missing at any distance."""
    demand_reached(
        f"the {kind} arrow",
        distances,
        np.moveaxis(values, 1, 0),
        why="not from every rest setting and in every wind of the page",
        instead="Ask for shorter distances with --distances",
    )
