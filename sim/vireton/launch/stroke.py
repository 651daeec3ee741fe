"""Sideways dynamics of a rigid shaft through the power stroke, in one plane.

Small angles: the motion along the bore line is that of the draw-force curve, and each plane (right,
up) is worked out on top of it. In one plane the state is the nock's place y off the bore line and
the shaft's angle ψ (nose right, or up). With m, I the arrow's mass and transverse inertia, l the
distance from nock to center of gravity, F the thrust on the nock (always along the bore line), f
the string's pull across it, R the rest's, a its distance ahead of the nock, G a steady force:

    m(ÿ + l ψ̈) = f + R + G
    I ψ̈ = F l ψ − l f + (a − l) R
    f = k (path + c − y) − μ ÿ
    M c̈ = −k (path + c − y) − K c − C ċ

The string's stiffness k follows from its geometry: at a nock D behind the straight string the two
halves pull with F = 2T sin θ, sin θ ≈ D/s, and a nock y to the side is pulled back with
2T·y/s = F·y/D (s the half length, T the tension; the same for any s). A third of the string's mass
moves with the nock (a string swinging in a straight line from its fixed ends: ∫(x/s)²dx/s = 1/3).

What holds the string's ends gives too, and has mass: c is the place of cams, axles and limb tips,
M their mass, K the spring of the limbs, C its damping. A heavy or a hard one stands like a rock; a
massless one would be a spring in series with the string's own.

Two phases: while the rest holds, ψ = (offset − y)/a; when it has let go, R = 0. A nock that is
*guided* (up and down, cams tied together) stays on its path and only ψ moves.

The independent variable is σ = √(distance traveled): at full draw everything starts from rest
and dt/dσ is finite, and the place where the rest lets go is a boundary, not an event.
"""

from typing import NamedTuple

import numpy as np

from vireton.kernel.compiled import compiled, inlined


class StrokeParameters(NamedTuple):
    """One arrow on one bow, one plane. SI units."""

    stroke: float  # m
    bow_mass: float  # kg that moves as if fixed to the arrow (limbs, cams, string)
    mass: float  # kg, of the arrow
    inertia: float  # kg·m², across, about the center of gravity
    arm: float  # m, nock throat to center of gravity
    string_mass: float  # kg, the third that moves with the nock
    cam_mobility: float  # 1/kg of what holds the string's ends; 0: it stands like a rock
    cam_stiffness: float  # N/m
    cam_damping: float  # N·s/m
    steady_acceleration: float  # m/s² on the arrow in this plane: −g up and down, 0 sideways
    guided: float  # 1: the nock stays on its path
    let_go: float  # m traveled when the rest lets go
    rest_at_full_draw: float  # m from nock to rest
    offset: float  # m of the shaft's center on the rest, off the bore line


@inlined
def path_at(path: np.ndarray, traveled: float, stroke: float) -> tuple[float, float, float]:
    """Place, slope and curvature of the nock's unloaded path at this travel.

    ``path`` is (4, n): a cubic in each of n equal pieces, highest power first.
    """
    pieces = path.shape[1]
    width = stroke / pieces
    piece = min(int(traveled / width), pieces - 1)
    x = traveled - piece * width
    a, b, c, d = path[0, piece], path[1, piece], path[2, piece], path[3, piece]
    return d + x * (c + x * (b + x * a)), c + x * (2.0 * b + 3.0 * a * x), 2.0 * b + 6.0 * a * x


@inlined
def push_at(push: np.ndarray, traveled: float, stroke: float) -> tuple[float, float]:
    """Push, N, and work done so far, J, by the table of the draw force.

    ``push`` is (5, n), see :func:`vireton.launch.draw_force.push_table`.
    """
    pieces = push.shape[1]
    width = stroke / pieces
    piece = min(int(traveled / width), pieces - 1)
    x = traveled - piece * width
    a, b, c, d = push[0, piece], push[1, piece], push[2, piece], push[3, piece]
    work = x * (d + x * (c / 2.0 + x * (b / 3.0 + x * (a / 4.0))))
    return d + x * (c + x * (b + x * a)), push[4, piece] + work


@inlined
def axial_motion(
    q: StrokeParameters, push: np.ndarray, sigma: float
) -> tuple[float, float, float, float]:
    """Distance traveled, speed, acceleration, and dt/dσ."""
    traveled = sigma * sigma
    total = q.mass + q.bow_mass
    # a millionth of the stroke before brace push ÷ draw is still a number
    force, work = push_at(push, min(traveled, (1.0 - 1e-6) * q.stroke), q.stroke)
    accelerated = force / total
    # near full draw the limit of work ÷ distance
    mean = accelerated if sigma < 1e-7 else work / (total * traveled)
    root = np.sqrt(2.0 * mean)
    return traveled, root * sigma, accelerated, 2.0 / root


@inlined
def string_stiffness(q: StrokeParameters, traveled: float, accelerated: float) -> float:
    """Pull of the string across per place of the nock, N/m: F/D, its own moving third included."""
    draw = max(q.stroke - traveled, 1e-6 * q.stroke)
    return (q.mass + q.string_mass) * accelerated / draw


