"""A flight of its own for the truths: a rolling body with a rotation matrix, discrete vanes.

Nothing of the library is in here. Frame: x downrange, y up, z right; body axis 1 points to the
nose. Forces act where they arise, moments are r × F, steps are classical Runge and Kutta's.
Pressure on the axis as one drag coefficient; the shaft's crossflow as a cylinder's drag after
Sucker and Brauer 1975 (from memory), growing with the way that the crossflow has gone, if asked
for (a cylinder started from rest; Sarpkaya, from memory); the point as a slender nose; each vane as
a flat wing of low aspect ratio (Helmbold; from memory) in the shaft's slower air.
"""

from collections.abc import Callable
from typing import Any, NamedTuple

import numba
import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

GRAVITY = 9.80665
_STEP = 0.002
_STATIONS, _SHARES = np.polynomial.legendre.leggauss(10)


class Body(NamedTuple):
    """One arrow in its air; SI; places on the axis forward of the balance point."""

    mass: float
    inertia: float
    axial_inertia: float
    tail: float
    tip: float
    radius: float
    density: float
    viscosity: float  # kinematic
    drag: float  # on the shaft's cross-section, along the axis
    point_slope: float
    crossflow: float  # factor
    growth: float  # radii in which a started cylinder's drag comes to be; 0: at once
    vane_count: float
    vane_area: float
    vane_slope: float
    vane_place: float
    vane_arm: float
    vane_upwash: float
    vane_air: float  # speed over the vane as a share
    vane_offset: float  # rad, positive turns clockwise


class Start(NamedTuple):
    """How it leaves: m/s, rad, rad/s; angles and directions from straight downrange."""

    speed: float
    right: float = 0.0  # of the flight
    up: float = 0.0
    yaw: float = 0.0  # of the axis
    pitch: float = 0.0
    yaw_rate: float = 0.0
    pitch_rate: float = 0.0
    roll: float = 0.0


def _compiled(function: Any) -> Any:
    # numba's own store of machine code: safe here, for nothing in another file is called
    return numba.njit(cache=True, fastmath={"reassoc", "contract"}, error_model="numpy")(function)


@_compiled
def cylinder_drag(reynolds: float, share: float) -> float:
    """Of a circular cylinder across, on its diameter; ``share`` of the pressure part."""
    r = max(reynolds, 1e-3)
    pressure = 1.18 - 4e-4 * r / (1.0 + 3.64e-7 * r * r)
    total: float = share * pressure + 6.8 * r**-0.89 + 1.96 * r**-0.5
    return total


@_compiled
def _slope(
    y: FloatArray, b: Body, stations: FloatArray, shares: FloatArray, out: FloatArray
) -> None:
    """Rates of (position 3, velocity 3, rotation matrix 9 by rows, body rates 3)."""
    r = y[6:15].reshape((3, 3))
    w1, w2, w3 = y[15], y[16], y[17]
    v1 = r[0, 0] * y[3] + r[1, 0] * y[4] + r[2, 0] * y[5]
    v2 = r[0, 1] * y[3] + r[1, 1] * y[4] + r[2, 1] * y[5]
    v3 = r[0, 2] * y[3] + r[1, 2] * y[4] + r[2, 2] * y[5]
    section = np.pi * b.radius * b.radius
    speed = np.sqrt(v1 * v1 + v2 * v2 + v3 * v3)
    pressure = 0.5 * b.density

    f1 = -pressure * b.drag * section * speed * v1
    # ω × (s, 0, 0) = (0, w3 s, −w2 s)
    a2, a3 = v2 + w3 * b.tip, v3 - w2 * b.tip
    lift = -pressure * section * b.point_slope * abs(v1)
    f2, f3 = lift * a2, lift * a3
    m1, m2, m3 = 0.0, -b.tip * lift * a3, b.tip * lift * a2

    half = 0.5 * (b.tip - b.tail)
    for i in range(stations.size):
        s = b.tail + half * (1.0 + stations[i])
        c2, c3 = v2 + w3 * s, v3 - w2 * s
        across = np.sqrt(c2 * c2 + c3 * c3)
        share = 1.0
        if b.growth > 0.0:
            gone = across / max(abs(v1), 1.0) * (b.tip - s) / b.radius
            share = 1.0 - np.exp(-gone / b.growth)
        coefficient = cylinder_drag(across * 2.0 * b.radius / b.viscosity, share)
        size = -pressure * 2.0 * b.radius * half * shares[i] * b.crossflow * coefficient * across
        f2 += size * c2
        f3 += size * c3
        m2 -= s * size * c3
        m3 += s * size * c2

    for k in range(int(b.vane_count)):
        angle = 2.0 * np.pi * k / b.vane_count
        c, n = np.cos(angle), np.sin(angle)  # the vane stands out along (c, n) of axes 2 and 3
        # its face looks along (−n, c); the vane's own velocity with the body's rates
        s, arm = b.vane_place, b.vane_arm
        g1 = (v1 + w2 * arm * n - w3 * arm * c) * b.vane_air
        g2 = b.vane_upwash * (v2 + w3 * s) - w1 * arm * n
        g3 = b.vane_upwash * (v3 - w2 * s) + w1 * arm * c
        through = -n * g2 + c * g3
        # set at an angle, so that the air along it turns it clockwise: from up to right
        cosine, offset = np.cos(b.vane_offset), np.sin(b.vane_offset)
        normal = through * cosine - g1 * offset
        along = g1 * cosine + through * offset
        total = max(np.sqrt(normal * normal + along * along), 1e-9)
        sine = min(max(normal / total, -0.5), 0.5)
        force = -pressure * b.vane_area * b.vane_slope * total * total * sine
        p1, p2, p3 = -force * offset, -force * n * cosine, force * c * cosine
        f1 += p1
        f2 += p2
        f3 += p3
        m1 += arm * (c * p3 - n * p2)
        m2 += arm * n * p1 - s * p3
        m3 += s * p2 - arm * c * p1

    out[0], out[1], out[2] = y[3], y[4], y[5]
    for i in range(3):
        out[3 + i] = (r[i, 0] * f1 + r[i, 1] * f2 + r[i, 2] * f3) / b.mass
        out[6 + 3 * i] = r[i, 1] * w3 - r[i, 2] * w2
        out[7 + 3 * i] = r[i, 2] * w1 - r[i, 0] * w3
        out[8 + 3 * i] = r[i, 0] * w2 - r[i, 1] * w1
    out[4] -= GRAVITY
    out[15] = m1 / b.axial_inertia
    out[16] = (m2 - (b.axial_inertia - b.inertia) * w1 * w3) / b.inertia
    out[17] = (m3 - (b.inertia - b.axial_inertia) * w1 * w2) / b.inertia


