"""How impacts and tears change with launch, hold, rest, arrow and air.

The flight's derivative is exact: a tiny imaginary step h in what is asked goes through the one
right-hand side, the integrator and the crossing of the plane, and comes out as h times the
derivative in the imaginary parts (Squire and Trapp 1998, "Using Complex Variables to Estimate
Derivatives of Real Functions", SIAM Review 40:110-112). No difference of near-equal numbers is
taken, and the step control sees real parts only, so its error is that of the flight itself.

What comes before the flight (launch model, packing) is smooth and without an integrator's noise:
its derivatives are differences of fourth order, which then ride through the flight.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from vireton.bow.arrow import Arrow
from vireton.flight.flight import prepare
from vireton.flight.volley import places_across, start_of
from vireton.kernel.arrays import FloatArray
from vireton.kernel.door import fly_many, release
from vireton.kernel.start import START
from vireton.rig import Rig

#: Position error allowed a step, m: derivatives are then good to some 1e-4 of a fletched arrow's
#: yaw, whose crossflow keeps coming near nothing, and to 1e-7 of the rest (see DEVELOPERS).
DERIVATIVE_TOLERANCE = 1e-8

#: So small that its square is nothing beside any number here; as good at any size of what it moves.
_TINY = 1e-30


@dataclass(frozen=True)
class Released:
    """One arrow at nock release, as plain numbers, or a direction in which one may change.

    ``start`` (15,) as in :data:`~vireton.kernel.start.START`, ``body`` (P,) the kernel's
    parameters, ``front`` and ``rear`` m from the center of gravity to the tip of the point and to
    the nock throat (negative).
    """

    start: FloatArray
    body: FloatArray
    front: float
    rear: float


@dataclass(frozen=True)
class Sensitivities:
    """Points (n, 2) and tears (k, 2), right and up, m; derivatives (n or k, 2, q) by q things."""

    points: FloatArray
    tears: FloatArray
    points_by: FloatArray
    tears_by: FloatArray


def released(rig: Rig, arrow: Arrow, right: float = 0.0, up: float = 0.0) -> Released:
    """One arrow from the rig with its own aim, the rest moved by (right, up) m."""
    launch = rig.launch(arrow, right, up)
    return Released(
        start_of(launch, rig.aim, arrow.balance),
        np.array(prepare(arrow, launch.speed, rig.conditions)),
        arrow.total_length - arrow.balance,
        -arrow.balance,
    )


def by_start(name: str) -> Released:
    """The direction of one number of the start: speed, a launch angle or rate, a hold.

    Raises ValueError for a name that is not in :data:`~vireton.kernel.start.START`. The balance
    moves the whole arrow: ask for it with :func:`by_difference`.
    """
    if name not in START[1:]:
        raise ValueError(f"a start has no {name!r} to derive by; it has {', '.join(START[1:])}")
    start = np.zeros(len(START))
    start[START.index(name)] = 1.0
    return Released(start, np.zeros(0), 0.0, 0.0)


def by_difference(make: Callable[[float], Released], step: float) -> Released:
    """The direction d(shot)/d(value) at 0, where ``make`` gives the shot for a small change.

    Five-point formula, error of order step⁴ (Abramowitz and Stegun 1964, table 25.2). ``make`` must
    be smooth over ±2 ``step``.
    """
    ends = [make(i * step) for i in (-2, -1, 1, 2)]

    def slope(values: Sequence[npt.ArrayLike]) -> FloatArray:
        far_left, left, right, far_right = (np.asarray(value, dtype=float) for value in values)
        return np.asarray((far_left - far_right + 8.0 * (right - left)) / (12.0 * step))

    return Released(
        slope([one.start for one in ends]),
        slope([one.body for one in ends]),
        float(slope([one.front for one in ends])),
        float(slope([one.rear for one in ends])),
    )


def sensitivities(
    shot: Released,
    directions: Sequence[Released],
    targets: Sequence[float],
    papers: Sequence[float] = (),
    *,
    brace_height: float,
    tolerance: float = DERIVATIVE_TOLERANCE,
) -> Sensitivities:
    """Fly the shot and derive its points at targets and its tears at papers by each direction.

    Args:
        shot: what is flown.
        directions: q changes, from :func:`by_start` or :func:`by_difference`.
        targets: m from the grip.
        papers: m from the grip.
        brace_height: m.
        tolerance: m of position error allowed a step.

    Returns:
        Points, tears and derivatives, SI; nan where a distance is not reached.
    """
    count = max(len(directions), 1)
    starts = np.repeat(shot.start[None].astype(complex), count, axis=0)
    bodies = np.repeat(shot.body[None].astype(complex), count, axis=0)
    fronts, rears = np.full(count, shot.front, complex), np.full(count, shot.rear, complex)
    for i, direction in enumerate(directions):
        starts[i] += 1j * _TINY * direction.start
        if direction.body.size:
            bodies[i] += 1j * _TINY * direction.body
        fronts[i] += 1j * _TINY * direction.front
        rears[i] += 1j * _TINY * direction.rear
    n, k = len(targets), len(papers)
    stations = np.concatenate(
        [np.repeat(fronts[:, None], n + k, axis=1), np.repeat(rears[:, None], k, axis=1)], axis=1
    )
    planes = [*targets, *papers, *papers]
    states = fly_many(release(starts, brace_height), bodies, planes, stations, tolerance).states
    places = places_across(states, stations)
    points, tears = places[:, :n], places[:, n + k :] - places[:, n : n + k]
    by = len(directions)
    return Sensitivities(
        points[0].real,
        tears[0].real,
        np.moveaxis(points[:by].imag, 0, -1) / _TINY,
        np.moveaxis(tears[:by].imag, 0, -1) / _TINY,
    )


def _rest_right(rig: Rig, arrow: Arrow, change: float) -> Released:
    return released(rig, arrow, change, 0.0)


def _rest_up(rig: Rig, arrow: Arrow, change: float) -> Released:
    return released(rig, arrow, 0.0, change)


def _air_density(rig: Rig, arrow: Arrow, change: float) -> Released:
    air = rig.conditions.air
    thicker = replace(air, density=air.density + change)
    return released(replace(rig, conditions=replace(rig.conditions, air=thicker)), arrow)


def _wind(rig: Rig, arrow: Arrow, along: float, right: float) -> Released:
    wind = rig.conditions.wind
    blown = replace(
        wind, towards_x=wind.towards_x + along, towards_right=wind.towards_right + right
    )
    return released(replace(rig, conditions=replace(rig.conditions, wind=blown)), arrow)


def _factor(name: str) -> Callable[[Rig, Arrow, float], Released]:
    def change_of(rig: Rig, arrow: Arrow, change: float) -> Released:
        factors = rig.conditions.coefficients
        changed = replace(factors, **{name: getattr(factors, name) + change})
        conditions = replace(rig.conditions, coefficients=changed)
        return released(replace(rig, conditions=conditions), arrow)

    return change_of


def _stiffness(rig: Rig, arrow: Arrow, change: float) -> Released:
    if arrow.stiffness is None:
        raise ValueError("an arrow of unknown spine has no stiffness to derive by")
    return released(rig, replace(arrow, stiffness=arrow.stiffness * (1.0 + change)))


#: What an impact may be derived by beside the numbers of a start, in SI, with a step that the
#: launch model and the packing are smooth over. Stiffness of the shaft and the model's factors are
#: relative. The aim is held: what a sight set anew would take out is in it.
INPUTS: dict[str, tuple[Callable[[Rig, Arrow, float], Released], float]] = {
    "rest_right": (_rest_right, 1e-4),
    "rest_up": (_rest_up, 1e-4),
    "shaft_stiffness": (_stiffness, 1e-3),
    "air_density": (_air_density, 1e-3),
    "wind_along": (lambda rig, arrow, change: _wind(rig, arrow, change, 0.0), 0.1),
    "wind_right": (lambda rig, arrow, change: _wind(rig, arrow, 0.0, change), 0.1),
    **{
        name: (_factor(name), 1e-3)
        for name in ("crossflow_drag", "vane_lift", "boundary_layer", "friction", "point_lift")
    },
}


def by_input(rig: Rig, arrow: Arrow, name: str) -> Released:
    """The direction of one of :data:`INPUTS`, or of a number of the start.

    Raises ValueError for a name that is neither.
    """
    if name not in INPUTS:
        return by_start(name)
    make, step = INPUTS[name]
    return by_difference(lambda change: make(rig, arrow, change), step)
