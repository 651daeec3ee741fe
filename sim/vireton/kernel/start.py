"""From how an arrow leaves the string, in angles, to the kernel's state."""

import numpy as np

from vireton.kernel.compiled import compiled, inlined
from vireton.kernel.vectors import Vector, add, cross, plus_scaled, scale

#: What a start is told by, SI: place of the center of gravity ahead of the nock; the launch, as in
#: :class:`vireton.launch.release.Launch`; how the bow is held, as in
#: :class:`vireton.flight.volley.Aim`.
START = (
    "balance",
    "speed",
    "direction_right",
    "direction_up",
    "yaw",
    "pitch",
    "yaw_rate",
    "pitch_rate",
    "offset_right",
    "offset_up",
    "spin",
    "elevation",
    "windage",
    "height",
    "cant",
)


@inlined
def _direction(up_angle: float, right_angle: float) -> Vector:
    """Unit vector with these elevation and azimuth angles."""
    level = np.cos(up_angle)
    return (level * np.cos(right_angle), np.sin(up_angle), level * np.sin(right_angle))


@inlined
def lean(cant: float, v: Vector) -> Vector:
    """Turned about the line of sight, the top of the bow to the right."""
    cosine, sine = np.cos(cant), np.sin(cant)
    return (v[0], cosine * v[1] - sine * v[2], sine * v[1] + cosine * v[2])


@inlined
def to_sight(elevation: float, windage: float, cant: float, v: Vector) -> Vector:
    """From the bore line's frame to that of the line of sight: elevate, turn, lean."""
    cosine, sine = np.cos(elevation), np.sin(elevation)
    ahead, up = cosine * v[0] - sine * v[1], sine * v[0] + cosine * v[1]
    cosine, sine = np.cos(windage), np.sin(windage)
    return lean(cant, (cosine * ahead - sine * v[2], up, sine * ahead + cosine * v[2]))


@compiled
def states_at_release(starts: np.ndarray, brace_height: float, out: np.ndarray) -> None:
    """Fill states (m, 16), in the frame of the line of sight, from starts (m, 15).

    The origin is on the line of sight above the bow's grip, ``brace_height`` m ahead of the nock
    at release. Columns of ``starts``: :data:`START`. Float or complex.
    """
    for i in range(starts.shape[0]):
        balance, speed = starts[i, 0], starts[i, 1]
        direction_right, direction_up = starts[i, 2], starts[i, 3]
        yaw_rate, pitch_rate = starts[i, 6], starts[i, 7]
        elevation, windage, cant = starts[i, 11], starts[i, 12], starts[i, 14]
        direction = _direction(direction_up, direction_right)
        nose_right, nose_up = direction_right + starts[i, 4], direction_up + starts[i, 5]
        axis = _direction(nose_up, nose_right)
        level = np.cos(nose_up)
        across = 0.0 * level
        by_pitch = (
            -np.sin(nose_up) * np.cos(nose_right),
            level,
            -np.sin(nose_up) * np.sin(nose_right),
        )
        by_yaw = (-level * np.sin(nose_right), across, level * np.cos(nose_right))
        axis_rate = plus_scaled(scale(pitch_rate, by_pitch), yaw_rate, by_yaw)
        # the line of sight stays put: only the bow turns, about the grip on the bore line
        from_grip = (balance - brace_height, starts[i, 9], starts[i, 8])
        place = add(
            to_sight(elevation, windage, cant, from_grip),
            lean(cant, (across, -starts[i, 13], across)),
        )
        velocity = scale(speed, to_sight(elevation, windage, cant, direction))
        turned = to_sight(elevation, windage, cant, axis)
        rate = to_sight(elevation, windage, cant, cross(axis, axis_rate))
        reference = to_sight(elevation, windage, cant, cross(axis, by_pitch))
        for k in range(3):
            out[i, k] = place[k]
            out[i, 3 + k] = velocity[k]
            out[i, 6 + k] = turned[k]
            out[i, 9 + k] = rate[k]
            out[i, 13 + k] = reference[k]
        out[i, 12] = starts[i, 10]
