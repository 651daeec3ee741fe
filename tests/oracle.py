"""A second, independent flight model in plain numpy, to test the compiled one against.

It shares the physics and the parameter record with the kernel, and nothing else: a body that really
rolls, with an attitude quaternion and its angular velocity in body axes; forces on actual points of
the body as vectors in body axes, their moments by r × F; the shaft's crossflow by 200 stations; the
ring of vanes as eight separate vanes, three or more blades likewise, two vanes or blades as what
they are; time steps by scipy's DOP853 at 1e-10.

Body axes: 1 toward the point, 2 and 3 across; 1 × 2 = 3.
"""

import numpy as np
import numpy.typing as npt
from scipy.integrate import solve_ivp

from vireton.kernel.parameters import Parameters

FloatArray = npt.NDArray[np.float64]

PLACES = 8  # of a ring, measured from the crossflow: what it is averaged over
_PANELS = 50
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(4)
_FINE, _FINE_WEIGHTS = np.polynomial.legendre.leggauss(24)


def cylinder_drag(reynolds: FloatArray) -> FloatArray:
    """The rational function that stands for Sucker and Brauer's powers, coded again."""
    s = np.sqrt(reynolds)
    rise = np.polyval([0.89507309, 6.62657606, 5.30824702], s) / np.polyval(
        [0.42317631, 1.0, 0.04275356, 0.0], s
    )
    return np.asarray(1.18 + rise - 4e-4 * reynolds / (1.0 + 3.64e-7 * reynolds**2))


def _vortices(sine: npt.ArrayLike) -> FloatArray:
    """sin²α, rounded off below some 1°."""
    square = np.square(sine)
    return np.asarray(square / np.sqrt(1.0 + 3.046e-4 / np.maximum(square, 1e-300)))


def _turbulent_share(p: Parameters, speed: float, sine_squared: float) -> float:
    reynolds = max(speed * p.wetted_length / p.kinematic_viscosity, 100.0)
    r = min(
        reynolds / p.transition_reynolds * (1 + sine_squared / p.transition_sine_squared), 100.0
    )
    return float(1.0 - 1.0 / (1.0 + r**6))


def _drag_area(p: Parameters, speed: float, share: float) -> float:
    """All drag areas along the shaft, m²."""
    reynolds = max(speed * p.wetted_length / p.kinematic_viscosity, 100.0)
    laminar, turbulent = 1.328 * reynolds**-0.5, 0.455 / np.log10(reynolds) ** 2.58
    on_diameter = reynolds * p.diameter / p.wetted_length
    shaft = (1 - share) * (
        laminar + p.curvature_laminar / on_diameter
    ) + share * turbulent * p.curvature_turbulent
    friction = p.friction_factor * p.wetted_area * shaft
    base = p.base_factor * 0.029 * p.cross_section / np.sqrt(friction / p.cross_section)
    ratio = (1 - share) * p.vane_pressure_laminar + share * p.vane_pressure_turbulent
    vanes = ratio * (p.friction_factor * turbulent * p.vane_friction_area + p.vane_edge_area)
    return float(friction + base + vanes + p.point_drag * p.cross_section)


