"""Sideways dynamics of a rigid shaft through the power stroke, in one plane.

Small angles: the motion along the bore line is that of the draw-force curve, and each plane (right,
up) is worked out on top of it. In one plane the state is the nock's place y off the bore line and
the shaft's angle ψ (nose right, or up). With m, I the arrow's mass and transverse inertia, l the
distance from nock to center of gravity, F the thrust on the nock (always along the bore line), f
the string's pull across it, R the rest's, a its distance ahead of the nock, G a steady force:

    m(ÿ + l ψ̈) = f + R + G
    I ψ̈ = F l ψ − l f + (a − l) R
    f = k (path − y) − μ ÿ

The string's stiffness k follows from its geometry: at a nock D behind the straight string the two
halves pull with F = 2T sin θ, sin θ ≈ D/s, and a nock y to the side is pulled back with
2T·y/s = F·y/D (s the half length, T the tension; the same for any s). A third of the string's mass
moves with the nock (a string swinging in a straight line from its fixed ends: ∫(x/s)²dx/s = 1/3).

Two phases: while the rest holds, ψ = (offset − y)/a; when it has let go, R = 0. A nock that is
*guided* (up and down, cams tied together) stays on its path and only ψ moves.

The independent variable is σ = √(distance traveled): at full draw everything starts from rest
and dt/dσ is finite, and the place where the rest lets go is a boundary, not an event.
"""

from typing import NamedTuple

import numpy as np

from vireton.kernel.compiled import compiled, inlined
from vireton.launch.draw_force import force, force_per_draw, stored_energy


class StrokeParameters(NamedTuple):
    """One arrow on one bow, one plane. SI units."""

    peak: float  # N
    holding: float  # N
    stroke: float  # m
    bow_mass: float  # kg that moves as if fixed to the arrow (limbs, cams, string)
    mass: float
    inertia: float  # about the center of gravity
    arm: float  # nock throat to center of gravity
    string_mass: float  # the third that moves with the nock
    stiffness_factor: float  # 1/(1 + softness)
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
def axial_motion(q: StrokeParameters, sigma: float) -> tuple[float, float, float, float]:
    """Distance traveled, speed, acceleration, and dt/dσ."""
    traveled = sigma * sigma
    total = q.mass + q.bow_mass
    accelerated = force(max(q.stroke - traveled, 0.0), q.peak, q.holding, q.stroke) / total
    if sigma < 1e-7:
        mean = accelerated  # the limit of work ÷ distance
    else:
        work = stored_energy(q.stroke, q.peak, q.holding, q.stroke) - stored_energy(
            max(q.stroke - traveled, 0.0), q.peak, q.holding, q.stroke
        )
        mean = work / (total * traveled)
    root = np.sqrt(2.0 * mean)
    return traveled, root * sigma, accelerated, 2.0 / root


@inlined
def _second_derivatives(
    q: StrokeParameters,
    path: np.ndarray,
    held: bool,
    sigma: float,
    y: float,
    y_rate: float,
    psi: float,
    psi_rate: float,
) -> tuple[float, float, float]:
    """ÿ, ψ̈ and dt/dσ."""
    traveled, speed, accelerated, time_rate = axial_motion(q, sigma)
    place, slope, curvature = path_at(path, traveled, q.stroke)
    thrust = q.mass * accelerated
    steady = q.mass * q.steady_acceleration
    if q.guided > 0.0:
        path_acceleration = curvature * speed * speed + slope * accelerated
        moment = thrust * q.arm * psi - q.arm * (q.mass * path_acceleration - steady)
        return path_acceleration, moment / (q.inertia + q.mass * q.arm * q.arm), time_rate

    draw = max(q.stroke - traveled, 0.0)
    shared = (q.mass + q.string_mass) / (q.mass + q.bow_mass)
    stiffness = q.stiffness_factor * shared * force_per_draw(draw, q.peak, q.holding, q.stroke)
    pull = stiffness * (place - y)
    if held:
        # ψ̈ = (−ÿ + known)/a, put into the two equations with R taken out between them
        rest = q.rest_at_full_draw - traveled
        known = (2.0 * psi_rate * speed + psi * accelerated) / rest
        swing = q.inertia - (rest - q.arm) * q.mass * q.arm
        load = thrust * q.arm * psi - rest * pull - (rest - q.arm) * steady
        weight = -swing / rest - (rest - q.arm) * q.mass - rest * q.string_mass
        y_second = (load - swing * known) / weight
        return y_second, known - y_second / rest, time_rate
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
        time_rate,
    )


@compiled
def through_stroke(q: StrokeParameters, path: np.ndarray, steps: int) -> np.ndarray:
    """Run both phases and return [y, ẏ, ψ, ψ̇, time] at nock release.

    Args:
        q: arrow, bow and rest in this plane.
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
            sum_y, sum_yr, sum_psi, sum_pr, sum_t = 0.0, 0.0, 0.0, 0.0, 0.0
            for stage in range(4):
                at = sigma + (0.0 if stage == 0 else (h if stage == 3 else 0.5 * h))
                traveled, speed, _, _ = axial_motion(q, at)
                place, slope, _ = path_at(path, traveled, q.stroke)
                if q.guided > 0.0:
                    y_now, yr_now = place, slope * speed
                if held:
                    rest = q.rest_at_full_draw - traveled
                    psi_now = (q.offset - y_now) / rest
                    pr_now = (psi_now * speed - yr_now) / rest
                y_second, psi_second, dt = _second_derivatives(
                    q, path, held, at, y_now, yr_now, psi_now, pr_now
                )
                weight = 1.0 if stage in (0, 3) else 2.0
                sum_y += weight * yr_now * dt
                sum_yr += weight * y_second * dt
                sum_psi += weight * pr_now * dt
                sum_pr += weight * psi_second * dt
                sum_t += weight * dt
                ahead = h if stage == 2 else 0.5 * h
                if stage < 3:
                    factor = ahead * dt
                    y_now = y + factor * yr_now
                    yr_now = y_rate + factor * y_second
                    psi_now = psi + factor * pr_now
                    pr_now = psi_rate + factor * psi_second
            y += h / 6.0 * sum_y
            y_rate += h / 6.0 * sum_yr
            psi += h / 6.0 * sum_psi
            psi_rate += h / 6.0 * sum_pr
            time += h / 6.0 * sum_t
            traveled, speed, _, _ = axial_motion(q, sigma + h)
            place, slope, _ = path_at(path, traveled, q.stroke)
            if q.guided > 0.0:
                y, y_rate = place, slope * speed
            if held:
                rest = q.rest_at_full_draw - traveled
                psi = (q.offset - y) / rest
                psi_rate = (psi * speed - y_rate) / rest
    return np.array([y, y_rate, psi, psi_rate, time])
