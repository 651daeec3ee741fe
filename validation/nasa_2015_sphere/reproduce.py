"""Sphere dropped in a steady wind (NASA 2015), layer by layer through the kernel."""

from typing import Any

import numpy as np

from vireton.flight.air import standard
from vireton.kernel.arrays import FloatArray
from vireton.kernel.door import fly_to_planes
from vireton.kernel.motion import STATE_SIZE
from vireton.kernel.parameters import Parameters
from vireton.published.checks import CaseData

FOOT = 0.3048  # m, by definition
SLUG = 14.593902937206  # kg, from the pound-force and the foot

#: m of position error a step.
TOLERANCE = 1e-9


def gravity(height: float) -> float:
    """WGS 84 normal gravity on the equator at ``height`` m, m/s² (from memory).

    9.7803253 (1 − 2 (1 + f + m) h/a + 3 h²/a²), f = 1/298.257, m = 0.00344979, a = 6 378 137 m.
    """
    share = height / 6_378_137.0
    return 9.7803253 * (1.0 - 2.0 * (1.0 + 1.0 / 298.257 + 0.00344979) * share + 3.0 * share**2)


def drop(given: dict[str, Any], wind: float, layer: float) -> FloatArray:
    """State (16,) after the given time, x downward from the start; ``wind`` m/s to the right."""
    altitude = given["altitude_feet"] * FOOT
    body = Parameters(
        mass=given["mass_slug"] * SLUG,
        gravity_up=0.0,
        wind_right=wind,
        constant_area=given["area_square_feet"] * FOOT**2,
        constant_drag=given["drag_coefficient"],
    )
    state = np.zeros(STATE_SIZE)
    state[6] = state[14] = 1.0
    left, top = given["time_seconds"], 0.0
    while True:
        middle = altitude - top - 0.5 * layer
        here = body._replace(density=standard(middle).density, gravity_x=gravity(middle))
        crossed = fly_to_planes(state, here, [top + layer], 0.0, TOLERANCE)
        if crossed.times[0] > left:
            return _after(state, here, left, float(crossed.states[0, 0]))
        left -= float(crossed.times[0])
        top += layer
        state = crossed.states[0]


def _after(state: FloatArray, body: Parameters, time: float, plane: float) -> FloatArray:
    """State after ``time`` s, by moving the plane of output until it is crossed then (Newton)."""
    for _ in range(50):
        crossed = fly_to_planes(state, body, [plane], 0.0, TOLERANCE)
        there: FloatArray = crossed.states[0]
        late = float(crossed.times[0]) - time
        if abs(late) < 1e-12:
            return there
        plane -= late * float(there[3])
    raise ArithmeticError(f"no plane is crossed after {time} s: {late} s off")


def reproduce(data: CaseData) -> dict[str, float]:
    given = data.data
    blown = drop(given, given["wind_feet_per_second"] * FOOT, given["layer"]) / FOOT
    still = drop(given, 0.0, given["layer"]) / FOOT
    return {
        "wind_speed": float(blown[5] - still[5]),
        "wind_drift": float(blown[2] - still[2]),
        "fall": float(still[0]),
        "fall_speed": float(still[3]),
    }