def _on_shaft(p: Parameters, v: FloatArray, w: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Crossflow drag: a composite four-point Gauss rule on 50 panels."""
    width = (p.front - p.rear) / _PANELS
    left = p.rear + width * np.arange(_PANELS)
    x = (left[:, None] + 0.5 * width * (1.0 + _NODES[None, :])).ravel()
    length = np.tile(0.5 * width * _WEIGHTS, _PANELS)
    place = np.column_stack([x, np.zeros_like(x), np.zeros_like(x)])
    flow = v + np.cross(w, place)
    flow[:, 0] = 0.0
    reynolds = np.sqrt((np.linalg.norm(flow, axis=1) * p.diameter / p.kinematic_viscosity) ** 2 + 1)
    # what this air was crossed by since the leading end met it, on half of that which it takes
    run = p.front - x if v[0] >= 0.0 else x - p.rear
    with np.errstate(divide="ignore"):
        sideways = run * reynolds * p.kinematic_viscosity / p.diameter / abs(v[0])
        grown = 1.0 / (1.0 + (p.crossflow_growth / sideways) ** 2)
    # ½ρ d CD |w| w with |w| = Re ν/d: smooth where the flow across changes its way
    size = 0.5 * p.density * p.kinematic_viscosity * reynolds * cylinder_drag(reynolds) * length
    size = size * grown
    force = -p.crossflow_factor * size[:, None] * flow
    return force.sum(axis=0), np.cross(place, force).sum(axis=0)


def _rubbed(
    p: Parameters, v: FloatArray, w: FloatArray, share: float
) -> tuple[FloatArray, FloatArray]:
    """Friction's push across, from the local coefficients of plate and curvature along the shaft.

    In u = s^(1 + n), which takes the pole out of a layer that begins at the leading end.
    """
    speed = float(np.linalg.norm(v))
    reynolds = max(speed * p.wetted_length / p.kinematic_viscosity, 100.0)
    curvature = p.curvature_laminar * p.wetted_length / (reynolds * p.diameter)
    laminar, turbulent = 1.328 * reynolds**-0.5, 0.455 / np.log10(reynolds) ** 2.58
    layers = (  # mean coefficient, and the power of the distance that its local one goes with
        ((1 - share) * laminar, -0.5),
        ((1 - share) * curvature, 0.0),
        (share * turbulent * p.curvature_turbulent, -0.2),
    )
    u, weight = 0.5 + 0.5 * _FINE, 0.5 * _FINE_WEIGHTS  # ∫ (1 + n) sⁿ ds = ∫ du
    s = np.concatenate([u ** (1.0 / (1.0 + power)) for _, power in layers])
    mean = np.concatenate([weight * one for one, _ in layers])
    x = p.front - s * (p.front - p.rear) if v[0] >= 0.0 else p.rear + s * (p.front - p.rear)
    place = np.column_stack([x, np.zeros_like(x), np.zeros_like(x)])
    flow = v + np.cross(w, place)
    flow[:, 0] = 0.0
    size = 0.5 * p.density * speed * p.friction_across * p.wetted_area * mean
    push = -size[:, None] * flow
    return push.sum(axis=0), np.cross(place, push).sum(axis=0)


def _on_vanes(
    p: Parameters,
    v: FloatArray,
    w: FloatArray,
    ratio: float,
    places: int,
    first: float | None,
    wake: FloatArray | None = None,
) -> tuple[FloatArray, FloatArray]:
    """``places`` vanes that share the force of the real ones, the first at angle ``first``.

    Without one half a step from the crossflow, as a ring that is averaged over places is taken.
    """
    n = np.array([1.0, 0.0, 0.0])
    at_axis = v + np.cross(np.array([0.0, w[1], w[2]]), p.vane_position * n)
    if wake is not None:
        at_axis = at_axis - wake
    if first is None:
        first = float(np.arctan2(at_axis[2], at_axis[1])) + np.pi / places
    angle = first + 2.0 * np.pi * np.arange(places) / places
    zero = np.zeros(places)
    radial = np.column_stack([zero, np.cos(angle), np.sin(angle)])
    onward = np.cross(n, radial)
    flow = at_axis * np.array([ratio, p.vane_upwash, p.vane_upwash])
    flow = flow + w[0] * p.vane_spin_radius * onward
    normal_way = p.vane_offset_cosine * onward - p.vane_offset_sine * n
    chord_way = p.vane_offset_sine * onward + p.vane_offset_cosine * n
    normal = np.sum(flow * normal_way, axis=1)
    chord = np.sum(flow * chord_way, axis=1)
    alpha = np.arctan2(np.abs(normal), np.abs(chord))
    speed_squared = normal**2 + chord**2
    below = p.vane_slope * np.sin(alpha) * np.cos(alpha) + p.vane_vortex * _vortices(np.sin(alpha))
    beyond = p.vane_plate_normal * np.sin(alpha)
    x = np.sin(alpha) ** 2 / p.vane_stall_sine_squared
    coefficient = (below + x**4 * beyond) / (1.0 + x**4)
    size = 0.5 * p.density * speed_squared * p.vane_area * coefficient
    force = -(np.sign(normal) * size * p.vane_count / places)[:, None] * normal_way
    place = p.vane_position * n + p.vane_arm * radial
    # what the body carries over sits on its axis: it rolls nothing
    carried = (p.vane_carry - 1.0) * force.sum(axis=0) * np.array([0.0, 1.0, 1.0])
    moment = np.cross(place, force).sum(axis=0) + np.cross(p.vane_position * n, carried)
    return force.sum(axis=0) + carried, moment


def _blade_flow(p: Parameters, v: FloatArray, w: FloatArray) -> FloatArray:
    """Velocity of the axis through the air where the blades are."""
    return v + np.cross(np.array([0.0, w[1], w[2]]), np.array([p.blade_position, 0.0, 0.0]))


def _on_blades(p: Parameters, v: FloatArray, w: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Each blade by the angle between the air and its face, pushed along the face's normal."""
    flow = _blade_flow(p, v, w)
    real = p.blade_count == 2.0
    places = 2 if real else PLACES
    first = np.arctan2(flow[2], flow[1]) + np.pi / places
    if real:
        first = np.arctan2(p.blade_sine, p.blade_cosine)
    force, moment = np.zeros(3), np.zeros(3)
    for k in range(places):
        angle = first + 2.0 * np.pi * k / places
        radial = np.array([0.0, np.cos(angle), np.sin(angle)])
        face = np.array([0.0, -np.sin(angle), np.cos(angle)])
        through = p.blade_upwash * np.dot(flow, face) + w[0] * p.blade_spin_radius
        speed = np.hypot(through, flow[0])
        if speed == 0.0:
            continue
        sine = through / speed
        attached = p.blade_slope * sine * np.sqrt(1.0 - sine**2)
        attached += p.blade_vortex * float(_vortices(sine)) * np.sign(sine)
        plate = p.vane_plate_normal * sine
        x = (sine**2 / p.vane_stall_sine_squared) ** 4
        coefficient = (attached + x * plate) / (1.0 + x)
        share = p.blade_count / places
        push = -0.5 * p.density * speed**2 * p.blade_area * coefficient * share * face
        force += push
        place = np.array([p.blade_position, 0.0, 0.0])
        moment += np.cross(place + p.blade_arm * radial, push)
        force += (p.blade_carry - 1.0) * push
        moment += np.cross(place, (p.blade_carry - 1.0) * push)
    return force, moment


def _wake(p: Parameters, v: FloatArray, w: FloatArray) -> FloatArray:
    """What the blades' wake takes off the crossflow at the vanes, nose first only.

    Left when the blades were where the vanes are now: the body is turned back by as long, which in
    its own axes turns the airspeed the other way.
    """
    if p.blade_count == 0.0 or v[0] <= 0.0:
        return np.zeros(3)
    flow = _blade_flow(p, v, w)
    angle = np.hypot(flow[1], flow[2]) / v[0]
    share = p.blade_wake / (1.0 + p.blade_wake_spread * angle**2)
    ago = (p.blade_position - p.vane_position) / v[0]
    across_rate = np.array([0.0, w[1], w[2]])
    then = _blade_flow(p, v + ago * np.cross(across_rate, v), w)
    if p.blade_count == 2.0:  # a wing pushes the air square to itself
        angle = np.arctan2(p.blade_sine, p.blade_cosine)
        face = np.array([0.0, -np.sin(angle), np.cos(angle)])
        return np.asarray(2.0 * share * np.dot(face, then) * face)
    return np.asarray(share * then * np.array([0.0, 1.0, 1.0]))


def _constant(p: Parameters, v: FloatArray, w: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Drag against the way, lift square to it in the plane of the yaw, moment about the normal."""
    speed = float(np.linalg.norm(v))
    if speed == 0.0:
        return np.zeros(3), np.zeros(3)
    way = v / speed
    pressure = 0.5 * p.density * speed**2 * p.constant_area
    n = np.array([1.0, 0.0, 0.0])
    lift_way = n - np.dot(n, way) * way  # its length is the sine of the yaw
    force = pressure * (-p.constant_drag * way + p.constant_lift_slope * lift_way)
    moment = pressure * p.constant_length * p.constant_moment_slope * np.cross(way, n)
    across = np.array([0.0, w[1], w[2]])
    damping = p.constant_damping * p.constant_length / speed
    return force, moment + pressure * p.constant_length * damping * across


def body_loads(
    p: Parameters, v: FloatArray, w: FloatArray, places: int = PLACES, first: float | None = None
) -> tuple[FloatArray, FloatArray]:
    """Force N and moment N·m in body axes, from airspeed and angular velocity in body axes."""
    force, moment = np.zeros(3), np.zeros(3)
    if p.constant_area > 0.0:
        force, moment = _constant(p, v, w)
    if p.cross_section == 0.0:
        return force, moment
    speed = float(np.linalg.norm(v))
    sine_squared = (v[1] ** 2 + v[2] ** 2) / speed**2 if speed > 0.0 else 0.0
    share = _turbulent_share(p, speed, sine_squared)
    force[0] -= 0.5 * p.density * speed * v[0] * _drag_area(p, speed, share)
    more = [_on_shaft(p, v, w), _rubbed(p, v, w, share)]

    end = np.array([p.point_position if v[0] >= 0.0 else p.tail_position, 0.0, 0.0])
    there = v + np.cross(w, end)
    normal = np.array([0.0, there[1], there[2]])
    lift = -0.5 * p.density * abs(v[0]) * p.cross_section * p.point_slope * normal
    more.append((lift, np.cross(end, lift)))

    if p.vane_count > 0.0:
        ratio = (1 - share) * p.vane_speed_laminar + share * p.vane_speed_turbulent
        if p.vane_count == 2.0:  # these two and no others
            places, first = 2, float(np.arctan2(p.vane_sine, p.vane_cosine))
        more.append(_on_vanes(p, v, w, ratio, places, first, _wake(p, v, w)))
    if p.blade_count > 0.0:
        more.append(_on_blades(p, v, w))
    for extra_force, extra_moment in more:
        force = force + extra_force
        moment = moment + extra_moment
    return force, moment


def rotation_matrix(q: FloatArray) -> FloatArray:
    """Body to ground, from a unit quaternion, scalar first."""
    s, u = q[0], q[1:]
    skew = np.array([[0.0, -u[2], u[1]], [u[2], 0.0, -u[0]], [-u[1], u[0], 0.0]])
    return np.asarray(np.eye(3) + 2.0 * s * skew + 2.0 * skew @ skew)


def quaternion(axes: FloatArray) -> FloatArray:
    """The unit quaternion of a rotation matrix: an eigenvector (Bar-Itzhack 2000)."""
    m = axes
    k = np.array(
        [
            [m[0, 0] - m[1, 1] - m[2, 2], 0.0, 0.0, 0.0],
            [m[1, 0] + m[0, 1], m[1, 1] - m[0, 0] - m[2, 2], 0.0, 0.0],
            [m[2, 0] + m[0, 2], m[2, 1] + m[1, 2], m[2, 2] - m[0, 0] - m[1, 1], 0.0],
            [m[2, 1] - m[1, 2], m[0, 2] - m[2, 0], m[1, 0] - m[0, 1], np.trace(m)],
        ]
    )
    _, vectors = np.linalg.eigh(k, UPLO="L")
    x, y, z, s = vectors[:, -1]
    return np.array([s, x, y, z])


def from_kernel(state: FloatArray) -> FloatArray:
    """Kernel state (16,) to (13,): position, velocity, quaternion, angular velocity in the body."""
    n, e = state[6:9], state[13:16]
    axes = np.column_stack([n, e, np.cross(n, e)])
    rate = state[9:12] + state[12] * n
    return np.concatenate([state[:6], quaternion(axes), axes.T @ rate])


def to_kernel(y: FloatArray) -> FloatArray:
    """And back, with the rolling body axis 2 as the reference vector."""
    axes = rotation_matrix(y[6:10] / np.linalg.norm(y[6:10]))
    n = axes[:, 0]
    rate = axes @ y[10:13]
    return np.concatenate([y[:6], n, rate - np.dot(rate, n) * n, [y[10]], axes[:, 1]])


def wind_velocity(p: Parameters, up: float) -> FloatArray:
    """Velocity of the air over ground, m/s."""
    factor = 1.0
    if p.wind_exponent > 0.0:
        factor = (max(p.launch_height + up, 0.0) / p.wind_reference_height) ** p.wind_exponent
    return factor * np.array([p.wind_x, 0.0, p.wind_right])


def slope(y: FloatArray, p: Parameters) -> FloatArray:
    """d(13 states)/dt by Newton's and Euler's equations in body axes."""
    axes = rotation_matrix(y[6:10])
    w = y[10:13]
    v = axes.T @ (y[3:6] - wind_velocity(p, y[1]))
    force, moment = body_loads(p, v, w)
    gravity = np.array([p.gravity_x, p.gravity_up, p.gravity_right])
    inertia = np.array([p.inertia_axial, p.inertia_across, p.inertia_across_other])
    s, u = y[6], y[7:10]
    turning = 0.5 * np.concatenate([[-np.dot(u, w)], s * w + np.cross(u, w)])
    return np.concatenate(
        [
            y[3:6],
            axes @ force / p.mass + gravity,
            turning,
            (moment - np.cross(w, inertia * w)) / inertia,
        ]
    )


def fly(state: FloatArray, p: Parameters, plane: float, station: float) -> tuple[float, FloatArray]:
    """Time s and state (13,) at which the station on the axis crosses the plane."""

    def ahead(_: float, y: FloatArray) -> float:
        return float(y[0] + station * rotation_matrix(y[6:10])[0, 0] - plane)

    ahead.terminal = True  # type: ignore[attr-defined]
    scale = np.array([1, 1, 1, 10, 10, 10, 1, 1, 1, 1, 10, 10, 10]) * 1e-11
    found = solve_ivp(
        lambda _, y: slope(y, p),
        (0.0, 60.0),
        from_kernel(state),
        method="DOP853",
        rtol=1e-10,  # a vane that changes sides is a kink: finer steps find nothing more
        atol=scale,
        events=ahead,
    )
    assert found.status == 1, found.message
    return float(found.t_events[0][0]), np.asarray(found.y_events[0][0])
