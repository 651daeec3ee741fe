"""A tumbling brick: the kernel's rotation alone, three unequal inertias."""

import numpy as np

from vireton.kernel.door import fly_to_planes
from vireton.kernel.parameters import Parameters
from vireton.published.checks import CaseData

SLUG_FOOT_SQUARED = 14.593902937206364 * 0.3048**2  # kg·m², from the definitions of lbf and ft


def reproduce(data: CaseData) -> dict[str, float]:
    inertia = np.array(data.data["inertia_slug_square_feet"]) * SLUG_FOOT_SQUARED
    roll, pitch, yaw = np.radians(data.data["rates_degrees_per_second"])
    time = data.data["time_seconds"]
    body = Parameters(
        inertia_axial=inertia[0],
        inertia_across=inertia[1],
        inertia_across_other=inertia[2],
        gravity_up=0.0,
        density=0.0,
    )
    start = np.zeros(16)
    start[3] = 1.0  # 1 m/s downrange: it crosses the plane at x = t when the clock shows t
    start[6] = start[14] = 1.0  # body axes along x, y, z
    start[10:13] = pitch, yaw, roll
    end = fly_to_planes(start, body, [time], 0.0, tolerance=1e-10).states[0]
    axis, second = end[6:9], end[13:16]
    return {
        "p": float(np.degrees(end[12])),
        "q": float(np.degrees(end[9:12] @ second)),
        "r": float(np.degrees(end[9:12] @ np.cross(axis, second))),
    }
