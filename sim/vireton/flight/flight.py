"""Fly one arrow and say where it is at each distance. Results are data only."""

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from vireton.bow.arrow import STANDARD_GRAVITY, Arrow
from vireton.flight.air import Air
from vireton.flight.coefficients import Coefficients
from vireton.flight.packing import pack
from vireton.flight.reaching import demand_reached
from vireton.flight.volley import Aim, places_across, start_of
from vireton.kernel.arrays import FloatArray
from vireton.kernel.door import DEFAULT_TOLERANCE, fly_to_planes, release
from vireton.kernel.integrator import MESSAGES
from vireton.kernel.parameters import Parameters
from vireton.launch.release import Launch


@dataclass(frozen=True)
class Wind:
    """Steady wind over ground. ``towards_x`` and ``towards_right`` m/s are where the air goes.

    They hold at ``reference_height`` m above ground; ``exponent`` 0 is uniform, 0.14 a common
    value over open ground, more over bushes (power-law profile, common engineering practice, no
    source). The ground is taken to run along under the line of sight.
    """

    towards_x: float = 0.0
    towards_right: float = 0.0
    exponent: float = 0.0
    reference_height: float = 2.0

    @staticmethod
    def from_clock(
        speed: float, clock: float, exponent: float = 0.0, reference_height: float = 2.0
    ) -> "Wind":
        """Wind of ``speed`` m/s out of a clock direction: 12 in the face, 3 from the right."""
        angle = clock / 12.0 * 2.0 * np.pi
        along, across = -speed * float(np.cos(angle)), -speed * float(np.sin(angle))
        return Wind(along, across, exponent, reference_height)


@dataclass(frozen=True)
class Conditions:
    """What surrounds a shot: air, wind, slope of the line of sight, height; the model's factors.

    ``slope`` rad, uphill positive; ``launch_height`` m above ground; ``drag_coefficient`` as
    measured, on the shaft's cross-section, in place of the model's drag, None for the model's.
    """

    air: Air
    wind: Wind = field(default_factory=Wind)
    slope: float = 0.0
    launch_height: float = 1.5
    coefficients: Coefficients = field(default_factory=Coefficients)
    drag_coefficient: float | None = None


@dataclass(frozen=True)
class Flight:
    """One flight, read where the point reaches each distance. SI, archer's signs.

    Arrays of shape (n,): ``distance`` m from the bow's grip; ``time`` s since nock release;
    ``speed`` m/s; ``right``, ``up`` m of the point from the line of sight (or from the bore line
    where no sight was given); ``yaw`` nose right and ``pitch`` nose up, rad, against the direction
    of flight; ``spin`` rad/s, clockwise for the archer. nan where a distance was never reached;
    ``message`` then says why. ``steps`` and ``evaluations`` tell what it cost.
    """

    distance: FloatArray
    time: FloatArray
    speed: FloatArray
    right: FloatArray
    up: FloatArray
    yaw: FloatArray
    pitch: FloatArray
    spin: FloatArray
    reached_all: bool
    message: str
    steps: int
    evaluations: int


def demand_flown(kind: str, flight: Flight) -> None:
    """Refuse distances that this flight never reaches. Raises InputProblem."""
    demand_reached(f"the {kind} arrow", flight.distance, flight.time, why=flight.message)


def initial_state(arrow: Arrow, launch: Launch, aim: Aim, brace_height: float) -> FloatArray:
    """Kernel state (16,) at nock release, in the frame of the line of sight.

    The origin is on the line of sight above the bow's grip, ``brace_height`` m ahead of the nock
    at release.
    """
    start = start_of(launch, aim, arrow.balance)
    return np.asarray(release(start[None], brace_height)[0])


