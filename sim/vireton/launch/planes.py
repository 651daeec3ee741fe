"""One plane of the launch, right or up, with a shaft that is rigid or that bends."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, NamedTuple

import numpy as np

from vireton.bow.arrow import STANDARD_GRAVITY, Arrow
from vireton.bow.bow import Bow
from vireton.kernel.arrays import FloatArray
from vireton.launch.beam import FLEXIBLE_MODES, Modes, build, modes, shape_functions
from vireton.launch.bending import BendingParameters, through_bending_stroke
from vireton.launch.draw_force import draw_of, push_table
from vireton.launch.stroke import StrokeParameters, path_at, push_at, through_stroke

Plane = Literal["right", "up"]

_RIGID_STEPS = 160
_BENDING_STEPS = 400
#: Phase of the fastest bending shape in one step, rad: the Runge–Kutta method is stable to 2.8, and
#: shapes that fast carry nothing (measured: 0.1 % of the yaw rate from the third shape up).
_STEP_PHASE = 1.0
_MOST_STEPS = 4000
#: Mass by which the rest's damping is made from its ratio: an arrow's middle on a rest, kg.
_DAMPED_MASS = 0.006


class PlaneEnd(NamedTuple):
    """The arrow at nock release in one plane. m, m/s, rad, rad/s.

    ``place`` and ``rate`` of the center of gravity; ``angle`` and ``turning`` of the shaft's rigid
    part; ``bend`` m is the amplitude at the nock of the lowest free bending shape left over, and
    ``bent`` m, with its sign, where the nock then is in that swing.
    """

    place: float
    rate: float
    angle: float
    turning: float
    bend: float
    bent: float


@dataclass(frozen=True)
class PlaneShot:
    """What one plane of a shot depends on; hashable, so that nothing is worked out twice.

    ``offset`` m of the rest from the bore line in this plane; ``bow_mass`` kg that moves as if
    fixed to the arrow.
    """

    bow: Bow
    arrow: Arrow
    plane: Plane
    offset: float
    bow_mass: float


def _cubic_path(places: tuple[float, ...], stroke: float) -> FloatArray:
    """Nock path as cubic pieces (4, n) through equally spaced places; a straight line if empty.

    The natural spline: no bending at both ends (de Boor 1978, A Practical Guide to Splines, chapter
    IV). By hand, for every start of a tuning would wait 0.1 s for scipy's.
    """
    if len(places) < 2:
        return np.zeros((4, 1))
    y, h = np.asarray(places), stroke / (len(places) - 1)
    inner = len(y) - 2
    bends = np.zeros(len(y))  # second derivatives
    system = 4.0 * np.eye(inner) + np.eye(inner, k=1) + np.eye(inner, k=-1)
    bends[1:-1] = np.linalg.solve(system, 6.0 * np.diff(y, 2) / h**2)
    slopes = np.diff(y) / h - h * (2.0 * bends[:-1] + bends[1:]) / 6.0
    return np.array([np.diff(bends) / (6.0 * h), bends[:-1] / 2.0, slopes, y[:-1]])


def _stroke_parameters(shot: PlaneShot) -> StrokeParameters:
    bow, arrow = shot.bow, shot.arrow
    up = shot.plane == "up"
    idler = bow.cams == "idler" and bow.launch_model == "flexible"
    return StrokeParameters(
        stroke=bow.power_stroke,
        bow_mass=shot.bow_mass,
        mass=arrow.mass,
        inertia=arrow.transverse_inertia,
        arm=arrow.balance,
        string_mass=bow.string_mass / 3.0,
        cam_mobility=0.0 if up else 1.0 / bow.cam_mass,
        cam_stiffness=bow.cam_stiffness,
        cam_damping=2.0 * bow.cam_damping * np.sqrt(bow.cam_stiffness * bow.cam_mass),
        steady_acceleration=-STANDARD_GRAVITY if up else 0.0,
        guided=1.0 if up and not idler else 0.0,
        let_go=bow.rest.lets_go * bow.power_stroke,
        rest_at_full_draw=bow.power_stroke + bow.rest.ahead_of_string,
        offset=shot.offset,
    )


@lru_cache(maxsize=2048)
def plane_at_release(shot: PlaneShot) -> PlaneEnd:
    """Run the power stroke in this plane, from full draw to nock release.

    The shaft bends where the bow's ``launch_model`` is flexible and the arrow's stiffness is known.
    """
    if shot.plane == "right" and not shot.bow.pushes_aside(shot.offset):
        # sideways there is no weight: nothing starts, and nothing comes of it
        return PlaneEnd(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    q = _stroke_parameters(shot)
    places = shot.bow.nock_travel_up if shot.plane == "up" else shot.bow.nock_travel_right
    path = _cubic_path(places, q.stroke)
    if shot.bow.launch_model == "rigid" or shot.arrow.stiffness is None:
        push = push_table(draw_of(shot.bow))
        end = through_stroke(q, push, path, _RIGID_STEPS)
        y, y_rate, psi, psi_rate = (float(v) for v in end[:4])
        return PlaneEnd(y + q.arm * psi, y_rate + q.arm * psi_rate, psi, psi_rate, 0.0, 0.0)
    return _bending_end(shot, q, path, shot.arrow.stiffness)


def _bending_parameters(shot: PlaneShot, pinned: bool, stiffness: float) -> BendingParameters:
    bow, up = shot.bow, shot.plane == "up"
    return BendingParameters(
        stiffness=stiffness,
        damping=bow.shaft_damping,
        rest_stiffness=bow.rest.stiffness,
        rest_damping=2.0 * bow.rest.damping_ratio * np.sqrt(bow.rest.stiffness * _DAMPED_MASS),
        one_sided=1.0 if up and bow.rest.type != "containment" else 0.0,
        nock_stiffness=bow.nock_stiffness if up else 0.0,
        idler_half_span=0.5 * bow.axle_to_axle if up and not pinned else 0.0,
        kick=bow.kick_up if up else bow.kick_right,
        element=float(build(shot.arrow).nodes[1]),
    )


def _bending_end(
    shot: PlaneShot, q: StrokeParameters, path: FloatArray, stiffness: float
) -> PlaneEnd:
    arrow = shot.arrow
    pinned = q.guided > 0.0
    push = push_table(draw_of(shot.bow))
    shapes, steps = _shapes_and_steps(arrow, pinned, stiffness, q, float(push[3, 0]))
    b = _bending_parameters(shot, pinned, stiffness)
    amplitudes, rates = through_bending_stroke(
        q,
        b,
        push,
        path,
        shapes.square_per_stiffness,
        shapes.place,
        shapes.slope,
        shapes.thrust,
        shapes.shift,
        _at_full_draw(shapes, q, b, float(path[3, 0])),
        steps,
    )[:, :-1]
    place, rate = 0.0, 0.0
    if pinned:
        place, slope, _ = path_at(path, q.stroke, q.stroke)
        # the speed along the bore line at release, from the energy that the stroke parameters hold
        rate = slope * float(np.sqrt(2.0 * _work(push, q) / (q.mass + q.bow_mass)))
    free = shapes.onto_first_bending
    bent = free @ amplitudes
    bend = np.hypot(
        bent,
        (free @ rates) / max(np.sqrt(shapes.first_bending_square * stiffness), 1e-9),
    )
    return PlaneEnd(
        place=float(place + shapes.shift @ amplitudes / arrow.mass),
        rate=float(rate + shapes.shift @ rates / arrow.mass),
        angle=float(shapes.turn @ amplitudes / arrow.transverse_inertia),
        turning=float(shapes.turn @ rates / arrow.transverse_inertia),
        bend=float(bend * shapes.first_bending_at_nock),
        bent=float(bent * shapes.first_bending_at_nock * shapes.first_bending_sign),
    )


def _shapes_and_steps(
    arrow: Arrow, pinned: bool, stiffness: float, q: StrokeParameters, holding: float
) -> tuple[Modes, int]:
    """The bending shapes that the steps can follow, and the steps that they need.

    A shape too fast for the most steps hardly moves: it is left out, down to a rigid shaft.
    """
    # the longest step in time is the first, at the holding force
    first = 2.0 * np.sqrt(q.stroke) / np.sqrt(2.0 * holding / (q.mass + q.bow_mass))
    for flexible in range(FLEXIBLE_MODES, 0, -1):
        shapes = modes(arrow, pinned=pinned, flexible=flexible)
        needed = np.sqrt(shapes.square_per_stiffness[-1] * stiffness) * first / _STEP_PHASE
        if needed <= _MOST_STEPS:
            return shapes, max(_BENDING_STEPS, int(needed))
    return modes(arrow, pinned=pinned, flexible=0), _MOST_STEPS


def _work(push: FloatArray, q: StrokeParameters) -> float:
    """J that the push does over the whole stroke."""
    return float(push_at(push, q.stroke, q.stroke)[1])


def _at_full_draw(
    shapes: Modes, q: StrokeParameters, b: BendingParameters, nock: float
) -> FloatArray:
    """Amplitudes (m,) of the shaft at rest at full draw: nock held, rest under it, its own weight.

    The column load starts only with the shot: a release aid holds the string, not the arrow.
    """
    at = q.rest_at_full_draw
    piece = min(int(at / b.element), len(shapes.place) - 2)
    value = shape_functions(np.array([at - piece * b.element]), b.element)[0][:, 0]
    over = (
        value[0] * shapes.place[piece]
        + value[1] * shapes.slope[piece]
        + value[2] * shapes.place[piece + 1]
        + value[3] * shapes.slope[piece + 1]
    )
    stiffness = np.diag(shapes.square_per_stiffness * b.stiffness)
    stiffness += b.rest_stiffness * np.outer(over, over)
    stiffness += b.nock_stiffness * np.outer(shapes.slope[0], shapes.slope[0])
    # where the nock is pinned the shapes are measured from it
    offset = q.offset - (nock if q.guided > 0.0 else 0.0)
    load = b.rest_stiffness * offset * over + q.steady_acceleration * shapes.shift
    if q.guided > 0.0:
        return np.asarray(np.linalg.solve(stiffness, load))
    held = shapes.place[0]
    size = held.size
    system = np.zeros((size + 1, size + 1))
    system[:size, :size] = stiffness
    system[size, :size] = system[:size, size] = held
    return np.asarray(np.linalg.solve(system, np.append(load, nock))[:size])
