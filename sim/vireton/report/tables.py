"""Where arrows land for every place of the page's sliders, as whole numbers that a script reads.

The rest moves in whole steps, so each of its places is flown. The crosswind is free: cubic
interpolation between flights at even steps, whose error is measured against flights.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from vireton.arrays import FloatArray
from vireton.observations import ArrowKind
from vireton.problems import InputProblem
from vireton.report.cases import Case, Seen

Counts = npt.NDArray[np.int64]

_CHECKS = 400  # random places of the sliders at which the error is measured, each arrow and case
#: The stated error is this much larger than the largest found: other places may be a little worse
#: than those looked at (our choice).
_MARGIN = 1.5
_CUBIC = 4


@dataclass(frozen=True)
class Reach:
    """Where the sliders go: rest moved ``right`` and ``up`` (m, whole steps, 0 among them) and
    crosswinds ``wind`` that are flown, m/s towards the right, five or more at even steps, an odd
    number of them.
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

    ``places`` by arrow, (r, u, w, n, 2); ``spreads``, in squared counts, (r, u, 3, n, 3): variances
    right and up and their covariance in the first, the middle and the last wind.
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
    return first, lagrange(near, wind)


def lagrange(nodes: FloatArray, at: float) -> FloatArray:
    """Weights (n,) of the polynomial through values at ``nodes`` (n,)."""
    weights = [
        math.prod((at - other) / (own - other) for other in nodes if other != own) for own in nodes
    ]
    return np.array(weights)


def ends_and_middle(nodes: FloatArray) -> FloatArray:
    """First, middle and last of an odd number of nodes, (3,)."""
    return nodes[[0, len(nodes) // 2, -1]]


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
    cases: Sequence[Case], reach: Reach, distances: FloatArray, size: float, seed: int = 1
) -> Tables:
    """Fly every place of the sliders and measure what interpolation costs.

    Args:
        cases: the likelier first.
        reach: where the sliders go.
        distances: (n,) m, those of the cases.
        size: m a count, the grain of the tables.
        seed: of the places at which the error is measured.

    Raises InputProblem where an arrow does not reach a distance from some place of the sliders.
    """
    found = tuple(_case_table(case, reach, distances, size) for case in cases)
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


def _case_table(case: Case, reach: Reach, distances: FloatArray, size: float) -> CaseTable:
    shape = (len(reach.right), len(reach.up), len(reach.wind))
    grid = np.stack(np.meshgrid(reach.right, reach.up, reach.wind, indexing="ij"), axis=-1)
    places: dict[ArrowKind, Counts] = {}
    for kind in case.kinds:
        landed = case.places(kind, grid.reshape(-1, 3))
        _demand_reached(landed, kind, distances)
        places[kind] = np.rint(landed / size).astype(np.int64).reshape(*shape, -1, 2)
    seen: tuple[Seen, ...] = (*case.kinds, "apart") if len(case.kinds) > 1 else case.kinds
    spreads = {one: _spread(case, one, reach, size) for one in seen}
    return CaseTable(case.weight, case.nose, places, spreads)


def _spread(case: Case, seen: Seen, reach: Reach, size: float) -> Counts:
    """(r, u, 3, n, 3). Where places go with rest and wind along straight lines, covariances are
    quadratic in both: three places an axis are worked out, the others follow.
    """
    axes = [ends_and_middle(one) for one in (reach.right, reach.up, reach.wind)]
    grid = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1)
    found = case.covariances(seen, grid.reshape(-1, 3))
    three = found.reshape(3, 3, 3, found.shape[1], 4)[..., [0, 3, 1]]
    by_right = np.array([lagrange(axes[0], one) for one in reach.right])
    by_up = np.array([lagrange(axes[1], one) for one in reach.up])
    full = np.einsum("ri,uj,ijwnc->ruwnc", by_right, by_up, three)
    return np.rint(full / size**2).astype(np.int64)


def _demand_reached(landed: FloatArray, kind: ArrowKind, distances: FloatArray) -> None:
    never = ~np.isfinite(landed).all(axis=(0, 2))
    if never.any():
        far = float(distances[np.argmax(never)])
        raise InputProblem(
            f"the {kind} arrow does not reach {far / 0.9144:.4g} yd ({far:.4g} m) from every rest "
            "setting and in every wind of the page: ask for shorter distances with --distances"
        )