@_compiled
def _step(
    y: FloatArray, dt: float, b: Body, stations: FloatArray, shares: FloatArray, k: FloatArray
) -> FloatArray:
    _slope(y, b, stations, shares, k[0])
    _slope(y + 0.5 * dt * k[0], b, stations, shares, k[1])
    _slope(y + 0.5 * dt * k[1], b, stations, shares, k[2])
    _slope(y + dt * k[2], b, stations, shares, k[3])
    after: FloatArray = y + dt / 6.0 * (k[0] + 2.0 * (k[1] + k[2]) + k[3])
    return after


@_compiled
def _to_plane(
    y: FloatArray, b: Body, plane: float, place: float, stations: FloatArray, shares: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """State when the place on the axis crosses the plane, and that place (up, right)."""
    k = np.empty((4, 18))
    for _ in range(4000):
        ahead = plane - (y[0] + place * y[6])
        if ahead < 1e-7:
            break
        rate = y[3] + place * (y[7] * y[17] - y[8] * y[16])
        y = _step(y, min(_STEP, ahead / max(rate, 1.0)), b, stations, shares, k)
    return y, np.array([y[1] + place * y[9], y[2] + place * y[12]])


def course(
    b: Body, start: Start, far: float
) -> Callable[[FloatArray], tuple[FloatArray, FloatArray]]:
    """Times (k,) s from release → balance points and axes, (k, 3) each; over ``far`` m."""
    y, step, k = _state(b, start), 0.0005, np.empty((4, 18))
    rows = [y]
    for _ in range(int(far / start.speed / step) + 4):
        y = _step(y, step, b, _STATIONS, _SHARES, k)
        rows.append(y)
    states = np.array(rows)
    times = step * np.arange(len(states))

    def at(moments: FloatArray) -> tuple[FloatArray, FloatArray]:
        def now(columns: list[int]) -> FloatArray:
            return np.column_stack([np.interp(moments, times, states[:, c]) for c in columns])

        return now([0, 1, 2]), now([6, 9, 12])

    return at


def _state(b: Body, start: Start) -> FloatArray:
    def way(up: float, right: float) -> FloatArray:
        return np.array([np.cos(up) * np.cos(right), np.sin(up), np.cos(up) * np.sin(right)])

    nose = way(start.pitch, start.yaw)
    above = way(start.pitch + 0.5 * np.pi, start.yaw)
    right = np.cross(nose, above)
    c, s = np.cos(start.roll), np.sin(start.roll)
    axes = np.column_stack([nose, c * above + s * right, c * right - s * above])
    # the nose moves with ω × nose: up by pitch_rate, right by yaw_rate
    rate = np.cross(nose, start.pitch_rate * above + start.yaw_rate * right)
    state = np.empty(18)
    state[:3] = -b.tail * np.array([1.0, 0.0, 0.0])  # the nock at the origin's plane
    state[3:6] = start.speed * way(start.up, start.right)
    state[6:15] = axes.ravel()
    state[15:] = axes.T @ rate
    return state


def impact(b: Body, start: Start, distance: float) -> FloatArray:
    """Where the point is when it is ``distance`` m away: (right, up) m."""
    _, where = _to_plane(_state(b, start), b, distance, b.tip, _STATIONS, _SHARES)
    return np.asarray(where[::-1])


def tear(b: Body, start: Start, paper: float) -> FloatArray:
    """Tail hole minus point hole (right, up) m in a paper ``paper`` m away."""
    y, point = _to_plane(_state(b, start), b, paper, b.tip, _STATIONS, _SHARES)
    _, tail = _to_plane(y, b, paper, b.tail, _STATIONS, _SHARES)
    return np.asarray((tail - point)[::-1])