@inlined
def _second_derivatives(
    q: StrokeParameters,
    push: np.ndarray,
    path: np.ndarray,
    held: bool,
    sigma: float,
    y: float,
    y_rate: float,
    psi: float,
    psi_rate: float,
    cam: float,
    cam_rate: float,
) -> tuple[float, float, float, float]:
    """ÿ, ψ̈, c̈ and dt/dσ."""
    traveled, speed, accelerated, time_rate = axial_motion(q, push, sigma)
    place, slope, curvature = path_at(path, traveled, q.stroke)
    thrust = q.mass * accelerated
    steady = q.mass * q.steady_acceleration
    if q.guided > 0.0:
        path_acceleration = curvature * speed * speed + slope * accelerated
        moment = thrust * q.arm * psi - q.arm * (q.mass * path_acceleration - steady)
        return path_acceleration, moment / (q.inertia + q.mass * q.arm * q.arm), 0.0, time_rate

    pull = string_stiffness(q, traveled, accelerated) * (place + cam - y)
    cam_second = -q.cam_mobility * (pull + q.cam_stiffness * cam + q.cam_damping * cam_rate)
    if held:
        # ψ̈ = (−ÿ + known)/a, put into the two equations with R taken out between them
        rest = q.rest_at_full_draw - traveled
        known = (2.0 * psi_rate * speed + psi * accelerated) / rest
        swing = q.inertia - (rest - q.arm) * q.mass * q.arm
        load = thrust * q.arm * psi - rest * pull - (rest - q.arm) * steady
        weight = -swing / rest - (rest - q.arm) * q.mass - rest * q.string_mass
        y_second = (load - swing * known) / weight
        return y_second, known - y_second / rest, cam_second, time_rate
    first = pull + steady
    second = thrust * q.arm * psi - q.arm * pull
    across = q.mass + q.string_mass
    coupling = q.mass * q.arm
    turn = q.inertia
    back = -q.arm * q.string_mass
    determinant = across * turn - coupling * back
    return (
        (first * turn - coupling * second) / determinant,
        (across * second - back * first) / determinant,
        cam_second,
        time_rate,
    )


@compiled
def through_stroke(
    q: StrokeParameters, push: np.ndarray, path: np.ndarray, steps: int
) -> np.ndarray:
    """Run both phases and return [y, ẏ, ψ, ψ̇, c, ċ, time] at nock release.

    Args:
        q: arrow, bow and rest in this plane.
        push: (5, n), see :func:`vireton.launch.draw_force.push_table`.
        path: (4, n) cubic pieces of the nock's path.
        steps: fixed Runge–Kutta steps (classic, order 4) over the whole stroke.
    """
    sigma_end = np.sqrt(q.stroke)
    sigma_let_go = np.sqrt(min(max(q.let_go, 0.0), q.stroke))
    place, _, _ = path_at(path, 0.0, q.stroke)
    y = place
    y_rate = 0.0
    psi = (q.offset - y) / q.rest_at_full_draw
    psi_rate = 0.0
    cam, cam_rate = 0.0, 0.0
    time = 0.0
    for phase in range(2):
        held = phase == 0
        start = 0.0 if held else sigma_let_go
        end = sigma_let_go if held else sigma_end
        if end <= start:
            continue
        count = max(4, int(np.ceil(steps * (end - start) / sigma_end)))
        h = (end - start) / count
        for i in range(count):
            sigma = start + i * h
            y_now, yr_now, psi_now, pr_now = y, y_rate, psi, psi_rate
            cam_now, cr_now = cam, cam_rate
            sum_y, sum_yr, sum_psi, sum_pr, sum_t = 0.0, 0.0, 0.0, 0.0, 0.0
            sum_cam, sum_cr = 0.0, 0.0
            for stage in range(4):
                at = sigma + (0.0 if stage == 0 else (h if stage == 3 else 0.5 * h))
                traveled, speed, _, _ = axial_motion(q, push, at)
                place, slope, _ = path_at(path, traveled, q.stroke)
                if q.guided > 0.0:
                    y_now, yr_now = place, slope * speed
                if held:
                    rest = q.rest_at_full_draw - traveled
                    psi_now = (q.offset - y_now) / rest
                    pr_now = (psi_now * speed - yr_now) / rest
                y_second, psi_second, cam_second, dt = _second_derivatives(
                    q, push, path, held, at, y_now, yr_now, psi_now, pr_now, cam_now, cr_now
                )
                weight = 1.0 if stage in (0, 3) else 2.0
                sum_y += weight * yr_now * dt
                sum_yr += weight * y_second * dt
                sum_psi += weight * pr_now * dt
                sum_pr += weight * psi_second * dt
                sum_cam += weight * cr_now * dt
                sum_cr += weight * cam_second * dt
                sum_t += weight * dt
                ahead = h if stage == 2 else 0.5 * h
                if stage < 3:
                    factor = ahead * dt
                    y_now = y + factor * yr_now
                    yr_now = y_rate + factor * y_second
                    psi_now = psi + factor * pr_now
                    pr_now = psi_rate + factor * psi_second
                    cam_now = cam + factor * cr_now
                    cr_now = cam_rate + factor * cam_second
            y += h / 6.0 * sum_y
            y_rate += h / 6.0 * sum_yr
            psi += h / 6.0 * sum_psi
            psi_rate += h / 6.0 * sum_pr
            cam += h / 6.0 * sum_cam
            cam_rate += h / 6.0 * sum_cr
            time += h / 6.0 * sum_t
            traveled, speed, _, _ = axial_motion(q, push, sigma + h)
            place, slope, _ = path_at(path, traveled, q.stroke)
            if q.guided > 0.0:
                y, y_rate = place, slope * speed
            if held:
                rest = q.rest_at_full_draw - traveled
                psi = (q.offset - y) / rest
                psi_rate = (psi * speed - y_rate) / rest
    return np.array([y, y_rate, psi, psi_rate, cam, cam_rate, time])
