"""Sight-in: the elevation and windage that put the fletched arrow on the aim point."""

import numpy as np

from vireton.bow.arrow import Arrow
from vireton.flight.flight import Conditions, Flight, fly_prepared, prepare
from vireton.flight.volley import Aim
from vireton.kernel.arrays import FloatArray
from vireton.launch.release import Launch
from vireton.units.numbers import YARD
from vireton.units.problems import InputProblem

#: m on the target: far below anything that matters.
CLOSE = 1e-7
_PROBE = 1e-4  # rad
_ROUNDS = 12


class NotSightedError(InputProblem):
    """The arrow cannot be brought to the aim point at this distance."""


def not_carried(distance: float, flight: Flight) -> NotSightedError:
    """For a flight that ended before ``distance`` m."""
    return NotSightedError(
        f"the arrow cannot be sighted in at {distance:.1f} m ({distance / YARD:.0f} yd): "
        f"{flight.message}"
    )


def not_brought(distance: float) -> NotSightedError:
    """For a search that did not end at ``distance`` m."""
    return NotSightedError(
        f"the arrow could not be brought to the aim point at {distance:.1f} m "
        f"({distance / YARD:.0f} yd): it may be out of its range"
    )


def sight_in(
    arrow: Arrow,
    launch: Launch,
    conditions: Conditions,
    distance: float,
    height: float,
    brace_height: float,
) -> Aim:
    """Find the aim with which this arrow's point meets the line of sight at ``distance`` m.

    Args:
        arrow: the fletched arrow.
        launch: as it leaves the string, relative to the bore line.
        conditions: in which the sight is set, usually still and level air.
        distance: m from the grip.
        height: m of the line of sight above the bore line at the grip.
        brace_height: m.

    Newton's method in two unknowns on real flights, its slopes from two probes. Raises
    :class:`NotSightedError` where the arrow does not carry that far.
    """
    body = prepare(arrow, launch.speed, conditions)

    def shoot(elevation: float, windage: float) -> Flight:
        aim = Aim(elevation, windage, height)
        return fly_prepared(arrow, body, launch, [distance], aim, brace_height)

    def miss(elevation: float, windage: float) -> FloatArray:
        flight = shoot(elevation, windage)
        if not flight.reached_all:
            raise not_carried(distance, flight)
        return np.array([flight.up[0], flight.right[0]])

    # a first guess from the time of flight of a level shot keeps lobs from being missed
    level = shoot(0.0, 0.0)
    drop = -level.up[0] if level.reached_all else 0.0
    aim = np.array([np.arctan2(drop, distance), 0.0])
    for _ in range(_ROUNDS):
        here = miss(*aim)
        if np.abs(here).max() < CLOSE:
            return Aim(float(aim[0]), float(aim[1]), height)
        slopes = np.column_stack(
            [
                (miss(aim[0] + _PROBE, aim[1]) - here) / _PROBE,
                (miss(aim[0], aim[1] + _PROBE) - here) / _PROBE,
            ]
        )
        change = np.linalg.solve(slopes, -here)
        aim = aim + np.clip(change, -0.3, 0.3)
    raise not_brought(distance)
