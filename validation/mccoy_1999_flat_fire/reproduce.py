"""Vacuum parabola and flat fire of a point mass through the kernel (McCoy 1999)."""

import math
from typing import Any

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.kernel.door import fly_to_planes
from vireton.kernel.motion import STATE_SIZE
from vireton.kernel.parameters import Parameters
from vireton.published.checks import CaseData

#: m of position error a step: below the last digit of any value here.
TOLERANCE = 1e-9


def crossing(
    given: dict[str, Any], body: Parameters, distance: float, elevation: float = 0.0
) -> tuple[float, FloatArray]:
    """Time and state of a point mass shot at ``elevation`` rad where it is ``distance`` m away."""
    state = np.zeros(STATE_SIZE)
    state[3] = given["speed"] * math.cos(elevation)
    state[4] = given["speed"] * math.sin(elevation)
    state[6] = state[14] = 1.0  # nose downrange: a point mass does not care
    found = fly_to_planes(state, body, [distance], 0.0, TOLERANCE)
    return float(found.times[0]), found.states[0]


def reproduce(data: CaseData) -> dict[str, float]:
    given = data.data
    distance, wind = given["distance"], given["crosswind"]
    vacuum = Parameters(mass=given["mass"])
    time, there = crossing(given, vacuum, distance)
    angle = math.radians(given["elevation_degrees"])
    half_range = 0.5 * given["speed"] ** 2 * math.sin(2.0 * angle) / -vacuum.gravity_up
    found = {
        "vacuum_drop": -float(there[1]),
        "vacuum_time": time,
        "vacuum_summit": float(crossing(given, vacuum, half_range, angle)[1][1]),
    }
    for name, drag_coefficient in given["drag_coefficients"].items():
        body = vacuum._replace(
            density=given["density"],
            constant_area=0.25 * math.pi * given["diameter"] ** 2,
            constant_drag=drag_coefficient,
        )
        flat_time, flat = crossing(given, body._replace(gravity_up=0.0), distance)
        time, there = crossing(given, body, distance)
        _, blown = crossing(given, body._replace(wind_right=wind), distance)
        found |= {
            f"{name}_speed": float(flat[3]),
            f"{name}_downrange_speed": float(there[3]),
            f"{name}_time": time,
            f"{name}_drop": -float(there[1]),
            f"{name}_drift": float(blown[2]),
            f"{name}_lag": wind * (flat_time - distance / given["speed"]),
        }
    return found