def surround(body: Parameters, conditions: Conditions) -> Parameters:
    """Add wind, slope and height to a packed arrow."""
    wind = conditions.wind
    return body._replace(
        gravity_x=-STANDARD_GRAVITY * float(np.sin(conditions.slope)),
        gravity_up=-STANDARD_GRAVITY * float(np.cos(conditions.slope)),
        wind_x=wind.towards_x,
        wind_right=wind.towards_right,
        wind_exponent=wind.exponent,
        wind_reference_height=wind.reference_height,
        launch_height=conditions.launch_height,
    )


def prepare(arrow: Arrow, speed: float, conditions: Conditions) -> Parameters:
    """The kernel's parameters of this arrow under these conditions."""
    packed = pack(
        arrow, conditions.air, speed, conditions.coefficients, conditions.drag_coefficient
    )
    return surround(packed, conditions)


def fly(
    arrow: Arrow,
    launch: Launch,
    conditions: Conditions,
    distances: npt.ArrayLike,
    *,
    aim: Aim | None = None,
    brace_height: float = 0.0,
    tolerance: float = DEFAULT_TOLERANCE,
) -> Flight:
    """Fly one arrow.

    Args:
        arrow: fletched or bare.
        launch: its state at nock release.
        conditions: air, wind, slope.
        distances: (n,) m from the bow's grip; must be beyond the point at release to be reached.
        aim: how the bow is held; None measures from the bore line.
        brace_height: m, grip to nock at release.
        tolerance: m of position error allowed a step.
    """
    body = prepare(arrow, launch.speed, conditions)
    return fly_prepared(
        arrow, body, launch, distances, aim or Aim(), brace_height, tolerance=tolerance
    )


def fly_prepared(
    arrow: Arrow,
    body: Parameters,
    launch: Launch,
    distances: npt.ArrayLike,
    aim: Aim,
    brace_height: float,
    *,
    tolerance: float = DEFAULT_TOLERANCE,
) -> Flight:
    """:func:`fly` with the arrow already packed, for many launches of one arrow."""
    planes = np.atleast_1d(np.asarray(distances, dtype=float))
    front = arrow.total_length - arrow.balance
    start = initial_state(arrow, launch, aim, brace_height)
    crossings = fly_to_planes(start, body, planes, front, tolerance)
    states = crossings.states
    point = places_across(states, front)
    velocity, axis = states[:, 3:6], states[:, 6:9]
    speed = np.linalg.norm(velocity, axis=1)
    yaw = np.arctan2(axis[:, 2], axis[:, 0]) - np.arctan2(velocity[:, 2], velocity[:, 0])
    pitch = np.arcsin(np.clip(axis[:, 1], -1.0, 1.0)) - np.arcsin(
        np.clip(velocity[:, 1] / np.where(speed > 0.0, speed, 1.0), -1.0, 1.0)
    )
    reached = bool(np.isfinite(crossings.times).all())
    return Flight(
        distance=planes,
        time=crossings.times,
        speed=speed,
        right=point[:, 0],
        up=point[:, 1],
        yaw=(yaw + np.pi) % (2.0 * np.pi) - np.pi,
        pitch=pitch,
        spin=states[:, 12],
        reached_all=reached,
        message=MESSAGES[crossings.status],
        steps=crossings.steps,
        evaluations=crossings.evaluations,
    )


def tear(
    arrow: Arrow,
    launch: Launch,
    conditions: Conditions,
    paper: float,
    *,
    aim: Aim | None = None,
    brace_height: float = 0.0,
) -> tuple[float, float]:
    """Tear at a paper ``paper`` m from the grip: tail hole minus point hole, (right, up) m.

    The point's and the nock's crossings of the same plane, as if the paper did not hold the arrow.
    nan where the paper is not reached.
    """
    held = aim or Aim()
    body = prepare(arrow, launch.speed, conditions)
    front = arrow.total_length - arrow.balance
    start = initial_state(arrow, launch, held, brace_height)
    crossings = fly_to_planes(start, body, [paper, paper], [front, -arrow.balance])
    point, tail = places_across(crossings.states, [front, -arrow.balance])
    return float(tail[0] - point[0]), float(tail[1] - point[1])
